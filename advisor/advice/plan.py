"""From ranked causes to things to do: in time order, with amounts, cautions and vet notes.

An action is proposed by its own rule. What forbids it is stronger than any
ranking, and what it requires must be surely known. Rescue and treatment are held
by different proof: a way out of present harm only by a sure and greater harm, and
never when it is the last one; a treatment by a possible harm too, and while there
is not enough to tell.
"""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from advisor.advice.amounts import changes_water, work_out
from advisor.advice.amounts.changes import LABEL as CHANGE
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
from advisor.advice.sequence import Fired, Proposed, in_sequence, is_emergency, place_of
from advisor.rulebase import RuleBase
from advisor.rulebase.engine import Firing
from advisor.rulebase.entries import Action, Forbid
from advisor.rulebase.works import Citation

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


#: Proofs that hold a step back whatever kind it is: people come first, and what is done is done.
HOLDS = ("people", "moot", "sure", "possible")
ALWAYS = ("people", "moot", "missing")


def make_plan(
    firings: Iterable[Firing],
    ranking: Ranking,
    sheet: FactSheet,
    base: RuleBase,
    doubted: Container[Firing] = (),
) -> Plan:
    """Choose, order and word the plan from what fired."""
    fired = by_id(firings)
    kept, withheld = choose(fired, ranking, base, sheet.done, doubted, sheet.settled)
    worked = [(action, _result((action, proposals), sheet, fired)) for action, proposals in kept]
    against = [(action, why) for action, result in worked if (why := _worse_by_sum(result.amounts))]
    withheld += [_held(action, "forbidden", why, action.source) for action, why in against]
    barred = {action.id for action, _ in against}
    actions = tuple(result for action, result in worked if action.id not in barred)
    return Plan(
        actions=actions,
        withheld=tuple(_said_otherwise(withheld, actions, base)),
        cautions=_cautions(actions, fired, base),
        vet=_vet(fired, base),
        notices=_notices(fired, base),
    )


def advised(
    firings: Iterable[Firing],
    ranking: Ranking,
    sheet: FactSheet,
    base: RuleBase,
    doubted: Container[Firing] = (),
) -> tuple[Action, ...]:
    """The steps of that plan in order, for who needs neither amounts nor what stands beside."""
    kept, _ = choose(by_id(firings), ranking, base, sheet.done, doubted, sheet.settled)
    return tuple(
        action
        for action, _ in kept
        if action.amount is None
        or not changes_water(action.amount)
        or not _worse_by_sum(work_out(action.amount, sheet))
    )


def by_id(firings: Iterable[Firing]) -> Fired:
    """Firings by the condition that fired."""
    fired: Fired = {}
    for firing in firings:
        fired.setdefault(firing.rule_id, []).append(firing)
    return fired


def choose(
    fired: Fired,
    ranking: Ranking,
    base: RuleBase,
    done: Collection[str] = (),
    doubted: Container[Firing] = (),
    settled: Container[str] = (),
) -> tuple[list[Proposed], list[Withheld]]:
    """Actions to show, in order and each with what proposed it, and those held back.

    done    : ids of actions that stand among what was done
    settled : those of them after which nobody has looked; they keep out what they would undo
    doubted : firings that rest on a reading in doubt; no step rests on such alone
    """
    allowed: list[Proposed] = []
    withheld: list[Withheld] = []
    ways_out: list[tuple[Proposed, Withheld]] = []
    for name in base.actions:  # entries are read when asked for: only of those that fired
        proposals = fired.get(f"action:{name}", [])
        if not proposals:
            continue
        action = base.actions[name]
        if action.once and name in done:
            withheld.append(_done(action, fired, settled))
            continue
        if _too_late(action, done, base):
            held = _held(action, "forbidden", TOO_LATE, action.source)
            withheld.append(held.model_copy(update={"moot": True}))
            continue
        if action.step in FOR_THE_LIVING and NOBODY_LEFT in fired and not _shuts_off(action):
            held = _held(action, "forbidden", ALL_DEAD, action.source)
            withheld.append(held.model_copy(update={"moot": True}))
            continue
        bold = action.step in ("rescue", "treatment") and not action.despite_doubt
        if bold and all(f in doubted for f in proposals):
            withheld.append(_held(action, "doubted", DOUBTED, action.source))
            continue
        refusal = _refusal(action, proposals, fired, ranking)
        if refusal is None:
            allowed.append((action, proposals))
            continue
        withheld.append(refusal)
        if action.step == "rescue" and _by_sure_harm(action, fired):
            ways_out.append(((action, proposals), refusal))
    places = {cause.id: place for place, cause in enumerate(ranking.causes)}
    if ways_out and not any(action.step == "rescue" for action, _ in allowed):
        last = min(ways_out, key=lambda way: place_of(way[0], places, fired))
        allowed.append(last[0])
        withheld.remove(last[1])
    once, twice = _moved_once(allowed, places, fired)
    kept, dropped = _without_contradiction(in_sequence(once, places, fired))
    dropped += twice
    ticked = [_done(action, fired, settled) for action, _ in kept if action.id in settled]
    return [p for p in kept if p[0].id not in settled], withheld + dropped + ticked


def _done(action: Action, fired: Fired, settled: Container[str]) -> Withheld:
    held = _held(action, "done", DONE, action.source)
    unseen = action.id in settled and is_emergency(action, fired)
    return held.model_copy(update={"moot": True, "emergency": unseen})


