"""Readings that something contradicts: what rests on them alone weighs little.

Which they are is said in ``rules/doubts.toml``. A number in doubt is read again before
any step that rests on it alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.facts.situation import WATER_OF, Place
from advisor.advice.ranking import matched
from advisor.advice.results import DoubtResult, unchecked
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import NUMBERS
from advisor.rulebase.engine import Fact, Firing

Fired = Mapping[str, list[Firing]]


def doubts_of(fired: Fired, base: RuleBase) -> tuple[DoubtResult, ...]:
    """The doubts that hold, with the readings to be taken again."""
    return tuple(
        unchecked(DoubtResult)(
            id=doubt.id,
            because=doubt.because,
            readings=doubt.readings,
            facts=matched(fired[f"doubt:{doubt.id}"][0]),
            sources=doubt.source,
        )
        for doubt in (base.doubts[name] for name in base.doubts if f"doubt:{name}" in fired)
    )


def doubt_facts(doubts: Iterable[DoubtResult]) -> Iterator[Fact]:
    for doubt in doubts:
        yield Fact("doubt", doubt.id, True)


def resting_on(doubts: Iterable[DoubtResult], sheet: FactSheet) -> frozenset[str]:
    """Names of the readings in doubt and of every number worked out of one."""
    names = {name for doubt in doubts for name in doubt.readings}
    if not names:
        return frozenset()
    names |= {alias for name in names for alias in _as_compared(name, sheet.situation.place)}
    for (_, name), record in sheet.records.items():  # in the order they were worked out
        if names & set(record.inputs):
            names.add(name)
    return frozenset(names)


def _as_compared(reading: str, place: Place) -> Iterator[str]:
    """What that reading is called where the water they are in and the next one are compared."""
    water, _, parameter = reading.partition("_")
    if water == WATER_OF[place]:
        yield f"present_{parameter}"
    elif water == "tank":
        yield f"next_{parameter}"


def in_doubt(firings: Iterable[Firing], names: frozenset[str]) -> frozenset[Firing]:
    """Firings that would not stand without a number in doubt, through findings too."""
    return _resting(firings, frozenset((kind, name) for kind in NUMBERS for name in names))


def of_unmet_water(
    firings: Iterable[Firing], sheet: FactSheet, base: RuleBase
) -> frozenset[Firing]:
    """Firings that would not stand without what was said of a tank these fish have not met."""
    if sheet.situation.has_met("tank"):
        return frozenset()
    told = {item.id for item in base.history.values() if item.of_tank}
    kinds = ("history", *NUMBERS)
    return _resting(firings, frozenset((kind, name) for kind in kinds for name in told))


def _resting(firings: Iterable[Firing], names: frozenset[tuple[str, str]]) -> frozenset[Firing]:
    if not names:
        return frozenset()
    firings = tuple(firings)
    doubted: set[Firing] = set()
    findings: set[str] = set()
    while True:
        found = {f for f in firings if f not in doubted and _rests(f, names, findings)}
        if not found:
            return frozenset(doubted)
        doubted |= found
        for name in {f.rule_id for f in found if f.rule_id.startswith("finding:")}:
            if all(f in doubted for f in firings if f.rule_id == name):
                findings.add(name.partition(":")[2])


def _rests(firing: Firing, names: frozenset[tuple[str, str]], findings: set[str]) -> bool:
    if firing.rule_id.startswith("doubt:"):
        return False
    return any(
        (fact.kind, fact.name) in names or (fact.kind == "finding" and fact.name in findings)
        for fact in firing.facts
    )
