"""The key d: a step is ticked as done, what waits and what is done is shown, a tick taken back."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from advisor.ask.answers.looks import with_done
from advisor.ask.done_steps import DoneStep, done_steps, taken_back, ticked_at
from advisor.ask.records import Keep, Talking
from advisor.ask.standing import OpenStep, short

if TYPE_CHECKING:
    from advisor.ask.inquiry import Inquiry

_TYPED = re.compile(r"\S+\s*(\d*)\s*(b?)\s*")


def tick(at: Inquiry, line: str) -> Talking[None]:
    """Do what a line with the key d asks for.

    d N ticks a step that waits and takes one back that is done; d alone ticks the only one that
    waits, else it lists them; d b takes the last tick back, d N b that of one step.
    """
    typed = _TYPED.fullmatch(line.strip().casefold())
    number, back = (typed[1], typed[2]) if typed else ("", "")
    waits = {step.number: step for step in at.standing.open()}
    done = _numbered(at)
    if back:
        yield from _back(at, done.get(int(number)) if number else _last(done))
    elif number:
        step = int(number)
        if step in waits:
            yield from _done(at, waits[step])
        elif step in done:
            yield from _back(at, done[step])
        else:
            at.say(f"There is no d {number} now:" if waits or done else "")
            list_steps(at)
    elif len(waits) == 1:
        yield from _done(at, *waits.values())
    else:
        list_steps(at)


def list_steps(at: Inquiry) -> None:
    """What waits and what is done, each with its number."""
    waits = at.standing.open()
    done = _numbered(at)
    for step in waits:
        at.say(step.text, f"d {step.number}", 1)
    if not waits:
        at.say("Nothing is waiting to be done.")
    open_now = {step.number for step in waits}
    for number, ticked in done.items():
        again = " b" if number in open_now else ""
        at.say(
            f"done {ticked_at(at.case, ticked.at_hours)}: {_words(at, ticked)} "
            f"(d {number}{again} takes it back)",
            "-",
            1,
        )


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
    at.standing.done(waits.action, waits.lots)
    yield from at.out()
    step = waits.action, waits.lots, at.hours_now()
    at.case = with_done(at.case, *step)
    # what was done is no answer: it stands when answers are taken back
    at.past = [(with_done(case, *step), at_hours) for case, at_hours in at.past]
    if at.reasoner.base.actions[waits.action].puts is not None:  # seen from here on, elsewhere
        at.at_hours = max(look.at_hours for look in at.case.observation if look.done)
        at.past = [(case, at.at_hours) for case, _ in at.past]
    yield Keep(at.case)
    at.thoughts = at.think()
    at.say(
        f"Done and noted, {at.clock():%H:%M}: {waits.text} (d {waits.number} again takes it back)"
    )
    at.news()
    if at.standing.open():
        at.say("Waiting now:")
        list_steps(at)


def _back(at: Inquiry, step: DoneStep | None) -> Talking[None]:
    if step is None:
        at.say("No step is ticked.")
        return
    at.case = taken_back(at.case, step)
    at.past = [(taken_back(case, step), hours) for case, hours in at.past]
    yield from at.out()
    yield Keep(at.case)
    at.thoughts = at.think()
    at.say(f"Not done after all: {_words(at, step)}. It is out of the case.")
    at.news()
    list_steps(at)
