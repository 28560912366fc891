"""One delivery as it unfolded, for someone who does not know how it ended.

Time runs in seconds from the first look at the judged lot. A look shows what a glance
shows; the rest is found out by asking the questions the rule base holds, each of which
costs its seconds, readings their own. Later looks come when the clock reaches them or
when one waits for them. Nothing is made up: what the record does not hold was not
looked for, and asking for it costs nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from typing import NamedTuple

from advisor.advice.facts.told import answer_in
from advisor.advice.settled_by import choices_of, is_asked, items_of
from advisor.case import Case, Lot, Observation
from advisor.explain.replay.archive import judged_lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import QuantityEntry, Question
from advisor.wording.nearest import near_words
from advisor.wording.numbers import exact

#: A fact of the case: ("sign", id), ("reading", quantity id) or ("history", id).
Item = tuple[str, str]
#: Fields told with the transit papers, before anything is asked.
_PAPERS = frozenset({"gas_in_bag", "box", "law", "sedative_used", "bags_sealed"})


@dataclass(frozen=True)
class Told:
    """One thing found out. ``words`` for the screen, ``seconds`` what it cost."""

    item: Item
    words: str


@dataclass(frozen=True)
class Brought:
    """What asking brought: nothing when the record is silent, and then no time has passed."""

    told: tuple[Told, ...]
    seconds: float


class DueLooks(NamedTuple):
    """Looks of one hour after receipt, and the names of signs seen, and not, at a glance."""

    hours: float
    looks: tuple[Observation, ...]
    seen: list[str]
    absent: list[str]


@dataclass
class Lesson:
    """The delivery, the clock, and what was asked so far.

    clock : seconds since the first look
    known : what was shown or found out
    asked : number of questions and readings that were asked for
    """

    case: Case
    base: RuleBase
    lot: Lot = field(init=False)
    looks: tuple[Observation, ...] = field(init=False)
    clock: float = 0.0
    known: dict[Item, str] = field(default_factory=dict)
    asked: int = 0
    shown: int = 0

    def __post_init__(self) -> None:
        self.lot = judged_lot(self.case)
        self.looks = tuple(look for _, look in self.case.looks_at(self.lot.id))

    # -- time ---------------------------------------------------------------

    @property
    def hours(self) -> float:
        """Hours since receipt on the case's clock."""
        start = self.looks[0].at_hours if self.looks else 0.0
        return start + self.clock / 3600

    def come_due(self) -> Iterator[DueLooks]:
        """The same by their hours: those of one time together, with what a glance shows."""
        for hours, looks in groupby(self.next_looks(), key=lambda look: look.at_hours):
            due = DueLooks(hours, tuple(looks), [], [])
            for look in due.looks:
                seen, absent = self.glance(look)
                due.seen.extend(seen)
                due.absent.extend(absent)
            yield due

    def next_looks(self) -> tuple[Observation, ...]:
        """Looks that have come due since the last call; the first ones at the start."""
        due = [look for look in self.looks[self.shown :] if look.at_hours <= self.hours + 1e-9]
        self.shown += len(due)
        return tuple(due)

    def wait(self) -> bool:
        """Let time pass until the next look. False when there is none."""
        if self.shown >= len(self.looks):
            return False
        start = self.looks[0].at_hours
        self.clock = max(self.clock, (self.looks[self.shown].at_hours - start) * 3600)
        return True

    def glance(self, look: Observation) -> tuple[list[str], list[str]]:
        """Names of the signs that a glance shows at a look: (seen, looked for and not seen)."""
        lists: tuple[list[str], list[str]] = ([], [])
        for at, (names, absent) in enumerate(((look.seen, ""), (look.not_seen, "no "))):
            for name in names:
                if self.base.signs[name].look == "glance":
                    lists[at].append(self.base.signs[name].name)
                    self.known[("sign", name)] = absent + self.base.signs[name].name
        return lists

    # -- asking -------------------------------------------------------------

    def questions(self) -> list[Question]:
        """Everything that may be asked, looks first, in the order of the rule base."""
        kinds = ("signs", "choice", "reading")
        found = [q for q in self.base.questions.values() if is_asked(q) and q.kind in kinds]
        return sorted(found, key=lambda q: kinds.index(q.kind))

    def readings(self) -> list[QuantityEntry]:
        """Everything that may be measured."""
        return [q for q in self.base.quantities.values() if q.kind == "reading"]

    def ask(self, question: Question) -> Brought:
        """Put a question; the clock moves when the record answers it."""
        items = [each for each in items_of(question, self.base) if each[0] != "field"]
        told = [each for item in items if (each := self._told(item)) is not None]
        return self._taken(told, question.cost_seconds)

    def measure(self, quantity: QuantityEntry) -> Brought:
        """Take one reading."""
        told = self._told(("reading", quantity.id))
        return self._taken([told] if told else [], quantity.cost_seconds)

    def _taken(self, told: list[Told], seconds: float) -> Brought:
        if not told:
            return Brought((), 0.0)
        self.asked += 1
        self.clock += seconds
        self.known |= {each.item: each.words for each in told}
        return Brought(tuple(told), seconds)

    def _told(self, item: Item) -> Told | None:
        return next((each for each in self._record(self.hours) if each.item == item), None)

    def not_asked(self) -> list[Told]:
        """What the record holds up to its end and the trainee never found out."""
        return [each for each in self._record(None) if each.item not in self.known]

    def _record(self, until: float | None) -> Iterator[Told]:
        """Everything the record holds up to an hour, the latest word on each thing."""
        found: dict[Item, Told] = {}
        for look in self.looks:
            if until is not None and look.at_hours > until + 1e-9:
                break
            for names, absent in ((look.seen, ""), (look.not_seen, "no ")):
                for name in names:
                    words = absent + self.base.signs[name].name
                    found[("sign", name)] = Told(("sign", name), words)
            found |= {each.item: each for each in self._measured(look)}
        yield from found.values()
        for item in self.base.history.values():
            _, value = answer_in(self.case, self.lot, item.field or f"history.{item.id}")
            if value is None or value == "unknown" or item.id in _PAPERS:
                continue
            words = {True: "yes", False: "no"}.get(value, value) if value in (0, 1) else value
            words = f"{item.name}: {self._answer(item.id, str(words))}"
            yield Told(("history", item.id), words)

    def _answer(self, item: str, answer: str) -> str:
        """An answer in the words of the question that offers it."""
        for question in self.base.questions.values():
            if question.history == item:
                return choices_of(question, self.base).get(answer, answer)
        return answer.replace("_", " ")

    def _measured(self, look: Observation) -> Iterator[Told]:
        for quantity in self.readings():
            if quantity.water is None or quantity.parameter is None:
                continue
            reading = getattr(look, quantity.water).given().get(quantity.parameter)
            if reading is None:
                continue
            unit = "" if quantity.unit in ("", "pH") else f" {quantity.unit}"
            band = ""
            if reading.low is not None or reading.high is not None:
                low = reading.value if reading.low is None else reading.low
                high = reading.value if reading.high is None else reading.high
                band = f" ({exact(low)} to {exact(high)})"
            words = f"{quantity.name} {exact(reading.value)}{unit}{band}"
            yield Told(("reading", quantity.id), words)


