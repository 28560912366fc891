"""The end of a sitting: the plan of all lots, and the assessment noted in the case."""

from __future__ import annotations

from datetime import datetime

from advisor.advice.assess import assess
from advisor.advice.results import Assessment
from advisor.ask.answers.parts import changed
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import Keep, Say, ShowPlan, Talking
from advisor.case import Case
from advisor.case.model import Saved

_MOST_KEPT = 40


def finish(at: Inquiry) -> Talking[None]:
    """No more questions: the plan of all lots, with the next look."""
    result = assess(at.case, at.reasoner)
    at.show(Say(), ShowPlan(result, at.case))
    at.case = with_result(at.case, result, at.clock())
    yield from at.out()
    yield Keep(at.case)
    if any(thought.reasoned.sheet.sealed for thought in at.think().values()):
        at.say("Bags are still shut; going on with the case leads through opening them.")
    yield from at.out()


def with_result(case: Case, result: Assessment, now: datetime) -> Case:
    """The assessment noted in the case, and a title made of the lots when it has none."""
    made = now.replace(microsecond=0).isoformat()
    fresh = tuple(
        Saved(
            made=made,
            program=result.program,
            rulebase=result.rulebase.version,
            fingerprint=result.rulebase.fingerprint,
            lot=lot.lot,
            causes={cause.id: cause.decibans for cause in lot.causes[:5]},
            actions=tuple(action.id for action in lot.actions),
        )
        for lot in result.lots
    )
    case = changed(case, assessment=(*case.assessment, *fresh)[-_MOST_KEPT:])
    if not case.delivery.title and any(lot.species for lot in case.lot):
        title = ", ".join(about(lot) for lot in case.lot)[:120]
        case = changed(case, delivery=changed(case.delivery, title=title))
    return case
