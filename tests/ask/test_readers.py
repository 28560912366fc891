"""One session, several readers: what is kept is the same, and it goes on from the case alone."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pexpect
import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.records import Ask, Choice, Chosen, Keep, NoMoreLines, Say, Show, Sitting, Talking
from advisor.ask.session import session
from advisor.case import Case, dumps_case, load_case, loads_case
from tests.clock import Clock
from tests.said import Terminal

#: Lines as a person types them; invented deliveries.
GASPING = ["3", "1", "40 guppies", "2 dead", "0", "20 min", "0", "26", "24", "30 h", "1 3",
           "7.8 meter", "4 dKH", "u", "e"]  # fmt: skip
TWO_KINDS = ["3", "gulping air", "12 neon tetras, 6 angelfish", "1", "1", "0", "2 h", "0",
             "?", "25 C", "", "b", "25 C", "", "48 h", "e", "=", "12", "e"]  # fmt: skip
SHUT = ["1", "0", "30 h", "40 guppies", "0", "25", "22", "4 L", "1", "0.3 g", "1", "12 to 18 C",
        "7.6 meter", "4 dKH drops", "n", "e"]  # fmt: skip


def directly(
    lines: list[str], case: Case, reasoner: Reasoner, clock: Callable[[], datetime]
) -> Iterator[Case]:
    """The cases a session asks to be kept, read by nothing but a loop."""
    steps = session(case, reasoner, clock)
    left = list(lines)
    step = next(steps)
    while True:
        try:
            if isinstance(step, Keep):
                yield step.case
            if isinstance(step, Ask) and not left:
                step = steps.throw(NoMoreLines())
            else:
                step = steps.send(left.pop(0) if isinstance(step, Ask) else None)
        except StopIteration:
            return


def at_a_terminal(lines: list[str], folder: Path) -> Case:
    child = Terminal(
        sys.executable,
        ["-m", "advisor", "ask", "--cases", str(folder)],
        dimensions=(40, 80),
        encoding="utf-8",
        timeout=60,
        echo=False,
        env={**os.environ, "NO_COLOR": "1"},
    )
    child.delaybeforesend = None
    for line in lines:
        child.expect_exact("> ")
        child.sendline(line)
    at = child.expect([pexpect.EOF, "> "])
    if at:
        child.sendline("s")
        child.expect(pexpect.EOF)
    child.close()
    (path,) = folder.glob("*.toml")
    return load_case(path)


def without_clock(part: Any) -> Any:
    """A case as plain data; hours to the tenth, no time of day, nothing concluded at the end."""
    if isinstance(part, dict):
        dropped = ("received", "made", "title", "assessment")
        return {k: without_clock(v) for k, v in part.items() if k not in dropped}
    if isinstance(part, (list, tuple)):
        return [without_clock(each) for each in part]
    return round(part, 1) if isinstance(part, float) else part


@pytest.mark.parametrize(
    "lines",
    [GASPING, pytest.param(TWO_KINDS, marks=pytest.mark.slow),
     pytest.param(SHUT, marks=pytest.mark.slow)],
    ids=["gasping", "two-kinds", "shut"],
)  # fmt: skip
def test_a_terminal_keeps_what_the_session_says(
    lines: list[str], reasoner: Reasoner, tmp_path: Path
) -> None:
    *_, case = directly(lines, Case(), reasoner, Clock())
    assert case.session.answered and case.lot
    kept = at_a_terminal(lines, tmp_path)
    assert without_clock(kept.model_dump()) == without_clock(case.model_dump())


@pytest.mark.parametrize("lines", [GASPING, SHUT], ids=["gasping", "shut"])
def test_it_goes_on_from_the_case_alone(lines: list[str], reasoner: Reasoner) -> None:
    """Broken off after every answer and begun anew from the file, it comes to the same case."""
    *_, whole = directly(lines, Case(), reasoner, Clock())
    case, left = Case(), [line for line in lines if line != "e"]
    while left:
        kept = _first_kept(left, case, reasoner)
        if kept is None:
            break
        case = loads_case(dumps_case(kept))
    assert case.lot == whole.lot
    assert case.observation == whole.observation
    assert case.session.answered == whole.session.answered


def _first_kept(left: list[str], case: Case, reasoner: Reasoner) -> Case | None:
    """The case after one more whole answer; the lines it took are gone from ``left``."""
    steps = session(case, reasoner, Clock())
    step = next(steps)
    while not isinstance(step, Keep) or step.part:
        if isinstance(step, Ask) and not left:
            return None
        step = steps.send(left.pop(0) if isinstance(step, Ask) else None)
    steps.close()
    return step.case


def _to_ask(steps: Talking[Sitting], reply: Any = None) -> tuple[Ask, list[Any]]:
    """Up to the next question, and what came before it."""
    before = []
    step = steps.send(reply)
    while not isinstance(step, Ask):
        before.append(step)
        step = steps.send(None)
    return step, before


def test_choices_do_what_their_lines_do(reasoner: Reasoner) -> None:
    """A page sends the keys of what was ticked; a terminal the numbers of the lines."""
    steps = session(Case(), reasoner, Clock())
    ask, _ = _to_ask(steps)
    assert ask.number == 1 and all(isinstance(choice, Choice) for choice in ask.choices)
    ask, _ = _to_ask(steps, Chosen((ask.choices[2].key,)))
    assert ask.kind == "several" and ask.choices[0].detail
    signs = (ask.choices[0].key, ask.choices[3].key)
    _, before = _to_ask(steps, Chosen(signs))
    kept = [step.case for step in before if isinstance(step, Keep)][-1]
    assert set(kept.observation[0].seen) == set(signs)
    *_, typed = directly(["3", "1 4"], Case(), reasoner, Clock())
    assert typed.observation == kept.observation


def test_an_answer_is_kept_before_anything_is_said_of_it(reasoner: Reasoner) -> None:
    steps = session(Case(), reasoner, Clock())
    _to_ask(steps)
    _to_ask(steps, "3")
    _, before = _to_ask(steps, "1")
    kept = next(at for at, step in enumerate(before) if isinstance(step, Keep))
    alarm = next(at for at, step in enumerate(before) if isinstance(step, Show) and _alarm(step))
    assert kept < alarm


def _alarm(step: Show) -> bool:
    return any(isinstance(block, Say) and block.mark == "!!" for block in step.blocks)


def test_no_terminal_in_it() -> None:
    """The session's room imports nothing that prints, prompts or draws."""
    room = Path(__file__).parents[2] / "advisor" / "ask"
    for path in room.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for word in ("import rich", "from rich", "print(", "input(", "readline", "sys.std"):
            assert word not in text, f"{path.name}: {word}"
