"""Emergencies stand on the screen: shown once in full, then as one line until done."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from advisor.advice.results import ActionResult
from advisor.ask.hands import amount_words
from advisor.ask.records import Say, Waiting

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
    """What was announced and whether it still waits, each step for each lot by itself.

    texts : action -> its text; shown, gone: (action, lot) announced, and done
    called_for : action -> the lots it holds for now; lots: how many the delivery has
    """

    texts: dict[str, str] = field(default_factory=dict)
    shown: set[tuple[str, str]] = field(default_factory=set)
    gone: set[tuple[str, str]] = field(default_factory=set)
    called_for: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lots: int = 1

    def lots_of(self, action: str) -> tuple[str, ...]:
        """The lots for which it is called for and not done."""
        wanted = self.called_for.get(action, ())
        return tuple(lot for lot in wanted if (action, lot) not in self.gone)

    def open(self) -> list[tuple[str, str]]:
        """(action, short text) of everything shown, still called for and not done."""
        return [
            (action, short(text) + self.which(self.lots_of(action)))
            for action, text in self.texts.items()
            if self.lots_of(action)
        ]

    def waiting(self) -> tuple[Waiting, ...]:
        """The same with their whole texts and lots, in the same order."""
        return tuple(
            Waiting(action, self.texts[action], lots, self.which(lots).strip(" ()"))
            for action, _ in self.open()
            if (lots := self.lots_of(action))
        )

    def which(self, lots: Sequence[str]) -> str:
        """The lots in brackets, where it is not all of them."""
        return "" if len(lots) >= self.lots else f" ({', '.join(lots)})"

    def done(self, action: str, lots: Iterable[str]) -> None:
        self.gone |= {(action, lot) for lot in lots}

    def not_done(self, action: str, lots: Iterable[str]) -> None:
        """A tick that was taken back."""
        self.gone -= {(action, lot) for lot in lots}


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
    done: Mapping[str, Collection[str]],
) -> Iterator[Say]:
    """Each emergency the moment it becomes certain, for whichever lots it holds.

    done : what was done for each lot of the delivery
    """
    by_action: dict[str, list[str]] = {}
    texts: dict[str, ActionResult] = {}
    for lot, action in found:
        by_action.setdefault(action.id, []).append(lot)
        texts[action.id] = action
    standing.gone |= {(action, lot) for lot, each in done.items() for action in each}
    standing.lots = len(done)
    standing.called_for = {name: tuple(where) for name, where in by_action.items()}
    for name, action in texts.items():
        standing.texts.setdefault(name, action.text)
        fresh = [lot for lot in standing.lots_of(name) if (name, lot) not in standing.shown]
        standing.shown |= {(name, lot) for lot in fresh}
        if not fresh:
            continue
        yield Say()
        yield Say(f"DO NOW{standing.which(fresh)}: {action.text}", mark="!!", strong=True)
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
