"""What people type at ``advisor water``: bases, bands, slips, help, and the data form."""

from __future__ import annotations

import json
import re
from itertools import chain

import pytest

from advisor.screens.commands.water import sums
from tests.commands.running import run, run_apart

Caps = pytest.CaptureFixture[str]


def test_a_number_without_its_basis_is_a_question(capsys: Caps) -> None:
    done = run(capsys, "water", "nh3", "tan=2", "ppm", "ph=7.8", "temp=26")
    assert done.status == 2 and not done.out
    assert "as N" in done.err and "as NH3" in done.err and "as NH4" in done.err
    assert done.err.count("tan:") == 1 and "Traceback" not in done.err


def test_an_unknown_basis_widens_the_answer(capsys: Caps) -> None:
    """Molar masses (IUPAC): 2 mg/L as NH4 is 1.553 as N; so the answer spans that much."""
    done = run(capsys, "water", "nh3", "tan=2 ppm unknown", "ph=7.8", "temp=26", "--json")
    result = json.loads(done.out)["results"][0]
    assert result["low"] / result["high"] == pytest.approx(14.007 / 18.039, rel=1e-3)
    assert result["low"] < result["value"] < result["high"]


def test_a_colour_card_gives_a_band_and_no_card_gives_none(capsys: Caps) -> None:
    words = ("water", "nh3", "tan=1 as N", "ph=7.5", "temp=25")
    sharp = run(capsys, *words).out
    wide = run(capsys, *words, "kit=colour card").out
    assert " to " not in sharp and re.search(r"\(0\.\d+ to 0\.\d+\)", wide)


def test_quotes_may_be_left_out_and_order_does_not_matter(capsys: Caps) -> None:
    typed = "ph=7.8 temp=78 F tan=2 ppm as N"
    loose = run(capsys, "water", "nh3", *typed.split())
    tight = run(capsys, "water", "nh3", "tan=2 ppm as N", "ph=7.8", "temp=78 F")
    assert loose == tight and loose.status == 0


def test_more_than_the_formula_covers_is_said(capsys: Caps) -> None:
    """The US EPA criteria of 2013 hold from pH 6.5 to 9."""
    out = run(capsys, "water", "criteria", "ph=6", "temp=20").out
    assert "ph 6 is outside 6.5 to 9" in out
    assert "outside" not in run(capsys, "water", "criteria", "ph=7", "temp=20").out


def test_verbose_gives_formula_numbers_range_and_source(capsys: Caps) -> None:
    out = run(capsys, "water", "nh3", "tan=2 as N", "ph=7.8", "temp=25", "-v").out
    joined = " ".join(out.split())
    assert "2 / (1 + 10^(9.24638 - 7.8))" in joined  # 0.09018 + 2729.92 / 298.15 (Emerson 1975)
    assert "0 to 50 °C" in joined and "Emerson et al. (1975)" in joined


