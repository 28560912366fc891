"""The session itself: questions by lot, every answer kept, ranked and acted on at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from advisor.advice.assess import Reasoned, Reasoner, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.plan import Plan, make_plan
from advisor.ask.answers import Filled, Place, Reply, Seen, apply, asked_key
from advisor.ask.answers.looks import SAME_LOOK_H, copied_from
from advisor.ask.answers.parts import changed
from advisor.ask.choose import Asking, next_question
from advisor.ask.emergency import certain_emergencies
from advisor.ask.trouble import signs_of_trouble
from advisor.case import Case, Lot
from advisor.case.readings import Kit
from advisor.rulebase.model import Question
from advisor.screens.session.context import Context, Habits
from advisor.screens.session.controls import Back, Enough, Same, key_of
from advisor.screens.session.explain import explain
from advisor.screens.session.keep import Keeper
from advisor.screens.session.loading import Ready
from advisor.screens.session.prompt_readings import _BOXES
from advisor.screens.session.prompts import put
from advisor.screens.session.standing import Standing, announce, remind
from advisor.screens.session.talk import Leave, Talk

Clock = Callable[[], datetime]
#: The sign that says just this: already there in the closed bag.
IN_SHUT_BAG = "signs_before_bag_opened"


@dataclass(frozen=True)
class Thought:
    """What the rules make of one lot now."""

    lot: Lot
    reasoned: Reasoned
    plan: Plan


class Session:
    """One person, one delivery. ``case`` is always the last answer kept."""

    def __init__(
        self, talk: Talk, ready: Ready, keeper: Keeper, case: Case, clock: Clock, at_hours: float
    ) -> None:
        self.talk, self.ready, self.keeper, self.clock = talk, ready, keeper, clock
        self.case, self.at_hours = case, at_hours
        self.past: list[tuple[Case, float]] = []
        self.habits = habits_of(case)
        self.standing = Standing()
        self.number = 0
        self.misread = 0
        self.left_out: set[str] = set()
        self.thoughts = self.think()
        self._so_far = ""
        self._asking: Asking | None = None

    # -- thinking -----------------------------------------------------------

    @property
    def reasoner(self) -> Reasoner:
        return self.ready.reasoner

    def think(self) -> dict[str, Thought]:
        """Rank and plan every lot on what is known."""
        base = self.reasoner.base
        found = {}
        for lot in lots_of(self.case):
            reasoned = reason(self.case, lot, self.reasoner)
            plan = make_plan(reasoned.firings, reasoned.ranking, reasoned.sheet, base)
            found[lot.id] = Thought(lot, reasoned, plan)
        return found

    def next_for(self, lot: str, *, skip: Iterable[str] = ()) -> Asking | None:
        """The question worth asking next about a lot."""
        thought = self.thoughts[lot]
        shown = [action.id for action in thought.plan.actions]
        return next_question(
            self.case, thought.lot, thought.reasoned, self.reasoner, shown, skip=skip
        )

    # -- the flow -----------------------------------------------------------

    def first_questions(self) -> None:
        """The first questions for every lot, each lot introduced once there are several."""
        self._all_lots(lambda asking: asking.why != "worth")

    def by_worth(self) -> None:
        """What is still worth asking, lot by lot."""
        self._all_lots(lambda asking: True)

    def _all_lots(self, wanted: Callable[[Asking], bool]) -> None:
        """Lots in order; the list may grow while the first one is asked about."""
        done: list[str] = []
        while left := [lot.id for lot in lots_of(self.case) if lot.id not in done]:
            lot = left[0]
            if not done or self._introduce(lot, done[-1], wanted):
                self._ask_while(lot, wanted)
            now = [each.id for each in lots_of(self.case)]
            done.append(lot if lot in now else now[0])

    def _introduce(self, lot: str, before: str, wanted: Callable[[Asking], bool]) -> bool:
        """Say which lot comes next. False when there is nothing to ask about it."""
        asking = None if lot in self.left_out else self.next_for(lot)
        if asking is None or not wanted(asking):
            return False
        self.talk.say()
        self.talk.say(f"Next lot: {about(self._lot(lot))}.", strong=True)
        self.talk.say(f"= the same as {before}; e leaves this lot out.")
        return True

    def _copy(self, before: Lot, lot: str) -> Case:
        return copied_from(self.case, before, self._lot(lot), self.at_hours, self.reasoner.base)

    def _ask_while(self, lot: str, wanted: Callable[[Asking], bool]) -> None:
        while lot not in self.left_out:
            ids = [each.id for each in lots_of(self.case)]
            lot = lot if lot in ids else ids[0]
            asking = self.next_for(lot)
            if asking is None or not wanted(asking):
                return
            try:
                self.put(asking.question, lot, asking)
            except Back:
                if not self.undo():
                    self.talk.say("This is the first question.")
            except Enough:
                self.left_out.add(lot)

    # -- one question -------------------------------------------------------

    def put(
        self,
        question: Question,
        lot: str,
        asking: Asking | None = None,
        *,
        drawn: bool = False,
        again: frozenset[str] = frozenset(),
    ) -> Reply | None:
        """Put a question and keep its reply; None when it was answered by "=" """
        if not drawn:
            remind(self.talk, self.standing)
            self.keeper.remind()
        self.number += 1
        several = len(self.case.lot) > 1 and question.scope == "lot"
        context = Context(
            talk=self.talk,
            base=self.reasoner.base,
            book=self.ready.book,
            case=self.case,
            lot=self._lot(lot),
            sheet=self.thoughts[lot].reasoned.sheet,
            habits=self.habits,
            number=self.number,
            about=about(self._lot(lot)) if several else "",
            line=lambda: self._line(question, lot),
            misread=self._misread,
            drawn=drawn,
            again=again,
        )
        try:
            reply = put(question, context)
        except Same:
            self._same(question, lot)
            return None
        except (Back, Enough):
            self.number -= 1
            raise
        self.take(question, reply, lot)
        return reply

    def take(self, question: Question, reply: Reply, lot: str) -> None:
        """Write a reply into the case, keep it, rank anew and say what changed."""
        place = Place(lot, self.at_hours)
        if isinstance(reply, Seen):
            reply = self._in_the_bag(reply, lot)
        case = apply(self.case, question, reply, place, self.reasoner.base)
        if isinstance(reply, Filled) and "look.at_hours" in reply.values:
            self.keep(case, at_hours=float(reply.values["look.at_hours"]))
        else:
            self.keep(case)

    def _in_the_bag(self, reply: Seen, lot: str) -> Seen:
        """Trouble seen in a bag that is still shut was, by that, there before it was opened."""
        trouble = signs_of_trouble(self.reasoner) & set(reply.seen)
        known = IN_SHUT_BAG in self.reasoner.base.signs
        if self._lot(lot).sealed != "yes" or not trouble or not known:
            return reply
        return Seen((*reply.seen, IN_SHUT_BAG), reply.not_seen, reply.words)

    def keep(self, case: Case, *, at_hours: float | None = None) -> None:
        """Make ``case`` the present one: saved, ranked, emergencies shown."""
        self.past.append((self.case, self.at_hours))
        self.case = case
        self.at_hours = self.at_hours if at_hours is None else at_hours
        self.keeper.save(self.case)
        self.thoughts = self.think()
        self.show_news()

    def show_news(self) -> None:
        """Emergencies that have become certain, and a first cause that changed."""
        names = {lot: t.lot for lot, t in self.thoughts.items()}
        found = [
            (lot, action)
            for lot, t in self.thoughts.items()
            for action in certain_emergencies(t.reasoned, t.plan)
        ]
        announce(self.talk, self.standing, found, names, self.case)
        self._say_so_far()

    def _say_so_far(self) -> None:
        from advisor.screens.session.summary import so_far

        text = so_far(self.thoughts.values(), several=len(self.thoughts) > 1)
        if text and text != self._so_far:
            self.talk.say(text)
        self._so_far = text

    def undo(self) -> bool:
        """Take the last answer back. False when there is none."""
        if not self.past:
            return False
        self.case, self.at_hours = self.past.pop()
        self.number = max(0, self.number - 1)
        self.keeper.save(self.case)
        self.thoughts = self.think()
        return True

    def _same(self, question: Question, lot: str) -> None:
        """Copy this one answer from the lot before."""
        ids = [each.id for each in self.case.lot]
        at = ids.index(lot) if lot in ids else 0
        if at == 0:
            self.talk.say("There is no lot before this one.")
            self.number -= 1
            return
        before = self._lot(ids[at - 1])
        self.keep(self._copy(before, lot))
        if asked_key(question, lot) not in self.case.session.answered:
            had = asked_key(question, before.id) in self.case.session.answered
            self.talk.say(
                "Numbers are not copied from lot to lot: this one by itself."
                if had
                else f"{before.id} was not asked this."
            )
            self.number -= 1

    # -- lines and keys -----------------------------------------------------

    def _line(self, question: Question | None, lot: str) -> str:
        """The next line that is an answer. Raises Back, Enough, Same or Leave for those keys."""
        name = "" if question is None else asked_key(question, lot)
        while True:
            line = self.talk.ask(name)
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
                raise Leave("save")
            self._answer_key(key, line, question, lot)

    def _answer_key(self, key: str, line: str, question: Question | None, lot: str) -> None:
        thought = self.thoughts[lot]
        if key == "?" and question is not None:
            explain(
                self.talk, question, self.case, thought.lot, thought.reasoned, self.reasoner,
                self.at_hours,
            )  # fmt: skip
        elif key == "p":
            from advisor.screens.session.summary import show_plan

            show_plan(self.talk, thought.reasoned, self.reasoner, self.case)
        elif key == "d":
            self._done(line)
        else:
            self.talk.say("Enter, = or e.")

    def _done(self, line: str) -> None:
        from advisor.ask.answers.looks import with_done

        open_now = self.standing.open()
        number = line.strip().partition(" ")[2].strip()
        if not open_now:
            self.talk.say("Nothing is waiting to be done.")
        elif len(open_now) > 1 and not number:
            for at, (_, text) in enumerate(open_now, 1):
                self.talk.item(f"d {at}", text, indent=2)
        elif number and not 1 <= int(number) <= len(open_now):
            self.talk.say(f"d 1 to d {len(open_now)}.")
        else:
            action, text = open_now[int(number or 1) - 1]
            self.standing.done(action)
            self.case = with_done(self.case, action, Place(None, self.at_hours))
            self.keeper.save(self.case)
            self.talk.say(f"Done and noted: {text}")

    # -- pieces -------------------------------------------------------------

    def _lot(self, lot: str) -> Lot:
        return next((each for each in lots_of(self.case) if each.id == lot), lots_of(self.case)[0])

    def _misread(self) -> None:
        self.misread += 1

    def hours_now(self) -> float:
        """Hours since receipt, by the clock."""
        return hours_since(self.case, self.clock())

    def time_at(self, at_hours: float) -> datetime | None:
        """The clock time of an hour after receipt."""
        received = received_at(self.case)
        return None if received is None else received + timedelta(hours=at_hours)


def about(lot: Lot) -> str:
    """A lot in words: "12 neon tetras"."""
    name = lot.species or lot.group or lot.id
    return f"{lot.count} {name}" if lot.count else name


def received_at(case: Case) -> datetime | None:
    """When the delivery was received, by local time; None when not known."""
    try:
        received = datetime.fromisoformat(case.delivery.received or "")
    except ValueError:
        return None
    return (
        received.replace(tzinfo=None)
        if received.tzinfo is None
        else received.astimezone().replace(tzinfo=None)
    )


def hours_since(case: Case, now: datetime) -> float:
    """Hours from receipt to now; the last look's hour when receipt is not known."""
    received = received_at(case)
    last = max((look.at_hours for look in case.observation), default=0.0)
    if received is None:
        return last
    return max(last, round((now - received).total_seconds() / 3600, 3))


def started(case: Case, now: datetime) -> Case:
    """A case with its time of receipt: now, unless it says otherwise."""
    if case.delivery.received is not None or case.observation:
        return case
    received = now.replace(microsecond=0).isoformat()
    return changed(case, delivery=changed(case.delivery, received=received))


def habits_of(case: Case) -> Habits:
    """Kinds of kit as the case's readings name them."""
    kits: dict[str, Kit | None] = {}
    for look in case.observation:
        for water in (look.bag, look.tank, look.tap):
            for parameter, reading in water.given().items():
                if reading.kit is not None:
                    kits[_BOXES.get(parameter, "tubes")] = reading.kit
    return Habits(kits=kits)


def look_hour(case: Case, now: datetime, *, fresh_after_h: float = 0.25) -> float:
    """The hour this look counts as: the last one's when it was minutes ago, else now."""
    last = max((look.at_hours for look in case.observation), default=0.0)
    hours = hours_since(case, now)
    return last if hours - last < fresh_after_h + SAME_LOOK_H else hours
