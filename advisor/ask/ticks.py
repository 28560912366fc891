"""The key d: a step is ticked as done, what waits and what is done is shown, a tick taken back."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from advisor.ask.answers.looks import with_done
from advisor.ask.done_steps import DoneStep, done_steps, taken_back, ticked_at
from advisor.ask.hands import MOST_STEPS
from advisor.ask.hours import hours_between
from advisor.ask.inquiry import Inquiry
from advisor.ask.one_bag import emptied_bags
from advisor.ask.records import Keep, Talking
from advisor.ask.standing import OpenStep, short
from advisor.case import Case

_TYPED = re.compile(r"\S+\s*((?:\d+[\s,]*)*)(b?)\s*")


def tick(at: Inquiry, line: str) -> Talking[None]:
    """Do what a line with the key d asks for.

    d N ticks a step that waits and takes one back that is done, d 1 2 ticks both; d alone ticks
    the only emergency that waits, else it lists all; d b takes the last tick back, d N b that of
    one step.
    """
    typed = _TYPED.fullmatch(line.strip().casefold())
    numbers = [int(each) for each in re.findall(r"\d+", typed[1])] if typed else []
    waits = {step.number: step for step in at.standing.open()}
    done = _numbered(at)
    shown = len(at.standing.texts)  # what was never listed is ticked by no number
    if typed and typed[2]:
        yield from _back(at, done.get(numbers[0]) if numbers else _last(done))
    elif len(numbers) == 1 and numbers[0] not in waits and numbers[0] in done:
        yield from _back(at, done[numbers[0]])
    elif numbers:
        for number in numbers:
            now = {step.number: step for step in (*at.standing.open(), *_planned(at))}
            if number in now and number <= shown:
                yield from _done(at, now[number])
            else:
                at.say(f"There is no d {number} now:")
                list_steps(at, planned=True)
    elif len(waits) == 1:
        yield from _done(at, *waits.values())
    else:
        list_steps(at, planned=True)


def list_steps(at: Inquiry, *, planned: bool = False) -> None:
    """What waits and what is done, each with its number.

    planned : what else the plan says to do now, too
    """
    waits = at.standing.open()
    others = _planned(at) if planned else []
    done = _numbered(at)
    if not waits and not others:
        at.say("Nothing is waiting to be done.")
    for step in waits:
        at.say(step.text, f"d {step.number} !!", 1)
    for step in others:
        at.say(step.text, f"d {step.number}", 1)
    open_now = {step.number for step in (*waits, *others)}
    for number, ticked in done.items():
        again = " b" if number in open_now else ""
        at.say(
            f"done {ticked_at(at.case, ticked.at_hours)}: {_words(at, ticked)} "
            f"(d {number}{again} takes it back)",
            "-",
            1,
        )


def _planned(at: Inquiry) -> list[OpenStep]:
    """Other steps that the plans begin with now, the worst lot's first; any of them is ticked."""
    open_now = {step.action for step in at.standing.open()}
    lots: dict[str, list[str]] = {}
    texts: dict[str, str] = {}
    for lot in at.worst_first():
        now = [each for each in at.thoughts[lot].plan.actions if each.when == "now"]
        for action in now[:MOST_STEPS]:
            if action.id not in open_now:
                lots.setdefault(action.id, []).append(lot)
                texts[action.id] = action.text
    return [
        OpenStep(
            at.standing.number_of(action, texts[action]),
            action,
            short(texts[action]) + at.standing.which(of),
            tuple(of),
        )
        for action, of in lots.items()
    ]


def _numbered(at: Inquiry) -> dict[int, DoneStep]:
    """Steps that stand as done, by their numbers."""
    actions = at.reasoner.base.actions
    return {
        at.standing.number_of(step.action, actions[step.action].text): step
        for step in done_steps(at.case, at.reasoner.base)
    }


def _words(at: Inquiry, step: DoneStep) -> str:
    which = "" if step.lots == ("all",) else at.standing.which(step.lots)
    return short(at.reasoner.base.actions[step.action].text) + which


def _last(done: dict[int, DoneStep]) -> DoneStep | None:
    return max(done.values(), key=lambda step: step.at_hours, default=None)


def _done(at: Inquiry, waits: OpenStep) -> Talking[None]:
    action = at.reasoner.base.actions[waits.action]
    lots = waits.lots
    if action.one_bag:
        lots = yield from emptied_bags(at, lots)
        if not lots:
            at.say("Nothing was ticked.")
            return
    at.standing.done(waits.action, lots)
    yield from at.out()
    now = at.hours_now()
    # what was done is no answer: it stands when answers are taken back, at the same moment
    past = [(_ticked(at.case, case, waits.action, lots, now), hours) for case, hours in at.past]
    at.case = with_done(at.case, waits.action, lots, now)
    at.past = past
    if action.puts is not None:  # seen from here on, elsewhere
        at.at_hours = _last_done(at.case)
        at.past = [(case, _last_done(case)) for case, _ in past]
    yield Keep(at.case)
    at.thoughts = at.think()
    at.say(
        f"Done and noted, {at.clock():%H:%M}: {waits.text} (d {waits.number} again takes it back)"
    )
    at.news()
    if at.standing.open():
        at.say("Waiting now:")
        list_steps(at)


def _ticked(now: Case, case: Case, action: str, lots: Sequence[str], hours: float) -> Case:
    """An earlier state with the step done, at the hour that this moment has in it."""
    return with_done(case, action, lots, hours + hours_between(case, now))


def _last_done(case: Case) -> float:
    return max(look.at_hours for look in case.observation if look.done)


def _back(at: Inquiry, step: DoneStep | None) -> Talking[None]:
    if step is None:
        at.say("No step is ticked.")
        return
    now = at.case

    def without(case: Case) -> Case:
        hours = step.at_hours + hours_between(case, now)
        return taken_back(case, replace(step, at_hours=hours))

    at.case = without(now)
    at.past = [(without(case), hours) for case, hours in at.past]
    yield from at.out()
    yield Keep(at.case)
    at.thoughts = at.think()
    at.say(f"Not done after all: {_words(at, step)}. It is out of the case.")
    at.news()
    list_steps(at)