SLIPS = (
    ("nh4 tan=1 as N ph=7 temp=20", 'did you mean "nh3"'),
    ("nh3 tna=1 as N ph=7 temp=20", 'did you mean "tan"'),
    ("nh3 tan=1 as N ph=7 --jsn", 'did you mean "--json"'),
    ("nh3 tan=1 as N ph=7", "temp: is missing"),
    ("nh3 tan=unknown ph=7 temp=20", "tan: cannot be unknown"),
    ("nh3 tan=1 as N ph=19 temp=20", "ph: 19 is outside"),
    ("nh3 tan=1 as N ph=7 temp=300 C", "temp: 300 C (300 °C) is outside"),
    ("nh3 tan=1 as N ph=7 temp=20 temp=21", "temp: given twice"),
    ("nh3 2 7 20", "say what it is"),
    ("co2 ph=11 alkalinity=1 ppm temp=20", "measure pH and alkalinity again"),
    ("salt volume=-2 L to=3 g/L", "volume: -2 L"),
    ("salt volume=40 L to=1 g/L from=3 g/L", "to: 1"),
    ("change from=4 ppm to=1 mmol", "one unit"),
    ("change from=4 to=1 new=2", "Use cleaner water"),
    ("left share=50 times=3", "share: 50 is outside"),
    ("left share=50 % times=2.5", "times: 2.5"),
    ("mix volume=2 L ph=7 alkalinity=60 temp=20", "one water only"),
    ("mix volume=1 and 2 and 3 ph=7 and 8 alkalinity=60 temp=20", "2 values for 3 waters"),
    ("salinity temp=25", "either conductivity"),
    ("volume depth=4 ft length=2 ft", "length, width and depth"),
    ("convert 0.5 ppm", "put a name before it"),
    ("convert 5", "has no unit"),
    ("convert phosphate=5 ppm", "phosphate"),
    ("convert 6 dKH to miles", "is not a unit of alkalinity"),
    ("nh3 tan=1 as N ph=7 temp=20 kit=spoon", "is not a kind of kit"),
)


@pytest.mark.parametrize(("typed", "said"), SLIPS)
def test_a_slip_is_one_clear_sentence_and_status_2(typed: str, said: str, capsys: Caps) -> None:
    done = run(capsys, "water", *typed.split())
    assert done.status == 2
    assert not done.out
    assert said in " ".join(done.err.split())
    assert "Traceback" not in done.err


@pytest.mark.parametrize("word", sums())
def test_each_sum_works_as_its_help_shows(word: str, capsys: Caps) -> None:
    entry = sums()[word]
    done = run(capsys, "water", word, *entry.example.split())
    assert done.status == 0, done.err
    assert done.out.splitlines()[0].endswith(".")
    assert not re.search(r"\b(nan|inf)\b|e[-+]\d", done.out)
    shown = run(capsys, "water", word, "--help").out
    assert all(f"{take.key}=" in shown for take in entry.takes)
    assert f"advisor water {word}" in shown


def test_the_list_names_every_sum_and_fits_60_columns() -> None:
    done = run_apart("water", columns=60)
    assert all(re.search(rf"^{word}\s", done.out, re.M) for word in (*sums(), "convert"))
    assert max(len(line) for line in done.out.splitlines() if "advisor water SUM" not in line) <= 60


def test_json_names_its_form_and_holds_what_was_typed(capsys: Caps) -> None:
    done = run(capsys, "water", "nh3", "--json", "tan=2 ppm as NH4", "ph=7.8", "temp=78 F")
    form = json.loads(done.out)
    assert form["format"] == "advisor-water-1" and form["asked"] == "nh3"
    assert form["given"]["tan"][0]["entered"] == "2 ppm as NH4"
    assert {"formula", "working", "source", "outside"} <= form["results"][0].keys()


def test_a_plain_sum_pays_for_no_heavy_library() -> None:
    """Start-up: numpy, scipy and pint only where a unit needs them.

    pydantic comes with the rules, which hold the words of the verdict.
    """
    code = (
        "import sys\nfrom advisor.screens.app import main\n"
        "main(sys.argv[1:])\n"
        "print([m for m in ('numpy', 'scipy', 'pint', 'rich') if m in sys.modules])"
    )
    sums_at_hand = (
        "nh3 tan=2 mg/L as N ph=7.8 temp=25 C",
        "co2 ph=6.4 alkalinity=60 temp=24",
        "mix volume=1 and 2 ph=6 and 7 alkalinity=60 temp=24",
    )
    for typed in sums_at_hand:
        done = run_apart("water", *typed.split(), code=code)
        assert done.out.splitlines()[-1] == "[]", done.out


def test_every_key_has_one_meaning_in_its_sum() -> None:
    for entry in sums().values():
        names = list(chain.from_iterable((take.key, *take.also) for take in entry.takes))
        assert len(names) == len(set(names)), entry.word
