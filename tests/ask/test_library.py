"""Where cases live: one visible folder, names by date and title, nothing outside it."""

from __future__ import annotations

import io
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from advisor.case import load_case, loads_case, save_case
from advisor.case.folder import cases_folder, find_case, kept_cases, make_folder, new_path, slug
from advisor.errors import AdvisorError
from advisor.screens.session.show_shelf import show_open_cases
from advisor.screens.session.talk import Talk
from tests.said import joined

WHEN = datetime(2026, 3, 2, 9, 30)


def test_the_folder_is_what_was_asked_for_first() -> None:
    assert cases_folder("/a", {"ADVISOR_CASES": "/b"}) == Path("/a")
    assert cases_folder(None, {"ADVISOR_CASES": "/b"}) == Path("/b")


@pytest.mark.skipif(sys.platform != "linux", reason="the specification is of Linux")
def test_else_the_users_data_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification 0.8: $XDG_DATA_HOME, absolute, else ~/.local/share."""
    monkeypatch.setenv("HOME", "/home/someone")
    monkeypatch.setenv("XDG_DATA_HOME", "/data")
    assert cases_folder(None, {}) == Path("/data/advisor/cases")
    default = Path("/home/someone/.local/share/advisor/cases")
    monkeypatch.setenv("XDG_DATA_HOME", "relative")
    assert cases_folder(None, {}) == default
    monkeypatch.delenv("XDG_DATA_HOME")
    assert cases_folder(None, {}) == default


@pytest.mark.parametrize(
    "title, expected",
    [
        ("Evening boxes", "evening-boxes"),
        ("  Ünïcode & Co.  ", "unicode-co"),
        ("", "delivery"),
        ("../../etc/passwd", "etc-passwd"),
        ("ネオン", "delivery"),
        ("x" * 90, "x" * 40),
    ],
)
def test_a_title_becomes_a_plain_file_name(title: str, expected: str) -> None:
    assert slug(title) == expected


def test_names_are_date_and_title_and_never_taken_twice(tmp_path: Path) -> None:
    first = new_path(tmp_path, WHEN, "Guppies")
    assert first.name == "2026-03-02-guppies.toml"
    first.touch()
    assert new_path(tmp_path, WHEN, "Guppies").name == "2026-03-02-guppies-2.toml"


def test_a_case_is_found_by_path_or_by_name(tmp_path: Path) -> None:
    path = tmp_path / "2026-03-02-guppies.toml"
    save_case(loads_case('format="arrival-case-1"'), path)
    assert find_case(str(path), Path("/nowhere")) == path
    assert find_case("2026-03-02-guppies", tmp_path) == path
    with pytest.raises(AdvisorError, match='did you mean "2026-03-02-guppies'):
        find_case("2026-03-02-gupies", tmp_path)


def test_a_folder_that_cannot_be_made_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(AdvisorError, match="--cases DIR"):
        make_folder(tmp_path / "file" / "cases")


def test_a_broken_file_does_not_hide_the_others(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("not toml [", encoding="utf-8")
    save_case(loads_case('format="arrival-case-1"'), tmp_path / "b.toml")
    found = list(kept_cases(tmp_path))
    assert [kept.case is None for kept in found] == [True, False]
    assert "a.toml" in found[0].fault


CALM = """
format = "arrival-case-1"
[delivery]
title = "Calm neons"
received = "2026-03-02T08:00:00"
[[observation]]
seen = ["swimming_normally"]
"""
ALARM = """
format = "arrival-case-1"
[delivery]
title = "Gasping guppies"
received = "2026-03-02T09:00:00"
[[observation]]
seen = ["gasping_at_surface"]
"""
CLOSED = 'format = "arrival-case-1"\n[outcome]\nclosed = true\n'


def test_open_cases_stand_by_urgency_with_the_time_to_the_next_look(tmp_path: Path) -> None:
    for name, text in (("a", CALM), ("b", ALARM), ("c", CLOSED)):
        save_case(loads_case(text), tmp_path / f"{name}.toml")
    talk = Talk(io.StringIO(), [], width=60)
    show_open_cases(talk, tmp_path, WHEN)
    screen = joined(talk.out.getvalue())  # type: ignore[attr-defined]
    assert screen.index("Gasping guppies") < screen.index("Calm neons")
    assert "!! to do now: Air the tank hard" in screen
    assert "overdue by" in screen
    assert "1 closed." in screen


def test_the_list_changes_no_file(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    save_case(loads_case(ALARM), path)
    before = path.read_bytes(), path.stat().st_mtime_ns
    show_open_cases(Talk(io.StringIO(), [], width=60), tmp_path, WHEN + timedelta(days=3))
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before
    assert load_case(path).outcome.closed is False
