"""Names in the rule base that lead nowhere, and findings that rest on themselves."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from advisor.rulebase import conditions, entries, fits_and_moves
from advisor.rulebase.base import GROUNDS, KINDS, RuleBase
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.shape import shape_fault
from advisor.rulebase.works import NO_WORK
from advisor.wording.nearest import nearest
from advisor.wording.places import shown
from advisor.wording.toml_file import MOST_SHOWN

Words = Callable[[Any], Iterable[str]]


def _given(*fields: str) -> Words:
    """The words of these fields of an entry, of one word or of several."""

    def words(entry: Any) -> Iterator[str]:
        for value in (getattr(entry, field, None) for field in fields):
            yield from (value,) if isinstance(value, str) else value or ()

    return words


#: Table of the rule base, kind of its entries, what they name, in which words, the table it is in.
_NAMED: tuple[tuple[str, str, str, Words, str], ...] = (
    ("passages", "passage", "source", _given("ref"), "sources"),
    ("rules", "rule", "cause", _given("supports", "opposes"), "causes"),
    ("rules", "rule", "rule", _given("counts_with"), "rules"),
    ("signs", "sign", "sign", _given("ends"), "signs"),
    ("actions", "action", "caution", _given("cautions"), "cautions"),
    ("actions", "action", "action", _given("undoes", "before"), "actions"),
    ("fits", "fit", "reading", _given("reads"), "quantities"),
    ("fits", "fit", "history", _given("asks"), "history"),
    ("doubts", "doubt", "reading", _given("readings"), "quantities"),
    ("species", "species", "group", _given("group"), "groups"),
    ("injuries", "injury", "group", _given("groups"), "groups"),
    ("injuries", "injury", "species", _given("species"), "species"),
    ("shared_names", "shared_name", "species", _given("kinds"), "species"),
    ("questions", "question", "sign", _given("signs"), "signs"),
    ("questions", "question", "reading", _given("reading"), "quantities"),
    ("questions", "question", "history", _given("history"), "history"),
    ("verdicts", "verdict", "limit", _given("above", "below"), "limits"),
    ("verdicts", "verdict", "group", lambda entry: entry.kinds.values(), "groups"),
    ("verdicts", "verdict", "trait", _given("sensitive"), "traits"),
)


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

    sources = {**base.sources, **dict.fromkeys(NO_WORK)}
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            cited = [c.ref for c in getattr(entry, "source", ())]
            cited += [c.ref for name in GROUNDS for g in getattr(entry, name, ()) for c in g.source]
            missing(entry, kind, "source", cited, sources)
            missing(entry, kind, "cause", _given("needed_for")(entry), base.causes)
            missing(entry, kind, "trait", _given("traits", "lacks")(entry), base.traits)
            for later, condition in conditions_of(entry):
                said = shape_fault(condition) or _condition_fault(condition, base, later)
                if said:
                    faults.append(f"rules/{entry.file}, {kind} {entry.id}: {said}")
    for table, kind, what, words, known in _NAMED:
        for entry in getattr(base, table).values():
            missing(entry, kind, what, words(entry), getattr(base, known))
    either = {**base.groups, **base.species}
    for injury in base.injuries.values():
        missing(injury, "injury", "group or species", injury.stretched_to, either)
    for rule in base.rules.values():
        if (rule.supports is None) == (rule.opposes is None):
            faults.append(
                f"rules/{rule.file}, rule {rule.id}: give supports or opposes, exactly one"
            )
    for cause in base.causes.values():
        for phase in sorted(set(conditions.PHASES) - cause.prior.keys()):
            faults.append(f"rules/{cause.file}, cause {cause.id}: prior lacks {phase}")
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
