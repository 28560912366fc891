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
_STOP = re.compile(r": | - |; (?!then\b|and\b)")
#: Words that nothing ends with.
_JOINT = re.compile(
    r"(?:[ ,;:(-]+(?:and|or|is|are|the|a|an|of|at|in|on|to|by|with|from|as|its|their|into|until"
    r"|for|that|who|where|there|not|be|so|after|which)?)+$"
)


@dataclass(frozen=True)
class OpenStep:
    """A step that waits: its number, which it keeps, its short text, and the lots it is for."""

    number: int
    action: str
    text: str
    lots: tuple[str, ...]


@dataclass
class StepsStanding:
    """What was announced and whether it still waits, each step for each lot by itself.

    texts : action -> its text, in the order of their numbers
    shown, gone: (action, lot) announced, and done
    called_for : action -> the lots it holds for now, the worst first
    lots  : how many the delivery has
    before: (action, lot) -> when it was done, of those that a look since calls for anew
    """

    texts: dict[str, str] = field(default_factory=dict)
    shown: set[tuple[str, str]] = field(default_factory=set)
    gone: set[tuple[str, str]] = field(default_factory=set)
    called_for: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lots: int = 1
    before: dict[tuple[str, str], str] = field(default_factory=dict)

    def lots_of(self, action: str) -> tuple[str, ...]:
        """The lots for which it is called for and not done."""
        wanted = self.called_for.get(action, ())
        return tuple(lot for lot in wanted if (action, lot) not in self.gone)

    def number_of(self, action: str, text: str) -> int:
        """The number of a step, announced or done; it stays the same to the end of the sitting."""
        self.texts.setdefault(action, text)
        return list(self.texts).index(action) + 1

    def open(self) -> list[OpenStep]:
        """Everything shown, still called for and not done, what the worst lot waits for first."""
        return [
            OpenStep(
                self.number_of(action, ""),
                action,
                self.again(action, lots) + short(text) + self.which(lots),
                lots,
            )
            for action in self.called_for
            if (text := self.texts.get(action)) is not None and (lots := self.lots_of(action))
        ]  # fmt: skip

    def again(self, action: str, lots: Iterable[str]) -> str:
        """A word before a step that was done for these lots, and is called for once more."""
        done = [self.before.get((action, lot), "") for lot in lots]
        return f"Again, done {done[0]}: " if done and all(done) else ""

    def waiting(self) -> tuple[Waiting, ...]:
        """The same with their whole texts and lots, in the same order."""
        return tuple(
            Waiting(
                step.action,
                self.texts[step.action],
                step.lots,
                self.which(step.lots).strip(" ()"),
                step.number,
            )
            for step in self.open()
        )

    def which(self, lots: Sequence[str]) -> str:
        """The lots in brackets, where it is not all of them."""
        return "" if len(lots) >= self.lots else f" ({', '.join(lots)})"

    def done(self, action: str, lots: Iterable[str]) -> None:
        self.gone |= {(action, lot) for lot in lots}


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

    found : lot and step, the worst lot first; done: what was done for each lot of the delivery
    """
    by_action: dict[str, list[str]] = {}
    texts: dict[str, ActionResult] = {}
    for lot, action in found:
        by_action.setdefault(action.id, []).append(lot)
        texts[action.id] = action
    standing.gone = {(action, lot) for lot, each in done.items() for action in each}
    standing.lots = len(done)
    renamed = {action for action, lot in standing.shown if lot not in done}
    standing.called_for = {name: tuple(where) for name, where in by_action.items()}
    for name, action in texts.items():
        standing.texts.setdefault(name, action.text)
        fresh = [lot for lot in standing.lots_of(name) if (name, lot) not in standing.shown]
        standing.shown |= {(name, lot) for lot in fresh}
        if name in renamed and len(fresh) == len(done):  # the fish have got their names
            for said in _amounts(action):
                yield Say(f"To that, by their number and kind: {said.text}", level=1)
            continue
        if not fresh:
            continue
        yield Say()
        text = standing.again(name, fresh) + action.text
        yield Say(f"DO NOW{standing.which(fresh)}: {text}", mark="!!", strong=True)
        yield Say(action.because, level=1)
        yield from _amounts(action)
        yield Say("(d when done)", level=1)


def _amounts(action: ActionResult) -> Iterator[Say]:
    for amount in action.amounts:
        if words := amount_words(amount):
            yield Say(f"{amount.label}: {words}", level=1)


def remind(standing: StepsStanding) -> Iterator[Say]:
    """One line for each emergency that is not done yet."""
    waiting = standing.open()
    if not waiting:
        return
    yield Say()
    if len(waiting) == 1:
        text = f"Still to do now: {waiting[0].text} (d = done)"
    else:
        first = waiting[0].number
        parts = [f"{step.number} {step.text}" for step in waiting[:_MOST_REMINDED]]
        more = len(waiting) - _MOST_REMINDED
        text = f"Still to do now: {'; '.join(parts)}"
        text += f"; and {more} more (d {first} = done)" if more > 0 else f" (d {first} = done)"
    yield Say(text, mark="!!", strong=True)
