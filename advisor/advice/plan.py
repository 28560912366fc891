"""From ranked causes to things to do: in time order, with amounts, cautions and vet notes.

An action is proposed by its own rule. What forbids it is stronger than any
ranking; what it requires must be surely known; and while there is not enough to
tell, only gentle steps, emergencies and duties are left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from advisor.advice.amounts import work_out
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.ranking import Ranking, matched
from advisor.advice.results import (
    ActionResult,
    AmountResult,
    CautionResult,
    MatchedFact,
    NoticeResult,
    VetResult,
    Withheld,
    unchecked,
)
from advisor.rulebase import RuleBase
from advisor.rulebase.engine import Firing
from advisor.rulebase.model import Action, Citation

TIMES = ("now", "within_hour", "today", "until_48h", "quarantine")
URGENCIES = ("now", "today", "when_convenient")
#: The fact that holds every step back that is not gentle.
NOT_ENOUGH = (unchecked(MatchedFact)(kind="not_enough", name="not_enough", value=True),)


class Plan(NamedTuple):
    """What to do, what is held back and why, and what to tell whom."""

    actions: tuple[ActionResult, ...]
    withheld: tuple[Withheld, ...]
    cautions: tuple[CautionResult, ...]
    vet: tuple[VetResult, ...]
    notices: tuple[NoticeResult, ...]


Fired = dict[str, list[Firing]]


def make_plan(
    firings: Iterable[Firing], ranking: Ranking, sheet: FactSheet, base: RuleBase
) -> Plan:
    """Choose, order and word the plan from what fired."""
    fired = by_id(firings)
    kept, withheld = choose(fired, ranking, base)
    actions = tuple(_result(action, proposals, sheet) for action, proposals in kept)
    return Plan(
        actions=actions,
        withheld=tuple(withheld),
        cautions=_cautions(actions, fired, base),
        vet=_vet(fired, base),
        notices=_notices(fired, base),
    )


def by_id(firings: Iterable[Firing]) -> Fired:
    """Firings by the condition that fired."""
    fired: Fired = {}
    for firing in firings:
        fired.setdefault(firing.rule_id, []).append(firing)
    return fired


def choose(
    fired: Fired, ranking: Ranking, base: RuleBase
) -> tuple[list[tuple[Action, list[Firing]]], list[Withheld]]:
    """Actions to show, in order and each with what proposed it, and those held back."""
    allowed: list[tuple[Action, list[Firing]]] = []
    withheld: list[Withheld] = []
    for name in base.actions:  # entries are read when asked for: only of those that fired
        proposals = fired.get(f"action:{name}", [])
        if not proposals:
            continue
        action = base.actions[name]
        refusal = _refusal(action, proposals, fired, ranking, base)
        if refusal is None:
            allowed.append((action, proposals))
        else:
            withheld.append(refusal)
    places = {cause.id: place for place, cause in enumerate(ranking.causes)}
    allowed.sort(key=lambda pair: _order(pair[0], pair[1], places))
    kept, dropped = _without_contradiction(allowed)
    return kept, withheld + dropped


def _refusal(
    action: Action, proposals: list[Firing], fired: Fired, ranking: Ranking, base: RuleBase
) -> Withheld | None:
    """Why this action must not be shown as advice, or None."""
    for at, forbid in enumerate(action.forbidden, 1):
        against = fired.get(f"forbid:{action.id}:{at}")
        if against:
            return _held(action, "forbidden", forbid.because, forbid.source, matched(against[0]))
    if action.requires is not None and f"require:{action.id}" not in fired:
        because = action.requires_because or "What it requires is not known yet."
        return _held(action, "requires", because, action.source)
    rests_on_ranking = not any(_own_condition(f) for f in proposals)
    if ranking.not_enough and rests_on_ranking and not action.gentle:
        because = "There is not enough to tell the cause yet; nothing that cannot be undone."
        return _held(action, "not_enough", because, action.source, NOT_ENOUGH)
    return None


def _own_condition(firing: Firing) -> bool:
    """True when the action fired by its own condition rather than by a cause's standing."""
    return any(fact.kind not in ("standing", "first", "not_enough") for fact in firing.facts)


