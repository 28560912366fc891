"""Where things stand: one line after an answer, the plan on demand, all lots at the end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from advisor.advice.assess import Reasoned, Reasoner, assess, lot_result
from advisor.advice.results import Assessment, LotResult, RuleBaseMark
from advisor.case import Case
from advisor.screens.session.talk import Talk
from advisor.screens.show_assessment import STANDING
from advisor.version import PROGRAM

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.screens.session.session import Thought


def so_far(thoughts: Iterable[Thought], *, several: bool) -> str:
    """ "So far: want of oxygen likely." for each lot; nothing while nothing stands out."""
    parts = []
    for thought in thoughts:
        causes = [c for c in thought.reasoned.ranking.causes if c.standing in STANDING]
        likely = [c for c in causes if c.standing in ("very_likely", "likely")][:2]
        likely = likely or [c for c in causes[:1] if c.standing == "possible" and c.evidence_for]
        if likely:
            words = ", ".join(f"{c.name} {STANDING[c.standing]}" for c in likely)
            parts.append(f"{thought.lot.id}: {words}" if several else words)
    return f"So far: {'; '.join(parts)}." if parts else ""


def console_for(talk: Talk) -> Console:
    """A console as wide as the talk, writing where it writes."""
    from advisor.screens.console import make_console

    console = make_console()
    console.file = talk.out
    console.width = talk.width
    return console


def show_plan(talk: Talk, reasoned: Reasoned, reasoner: Reasoner, case: Case) -> None:
    """The plan of one lot as it stands."""
    from advisor.screens.show_assessment import show

    base = reasoner.base
    result = Assessment(
        program=PROGRAM,
        rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
        title=case.delivery.title,
        weights=base.settings.because,
        lots=(lot_result(reasoned, reasoner),),
    )
    talk.say()
    show(result, console_for(talk))


def show_all(talk: Talk, case: Case, reasoner: Reasoner) -> Assessment:
    """All lots by urgency, one line each where there are several, then the most urgent in full."""
    from advisor.screens.show_assessment import show

    result = assess(case, reasoner)
    ordered = by_urgency(result.lots)
    talk.say()
    if len(ordered) > 1:
        talk.say("ALL LOTS, most urgent first", strong=True)
        for at, lot in enumerate(ordered, 1):
            talk.item(f"{at}.", line_of(lot, case))
        talk.say()
    shown = result.model_copy(update={"lots": tuple(ordered[:1])})
    show(shown, console_for(talk))
    return result


def by_urgency(lots: Sequence[LotResult]) -> list[LotResult]:
    """Lots with emergencies first, then by how much is to be done now."""

    def key(lot: LotResult) -> tuple[int, int]:
        now = [action for action in lot.actions if action.when == "now"]
        return -sum(action.emergency for action in now), -len(now)

    return sorted(lots, key=key)


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
