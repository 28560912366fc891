"""Emergencies stand on the screen: shown once in full, then as one line until done."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from advisor.advice.results import ActionResult
from advisor.ask.hands import amount_words
from advisor.ask.records import Say
from advisor.case import Case, Lot

_MOST_REMINDED = 3
#: A short order has at most so many letters, and a head before a colon at least so many.
_SHORT, _LEAST = 64, 16
#: What begins with one of these is a condition: its act stands behind the colon.
_CONDITION = ("a", "if", "in", "no", "these", "this", "when", "without")
_STOP = re.compile(r": | - |; ")
#: Words that nothing ends with.
_JOINT = re.compile(
    r"(?:[ ,;:(-]+(?:and|or|is|are|the|a|an|of|at|in|on|to|by|with|from|as|its|their|into|until"
    r"|for|that|who|where|there|not|be|so|after|which)?)+$"
)


@dataclass
class StepsStanding:
    """shown: action -> its text; gone: actions done; called_for: those that still hold."""

    shown: dict[str, str] = field(default_factory=dict)
    gone: set[str] = field(default_factory=set)
    called_for: set[str] = field(default_factory=set)

    def open(self) -> list[tuple[str, str]]:
        """(action, short text) of everything shown, still called for and not done."""
        return [
            (action, short(text))
            for action, text in self.shown.items()
            if action in self.called_for and action not in self.gone
        ]

    def waiting(self) -> tuple[tuple[str, str], ...]:
        """(action, whole text) of the same, in the same order."""
        return tuple((action, self.shown[action]) for action, _ in self.open())

    def done(self, action: str) -> None:
        self.gone.add(action)


def short(text: str) -> str:
    """The first order of an action in few words: never a condition without its act.

    It is cut at a colon or dash behind an order, else between two words and with dots.

    >>> short("Put a lid on the tub now: they jump when they come round. Leave a gap for air.")
    'Put a lid on the tub now'
    """
    text = text.split(". ")[0].strip(" .")
    if len(text) <= _SHORT:
        return text
    if text.split()[0].lower() not in _CONDITION:
        ends = (stop.start() for stop in _STOP.finditer(text, _LEAST, _SHORT))
        if end := next(ends, None):
            return text[:end]
    return f"{_JOINT.sub('', text[: text.rindex(' ', 0, _SHORT) + 1])} ..."


def announce(
    standing: StepsStanding,
    found: Sequence[tuple[str, ActionResult]],
    lots: Mapping[str, Lot],
    case: Case,
) -> Iterator[Say]:
    """Each emergency the moment it becomes certain, for whichever lots it holds."""
    by_action: dict[str, list[str]] = {}
    texts: dict[str, ActionResult] = {}
    for lot, action in found:
        by_action.setdefault(action.id, []).append(lot)
        texts[action.id] = action
    standing.gone |= {action for look in case.observation for action in look.done}
    standing.called_for = set(by_action)
    for name, where in by_action.items():
        if name in standing.shown:
            continue
        action = texts[name]
        standing.shown[name] = action.text
        if name in standing.gone:
            continue
        which = "" if len(where) == len(lots) else f" ({', '.join(where)})"
        yield Say()
        yield Say(f"DO NOW{which}: {action.text}", mark="!!", strong=True)
        yield Say(action.because, level=1)
        for amount in action.amounts:
            if words := amount_words(amount):
                yield Say(f"{amount.label}: {words}", level=1)
        yield Say("(d when done)", level=1)


def remind(standing: StepsStanding) -> Iterator[Say]:
    """One line for each emergency that is not done yet."""
    waiting = standing.open()
    if not waiting:
        return
    yield Say()
    if len(waiting) == 1:
        text = f"Still to do now: {waiting[0][1]} (d = done)"
    else:
        parts = [f"{at} {text}" for at, (_, text) in enumerate(waiting[:_MOST_REMINDED], 1)]
        more = len(waiting) - _MOST_REMINDED
        text = f"Still to do now: {'; '.join(parts)}"
        text += f"; and {more} more (d 1 = done)" if more > 0 else " (d 1 = done)"
    yield Say(text, mark="!!", strong=True)
