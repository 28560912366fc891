"""The plan on one screen: what a person with wet hands reads, of every shipped case."""

from __future__ import annotations

import io
import re
from functools import cache
from pathlib import Path

import pytest
from rich.cells import cell_len
from rich.console import Console

from advisor.advice.assess import assess
from advisor.advice.reasoner import default_reasoner
from advisor.advice.results import Assessment
from advisor.ask.hands import grouped, steps_of
from advisor.case import Case, load_case
from advisor.screens.show_plan import show_plan
from tests.screens.everything import CASES, SHIPPED

#: Lines at 80 columns, and more of them for each group of lots that differs: the contract.
LINES, LINES_MORE = 24, 6
SAMPLE = [
    path
    if at % 8 == 0 or path.parent.name == "demo"
    else pytest.param(path, marks=pytest.mark.trial)
    for at, path in enumerate(SHIPPED)
]


@cache
def known(path: Path) -> tuple[Case, Assessment]:
    case = load_case(path)
    return case, assess(case, default_reasoner(None))


def screen(path: Path, columns: int) -> list[str]:
    case, result = known(path)
    out = io.StringIO()
    show_plan(result, case, Console(file=out, width=columns, no_color=True), path.stem[:20])
    return out.getvalue().splitlines()


def named(path: Path) -> str:
    return path.relative_to(CASES).as_posix()


@pytest.mark.parametrize("path", SAMPLE, ids=named)
def test_it_fits_one_screen(path: Path) -> None:
    lines = screen(path, 80)
    lots = len(known(path)[1].lots)
    assert len(lines) <= LINES + LINES_MORE * (lots - 1), "\n".join(lines)


@pytest.mark.parametrize("columns", [40, 60, 80])
@pytest.mark.parametrize("path", SAMPLE, ids=named)
def test_no_line_is_wider_than_the_terminal(path: Path, columns: int) -> None:
    assert max(cell_len(line) for line in screen(path, columns)) <= columns


@pytest.mark.parametrize("path", SAMPLE, ids=named)
def test_nothing_urgent_is_left_out_and_steps_are_few(path: Path) -> None:
    text = " ".join(" ".join(screen(path, 80)).split())
    _, result = known(path)
    for group in grouped(result.lots):
        steps = steps_of(group)
        assert len(steps) <= 5
        for step in steps:
            if step.emergency:
                assert " ".join(step.text.split()) in text, step.id
    if any(note.urgency == "now" for lot in result.lots for note in lot.vet):
        assert "CALL NOW:" in text


@pytest.mark.parametrize("path", SAMPLE, ids=named)
def test_the_last_lines_say_the_first_step_again_and_how_to_see_more(path: Path) -> None:
    text = " ".join(" ".join(screen(path, 80)).split())
    _, result = known(path)
    steps = steps_of(grouped(result.lots)[0])
    if steps:
        sentence = re.split(r"(?<=[.!?])\s+(?=[A-Z])", " ".join(steps[0].text.split()))[0]
        assert text.count(sentence) >= 2
    assert f"More: advisor assess {path.stem[:20]} --all" in text


@pytest.mark.parametrize("path", SAMPLE, ids=named)
def test_what_is_held_back_is_never_a_step_of_the_same_lots(path: Path) -> None:
    for group in grouped(known(path)[1].lots):
        held = {each.action for lot in group.lots for each in lot.withheld}
        assert not held & {step.id for step in steps_of(group)}
