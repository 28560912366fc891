"""Firings of evidence rules -> causes in order, with the balance for and against.

Weights of evidence in decibans add up (Good 1950): a cause's starting odds on
that day (less while nothing speaks for it), plus the strongest rule of each
group on each side. The words put on the sum are those of
``rules/rulebase.toml``; all of it is judgement.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from typing import NamedTuple

from advisor.advice.results import CauseResult, Evidence, MatchedFact, unchecked
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import STANDINGS
from advisor.rulebase.engine import Fact, Firing
from advisor.rulebase.entries import Cause, Rule, Standing


class Ranking(NamedTuple):
    """Causes, best first, and whether that is enough to act on."""

    causes: tuple[CauseResult, ...]
    not_enough: bool
    because: str | None


def rank(
    firings: Iterable[Firing],
    phase: str,
    base: RuleBase,
    kept: Mapping[str, CauseResult] | None = None,
    doubted: Container[Firing] = (),
) -> Ranking:
    """Rank every cause of the rule base by the rules that fired.

    kept    : causes already weighed, on the same firings and phase, by id
    doubted : firings that rest on a reading in doubt; they weigh no more than weak ones
    """
    kept = kept or {}
    fired: dict[str, Firing] = {}
    for firing in firings:
        kind, _, name = firing.rule_id.partition(":")
        if kind == "rule" and (name not in fired or fired[name] in doubted):
            fired[name] = firing
    by_cause: dict[str, list[tuple[Rule, Firing]]] = {cause: [] for cause in base.causes}
    for name, firing in fired.items():
        rule = base.rules[name]
        if firing in doubted:
            rule = rule.model_copy(update={"strength": "weak"})
        by_cause[rule.supports or rule.opposes or ""].append((rule, firing))
    causes = [kept.get(c) or _weigh(c, by_cause[c], phase, base) for c in base.causes]
    causes.sort(key=lambda cause: (-cause.decibans, cause.id))
    because = _too_little(causes, base)
    return Ranking(tuple(causes), because is not None, because)


def _weigh(
    cause_id: str, pairs: Sequence[tuple[Rule, Firing]], phase: str, base: RuleBase
) -> CauseResult:
    cause = base.causes[cause_id]
    counted = _strongest(pairs, base)
    pieces = [_evidence(rule, firing, rule.id in counted, base) for rule, firing in pairs]
    prior = starting_odds(cause, phase, any(piece.decibans > 0 for piece in pieces), base)
    pieces.sort(key=lambda piece: (not piece.counts, -abs(piece.decibans), piece.rule))
    total = prior + sum(piece.decibans for piece in pieces if piece.counts)
    return unchecked(CauseResult)(
        id=cause.id,
        name=cause.name,
        standing=standing_word(total, base),
        decibans=round(total, 6),
        prior=prior,
        evidence_for=tuple(piece for piece in pieces if piece.decibans > 0),
        evidence_against=tuple(piece for piece in pieces if piece.decibans < 0),
        summary=cause.summary,
        prove=cause.prove,
        reportable=cause.reportable,
    )


def starting_odds(cause: Cause, phase: str, spoken_for: bool, base: RuleBase) -> float:
    """Decibans a cause starts from on that day; lower while nothing told speaks for it.

    What stands first on odds alone explains nothing of what was seen.
    """
    odds: float = cause.prior[phase]  # type: ignore[index]
    return odds if spoken_for else odds - base.settings.nothing_for_it


def _strongest(pairs: Sequence[tuple[Rule, Firing]], base: RuleBase) -> set[str]:
    """Rules that count: of each group and side only the strongest, the first id on a tie."""
    best: dict[tuple[str, bool], Rule] = {}
    for rule, _ in sorted(pairs, key=lambda pair: pair[0].id):
        key = (rule.group or f"alone:{rule.id}", rule.supports is not None)
        kept = best.get(key)
        weights = base.settings.decibans
        if kept is None or weights[rule.strength] > weights[kept.strength]:
            best[key] = rule
    return {rule.id for rule in best.values()}


def _evidence(rule: Rule, firing: Firing, counts: bool, base: RuleBase) -> Evidence:
    weight = base.settings.decibans[rule.strength]
    return unchecked(Evidence)(
        rule=rule.id,
        strength=rule.strength,
        decibans=weight if rule.supports else -weight,
        counts=counts,
        group=rule.group,
        because=rule.because,
        facts=matched(firing),
        sources=rule.source,
        known_problems=rule.known_problems,
    )


def matched(firing: Firing) -> tuple[MatchedFact, ...]:
    """The facts of a firing, in a form that can leave the program."""
    return tuple(
        unchecked(MatchedFact)(kind=f.kind, name=f.name, value=f.value) for f in firing.facts
    )


def standing_word(decibans: float, base: RuleBase) -> Standing:
    """The word for a balance; the bounds are those of the rule base."""
    bounds = base.settings.standing
    if decibans >= bounds["very_likely"]:
        return "very_likely"
    if decibans >= bounds["likely"]:
        return "likely"
    return "possible" if decibans >= bounds["possible"] else "unlikely"


def _too_little(causes: Sequence[CauseResult], base: RuleBase) -> str | None:
    """Why the ranking is no ground to act on, or None when it is."""
    if not causes:
        return "The rule base holds no cause."
    first, *others = causes
    support = sum(piece.decibans for piece in first.evidence_for if piece.counts)
    if support < base.settings.thin_evidence:
        return "Little has been seen or measured that points to any one cause."
    if first.standing in ("unlikely", "possible"):
        return f"No cause stands out yet; {first.name} is no more than possible."
    if first.standing == "very_likely":  # causes are not exclusive: a close second may be true too
        return None
    direction = base.causes[first.id].direction
    for other in others:
        if first.decibans - other.decibans >= base.settings.close_call:
            break
        if base.causes[other.id].direction != direction:
            return (
                f"{first.name} and {other.name} lie close together and call for different "
                "first steps."
            )
    return None


def standing_facts(ranking: Ranking) -> list[Fact]:
    """The ranking as facts for actions, cautions and notes."""
    facts = [Fact("not_enough", "not_enough", ranking.not_enough)]
    for place, cause in enumerate(ranking.causes):
        facts.append(Fact("standing", cause.id, STANDINGS.index(cause.standing)))
        facts.append(Fact("first", cause.id, place == 0))
    return facts
