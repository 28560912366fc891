"""One statement of the run, or one that was not made, with its grounds."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from advisor.advice.facts.computed import NEEDS
from advisor.advice.needs import Needs
from advisor.advice.results import CauseResult, Evidence, Withheld
from advisor.advice.settled_by import Item, items_of
from advisor.advice.weighing import sums
from advisor.explain import moves
from advisor.explain.audit_form import Balance, ConditionGround, Kind, Statement, Verdict, Weighed
from advisor.explain.tracing import BANDS, Tables
from advisor.rulebase import conditions
from advisor.rulebase.conditions import Node
from advisor.rulebase.entries import Rule


def make(kind: Kind, name: str, tables: Tables) -> Statement:
    """The statement of that kind and id. Its chain is noted in ``tables``."""
    return MAKERS[kind](name, tables)


# -- causes -------------------------------------------------------------------


def cause(name: str, tables: Tables) -> Statement:
    """A cause with its balance, and the rules for it that did not fire."""
    study, base = tables.study, tables.study.base
    place, found = next((p, c) for p, c in enumerate(study.result.causes, 1) if c.id == name)
    entry = base.causes[name]
    return Statement(
        kind="cause",
        id=name,
        verdict="shown" if found.standing != "unlikely" or place == 1 else "silent",
        text=found.name,
        because=found.summary,
        word=found.standing,
        balance=_balance(found, place, study.result.phase),
        evidence_for=tuple(_evidence(piece, name, tables) for piece in found.evidence_for),
        evidence_against=tuple(_evidence(piece, name, tables) for piece in found.evidence_against),
        missing=tuple(_missing_for(found, tables)) if tables.why_not else (),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _balance(found: CauseResult, place: int, phase: str) -> Balance:
    supports, against = sums(found)
    return Balance(
        phase=phase,
        prior=found.prior,
        for_it=supports,
        against_it=against,
        total=found.decibans,
        place=place,
    )


def _evidence(piece: Evidence, cause_id: str, tables: Tables) -> Weighed:
    rule = tables.study.base.rules[piece.rule]
    return _weighed(rule, cause_id, tables, piece.counts)


def _weighed(rule: Rule, cause_id: str, tables: Tables, counts: bool) -> Weighed:
    ground = tables.ground(f"rule:{rule.id}", rule.because, rule.source, file=rule.file)
    weight = tables.study.base.settings.decibans[rule.strength]
    return Weighed(
        **{name: getattr(ground, name) for name in ConditionGround.model_fields},
        rule=rule.id,
        cause=cause_id,
        strength=rule.strength,
        decibans=weight if rule.supports else -weight,
        counts=counts,
        group=rule.group,
        known_problems=rule.known_problems,
        stretched_to=rule.stretched_to,
        exception=rule.exception,
    )


def _missing_for(found: CauseResult, tables: Tables) -> Iterator[Weighed]:
    """Rules that would have supported the cause, the nearest to firing first."""
    rules = tables.study.base.rules.values()
    silent = [
        r for r in rules if r.supports == found.id and f"rule:{r.id}" not in tables.study.fired
    ]
    pieces = [_weighed(rule, found.id, tables, counts=False) for rule in silent]
    yield from sorted(pieces, key=_nearness)


def _nearness(piece: Weighed) -> tuple[int, int, float, str]:
    states = [each.holds for each in piece.compared]
    return states.count(False), states.count(None), -abs(piece.decibans), piece.rule


# -- actions ------------------------------------------------------------------


def action(name: str, tables: Tables) -> Statement:
    """An action: proposed, held back, or not called for."""
    result, entry = tables.study.result, tables.study.base.actions[name]
    shown = next((each for each in result.actions if each.id == name), None)
    held = next((each for each in result.withheld if each.action == name), None)
    verdict: Verdict = "shown" if shown else "held_back" if held else "silent"
    return Statement(
        kind="action",
        id=name,
        verdict=verdict,
        text=entry.text,
        because=entry.because,
        word=entry.time,
        grounds=tuple(_calls_for(name, tables)),
        bars=tuple(_bars(name, held, tables)),
        amounts=shown.amounts if shown else (),
        leads_to=shown.cautions if shown else (),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _calls_for(name: str, tables: Tables) -> Iterator[ConditionGround]:
    """What proposed the action, or what would have."""
    entry_id, entry = f"action:{name}", tables.study.base.actions[name]
    gentle = entry.gentle and tables.study.result.not_enough
    if gentle and entry_id not in tables.study.fired:
        yield ConditionGround(
            entry=entry_id,
            because=tables.study.result.not_enough_because or "",
            holds=True,
            compared=(tables.not_enough(),),
            file=entry.file,
        )
    elif entry_id in tables.study.nodes:
        yield tables.ground(entry_id, "", (), file=entry.file)
    if f"require:{name}" in tables.study.fired:
        yield tables.ground(f"require:{name}", "", (), file=entry.file)


def _bars(name: str, held: Withheld | None, tables: Tables) -> Iterator[ConditionGround]:
    """Everything that holds the action back, or would if it were called for."""
    entry = tables.study.base.actions[name]
    for at, forbid in enumerate(entry.forbidden, 1):
        bar = f"forbid:{name}:{at}"
        if bar in tables.study.fired:
            yield tables.ground(bar, forbid.because, forbid.source, file=entry.file)
    required = f"require:{name}"
    if entry.requires is not None and required not in tables.study.fired:
        because = entry.requires_because or ""
        yield tables.ground(required, because, entry.source, file=entry.file)
    if held is not None and held.by in ("not_enough", "undoes"):
        against = tables.not_enough() if held.rival is None else tables.action(held.rival)
        yield ConditionGround(
            entry=f"{held.by}:{name}",
            because=held.because,
            holds=True,
            compared=(against,),
            sources=tables.cite(held.sources),
            file=entry.file,
        )


# -- what goes with the plan --------------------------------------------------


def caution(name: str, tables: Tables) -> Statement:
    """A caution: always, of this situation, or carried by an action that is shown."""
    result, entry = tables.study.result, tables.study.base.cautions[name]
    carriers = [each.id for each in result.actions if name in each.cautions]
    grounds = [
        ConditionGround(
            entry=f"caution:{name}", because="", holds=True, compared=(tables.action(each),)
        )
        for each in carriers
    ]
    if entry.when is not None and (f"caution:{name}" in tables.study.fired or not carriers):
        grounds.insert(0, tables.ground(f"caution:{name}", "", (), file=entry.file))
    return Statement(
        kind="caution",
        id=name,
        verdict="shown" if any(each.id == name for each in result.cautions) else "silent",
        text=entry.text,
        word=entry.protects,
        grounds=tuple(grounds),
        leads_to=tuple(carriers),
        always=entry.always,
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def vet(name: str, tables: Tables) -> Statement:
    """A note for the veterinarian, an authority or a laboratory."""
    shown = any(each.id == name for each in tables.study.result.vet)
    entry = tables.study.base.vet_notes[name]
    return _note("vet", name, entry, entry.urgency, shown, tables)


def notice(name: str, tables: Tables) -> Statement:
    """A guard against closing the search too soon, or a doubt about a number."""
    shown = any(each.id == name for each in tables.study.result.notices)
    return _note("notice", name, tables.study.base.notices[name], "", shown, tables)


def _note(kind: Kind, name: str, entry: Any, word: str, shown: bool, tables: Tables) -> Statement:
    engine_id = f"{kind}:{name}"
    has_condition = engine_id in tables.study.nodes
    return Statement(
        kind=kind,
        id=name,
        verdict="shown" if shown else "silent",
        text=entry.text,
        because=entry.because,
        word=word,
        grounds=(tables.ground(engine_id, "", (), file=entry.file),) if has_condition else (),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


# -- findings, rules, facts, questions ----------------------------------------


def finding(name: str, tables: Tables) -> Statement:
    """A finding: that it holds, that it is known not to hold, or that it is open."""
    study, entry = tables.study, tables.study.base.findings[name]
    state = study.facts.get(("finding", name))
    engine_id = f"finding:{name}"
    node: Node | None = None
    if state is False:
        node = conditions.negate(study.nodes[engine_id])
    ground = tables.ground(engine_id, "", (), node, file=entry.file)
    if state is False:
        # what makes it fail: of the negation, only the alternatives that do hold
        ways = [w for w in (ground.compared, *ground.also) if all(c.holds for c in w)]
        ground = ground.model_copy(update={"compared": ways[0], "also": tuple(ways[1:])})
    return Statement(
        kind="finding",
        id=name,
        verdict=_state(state),
        text=entry.name,
        because=entry.because,
        grounds=(ground,),
        leads_to=tuple(_rules_on("finding", (name,), tables)),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _state(state: object) -> Verdict:
    return "holds" if state is True else "fails" if state is False else "open"


def rule(name: str, tables: Tables) -> Statement:
    """One rule: fired, failed or still open."""
    entry = tables.study.base.rules[name]
    cause_id = entry.supports or entry.opposes or ""
    found = next(c for c in tables.study.result.causes if c.id == cause_id)
    pieces = (*found.evidence_for, *found.evidence_against)
    counts = any(piece.rule == name and piece.counts for piece in pieces)
    piece = _weighed(entry, cause_id, tables, counts)
    return Statement(
        kind="rule",
        id=name,
        verdict=_state(piece.holds),
        text=f"{'for' if entry.supports else 'against'} {found.name}",
        because=entry.because,
        word=entry.strength,
        grounds=(piece,),
        leads_to=(cause_id,),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def fact(name: str, tables: Tables) -> Statement:
    """A reading, a computed value, a sign or an answer; ``name`` is its key, kind:id."""
    kind, _, plain = name.partition(":")
    base = tables.study.base
    table: dict[str, Any] = {"sign": base.signs, "history": base.history, "trait": base.traits}
    entry = table.get(kind, base.quantities).get(plain)
    key = tables.known(kind, plain)
    kinds = BANDS if kind in ("reading", "computed") else (kind,)
    used = [each for one in kinds for each in _rules_on(one, _worked_from(plain), tables)]
    return Statement(
        kind="fact",
        id=name,
        verdict="open" if key is None else "shown",
        text=entry.name if entry is not None else plain.replace("_", " "),
        missing=tuple(waiting_for([_item(kind, plain)], tables)) if key is None else (),
        leads_to=tuple(dict.fromkeys(used)),
        sources=tables.cite(entry.source if entry is not None else ()),
        file=getattr(entry, "file", ""),
    )


def _item(kind: str, name: str) -> Item:
    return ("reading" if kind in ("reading", "computed") else kind, name)


def _worked_from(name: str) -> tuple[str, ...]:
    """The value itself and all computed values that rest on it."""
    names = [name]
    for result, needs in NEEDS.items():
        if any(each in names for alternatives in needs for each in alternatives):
            names.append(result)
    return tuple(names)


def _rules_on(kind: str, names: Iterable[str], tables: Tables) -> Iterator[str]:
    """What fired on one of these facts, and questions it lets be asked."""
    for name in names:
        for engine_id in tables.study.fired_on.get((kind, name), ()):
            yield re.sub("^ask:", "question:", engine_id)


def question(name: str, tables: Tables) -> Statement:
    """A question of the session: which rules wait for its answer."""
    entry = tables.study.base.questions[name]
    items = [each for each in items_of(entry, tables.study.base) if each[0] != "field"]
    asked_field = (entry.field or "").rpartition(".")[2]
    if asked_field in tables.study.base.quantities:
        items.append(("reading", asked_field))
    return Statement(
        kind="question",
        id=name,
        verdict="shown" if None in [tables.known(*item) for item in items] else "silent",
        text=entry.text,
        because=entry.because,
        missing=tuple(waiting_for(items, tables)),
        leads_to=tuple(f"{kind}:{each}" for kind, each in items),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def waiting_for(items: Iterable[Item], tables: Tables) -> list[Weighed]:
    """Rules that cannot be decided while these are not known, the weightiest first."""
    if not tables.why_not:
        return []
    wanted, facts = set(items), tables.study.facts
    needs = Needs(
        tables.study.nodes,
        facts,
        lambda name: ("value", name) in facts,
        is_open=lambda item: True,
        is_known=lambda item: False,
        told={},
    )
    pieces = []
    for entry in tables.study.base.rules.values():
        if wanted & needs.of(f"rule:{entry.id}").keys():
            cause_id = entry.supports or entry.opposes or ""
            pieces.append(_weighed(entry, cause_id, tables, counts=False))
    return sorted(pieces, key=lambda piece: (-abs(piece.decibans), piece.rule))


MAKERS: dict[Kind, Callable[[str, Tables], Statement]] = {
    "cause": cause,
    "action": action,
    "caution": caution,
    "vet": vet,
    "notice": notice,
    "question": question,
    "finding": finding,
    "rule": rule,
    "fact": fact,
    "move": moves.move,
    "fit": moves.fit,
    "doubt": moves.doubt,
}
