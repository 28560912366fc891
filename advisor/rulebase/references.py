"""Names in the rule base that lead nowhere, and findings that rest on themselves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from advisor.rulebase import conditions, entries, fits_and_moves
from advisor.rulebase.base import GROUNDS, KINDS, RuleBase
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.shape import shape_fault
from advisor.wording.nearest import nearest
from advisor.wording.places import shown
from advisor.wording.toml_file import MOST_SHOWN


def reference_faults(base: RuleBase) -> list[str]:
    """Names that lead nowhere: sources, causes, cautions, limits and words in conditions."""
    faults: list[str] = []

    def missing(
        entry: Any, kind: str, what: str, wanted: Iterable[str], known: Mapping[str, Any]
    ) -> None:
        for word in wanted:
            if word not in known:
                # faults beyond those shown are only counted; nearest names take time
                near = nearest(word, known) if len(faults) < MOST_SHOWN else ""
                faults.append(
                    f"rules/{entry.file}, {kind} {entry.id}: no {what} {shown(word)}{near}"
                )

    sources = {**base.sources, "bench-practice": None, "judgement": None}
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            cited = [c.ref for c in getattr(entry, "source", ())]
            cited += [c.ref for name in GROUNDS for g in getattr(entry, name, ()) for c in g.source]
            missing(entry, kind, "source", cited, sources)
            missing(entry, kind, "cause", getattr(entry, "needed_for", ()), base.causes)
            traits = (*getattr(entry, "traits", ()), *getattr(entry, "lacks", ()))
            missing(entry, kind, "trait", traits, base.traits)
            for later, condition in conditions_of(entry):
                said = shape_fault(condition) or _condition_fault(condition, base, later)
                if said:
                    faults.append(f"rules/{entry.file}, {kind} {entry.id}: {said}")
    for passage in base.passages.values():
        missing(passage, "passage", "source", (passage.ref,), base.sources)
    for rule in base.rules.values():
        if (rule.supports is None) == (rule.opposes is None):
            faults.append(
                f"rules/{rule.file}, rule {rule.id}: give supports or opposes, exactly one"
            )
        missing(rule, "rule", "cause", filter(None, (rule.supports, rule.opposes)), base.causes)
        missing(rule, "rule", "rule", rule.counts_with, base.rules)
    for action in base.actions.values():
        missing(action, "action", "caution", action.cautions, base.cautions)
        missing(action, "action", "action", (*action.undoes, *action.before), base.actions)
    for fit in base.fits.values():
        missing(fit, "fit", "reading", fit.reads, base.quantities)
        missing(fit, "fit", "history", fit.asks, base.history)
    for doubt in base.doubts.values():
        missing(doubt, "doubt", "reading", doubt.readings, base.quantities)
    for cause in base.causes.values():
        for phase in sorted(set(conditions.PHASES) - cause.prior.keys()):
            faults.append(f"rules/{cause.file}, cause {cause.id}: prior lacks {phase}")
    for species in base.species.values():
        missing(species, "species", "group", (species.group,), base.groups)
    known = {**base.groups, **base.species}
    for injury in base.injuries.values():
        missing(injury, "injury", "group", injury.groups, base.groups)
        missing(injury, "injury", "species", injury.species, base.species)
        missing(injury, "injury", "group or species", injury.stretched_to, known)
    for shared in base.shared_names.values():
        missing(shared, "shared_name", "species", shared.kinds, base.species)
    for question in base.questions.values():
        missing(question, "question", "sign", question.signs, base.signs)
        missing(question, "question", "reading", question.reading, base.quantities)
        missing(question, "question", "history", filter(None, (question.history,)), base.history)
    for verdict in base.verdicts.values():
        missing(verdict, "verdict", "limit", (*verdict.above, *verdict.below), base.limits)
        missing(verdict, "verdict", "group", verdict.kinds.values(), base.groups)
        missing(verdict, "verdict", "trait", filter(None, (verdict.sensitive,)), base.traits)
    return faults or _cycles(base)


def _condition_fault(condition: entries.Condition, base: RuleBase, later: bool) -> str | None:
    try:
        conditions.branches(read_condition(condition, base.names, later=later))
    except conditions.ConditionFault as fault:
        return str(fault)
    return None


def conditions_of(entry: Any) -> Iterable[tuple[bool, entries.Condition]]:
    """(may use words known only after ranking, condition) for every condition of an entry."""
    later = isinstance(
        entry,
        (
            entries.Action,
            fits_and_moves.Move,
            entries.Caution,
            entries.VetNote,
            entries.Notice,
            entries.Question,
        ),
    )
    for name in (
        "when",
        "requires",
        "ask_when",
        "opening_when",
        "fits",
        "kills_when",
        "emergency_when",
    ):
        condition = getattr(entry, name, None)
        if isinstance(condition, dict):
            yield later, condition
    for grounds in GROUNDS:
        for ground in getattr(entry, grounds, ()):
            yield later, ground.when


def _cycles(base: RuleBase) -> list[str]:
    """Findings that rest on themselves."""
    uses = {}
    for finding in base.findings.values():
        try:
            node = read_condition(finding.when, base.names)
        except conditions.ConditionFault:
            continue
        uses[finding.id] = {leaf.name for leaf in conditions.leaves(node) if leaf.kind == "finding"}
    faults: list[str] = []
    done: set[str] = set()
    while ready := [f for f in uses if f not in done and uses[f] & uses.keys() <= done]:
        done.update(ready)
    for left in sorted(uses.keys() - done):
        faults.append(
            f"rules/{base.findings[left].file}, finding {left}: rests on itself through "
            + ", ".join(sorted(uses[left] - done))
        )
    return faults
