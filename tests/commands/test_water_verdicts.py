"""Verdicts of the water sums: words from the rules, for the fish named; US measures beside."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.rulebase import load_rulebase
from tests.commands.running import run

DEMO = Path(__file__).parents[2] / "cases" / "demo" / "four-lots-one-burned-on-opening.toml"


Said = Callable[..., str]


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    """What a command says, on one line."""

    def ask(*words: str, status: int = 0) -> str:
        ran = run(capsys, *words)
        assert ran.status == status, ran
        return " ".join((ran.out + ran.err).split())

    return ask


@pytest.fixture
def verdict_of(said: Said) -> Said:
    """All verdicts of a sum, on one line."""
    return lambda *words: said("water", *words).partition("verdict ")[2]


def test_ammonia_is_judged_by_the_limits_of_the_rules(verdict_of: Said) -> None:
    """Gill damage from 0.05 mg/L un-ionised ammonia (UF/IFAS FA-16): 0.2 is well above it."""
    assert verdict_of("nh3", "tan=0.1", "as", "N", "ph=7", "temp=25").startswith("sound")
    limit = load_rulebase().limits["nh3_gill_damage"]
    words = verdict_of("nh3", "tan=2", "as", "N", "ph=8", "temp=25")
    assert words.startswith("harmful") and limit.meaning in words


def test_low_oxygen_calls_for_air(verdict_of: Said) -> None:
    """Air at once below 4 mg/L, deaths below 2 (common pond practice, as the limits cite)."""
    assert verdict_of("oxygen", "temp=25", "do=7").startswith("enough")
    assert verdict_of("oxygen", "temp=25", "do=3.5").startswith("air in at once")
    assert verdict_of("oxygen", "temp=25", "do=1.5").startswith("deadly")


def test_without_a_fish_it_speaks_of_tropical_and_cool_water_ones(verdict_of: Said) -> None:
    mixed = ("mix", "volume=2 L and 10 L", "ph=6.4 and 7.4", "alkalinity=60 and 80", "temp=24")
    words = verdict_of(*mixed)
    assert "tropical fish: within their range" in words and "cool-water fish:" in words


def test_a_kind_and_a_case_are_judged_by_their_own_ranges(verdict_of: Said) -> None:
    mixed = ("mix", "volume=2 L and 10 L", "ph=8 and 8.4", "alkalinity=60 and 80", "temp=24")
    assert "cardinal tetra: above the range" in verdict_of(*mixed, "fish=cardinal tetra")
    words = verdict_of(*mixed, f"case={DEMO}")
    assert "harlequin rasbora" in words and "tropical fish" not in words


def test_a_fish_nobody_knows_ends_in_one_sentence(said: Said) -> None:
    words = said("water", "nh3", "tan=1 as N", "ph=7", "temp=25", "fish=wobblegong", status=2)
    assert 'fish: "wobblegong" is no kind known here' in words


def test_us_measures_stand_beside_the_metric_ones(
    said: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    """1 US gallon is 231 cubic inches, 3.785 L; 1 oz 28.35 g (NIST Handbook 44, appendix C)."""
    monkeypatch.setenv("ADVISOR_UNITS", "us")
    words = said("water", "salt", "volume=25 gal", "to=3 g/L")
    ounces = float(words.split("add ")[1].split()[0])
    grams = float(words.split("(")[1].split()[0])
    assert grams == pytest.approx(25 * 3.785411784 * 3, rel=0.02)
    assert ounces == pytest.approx(grams / 28.349523125, rel=0.02)
    litres = said("water", "salt", "volume=95 L", "to=3 g/L")
    assert "add 285 g (10 oz)" in litres
    monkeypatch.setenv("ADVISOR_UNITS", "metric")
    assert "oz" not in said("water", "salt", "volume=25 gal", "to=3 g/L")


def test_settings_are_kept_for_the_user(
    said: Said, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("ADVISOR_SETTINGS", str(tmp_path / "own" / "settings.toml"))
    assert "units = not set" in said("settings")
    said("settings", "units=us", "sheet=LETTER")
    words = said("settings")
    assert "units = us" in words and "sheet = letter" in words
    said("settings", "sheet=")
    assert "sheet = not set" in said("settings")
    assert "is not metric or us" in said("settings", "units=cubits", status=2)
    assert "no such setting" in said("settings", "colour=red", status=2)
