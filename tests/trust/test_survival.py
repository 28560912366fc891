"""Answers outlive the program: an unforeseen error is thrown at every call of a session.

Python's own tracing throws it at the nth call inside the session's modules, whatever that is.
What was answered before must then be on disk, in a copy, or on the screen, and equal.
"""

from __future__ import annotations

import io
import re
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from advisor.case import Case, dumps_case, load_with_stamp, loads_case
from advisor.screens import app
from advisor.screens.session.keep import Keeper, shown_case

#: One answer a line; what a question does not take it asks again.
ANSWERS = "2\nguppy\n20\nyes\n3\nnot known\n26 C\n7.2\n1\n2\n1\n1\n1\n1\n"
_INSIDE = re.compile(r"advisor[/\\](ask|screens[/\\]session|case)[/\\]")


class Unforeseen(RuntimeError):
    """No part of the program expects it."""


class Thrower:
    """Throws at the nth call inside the session, counted from the first answer kept."""

    def __init__(self, at: int) -> None:
        self.at, self.calls, self.thrown, self.on = at, 0, "", False

    def __call__(self, frame: FrameType, event: str, arg: Any) -> None:
        code = frame.f_code
        if not self.on or self.thrown or event != "call" or not _INSIDE.search(code.co_filename):
            return
        self.calls += 1
        # a generator expression swallows what is thrown as it is let go
        if self.calls >= self.at and not code.co_name.startswith("<"):
            self.thrown = code.co_qualname
            raise Unforeseen(self.thrown)


def _sit(
    at: int, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> tuple[Thrower, Case, str]:
    """A session into which the error is thrown: the last case to be kept, and all that was said."""
    thrower, wanted = Thrower(at), [Case()]
    plain: Callable[[Keeper, Case], None] = Keeper.save

    def save(keeper: Keeper, case: Case) -> None:
        keeper._wanted = wanted[0] = case  # handed over: from here on it may not be lost
        thrower.on = True
        plain(keeper, case)

    monkeypatch.setattr(Keeper, "save", save)
    monkeypatch.setattr(sys, "stdin", io.StringIO(ANSWERS))
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    sys.settrace(thrower)  # type: ignore[arg-type]
    try:
        status = app.main(["ask", "--cases", str(folder / "cases")])
    finally:
        sys.settrace(None)
    said = "".join(capsys.readouterr())
    assert status in (0, 2, 70) and "Traceback" not in said
    return thrower, wanted[0], said


def _found(wanted: Case, folder: Path, said: str) -> bool:
    for path in folder.rglob("*.toml"):
        if load_with_stamp(path, weighed=False)[0] == wanted:
            return True
    _, _, dump = said.partition("format = ")
    for end in range(len(lines := f"format = {dump}".splitlines()), 0, -1):
        try:
            return loads_case("\n".join(lines[:end]), weighed=False) == wanted
        except Exception:
            continue
    return False


def _check(at: int, *given: Any) -> bool:
    thrower, wanted, said = _sit(at, *given)
    folder = given[0]
    assert wanted != Case()
    assert _found(wanted, folder, said), f"lost after an error in {thrower.thrown}:\n{said[-800:]}"
    return bool(thrower.thrown)


@pytest.mark.parametrize("at", [1, 2, 5, 11, 23, 60, 150, 400, 1000, 2500])
def test_an_error_thrown_into_a_session_costs_no_answer(
    at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _check(at, tmp_path, monkeypatch, capsys)


@pytest.mark.trial
@pytest.mark.parametrize("first", range(1, 60))
def test_an_error_thrown_at_every_call_after_an_answer(
    first: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for step in range(5):
        folder = tmp_path / str(step)
        folder.mkdir()
        _check(first + 60 * step, folder, monkeypatch, capsys)


def test_a_folder_that_cannot_be_written_and_a_fault_leave_the_answers_on_the_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "cases").write_text("a file, no folder")
    _, wanted, said = _sit(40, tmp_path, monkeypatch, capsys)
    assert _found(wanted, tmp_path, said)


def test_a_case_is_shown_without_characters_that_steer_and_reads_the_same() -> None:
    case = loads_case('delivery.title = "a\\u202Eb\\u001B[31m\\u200B🐟"')
    shown = shown_case(case)
    assert shown.replace("\n", "").isprintable() and loads_case(shown) == case
    assert dumps_case(case) != shown
