"""The plan of a delivery as a page shows it; which steps and in which order ``ask.hands`` says."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.facts.sheet import lots_of
from advisor.advice.facts.situation import done_for
from advisor.advice.results import ActionResult, Assessment
from advisor.ask.done_steps import done_steps, ticked_at
from advisor.ask.hands import (
    SharedPlan,
    amount_words,
    calls_now,
    grouped,
    held_back,
    held_words,
    next_look_words,
    read_next,
    steps_of,
    thought_words,
    who,
)
from advisor.page.open_cases import Desk
from advisor.wording.in_order import in_order
from advisor.wording.names import TIMES

MOST_HELD = 3


@dataclass(frozen=True)
class PlanStep:
    """One line to do; ``later`` says when, where it is not now."""

    id: str
    text: str
    later: str
    amounts: tuple[str, ...]
    emergency: bool


@dataclass(frozen=True)
class Held:
    """A step held back, with its reason; never an order."""

    text: str
    because: str
    lots: str


@dataclass(frozen=True)
class Sheet:
    """The plan of lots that share their steps."""

    who: str
    lots: tuple[str, ...]
    condition: str
    emergency: bool
    now: bool
    steps: tuple[PlanStep, ...]
    held: tuple[Held, ...]
    call: tuple[str, ...]
    read_next: str
    look_again: str


@dataclass(frozen=True)
class Ticked:
    """A step that stands as done: its text with its lots, when, and the hour of that tick."""

    id: str
    text: str
    when: str
    at_hours: float


@dataclass(frozen=True)
class PlanPage:
    """done : steps that were ticked; order : how bags are opened"""

    sheets: tuple[Sheet, ...]
    done: tuple[Ticked, ...]
    order: tuple[str, ...]


def plan_of(desk: Desk, mark: str) -> PlanPage:
    """The plan as the case now stands."""
    case, result = desk.result(mark)
    groups = grouped(result.lots)
    base, lots = desk.reasoner.base, lots_of(case)
    ticked: dict[str, list[str]] = {}
    for lot in lots:
        for action in dict.fromkeys(done_for(case, lot, base)):
            ticked.setdefault(action, []).append(lot.id)
    return PlanPage(
        tuple(_sheet(group, desk, mark) for group in groups),
        tuple(
            Ticked(
                step.action,
                ("" if len(of) == len(lots) else f"{', '.join(of)}: ")
                + base.actions[step.action].text,
                ticked_at(case, step.at_hours),
                step.at_hours,
            )
            for step in done_steps(case, base)
            if (of := ticked.get(step.action))
        ),
        _order(result),
    )


def _order(result: Assessment) -> tuple[str, ...]:
    """Shut bags in the order of opening, where there is more than one lot of them."""
    places = result.opening_order
    if len(places) < 2:
        return ()
    return in_order([each.lot for each in places], [each.tied for each in places])


def _sheet(group: SharedPlan, desk: Desk, mark: str) -> Sheet:
    case, _ = desk.result(mark)
    steps = steps_of(group)
    lot = group.lots[0]
    return Sheet(
        who(group),
        tuple(each.lot for each in group.lots),
        thought_words(group),
        group.emergency,
        bool(steps) and steps[0].when == "now",
        tuple(map(_step, steps)),
        tuple(_held(group)),
        tuple(calls_now(lot)),
        read_next(lot),
        next_look_words(case, emergency=group.emergency),
    )


def _step(action: ActionResult) -> PlanStep:
    amounts = tuple(f"{each.label}: {amount_words(each)}" for each in action.amounts
                    if each.value is not None)  # fmt: skip
    later = "" if action.when == "now" else TIMES[action.when]
    return PlanStep(action.id, action.text, later, amounts, action.emergency)


def _held(group: SharedPlan) -> list[Held]:
    return [
        Held(
            *held_words(held),
            "" if len(lots) == len(group.lots) else ", ".join(lots),
        )
        for held, lots in held_back(group)[:MOST_HELD]
    ]
