"""Where things stand: one line after an answer, the plan on demand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.advice.assess import lot_result
from advisor.advice.ranking import Ranking
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.results import Assessment, LotResult, RuleBaseMark
from advisor.ask.records import ShowPlan
from advisor.case import Case
from advisor.version import PROGRAM
from advisor.wording.names import STANDING


def so_far(rankings: Mapping[str, Ranking]) -> str:
    """ "So far: want of oxygen likely." for each lot; nothing while nothing stands out."""
    parts = []
    for lot, ranking in rankings.items():
        likely = [c for c in ranking.causes if c.is_likely][:2]
        likely = likely or [
            c for c in ranking.causes[:1] if c.standing == "possible" and c.evidence_for
        ]
        if likely:
            words = ", ".join(f"{c.name} {STANDING[c.standing]}" for c in likely)
            parts.append(f"{lot}: {words}" if len(rankings) > 1 else words)
    return f"So far: {'; '.join(parts)}." if parts else ""


def shown_plan(lots: Iterable[Reasoned], reasoner: Reasoner, case: Case) -> ShowPlan:
    """The plan of these lots as it stands."""
    base = reasoner.base
    return ShowPlan(
        Assessment(
            program=PROGRAM,
            rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
            title=case.delivery.title,
            weights=base.settings.because,
            lots=tuple(lot_result(reasoned, reasoner) for reasoned in lots),
        ),
        case,
    )


def line_of(lot: LotResult, case: Case) -> str:
    """One lot in one line: what to do, what is likely."""
    count = next((each.count for each in case.lot if each.id == lot.lot), None)
    name = f"{count} {lot.label}" if count else lot.label
    first = lot.actions[0] if lot.actions else None
    lead = "DO NOW" if first and first.emergency else "First" if first else "Nothing to do"
    order = f": {first.text}" if first else "."
    if lot.not_enough or not lot.causes:
        cause = "not enough to tell the cause"
    else:
        cause = f"{lot.causes[0].name} {STANDING[lot.causes[0].standing]}"
    return f"{name} - {lead}{order} ({cause})"
