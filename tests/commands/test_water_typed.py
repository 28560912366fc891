"""What was typed in gallons, °F, dKH and "as NH3" is answered in these, the stored unit beside.

Factors: NIST Handbook 44 (2024), appendix C (gallon, ounce, pound); 1 dKH is 10 mg/L CaO, 17.85
mg/L as CaCO3 (IUPAC molar masses); NH3 / N is 17.031 / 14.007.
"""

from __future__ import annotations

import json
import re

import pytest

from advisor.advice.amounts.doses import SALT
from advisor.advice.results import AmountResult
from advisor.ask.hands import amount_words
from tests.commands.running import run

Caps = pytest.CaptureFixture[str]
L_GAL, G_OZ, G_LB, MG_DKH = 3.785411784, 28.349523125, 453.59237, 17.848


@pytest.fixture(autouse=True)
def no_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: object) -> None:
    monkeypatch.setenv("ADVISOR_SETTINGS", f"{tmp_path}/none.toml")
    monkeypatch.delenv("ADVISOR_UNITS", raising=False)


def first(capsys: Caps, typed: str) -> str:
    done = run(capsys, "water", *typed.split())
    assert done.status == 0, done.err
    return done.out.splitlines()[0]


def pair(text: str, name: str) -> tuple[float, str, float, str]:
    """(value, unit as typed, value, stored unit) of a figure."""
    found = re.search(rf"{name} ([\d.,]+) ([^(,]+?) \(([\d.,]+) ([^);,]+)\)", text)
    assert found is not None, text
    return float(found[1]), found[2], float(found[3]), found[4]


def test_gallons_are_answered_in_ounces_and_gallons(capsys: Caps) -> None:
    ounces, unit, grams, stored = pair(first(capsys, "salt volume=10 gal to=2 g/L"), "salt to add")
    assert (unit, stored) == ("oz", "g")
    assert grams == pytest.approx(10 * L_GAL * 2, rel=0.01)
    assert ounces == pytest.approx(grams / G_OZ, rel=0.01)
    gallons, unit, litres, stored = pair(
        first(capsys, "change from=4 to=1 volume=40 gal"), "that is"
    )
    assert (unit, stored) == ("US gal", "L")
    assert gallons == pytest.approx(30) and litres == pytest.approx(30 * L_GAL, rel=0.01)


def test_much_is_answered_in_pounds_and_a_tank_in_inches_in_gallons(capsys: Caps) -> None:
    pounds, unit, grams, _ = pair(first(capsys, "salt volume=300 gal to=3 g/L"), "salt to add")
    assert unit == "lb" and pounds == pytest.approx(grams / G_LB, rel=0.01)
    gallons, unit, _, _ = pair(
        first(capsys, "volume length=48 in width=12 in depth=21 in"), "volume"
    )
    assert unit == "US gal" and gallons == pytest.approx(48 * 12 * 21 / 231, rel=0.01)


def test_a_mixture_is_told_in_fahrenheit_and_dkh(capsys: Caps) -> None:
    typed = "mix volume=1 L and 1 L ph=7 and 7 alkalinity=3 dKH and 5 dKH temp=70 F and 80 F"
    text = first(capsys, typed)
    warm, unit, celsius, _ = pair(text, "temperature")
    assert unit == "°F" and warm == pytest.approx(75) and celsius == pytest.approx(23.9, abs=0.05)
    hard, unit, stored, _ = pair(text, "alkalinity")
    assert unit == "dKH" and hard == pytest.approx(4)
    assert stored == pytest.approx(4 * MG_DKH, abs=0.6)


def test_the_basis_that_was_typed_is_answered_in(capsys: Caps) -> None:
    text = first(capsys, "nh3 tan=2 ppm as NH3 ph=8 temp=25")
    as_nh3, unit, as_n, stored = pair(text, "un-ionised ammonia")
    assert (unit, stored) == ("mg/L as NH3", "mg/L as N")
    assert as_nh3 == pytest.approx(as_n * 17.031 / 14.007, rel=0.01)
    form = json.loads(run(capsys, "water", "nh3", "tan=2 as NH3", "ph=8", "temp=25", "--json").out)
    assert form["results"][0]["typed"]["unit"] == "mg/L as NH3"


def test_what_is_typed_in_stored_units_is_answered_in_them_alone(capsys: Caps) -> None:
    assert first(capsys, "salt volume=40 L to=3 g/L") == "salt to add 120 g."
    assert "(" not in first(capsys, "nh3 tan=2 mg/L as N ph=8 temp=25 C")


def test_who_set_metric_gets_metric(capsys: Caps, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ADVISOR_UNITS", "metric")
    assert "oz" not in first(capsys, "salt volume=10 gal to=2 g/L")


def test_teaspoons_are_for_plain_salt_where_set_and_never_alone(
    capsys: Caps, monkeypatch: pytest.MonkeyPatch
) -> None:
    def told(*words: str) -> str:
        return " ".join(run(capsys, "water", *words).out.split())

    salt = ("salt", "volume=20 L", "to=1.5 g/L")
    assert "teaspoon" not in told(*salt)
    monkeypatch.setenv("ADVISOR_TEASPOONS", "yes")
    text = told(*salt)
    assert "30 g is roughly 5 level teaspoons of fine plain salt" in text
    assert "common practice, no source" in text
    assert "weigh it" in told("salt", "volume=200 L", "to=3 g/L")
    assert "teaspoon" in told("chloride", "nitrite=1 mg/L as NO2", "volume=5 L")
    others = (
        ("bicarbonate", "volume=20 L", "from=2 dKH", "to=4 dKH"),
        ("thiosulfate", "chlorine=1.5", "volume=200 L"),
    )
    for words in others:
        assert "teaspoon" not in told(*words)


def test_a_plan_names_teaspoons_for_salt_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    salt = AmountResult(label=SALT, value=12.0, unit="g")
    soda = AmountResult(label="sodium bicarbonate", value=12.0, unit="g")
    assert amount_words(salt) == "12 g"
    monkeypatch.setenv("ADVISOR_TEASPOONS", "yes")
    assert amount_words(salt).startswith("12 g, roughly 2 level teaspoons")
    assert amount_words(soda) == "12 g"
