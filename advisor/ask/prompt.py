"""One question put to the person, until it has a reply."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.settled_by import items_of
from advisor.ask.answers.apply import key_at
from advisor.ask.answers.tanks import in_same_tank, reads_tank, tank_of
from advisor.ask.besides import besides
from advisor.ask.given import GivenAnswer
from advisor.ask.heads_told import asked_back, of_lot
from advisor.ask.hear.listen import listen
from advisor.ask.hear.wanting import is_wanting
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.next_question import text_of
from advisor.ask.others_told import own_part, refused_for_others
from advisor.ask.records import Ask, Talking
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

T = TypeVar("T")


@dataclass(frozen=True)
class Prompt:
    """A question at a lot, within a session.

    again : readings to be taken again although the case holds one
    left  : about so many questions are still worth asking
    old   : the answer that was taken back
    before: the case with the answer that is asked anew still in it
    """

    at: Inquiry
    question: Question
    lot_id: str
    again: frozenset[str] = frozenset()
    left: int = 0
    old: GivenAnswer | None = None
    before: Case | None = None

    @property
    def base(self) -> RuleBase:
        return self.at.reasoner.base

    @property
    def lot(self) -> Lot:
        return self.at.lot(self.lot_id)

    @property
    def sheet(self) -> FactSheet:
        return self.at.thoughts[self.lot_id].reasoned.sheet

    def asking(self, kind: str, text: str = "", *, follows: str = "", **more: object) -> Ask:
        """The question itself, or what follows it."""
        several_lots = len(self.at.case.lot) > 1 and self.question.scope == "lot"
        return Ask(
            question=self.question.id,
            key=key_at(self.at.case, self.question, self.lot_id, self.base),
            kind=kind,  # type: ignore[arg-type]
            text=text or text_of(self.question, self.sheet, self.base),
            about=self._tank_of(str(more.get("part", "")))
            or (about(self.lot) if several_lots else ""),
            number=0 if follows else self.at.number,
            left=self.left,
            kept="" if follows or self.old is None else self.old.words,
            follows=follows,
            **more,  # type: ignore[arg-type]
        )

    def _tank_of(self, part: str) -> str:
        """Which tank is meant, where the delivery goes to several; empty for a bag."""
        mates = in_same_tank(self.at.case, self.lot_id)
        if not mates or part.startswith("bag ") or not reads_tank(self.question, self.base):
            return ""
        tank = tank_of(self.lot)
        whose = ", ".join(about(self.at.lot(each)) for each in mates)
        return f"{f'Tank {tank}' if tank else 'The tank'} of {whose}:"

    def hear(self, line: str) -> dict[str, Any]:
        """What a line means here; facts that belong elsewhere are kept for the case."""
        case = of_lot(self.at.case, self.lot_id)
        at = self.at
        heard = listen(self.question.id, line, case, self.base, at.clock(), at.at_hours)
        if "dead_said" in heard:
            heard["ask_back"] = asked_back(heard)
        beside = besides(heard, self.question, self.base)
        if beside:
            self.at.told.append(beside)
        return heard

    def own(self, line: str) -> str:
        """What a line says of this lot; what it says of others is noted for them."""
        if self.question.field == "lots":
            return line
        question, of_all = self.question.id, self.question.scope == "delivery"
        return own_part(self.at, self.lot_id, line, question=question, of_all=of_all)

    def refuses(self, line: str) -> bool:
        """Whether a line that names other lots is no answer here; that is said."""
        items = {name for _, name in items_of(self.question, self.base)}
        if self.question.scope != "lot" or "bags_sealed" in items:
            return False  # where they are may be told of several at once
        return refused_for_others(self.at, self.lot_id, line)

    def noted_only(self, line: str, since: int) -> bool:
        """Whether a line told what is wanting in the house ("no tub") and nothing else; said then.

        since : what was noted from there on is the line's
        """
        told = self.at.told[since:]
        only = all(set(facts) == {"history"} and is_wanting(facts["history"]) for facts in told)
        if not told or not only or any(letter.isdigit() for letter in line):
            return False
        self.at.complain(f"That is noted, and no answer here. {self.question.text}")
        return True

    def line(self, ask: Ask) -> Talking[str]:
        return (yield from self.at.line(ask, self.question, self.lot_id))

    def until(self, ask: Ask, read: Callable[[str], T]) -> Talking[T | None]:
        return (yield from self.at.until(ask, read, self.question, self.lot_id))

    def menu(self, ask: Ask, lines: Mapping[str, str]) -> Talking[tuple[str, ...] | None]:
        return (yield from self.at.menu(ask, lines, self.question, self.lot_id))
