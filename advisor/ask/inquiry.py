"""One person, one delivery: what is known, what the rules make of it, lines and keys."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, TypeVar

from advisor.advice.assess import plan_of, reason_all
from advisor.advice.facts.sheet import lots_of
from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.ask.answered import Answered, answers
from advisor.ask.answers.choosing import NotUnderstood, pick
from advisor.ask.answers.typed_reading import kits_of
from advisor.ask.cards import Card, card_of
from advisor.ask.cards import show as cards_shown
from advisor.ask.done_steps import done_steps, ticked_at
from advisor.ask.emergency import certain_emergencies
from advisor.ask.given import GivenAnswers
from advisor.ask.hands import Pressing, lowered, pressing_of
from advisor.ask.hours import hours_since, look_hour
from advisor.ask.keys import Back, Enough, Leave, Same, key_of
from advisor.ask.next_question import Asking, left_open, next_question, text_of
from advisor.ask.pushes import explain
from advisor.ask.records import Ask, Block, Choice, Chosen, Keep, Say, Show, Talking
from advisor.ask.standing import StepsStanding, announce, remind
from advisor.ask.summary import shown_plan, so_far
from advisor.case import Case, Lot
from advisor.case.readings import Kit
from advisor.errors import AdvisorError
from advisor.rulebase.entries import Question
from advisor.units import is_unknown

T = TypeVar("T")
#: The first question that is put of the fish themselves, and again once they are out.
FIRST_LOOK = "breathing_and_posture"
#: So many things that somebody else may find out are named at the end.
MOST_LEFT_OPEN = 3
Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Thought:
    """What the rules make of one lot now."""

    lot: Lot
    reasoned: Reasoned
    plan: Plan


@dataclass
class Habits:
    """What was said once and holds from then on: kinds of kit, and what they count in."""

    kits: dict[str, Kit | None] = field(default_factory=dict)
    basis: dict[str, str] = field(default_factory=dict)
    hinted: bool = False
    unread: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, case: Case) -> Habits:
        """Kinds of kit as the case's readings name them."""
        return cls(kits_of(case))


