"""The same deliveries played to the session's generator, as the terminal does, and to the page."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.ask.records import Ask, Keep
from advisor.ask.session import session
from advisor.case import Case, load_case
from advisor.case.toml_text import dumps_case
from advisor.page.seat import asked_of
from tests.clock import Clock
from tests.page.conftest import Room

#: Replies to questions for a line, by what is asked; invented deliveries.
LINES = {
    "kinds": ("30 neon tetra", "12 guppies, 8 angelfish", "40 platy in 2 bags", "ghost shrimp"),
    "hours_sealed": ("30 h", "26", "2 days", "41 hours"),
    "thermometer": ("24.5", "78 F", "19 C", "nonsense"),
    "ph": ("7.2", "6.4", "8.1", "99"),
    "counts": ("2 dead, 3 down", "0 dead, 0 down", "1 dead"),
    "arrived": ("20 min", "1 h"),
}
#: (what is asked, what is done about it, the line a terminal would send)
Played = tuple[str, dict[str, Any], str]
MOST = 30


def decide(ask: Ask, rng: random.Random) -> tuple[dict[str, Any], str]:
    """The same wish as a filled form and as a typed line."""
    if ask.kind == "enter":
        line = rng.choice(("", "n"))
        return {"tap": f"line:{line}"}, line
    if rng.random() < 0.2:
        return {"tap": "unknown"}, "u"
    numbers = {choice.key: str(at) for at, choice in enumerate(ask.choices, 1)}
    if ask.kind == "one":
        key = rng.choice(list(numbers))
        return {"tap": f"take:{key}"}, numbers[key]
    if ask.kind == "several":
        keys = rng.sample(list(numbers), rng.randint(0, min(2, len(numbers))))
        if not keys:
            return {"tap": "none"}, "0"
        ordered = [key for key in numbers if key in keys]
        return {"choice": ordered, "tap": "go"}, " ".join(numbers[key] for key in ordered)
    line = rng.choice(LINES.get(ask.question, ("12", "7", "0.5")))
    return {"words": line, "tap": "go"}, line


def on_terminal(seed: int, reasoner: Reasoner) -> tuple[Case, list[Played]]:
    """Play with lines, as a terminal sends them."""
    rng = random.Random(seed)
    steps = session(Case(), reasoner, Clock())
    case, played, line = Case(), [], None
    while True:
        try:
            step = steps.send(line)
        except StopIteration:
            return case, played
        line = None
        if isinstance(step, Keep):
            case = case if step.part else step.case  # a page notes parts as they are typed
        elif isinstance(step, Ask):
            if len(played) == MOST:
                return case, played
            form, line = decide(step, rng)
            played.append((asked_of(step), form, line))


def on_page(played: list[Played], folder: Path, reasoner: Reasoner) -> Case:
    """Play the same wishes as forms."""
    room = Room(folder, reasoner, Clock())
    phone = room.phone()
    phone.post("/start")
    for asked, form, _ in played:
        assert phone.asked == asked
        phone.answer(**form)
        assert phone.status == 200
    (path,) = folder.glob("*.toml")
    return load_case(path)


def same(seed: int, folder: Path, reasoner: Reasoner) -> None:
    typed, played = on_terminal(seed, reasoner)
    tapped = on_page(played, folder, reasoner)
    assert len(played) > 5
    assert dumps_case(tapped) == dumps_case(typed)
    plans = [assess(case, reasoner) for case in (typed, tapped)]
    assert plans[0] == plans[1]


@pytest.mark.parametrize("seed", range(3))
def test_the_page_and_the_terminal_write_the_same_case(
    seed: int, tmp_path: Path, reasoner: Reasoner
) -> None:
    same(seed, tmp_path, reasoner)


@pytest.mark.trial
@pytest.mark.parametrize("seed", range(3, 30))
def test_the_page_and_the_terminal_write_the_same_case_27_more_times(
    seed: int, tmp_path: Path, reasoner: Reasoner
) -> None:
    same(seed, tmp_path, reasoner)
