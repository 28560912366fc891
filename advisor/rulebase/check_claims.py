"""The register of claims: what decides a rescue or a dose says how many works carry it.

A limit decides when the conditions of an emergency or of a dose ask for it, by themselves
or through findings; every injury limit decides. Each says ``independent_works``: 0, 1 or
2 works that do not lean on each other. Two may be said only where two works are cited
that somebody looked into; a work recalled from memory does not count.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from advisor.rulebase import conditions
from advisor.rulebase.base import RuleBase
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.kinds import Injury
from advisor.rulebase.references import conditions_of
from advisor.rulebase.remarks import Remark, fault
from advisor.rulebase.works import NO_WORK
from advisor.wording.numbers import exact

LOOKED_INTO = frozenset({"read", "abstract", "opening", "second-hand", "derived"})
#: What is no work: our own words, and elementary chemistry.
_NO_WORK = frozenset({*NO_WORK, "chem"})


def claim_remarks(base: RuleBase) -> Iterator[Remark]:
    """What the register objects to, over limits and injury limits."""
    deciding = deciding_limits(base)
    for limit in base.limits.values():
        if limit.id in deciding and limit.independent_works is None:
            yield fault(
                "limit",
                limit,
                f"decides {deciding[limit.id]}; say independent_works: 0, 1 or 2 works that "
                "do not lean on each other",
            )
        yield from _too_many_works("limit", limit)
    for injury in base.injuries.values():
        yield from _too_many_works("injury", injury)
        if not injury.kinds:
            yield fault("injury", injury, "holds for no kind; give groups, species or stretched_to")
        if injury.stretched_to and not any(c.basis == "judgement" for c in injury.source):
            yield fault(
                "injury",
                injury,
                "is stretched to kinds its sources do not speak of; add a judgement as source",
            )
    yield from _twice(base)
    yield from _inside_keeping(base)


def deciding_limits(base: RuleBase) -> dict[str, str]:
    """Id of each limit that decides an emergency or a dose -> the first action it decides."""
    found: dict[str, str] = {}
    for action in base.actions.values():
        if action.emergency or action.doses:
            for limit in _limits_of(action, base, set()):
                found.setdefault(limit, action.id)
    return found


def _limits_of(entry: Any, base: RuleBase, seen: set[str]) -> Iterator[str]:
    """Limits in an entry's conditions, and in those of the findings they rest on."""
    for later, condition in conditions_of(entry):
        for leaf in conditions.leaves(read_condition(condition, base.names, later=later)):
            if leaf.limit:
                yield leaf.limit
            if leaf.kind == "finding" and leaf.name not in seen:
                seen.add(leaf.name)
                yield from _limits_of(base.findings[leaf.name], base, seen)


def _too_many_works(kind: str, entry: Any) -> Iterator[Remark]:
    said = entry.independent_works
    cited = {c.ref for c in entry.source if c.basis in LOOKED_INTO} - _NO_WORK
    if said is not None and said > len(cited):
        text = f"says {said} independent works, but cites {len(cited)} that were looked into"
        yield fault(kind, entry, text)


def _twice(base: RuleBase) -> Iterator[Remark]:
    """Two figures for one limit of one kind: only one of them would be used."""
    first: dict[tuple[str, str], Injury] = {}
    for injury in base.injuries.values():
        for kind in injury.kinds:
            other = first.setdefault((kind, injury.limit), injury)
            if other is not injury:
                text = f"gives {injury.limit} of {kind} again; {other.id} gives it too"
                yield fault("injury", injury, text)


def _inside_keeping(base: RuleBase) -> Iterator[Remark]:
    """A kind cannot be kept in water that injures it."""
    outward = (
        ("temperature_low_c", "cold_injury_c", 1),
        ("temperature_high_c", "heat_injury_c", -1),
        ("ph_low", "ph_injury_low", 1),
        ("ph_high", "ph_injury_high", -1),
    )
    for table, kinds in (("group", base.groups), ("species", base.species)):
        for kind in kinds.values():
            for kept_name, limit, sign in outward:
                kept = getattr(kind, kept_name)
                injury = _figure(base, kind, limit)
                if kept is not None and injury is not None and sign * (kept - injury) <= 0:
                    text = f"{kept_name} {exact(kept)} lies beyond its {limit} {exact(injury)}"
                    yield fault(table, kind, text)


def _figure(base: RuleBase, kind: Any, limit: str) -> float | None:
    index: Mapping[str, Mapping[str, str]] = base.injury_index
    for name in (kind.id, getattr(kind, "group", "")):
        entry = index.get(name, {}).get(limit)
        if entry is not None:
            return float(base.injuries[entry].value)
    return None
