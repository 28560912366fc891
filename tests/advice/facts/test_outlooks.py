"""A forecast that was kept gives the very numbers that were computed, and no other case's."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.facts import forecast
from advisor.advice.reasoner import Reasoner
from advisor.bag import Measured, SealedBag
from advisor.case import load_case

CASE = Path(__file__).parents[3] / "cases" / "demo" / "four-lots-bags-still-sealed.toml"
BAG = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=30, fish_mass_g=0.5, hours=30.0, temperature=24.0
)


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of this test's own, and nothing remembered from other tests."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    forget()
    return tmp_path / "advisor"


def forget() -> None:
    """As at a new start."""
    forecast.KEPT.forget()
    forecast._SEEN.clear()


def test_kept_numbers_are_those_computed(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    computed = forecast.outlook(BAG, None, 0.05)
    forecast.KEPT.save()
    forget()
    monkeypatch.setattr(forecast, "_simulated", lambda asked: [None for _ in asked])  # not asked
    assert forecast.outlook(BAG, None, 0.05) == computed
    assert computed is not None
    assert computed.nh3_limit is not None


def test_other_inputs_are_simulated(cache: Path) -> None:
    first = forecast.outlook(BAG, None, 0.05)
    for other in (
        forecast.outlook(replace(BAG, hours=31.0), None, 0.05),
        forecast.outlook(BAG, Measured(ph=6.4, tan_mg_l=3.0), 0.05),
        forecast.outlook(BAG, None, 0.02),
    ):
        assert other != first


def test_readings_that_contradict_each_other_have_no_outlook(cache: Path) -> None:
    for _ in range(2):
        assert forecast.outlook(BAG, Measured(ph=10.9, alkalinity_mg_l_caco3=0.0), 0.05) is None
        forecast.KEPT.save()
        forget()


def test_only_the_last_are_kept(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(forecast.KEPT, "most", 3)
    for number in range(5):
        forecast.KEPT.remember(f"bag {number}", {"end": number})
    forecast.KEPT.save()
    forget()
    assert [forecast.KEPT.recall(f"bag {n}") for n in range(5)] == [
        None, None, {"end": 2}, {"end": 3}, {"end": 4},
    ]  # fmt: skip


def test_an_unreadable_file_is_no_fault(cache: Path) -> None:
    forecast.outlook(BAG, None, 0.05)
    forecast.KEPT.save()
    for file in cache.iterdir():
        file.write_text("[1]\nnot json", encoding="utf-8")
    forget()
    assert forecast.KEPT.recall("anything") is None


def test_an_assessment_is_the_same_from_kept_forecasts(cache: Path) -> None:
    case, reasoner = load_case(CASE), Reasoner.load()
    first = assess(case, reasoner).model_dump_json()
    forecast.KEPT.save()
    forget()
    assert assess(case, reasoner).model_dump_json() == first


def test_the_second_start_needs_no_numpy(cache: Path) -> None:
    program = (
        "import sys\nfrom advisor.screens.app import main\n"
        f"main(['assess', {str(CASE)!r}, '--json'])\n"
        "print('numpy' in sys.modules, file=sys.stderr)"
    )
    runs = [
        subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
        for _ in range(2)
    ]
    assert runs[0].stdout == runs[1].stdout
    assert [run.stderr.strip() for run in runs] == [b"True", b"False"]


def test_bags_foreseen_together_have_the_outlook_they_have_alone(cache: Path) -> None:
    """Of different length, with readings and without, and one whose readings contradict."""
    asked = [
        forecast.OutlookAsked(BAG, None, 0.05),
        forecast.OutlookAsked(
            replace(BAG, hours=9.0, fish_count=5), Measured(ph=6.6, tan_mg_l=1.0), 0.05
        ),
        forecast.OutlookAsked(BAG, Measured(ph=10.9, alkalinity_mg_l_caco3=0.0), 0.05),
        forecast.OutlookAsked(replace(BAG, gas="air", temperature=19.0), None, None),
    ]
    together = forecast.foresee(asked)
    for each, seen in zip(asked, together, strict=True):
        forget()
        alone = forecast.outlook(*each)
        if seen is None or alone is None:
            assert seen is alone is None
            continue
        for name, band in alone.end.items():
            assert seen.end[name] == pytest.approx(band, rel=1e-5)
        assert seen.oxygen_hours_left == pytest.approx(alone.oxygen_hours_left, rel=1e-5)
        assert (seen.nh3_limit is None) is (each.nh3_limit_mg_l is None)