def _held(
    action: Action,
    by: Literal["forbidden", "requires", "not_enough", "undoes"],
    because: str,
    sources: Iterable[Citation],
    facts: tuple[MatchedFact, ...] = (),
    rival: str | None = None,
) -> Withheld:
    return unchecked(Withheld)(
        action=action.id,
        by=by,
        rival=rival,
        text=action.text,
        because=because,
        facts=facts,
        sources=tuple(sources),
    )


def _order(
    action: Action, proposals: Sequence[Firing], places: dict[str, int]
) -> tuple[int, bool, int, int, str]:
    causes = [places[f.name] for p in proposals for f in p.facts if f.kind == "standing"]
    return (
        TIMES.index(action.time),
        not action.emergency,
        action.order,
        min(causes, default=len(places)),
        action.id,
    )


def _without_contradiction(
    allowed: Sequence[tuple[Action, list[Firing]]],
) -> tuple[list[tuple[Action, list[Firing]]], list[Withheld]]:
    """Of two actions that undo each other the one placed first stays."""
    kept: list[tuple[Action, list[Firing]]] = []
    dropped: list[Withheld] = []
    for action, proposals in allowed:
        rival = next((k for k, _ in kept if action.id in k.undoes or k.id in action.undoes), None)
        if rival is None:
            kept.append((action, proposals))
        else:
            because = f'It would undo a step that comes first: "{rival.text}"'
            held = _held(action, "undoes", because, action.source, rival=rival.id)
            dropped.append(held)
    return kept, dropped


def _result(action: Action, proposals: Sequence[Firing], sheet: FactSheet) -> ActionResult:
    facts = dict.fromkeys(fact for p in proposals for fact in matched(p))
    causes = dict.fromkeys(f.name for p in proposals for f in p.facts if f.kind == "standing")
    amounts: tuple[AmountResult, ...] = ()
    if action.amount is not None:
        amounts = tuple(work_out(action.amount, sheet))
    return unchecked(ActionResult)(
        id=action.id,
        when=action.time,
        text=action.text,
        because=action.because,
        emergency=action.emergency,
        authority=action.authority,
        causes=tuple(causes),
        facts=tuple(facts),
        amounts=amounts,
        cautions=action.cautions,
        sources=action.source,
    )


def _cautions(
    actions: Iterable[ActionResult], fired: Fired, base: RuleBase
) -> tuple[CautionResult, ...]:
    """Cautions of the situation and of the shown actions, then those that always hold."""
    attached = dict.fromkeys(c for action in actions for c in action.cautions)
    met = dict.fromkeys(c for c in base.cautions if f"caution:{c}" in fired)
    always = dict.fromkeys(c.id for c in base.cautions.values() if c.always)
    return tuple(
        unchecked(CautionResult)(
            id=c.id, text=c.text, protects=c.protects, always=c.always, sources=c.source
        )
        for c in (base.cautions[name] for name in {**met, **attached, **always})
    )


def _vet(fired: Fired, base: RuleBase) -> tuple[VetResult, ...]:
    notes = [
        unchecked(VetResult)(
            id=note.id,
            text=note.text,
            because=note.because,
            urgency=note.urgency,
            who=note.who,
            prepare=note.prepare,
            ask=note.ask,
            facts=matched(fired[f"vet:{note.id}"][0]),
            sources=note.source,
        )
        for note in (base.vet_notes[name] for name in base.vet_notes if f"vet:{name}" in fired)
    ]
    return tuple(sorted(notes, key=lambda note: URGENCIES.index(note.urgency)))


def _notices(fired: Fired, base: RuleBase) -> tuple[NoticeResult, ...]:
    return tuple(
        unchecked(NoticeResult)(
            id=notice.id,
            text=notice.text,
            because=notice.because,
            facts=matched(fired[f"notice:{notice.id}"][0]),
            sources=notice.source,
        )
        for notice in (base.notices[name] for name in base.notices if f"notice:{name}" in fired)
    )
