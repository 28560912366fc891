"""``advisor water`` against figures from outside: rows of tests/reference/chemistry.toml.

The source of each figure stands in that file beside it. What the command
prints must lie within the row's own tolerance and half a unit of the last
digit printed.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests.commands.running import run

FILE = Path(__file__).parents[1] / "reference" / "chemistry.toml"
ROWS: dict[str, dict[str, Any]] = {
    row["id"]: row for row in tomllib.loads(FILE.read_text("utf-8"))["check"]
}

#: Row of the file -> what a person would type, and the name of the figure that is printed.
TYPED: dict[str, tuple[str, str]] = {
    # un-ionised ammonia (Emerson et al. 1975; worked example of UF/IFAS FA16; a kit reading NH4)
    "uia-worked-example-fa16": (
        "nh3 tan=1 mg/L as N ph=8.0 temp=24 C",
        "un-ionised ammonia",
    ),
    "kit-nh4-reading-to-uia": ("nh3 tan=2 ppm as NH4 ph=8 temp=25 C", "un-ionised ammonia"),
    "uia-frac-emerson-ph7p0-24c": ("nh3 tan=1 as N ph=7.0 temp=24 C", "un-ionised ammonia"),
    "uia-pct-emerson-ph6p0-0c": ("nh3 tan=1 as N ph=6.0 temp=0 C", "share of the total"),
    # free CO2 from pH and alkalinity (PHREEQC; its pH of that water is 6.653)
    "bag-sealed-co2-15c-alk20-tan1-co210": (
        "co2 ph=6.653 alkalinity=20 ppm tan=1 as N temp=15 C",
        "carbon dioxide",
    ),
    # water of a bag once in balance with air (PHREEQC)
    "bag-aired-ph-15c-alk20-tan1-co210": (
        "air alkalinity=20 ppm tan=1 as N temp=15 C",
        "pH once in balance with air",
    ),
    "bag-aired-nh3n-15c-alk20-tan1-co210": (
        "air alkalinity=20 ppm tan=1 as N temp=59 F",
        "un-ionised ammonia",
    ),
    # oxygen (EN 25814; APHA)
    "do-sat-en25814-5c": ("oxygen 5 C", "oxygen at saturation"),
    "do-sat-700mmhg-20c": ("oxygen temp=20 C pressure=700 mmHg", "oxygen at saturation"),
    "percent-sat-mgl": ("oxygen temp=25 do=12.4", "the reading is"),
    # criteria (US EPA 2013 tables)
    "epa2013-cmc-headline": ("criteria ph=7 temp=20", "with trout or salmon"),
    "epa2013-ccc-headline": ("criteria ph=7 temp=68 F", "30 days"),
    # units, forms, salt, changes
    "dkh-to-mgl-caco3": ("convert alkalinity=1 dKH", "alkalinity"),
    "dkh-to-meq": ("convert 1 dKH to meq/L", "alkalinity"),
    "degf-to-degc": ("convert 75 F", "temperature"),
    "degc-to-degf": ("convert temp=25 C to F", "temperature"),
    "delta-degf": ("convert difference=5 F", "temperature difference"),
    "us-gallon-usgs": ("convert 1 gal", "volume"),
    "imperial-gallon": ("convert 1 imp gal", "volume"),
    "pound": ("convert 1 lb", "mass"),
    "nitrite-ion-to-n": ("convert nitrite=1 mg/L as NO2", "nitrite"),
    "nitrate-ion-to-n-30": ("convert nitrate=30 ppm as NO3", "nitrate"),
    "ammonia-as-nh3-to-as-n-2p5": ("convert ammonia=2.5 ppm as NH3", "total ammonia"),
    "chloride-deficit-nitrite-5": (
        "chloride nitrite=5 mg/L as NO2 chloride=12 mg/L",
        "chloride to add",
    ),
    "salt-dose-10gal-5ppt": ("salt volume=10 gal to=5 g/L", "salt to add"),
    "bicarbonate-1dkh-100l": (
        "bicarbonate volume=100 L from=3 dKH to=4 dKH",
        "sodium bicarbonate to add",
    ),
    "salinity-from-ec-1mscm-25c": ("salinity conductivity=1 mS/cm temp=25", "salinity"),
    "delta-p-from-tgp-percent": ("gas total=110 %", "excess gas pressure"),
    "water-change-three-halves": ("left share=50 % times=3", "left of it"),
    "water-change-to-target": ("change from=4 mg/L to=1 mg/L", "water to change"),
    "flow-through-one-volume": ("flow 1", "left of it"),
    "tank-volume-rect": ("volume length=12 ft width=3 ft depth=3 ft", "volume"),
    "tank-volume-round": ("volume diameter=12 ft depth=4.5 ft", "volume"),
}
#: Rows printed in another unit: factor from the row's to the printed one.
FACTOR = {
    "water-change-three-halves": 100.0,  # of 1 -> %
    "water-change-to-target": 100.0,
    "flow-through-one-volume": 100.0,
    "tank-volume-rect": 28.316846592,  # ft3 -> L, exact
    "tank-volume-round": 28.316846592,
}


def printed(out: str, name: str) -> tuple[float, float]:
    """The figure of that name in the stored unit, and half a unit of its last digit.

    Where another unit was typed, the stored one stands in brackets behind it.
    """
    typed_first = r"(?:[^(;]* \((?=[\d.]+ [a-zA-Z]))?"
    match = re.search(rf"(?:^|; ){re.escape(name)} {typed_first}(\d+(?:\.(\d+))?)", out)
    assert match, out
    return float(match[1]), 0.5 * 10.0 ** -len(match[2] or "")


@pytest.mark.parametrize("row_id", TYPED)
def test_what_is_printed_is_the_published_figure(
    row_id: str, capsys: pytest.CaptureFixture[str]
) -> None:
    row = ROWS[row_id]
    typed, name = TYPED[row_id]
    done = run(capsys, "water", *typed.split())
    assert done.status == 0, done.err
    value, half_digit = printed(done.out.splitlines()[0], name)
    expected = row["expected"] * FACTOR.get(row_id, 1.0)
    tolerance = row.get("tolerance_abs", 0.0) * FACTOR.get(row_id, 1.0)
    tolerance = max(tolerance, row.get("tolerance_rel", 0.0) * abs(expected))
    assert abs(value - expected) <= tolerance + half_digit + 1e-9, (value, expected)


def test_mixed_waters_solve_for_ph_and_never_average(capsys: pytest.CaptureFixture[str]) -> None:
    """Equal volumes of pH 6 and 8 at one alkalinity: mostly the acid water's CO2 counts.

    By hand for alkalinity 60 at 25 °C with the CO2 factors of Tucker's table in
    chemistry.toml (co2-factor-tucker rows): CO2 halves from pH 6, which raises pH by
    log10 2 = 0.30 where bicarbonate is the same.
    """
    words = "mix volume=1 L and 1 L ph=6 and 8 alkalinity=60 temp=25"
    done = run(capsys, "water", *words.split())
    value, _ = printed(done.out.splitlines()[0], "pH after mixing")
    assert abs(value - 6.30) <= 0.02
