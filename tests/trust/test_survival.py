"""Answers outlive the program: an unforeseen error is thrown at calls of a session.

A sample of the points of ``python -m tests.trust.thrown``, which throws at every function's.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.case import Case, dumps_case, loads_case
from advisor.screens.session.keep import shown_case
from tests.trust.thrown import PROGRAM, SESSION, Thrower, found, lost, points, sit


@pytest.mark.parametrize("at", [1, 2, 5, 11, 23, 60, 150, 400, 1000, 2500])
def test_an_error_thrown_into_a_session_costs_no_answer(at: int, tmp_path: Path) -> None:
    assert lost(Thrower(at, SESSION), tmp_path) == ""


@pytest.mark.parametrize("at", [3, 700, 20_000])
def test_an_error_thrown_anywhere_in_the_program_costs_no_answer(at: int, tmp_path: Path) -> None:
    thrower = Thrower(at, PROGRAM)
    assert lost(thrower, tmp_path) == "" and thrower.thrown


@pytest.mark.trial
def test_an_error_thrown_at_every_function_costs_no_answer(tmp_path: Path) -> None:
    (tmp_path / "count").mkdir()
    for at in points(tmp_path / "count"):
        (tmp_path / str(at)).mkdir()
        assert lost(Thrower(at, PROGRAM), tmp_path / str(at)) == "", at


def test_a_folder_that_cannot_be_written_and_a_fault_leave_the_answers_on_the_screen(
    tmp_path: Path,
) -> None:
    (tmp_path / "cases").write_text("a file, no folder")
    wanted, said = sit(Thrower(40), tmp_path)
    assert wanted != Case() and found(wanted, tmp_path, said)


def test_a_lost_answer_would_be_noticed(tmp_path: Path) -> None:
    wanted, said = sit(Thrower(10**9), tmp_path)
    assert found(wanted, tmp_path, said)
    for path in (tmp_path / "cases").glob("*.toml"):
        path.write_text(path.read_text().replace("26", "27"))
    assert not found(wanted, tmp_path, said)


def test_a_case_is_shown_without_characters_that_steer_and_reads_the_same() -> None:
    case = loads_case('delivery.title = "a\\u202Eb\\u001B[31m\\u200B🐟"')
    shown = shown_case(case)
    assert shown.replace("\n", "").isprintable() and loads_case(shown) == case
    assert dumps_case(case) != shown
