"""The verdict of a sum: what its figures mean for these fish, in words.

Limits and words stand in ``rules/verdicts.toml`` and the limits it names; nothing here knows a
number of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind, kind_of
from advisor.rulebase.verdicts import Verdict
from advisor.screens.show_water.sums import SumResult
from advisor.wording.numbers import exact, short

#: Name -> kind of fish that a verdict is said for.
Whom = Mapping[str, Kind]


def whom(fish: str | None, case: Case | None, base: RuleBase) -> Whom:
    """The kinds named, or those of a case; empty when neither is given.

    Raises AdvisorError for a fish that the rule base does not know.
    """
    names = [part.strip() for part in (fish or "").split(",") if part.strip()]
    lots = [Lot(id="fish", species=name) for name in names]
    found: dict[str, Kind] = {}
    for lot in [*lots, *(case.lot if case is not None else ())]:
        kind = kind_of(lot, base)
        if kind is None or (not kind.certain and lot.id == "fish" and lot.species in names):
            raise AdvisorError(
                f'fish: "{lot.species}" is no kind known here; find one with: advisor rules '
                f"{lot.species}"
            )
        found[lot.species or lot.group or kind.group.name] = kind
    return found


def verdicts(answer: SumResult, fish: Whom, base: RuleBase) -> Iterator[str]:
    """A sentence for every figure that has a ladder or a range."""
    for verdict in base.verdicts.values():
        band = _band(answer, verdict.figure)
        if band is None:
            continue
        if verdict.range is not None:
            yield from _in_range(verdict, band, fish, base)
        else:
            yield _on_ladder(verdict, band, fish, base)


def _band(answer: SumResult, figure: str) -> tuple[float, float, float] | None:
    """(value, low, high) of a figure of the answer, or of what was typed."""
    if figure.startswith("given:"):
        given = answer.given.get(figure.partition(":")[2], ())
        return (given[0].value, given[0].low, given[0].high) if given else None
    for each in answer.figures:
        if each.part.name == figure:
            return each.part.value, each.low, each.high
    return None


def _on_ladder(
    verdict: Verdict, band: tuple[float, float, float], fish: Whom, base: RuleBase
) -> str:
    words = [verdict.sound, *(verdict.above or verdict.below).values()]
    at = _rung(verdict, band[0], base)
    text = words[at] + (f": {_meaning(verdict, at, base)}" if at else _next(verdict, base))
    worst = max(_rung(verdict, end, base) for end in band)
    if worst > at:
        text += f"; may be {words[worst]}, as far as the reading tells"
    if verdict.sensitive is not None:
        graver = [name for name, kind in fish.items() if verdict.sensitive in kind.traits]
        if graver and at + 1 < len(words):
            text += f"; for {', '.join(graver)}, a sensitive kind: {words[at + 1]}"
    return f"{text}."


def _rung(verdict: Verdict, value: float, base: RuleBase) -> int:
    """How many limits of the ladder the value has passed."""
    passed = [
        value >= base.limits[limit].value if verdict.above else value < base.limits[limit].value
        for limit in verdict.above or verdict.below
    ]
    return max((place for place, over in enumerate(passed, 1) if over), default=0)


def _meaning(verdict: Verdict, rung: int, base: RuleBase) -> str:
    limit = base.limits[list(verdict.above or verdict.below)[rung - 1]]
    side = "from" if verdict.above else "below"
    whom = f", {limit.applies_to}" if limit.applies_to else ""
    return f"{limit.meaning} ({side} {exact(limit.value, 3)} {limit.unit}{whom})"


def _next(verdict: Verdict, base: RuleBase) -> str:
    name, word = next(iter((verdict.above or verdict.below).items()))
    limit = base.limits[name]
    return f" ({word} {'from' if verdict.above else 'below'} {exact(limit.value, 3)})"


def _in_range(
    verdict: Verdict, band: tuple[float, float, float], fish: Whom, base: RuleBase
) -> Iterator[str]:
    kinds = fish or {
        name: kind
        for name, group in verdict.kinds.items()
        if (kind := kind_of(Lot(id="fish", group=group), base)) is not None
    }
    for name, kind in kinds.items():
        ends = [kind.tolerance(f"{verdict.range}_{end}") for end in ("low", "high")]
        if ends[0] is None or ends[1] is None:
            continue
        yield f"{name}: {_beside(verdict, band, ends[0], ends[1])}."


def _beside(verdict: Verdict, band: tuple[float, float, float], low: float, high: float) -> str:
    value, least, most = band
    span = f"{short(low)} to {short(high)}"
    if value < low or value > high:
        return f"{'below' if value < low else 'above'} the range they are kept in ({span})"
    doubt = "; may lie outside, as far as the readings tell" if least < low or most > high else ""
    return f"{verdict.sound} ({span}){doubt}"