def _too_late(action: Action, done: Collection[str], base: RuleBase) -> bool:
    """A sample to be taken before anything is dosed, once something was, or was with its own."""
    if not action.before or action.step != "duty":
        return False
    known = (base.actions[name] for name in done if name in base.actions)
    return any(each.id in action.before or action.id in each.undoes for each in known)


def _shuts_off(action: Action) -> bool:
    return action.among_emergencies == "stop"


#: What fires where no fish of the lot is left, nor any other that its steps would help.
NOBODY_LEFT = "finding:nobody_left_to_help"
FOR_THE_LIVING = ("rescue", "comfort", "treatment")
ALL_DEAD = "No fish of this lot is left alive."
#: Why what was done is not said again.
DONE = "It stands among what was done."
TOO_LATE = "It comes before what was dosed or changed here already."
#: Why a step waits for a reading.
DOUBTED = "It rests on a reading that something contradicts: read that again first."


def _by_sure_harm(action: Action, fired: Fired) -> bool:
    """Held back by harm, rather than being moot or a danger to people."""
    proofs = {forbid.proof for _, forbid, _ in _against(action, fired)}
    return bool(proofs) and not proofs & {*ALWAYS}


def _against(action: Action, fired: Fired) -> Iterator[tuple[int, Forbid, Firing]]:
    for at, forbid in enumerate(action.forbidden, 1):
        firings = fired.get(f"forbid:{action.id}:{at}")
        if firings:
            yield at, forbid, firings[0]


def _refusal(
    action: Action, proposals: list[Firing], fired: Fired, ranking: Ranking
) -> Withheld | None:
    """Why this action must not be shown as advice, or None."""
    holds = ("people", "moot", "sure") if action.step == "rescue" else HOLDS
    for _, forbid, firing in _against(action, fired):
        if forbid.proof in holds:
            held = _held(action, "forbidden", forbid.because, forbid.source, matched(firing))
            return held.model_copy(update={"moot": forbid.proof == "moot"})
    absent = [each for _, each, _ in _against(action, fired) if each.proof == "missing"]
    if absent:  # only what is missing here is said, not all that could be
        because = "; ".join(each.because.rstrip(".") for each in absent)
        sources = (source for each in absent for source in each.source)
        return _held(action, "requires", because, sources)
    if action.requires is not None and f"require:{action.id}" not in fired:
        because = action.requires_because or "What it requires is not known yet."
        return _held(action, "requires", because, action.source)
    rests_on_ranking = not any(_own_condition(f) for f in proposals)
    may_wait = action.step == "treatment" and not action.gentle
    if ranking.not_enough and rests_on_ranking and may_wait:
        because = "There is not enough to tell the cause yet; nothing that cannot be undone."
        return _held(action, "not_enough", because, action.source, NOT_ENOUGH)
    return None


def _own_condition(firing: Firing) -> bool:
    """True when the action fired by its own condition rather than by a cause's standing."""
    return any(fact.kind not in ("standing", "first", "not_enough") for fact in firing.facts)


def _held(
    action: Action,
    by: Literal["forbidden", "requires", "not_enough", "undoes", "done", "doubted"],
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


def _moved_once(
    allowed: Sequence[Proposed], places: Mapping[str, int], fired: Fired
) -> tuple[list[Proposed], list[Withheld]]:
    """Of several steps of now that put the fish into a tub the one placed first stays.

    Every move costs them, and no two tubs of theirs are of the same water.
    """
    tubs = [p for p in allowed if p[0].puts == "tub" and p[0].time == "now"]
    first = min(tubs, key=lambda p: place_of(p, places, fired), default=None)
    again = [p for p in tubs if p is not first]
    dropped = []
    for action, _ in again:
        assert first is not None
        because = f'They are moved once, and this comes first: "{first[0].text}"'
        held = _held(action, "undoes", because, action.source, rival=first[0].id)
        dropped.append(held.model_copy(update={"moot": True}))
    return [p for p in allowed if p not in again], dropped


def _without_contradiction(
    allowed: Sequence[Proposed],
) -> tuple[list[Proposed], list[Withheld]]:
    """Of two actions that undo each other the one placed first stays."""
    kept: list[Proposed] = []
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


def _result(proposed: Proposed, sheet: FactSheet, fired: Fired) -> ActionResult:
    action, proposals = proposed
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
        emergency=is_emergency(action, fired),
        step=action.step,
        authority=action.authority,
        causes=tuple(causes),
        facts=tuple(facts),
        amounts=amounts,
        cautions=action.cautions,
        sources=action.source,
    )


def _worse_by_sum(amounts: Iterable[AmountResult]) -> str:
    """Why the sum for a change of water says that it would do harm; empty when it does not."""
    for amount in amounts:
        if amount.label == CHANGE and amount.value is None and not amount.missing:
            return amount.working
    return ""


def _said_otherwise(
    withheld: Sequence[Withheld], actions: Iterable[ActionResult], base: RuleBase
) -> Iterator[Withheld]:
    """A step of which another wording is shown is not wanted here: nobody is warned of it."""
    names = [*(a.id for a in actions), *(h.action for h in withheld if h.by == "done")]
    shown = {base.actions[name].variant_of or name for name in names}
    for held in withheld:
        action = base.actions[held.action]
        same = (action.variant_of or held.action) in shown
        outdone = held.by == "undoes" and action.step not in ("rescue", "treatment")
        yield held.model_copy(update={"moot": True}) if same or outdone else held


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
