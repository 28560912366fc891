"""Which questions come first, by where the fish are and what an emergency hangs on."""

from __future__ import annotations

import pytest

from advisor.advice import worth
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.advice.settled_by import settings
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import UNKNOWN, Counted, Draft, Lots, Seen, Settled
from advisor.ask.chance import answered_by
from advisor.ask.next_question import next_question, question_worths
from advisor.case import Case, loads_case
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from tests.ask.thinking import think

GASPING = """
format = "arrival-case-1"
[transit]
hours_sealed = 30
[[lot]]
id = "a"
species = "guppy"
count = 40
sealed = "no"
[[observation]]
at_hours = 0.5
seen = ["gasping_at_surface"]
not_seen = ["lying_on_side"]
"""


@pytest.mark.parametrize(
    ("place", "order"),
    [
        ("bags_sealed=yes", "hours_sealed kinds counts"),
        ("bags_sealed=no", "kinds counts hours_sealed when_it_began"),
        ("bags_sealed=no released=yes", "kinds counts changed_last_day arrived"),
        ("bags_sealed=no fish_are_in=tub", "kinds counts changed_last_day arrived"),
    ],
)
def test_where_they_are_decides_what_follows_breath(
    place: str, order: str, reasoner: Reasoner
) -> None:
    """Two hands at a tank ask what was done to it; at a bag, how long it was shut (judgement)."""
    told = settings(place)
    released = told.pop("released", None) is not None
    heads = Lots((Draft("guppy", 40),)), Counted(Counts(dead=1, down=0))
    replies = {"where_are_they": Settled(told, released), "breathing_and_posture": Seen((), ())}
    replies |= dict(zip(("kinds", "counts"), heads, strict=True))
    case, asked = Case(), []
    for _ in range(2 + len(order.split())):
        lot = lots_of(case)[0]
        asking = next_question(case, lot, think(case, reasoner)[0], reasoner)
        assert asking is not None
        asked.append(asking.question.id)
        reply = replies.get(asking.question.id, UNKNOWN)
        case = apply(case, asking.question, reply, Place(lot.id, 0.0), reasoner.base)
    assert asked == ["where_are_they", "breathing_and_posture", *order.split()]


def test_the_journey_is_asked_less_the_longer_it_is_past(base: RuleBase) -> None:
    hours, skin = base.questions["hours_sealed"], base.questions["skin"]
    phases = ("arrival", "day_2_4", "day_5_14")
    of_hours, of_skin = (
        [answered_by(question, Case(), base, phase) for phase in phases]
        for question in (hours, skin)
    )
    assert of_hours == sorted(set(of_hours), reverse=True)
    assert len(set(of_skin)) == 1


def test_what_may_prove_a_proposed_step_an_emergency_is_worth_more(
    reasoner: Reasoner, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Air is proposed for fast gills; whether any lie down decides how fast."""
    case = loads_case(
        GASPING.replace("gasping_at_surface", "rapid_gill_movement").replace(
            'sealed = "no"', 'sealed = "no"\nreleased_at_hours = 0'
        )
    )
    lot, thought = lots_of(case)[0], think(case, reasoner)[0]
    counts = [reasoner.base.questions["counts"]]
    with_it = question_worths(case, lot, counts, thought, reasoner)["counts"].plan
    monkeypatch.setattr(worth, "URGENT_CHANCE", 0.0)
    assert with_it > question_worths(case, lot, counts, thought, reasoner)["counts"].plan


def test_what_keeps_the_tank_from_being_known_to_fit_is_worth_reading(reasoner: Reasoner) -> None:
    """Gasping in an opened bag: tub or tank hangs on what was read of the tank."""
    case = loads_case(GASPING)
    lot, (thought, plan) = lots_of(case)[0], think(case, reasoner)
    shown = [action.id for action in plan.actions]
    assert "tub_while_tank_unread" in shown
    question = [reasoner.base.questions["ammonia_nitrite"]]
    known = question_worths(case, lot, question, thought, reasoner, shown)
    fits = thought._replace(fits=())
    unread = question_worths(case, lot, question, fits, reasoner, shown)
    assert known["ammonia_nitrite"].plan > unread["ammonia_nitrite"].plan
