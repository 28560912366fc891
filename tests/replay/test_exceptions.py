"""The list of exceptions: every change either way is found, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.errors import AdvisorError
from advisor.explain.replay.check_cases import Judged, Unlisted, read_exceptions
from tests.commands.running import run
from tests.replay.conftest import BURNED

KNOWN = {"field/a.toml": frozenset({"first_cause", "never"})}


def missed(path: str, *questions: str) -> Judged:
    return Judged(path, kind="field", met=dict.fromkeys(questions, False))


def held(*cases: Judged) -> tuple[list[str], list[str]]:
    """(newly missed, met again) of these cases."""
    found = Unlisted(KNOWN)
    for each in cases:
        found.add(each)
    return found.missed, found.met_again


def test_what_is_listed_and_missed_is_no_change() -> None:
    assert held(missed("/x/cases/field/a.toml", "first_cause", "never")) == ([], [])


def test_a_new_miss_is_found_in_a_listed_case_and_in_another() -> None:
    new, again = held(
        missed("cases/field/a.toml", "first_cause", "never", "first_action"),
        missed("cases/field/b.toml", "never"),
    )
    assert new == ["field/a.toml: first_action", "field/b.toml: never"] and again == []


def test_a_listed_miss_that_is_met_again_is_found() -> None:
    assert held(missed("field/a.toml", "never")) == ([], ["field/a.toml: first_cause"])


def test_an_exception_of_a_case_that_was_not_read_is_left_alone() -> None:
    assert held(missed("field/b.toml")) == ([], [])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[exception]]\ncase = 'a'\nfails = ['never']", "because is missing"),
        ("[[exception]]\ncase = 'a'\nfails = ['nevr']\nbecause = 'x'", '"nevr" is none of'),
        ("[[exception", "is no TOML file"),
    ],
)
def test_a_list_that_says_no_reason_is_refused(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "list.toml").write_text(text)
    with pytest.raises(AdvisorError, match=said):
        read_exceptions(tmp_path / "list.toml")


def test_the_command_passes_with_its_list_and_fails_without(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A case made to fail: it expects what is never advised of it."""
    folder = tmp_path / "field"
    folder.mkdir()
    text = BURNED.read_text(encoding="utf-8")
    assert "[expected]" in text
    start = text.index("[expected]")
    body = '[expected]\nkind = "constructed"\nfirst_cause = ["starvation"]\nsource = "this test"\n'
    (folder / "a.toml").write_text(text[:start] + body, encoding="utf-8")
    listed = tmp_path / "list.toml"
    listed.write_text(
        "[[exception]]\ncase = 'field/a.toml'\nfails = ['first_cause']\nbecause = 'made so'\n"
    )
    words = ["replay", "--check", str(folder)]
    assert run(capsys, *words).status == 1
    assert run(capsys, *words, "--exceptions", str(listed)).status == 0
    listed.write_text("")
    assert run(capsys, *words, "--exceptions", str(listed)).status == 1
