"""A few trials of ``kill_sessions.py``, and that it would notice a lost answer."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.case import Case, load_case, loads_case
from advisor.case.exports import _is_own
from tests.trust import kill_page
from tests.trust.kill_sessions import ROOT, Running, Told, _answered, lost, run

TOLD = Told(hours=30, heads=40, dead=0, tank_c=25.0, ph=7.0)
HELD = """
format = "arrival-case-1"
[transit]
hours_sealed = {hours}
[session]
answered = ["hours_sealed"]
"""


def screen(*lines: str) -> Running:
    session = object.__new__(Running)
    session.told, session.screen = TOLD, list(lines)
    return session


TWO_SHOWN = (
    "3. How long were the bags sealed, from tying to opening - or until now?",
    "> 30 h",
    "4. Which fish, and how many of each?",
)


def test_a_lost_and_a_changed_answer_are_noticed() -> None:
    shown = screen(*TWO_SHOWN)
    assert shown.asked() == ["hours_sealed", "kinds"]
    assert list(lost(Case(), shown)) == ["hours_sealed is not in the file"]
    changed = loads_case(HELD.format(hours=48))
    assert list(lost(changed, shown)) == ["hours_sealed is in the file with another value"]
    assert list(lost(loads_case(HELD.format(hours=30)), shown)) == []


@pytest.mark.parametrize("name", ["40 guppies", "lot"])
def test_a_question_about_one_lot_is_recognised(name: str) -> None:
    line = f"9. {name}: How many are dead so far, and how many down now (on their side, or no"
    assert screen(line).asked() == ["counts"]


@pytest.mark.slow
def test_killed_at_random_moments_nothing_completed_is_lost() -> None:
    count = run(5, seed=20261125)
    assert count.faults == []
    assert count.killed >= 4
    assert count.two_at_once == 1
    assert count.answers >= 5


@pytest.mark.slow
def test_three_sessions_on_one_case_and_exports_meanwhile_lose_nothing(tmp_path: Path) -> None:
    rng = random.Random(20261127)
    first = Running(tmp_path, Told.drawn(rng))
    first.read_until(4)
    first.kill()
    (path,) = (tmp_path / "cases").glob("*.toml")
    before = sorted(_answered(load_case(path)))
    heads = first.told.heads
    sessions = [Running(tmp_path, Told.drawn(rng, heads), "--resume", str(path)) for _ in range(3)]
    out = tmp_path / "out.csv"
    export = [sys.executable, "-m", "advisor", "readings", str(path), "--out", str(out)]
    exports = [subprocess.Popen(export, cwd=ROOT, stdout=subprocess.PIPE) for _ in range(3)]
    assert [session.finish() for session in sessions] == [0, 0, 0]
    assert [each.communicate() and each.returncode for each in exports] == [0, 0, 0]
    assert _is_own(out) and out.stat().st_size > 0
    places = {session.kept_in(path) for session in sessions}
    assert len(places) > 1  # they did meet, and went on beside each other
    for session in sessions:
        assert list(lost(load_case(session.kept_in(path)), session, before=before)) == []
    assert {each.name for each in (tmp_path / "cases").iterdir()} == {p.name for p in places}


@pytest.mark.slow
def test_a_few_kills_of_the_page_lose_nothing() -> None:
    count = kill_page.run(4, seed=2)
    assert count.kills == 4 and not count.faults