class Inquiry:
    """The state of a session. ``case`` is always the last answer kept.

    What is to be shown gathers in ``say`` and goes out with the next thing asked or kept.
    """

    def __init__(self, case: Case, reasoner: Reasoner, clock: Clock) -> None:
        self.case, self.reasoner, self.clock = case, reasoner, clock
        self.at_hours = look_hour(case, clock())
        self.past: list[tuple[Case, float]] = []
        self.habits = Habits.of(case)
        self.standing = StepsStanding()
        self.number = 0
        self.misread = 0
        self.left_out: set[str] = set()
        self.alike: set[str] = set()  # lots packed as the first one
        self.offered = False  # to take many lots together
        self.thoughts = self.think()
        self._so_far = ""
        self._cards: dict[str, Card | None] = {}
        self.ask_anew: Callable[[Answered], Talking[None]] | None = None
        self.tick: Callable[[str], Talking[None]] | None = None
        self.told: list[dict[str, Any]] = []
        self.given = GivenAnswers()
        self._part: Case | None = None
        self.last_line = ""
        self.lot_before = ""  # the lot asked about before the present one
        self._blocks: list[Block] = []
        self._pushed: list[str] = []

    # -- thinking -----------------------------------------------------------

    def think(self) -> dict[str, Thought]:
        """Rank and plan every lot on what is known."""
        found = {}
        for reasoned in reason_all(self.case, self.reasoner):
            lot = reasoned.sheet.lot
            found[lot.id] = Thought(lot, reasoned, plan_of(reasoned, self.reasoner))
        return found

    def next_for(self, lot: str, *, skip: Iterable[str] = ()) -> Asking | None:
        """The question worth asking next about a lot."""
        thought = self.thoughts[lot]
        shown = [action.id for action in thought.plan.actions]
        return next_question(
            self.case, thought.lot, thought.reasoned, self.reasoner, shown, skip=skip
        )

    def pressing(self, lot: str) -> Pressing:
        """How pressing a lot is, the most pressing smallest, as an assessment sorts them."""
        return pressing_of(self.thoughts[lot].reasoned, self.thoughts[lot].plan)

    def worst_first(self) -> list[str]:
        """The lots as an assessment shows them."""
        return sorted(self.thoughts, key=self.pressing)

    def worth_finding_out(self) -> str:
        """What was not asked any more only because this person could hardly say it, in words."""
        found: dict[str, float] = {}
        for lot, thought in self.thoughts.items():
            if lot not in self.left_out:
                for question, worth in left_open(
                    self.case, thought.lot, thought.reasoned, self.reasoner
                ):
                    text = text_of(question, thought.reasoned.sheet, self.reasoner.base)
                    found[text] = max(found.get(text, 0.0), worth)
        best = sorted(found, key=lambda text: -found[text])[:MOST_LEFT_OPEN]
        return "; ".join(lowered(text.split("?")[0]) for text in best)

    def lot(self, lot: str) -> Lot:
        """The lot of that id; the first one when there is none."""
        lots = lots_of(self.case)
        return next((each for each in lots if each.id == lot), lots[0])

    @property
    def first_lot(self) -> str:
        return next(iter(self.thoughts))

    def hours_now(self) -> float:
        """Hours since receipt, by the clock."""
        return hours_since(self.case, self.clock())

    # -- showing and keeping ------------------------------------------------

    def say(self, text: str = "", mark: str = "", level: int = 0, *, strong: bool = False) -> None:
        self._blocks.append(Say(text, mark, level, strong))

    def show(self, *blocks: Block) -> None:
        self._blocks += blocks

    def complain(self, sentence: object) -> None:
        """Say what was not understood."""
        self.misread += 1
        self.say(str(sentence))

    def out(self) -> Talking[None]:
        """Show what has gathered."""
        blocks, self._blocks = tuple(self._blocks), []
        if blocks:
            yield Show(blocks)

    def keep(self, case: Case, *, at_hours: float | None = None) -> Talking[None]:
        """Make ``case`` the present one: kept, ranked, emergencies shown."""
        self.past.append((self.case, self.at_hours))
        self.case = case
        self.at_hours = self.at_hours if at_hours is None else at_hours
        yield from self.out()
        yield Keep(case)
        self.thoughts = self.think()
        self.news()

    def keep_part(self, case: Case, *, aside: bool = False) -> Talking[None]:
        """Part of an answer, on disk before the rest is asked; ranked with the whole.

        aside : only on disk; an answer is being asked anew
        """
        if not aside:
            self.case = self._part = case
        yield from self.out()
        yield Keep(case, part=True)

    def without_part(self, before: Case) -> None:
        """The case before its last question, which is now answered as a whole or taken back."""
        if self.case is self._part:
            self.case = before

    def undo(self) -> Talking[bool]:
        """Take the last answer back. False when there is none."""
        if not self.past:
            return False
        newer = self.case
        self.case, self.at_hours = self.past.pop()
        self.given.take_back(newer, self.case, self.reasoner.base)
        self.habits.unread.clear()
        self.number = max(0, self.number - 1)
        yield from self.out()
        yield Keep(self.case)
        self.thoughts = self.think()
        return True

    def news(self) -> None:
        """Emergencies that became certain, what to do meanwhile, a first cause that changed."""
        self.emergencies()
        looked = any(key.startswith(FIRST_LOOK) for key in self.case.session.answered)
        cards = {
            lot: card_of(t.reasoned, t.plan, looked=looked) for lot, t in self.thoughts.items()
        }
        self.show(*cards_shown(cards, self._cards))
        self._cards = cards
        rankings = {lot: t.reasoned.ranking for lot, t in self.thoughts.items()}
        text = so_far(rankings)
        if text and text != self._so_far:
            self.say(text)
        self._so_far = text

    def emergencies(self) -> None:
        """Emergencies that have become certain, those of the worst lot first."""
        found = [
            (lot, action)
            for lot in self.worst_first()
            for action in certain_emergencies(self.thoughts[lot].reasoned, self.thoughts[lot].plan)
        ]
        done = {lot: t.reasoned.sheet.settled for lot, t in self.thoughts.items()}
        self.standing.before = {
            (step.action, lot): ticked_at(self.case, step.at_hours)
            for step in done_steps(self.case, self.reasoner.base)
            for lot, thought in self.thoughts.items()
            if step.action in thought.reasoned.sheet.done
        }
        self.show(*announce(self.standing, found, done))

    def remind(self) -> None:
        self.show(*remind(self.standing))

    # -- lines --------------------------------------------------------------

    def push(self, line: str) -> None:
        """Give a line back: it answers what is asked next."""
        self._pushed.append(line)

    def line(self, ask: Ask, question: Question | None, lot: str) -> Talking[str]:
        """The next line that is an answer. Raises Back, Enough, Same or Leave for those keys."""
        while True:
            if self._pushed:
                self.last_line = self._pushed.pop()
                return self.last_line
            yield from self.out()
            reply = yield replace(ask, waiting=self.standing.waiting())
            ask = replace(ask, again=True)
            if isinstance(reply, Chosen):
                return _line_of(reply, ask.choices)
            line = self.last_line = reply or ""
            key = key_of(line)
            if key == "":
                return line
            if key == "b":
                raise Back
            if key == "e":
                raise Enough
            if key == "=":
                raise Same
            if key == "s":
                raise Leave
            yield from self._answer_key(key, line, question, lot)
            ask = replace(ask, again=key not in ("a", "p", "d"))

    def until(
        self, ask: Ask, read: Callable[[str], T], question: Question | None, lot: str
    ) -> Talking[T | None]:
        """What ``read`` makes of the first line that it understands; None when not known."""
        while True:
            line = yield from self.line(ask, question, lot)
            if is_unknown(line):
                return None
            try:
                return read(line)
            except AdvisorError as fault:
                self.complain(fault)
                ask = replace(ask, again=True)

    def menu(
        self, ask: Ask, lines: Mapping[str, str], question: Question | None, lot: str
    ) -> Talking[tuple[str, ...] | None]:
        """Keys of the lines chosen; None when it is not known."""
        ask = replace(ask, choices=tuple(Choice(key, label) for key, label in lines.items()))

        def read(line: str) -> tuple[str, ...]:
            picked = pick(line, lines, several=ask.kind == "several")
            if not picked.keys:
                raise NotUnderstood(f"None of these; type a number from 1 to {len(lines)}.")
            return picked.keys

        return (yield from self.until(ask, read, question, lot))

    def enter(self, text: str, follows: str, lot: str = "") -> Talking[str]:
        """A line that belongs to no question: ready, or a yes to it."""
        ask = Ask("", "", "enter", text, follows=follows)
        return (yield from self.line(ask, None, lot or self.first_lot))

    # -- keys ---------------------------------------------------------------

    def _answer_key(
        self, key: str, line: str, question: Question | None, lot: str
    ) -> Talking[None]:
        thought = self.thoughts[lot]
        if key == "?" and question is not None:
            found = explain(
                question, self.case, thought.lot, thought.reasoned, self.reasoner, self.at_hours
            )
            self.show(*found)
        elif key == "p":
            self.say()
            thoughts = [t.reasoned for t in self.thoughts.values()]
            self.show(shown_plan(thoughts, self.reasoner, self.case))
        elif key == "d":
            yield from self.tick(line) if self.tick is not None else ()
        elif key == "a":
            yield from self._answers(line)
        else:
            self.say("Enter, = or e.")

    def _answers(self, line: str) -> Talking[None]:
        """All answers; with a number the one of that place is asked anew."""
        found = answers(self.case, self.reasoner.base)
        number = line.strip().partition(" ")[2].strip()
        if number and 1 <= int(number) <= len(found) and self.ask_anew is not None:
            yield from self.ask_anew(found[int(number) - 1])
            return
        for at, each in enumerate(found, 1):
            about_lot = f" ({each.lot})" if each.lot and len(self.case.lot) > 1 else ""
            self.say(f"{each.question.text}{about_lot} {each.kept}", f"a {at}", 1)
        self.say("a with its number asks one anew." if found else "No answer yet.", level=1)


def _line_of(reply: Chosen, choices: tuple[Choice, ...]) -> str:
    """Choices taken, as the line a person would have typed for them."""
    keys = [choice.key for choice in choices]
    places = [keys.index(key) + 1 for key in reply.keys if key in keys]
    return " ".join(map(str, places)) or "0"