def named(words: str, names: Mapping[str, str], most: int = 8) -> list[str]:
    """Ids whose name or id holds all the words typed, the closest first.

    An exact name or id stands alone. When nothing holds them all, near spellings count.
    """
    wanted = words.casefold().replace("_", " ").replace("-", " ").split()
    if not wanted:
        return []
    said = " ".join(wanted)
    texts = {name: f"{name.replace('_', ' ')} {text.casefold()}" for name, text in names.items()}
    exact = [n for n, text in names.items() if said in (n.replace("_", " "), text.casefold())]
    if exact:
        return exact[:1]
    for fits in (_whole, _part, _near):
        found = [name for name, text in texts.items() if all(fits(w, text) for w in wanted)]
        if found:
            break
    else:
        near = near_words(said, (n.replace("_", " ") for n in names), most)
        found = [name for name in names if name.replace("_", " ") in near]
    return sorted(found, key=lambda name: len(texts[name]))[:most]


def _whole(word: str, text: str) -> bool:
    return word in _words(text)


def _part(word: str, text: str) -> bool:
    return word in text


def _near(word: str, text: str) -> bool:
    """A plural, or one slip of the fingers."""
    bare = word.removesuffix("s")
    if len(bare) < 4:
        return word in text
    return bare in text or bool(near_words(word, _words(text), closeness=0.85))


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text)
