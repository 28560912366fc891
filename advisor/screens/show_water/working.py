"""A sum worked out for what was typed, with the ends of its band."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

from advisor.errors import AdvisorError
from advisor.screens.show_water.sums import Banded, Sum, SumResult, Values, unit_of
from advisor.screens.show_water.typed_units import in_typed, typed_units
from advisor.units import Quantity


def work_out(entry: Sum, given: Mapping[str, tuple[Quantity, ...]]) -> SumResult:
    """The answer with its bands, which come from the corners of what was given.

    Every formula here rises or falls with each of its inputs.

    Raises AdvisorError where the chemistry has none for the central values.
    """
    slots = [(key, place, q) for key, found in given.items() for place, q in enumerate(found)]
    best = entry.work(_values(entry, given, {}))
    lows = [part.value for part in best.parts]
    highs = list(lows)
    wide = [(key, place, (q.low, q.high)) for key, place, q in slots if q.low != q.high]
    for corner in product(*(ends for _, _, ends in wide)):
        at = {(key, place): end for (key, place, _), end in zip(wide, corner, strict=True)}
        try:
            parts = entry.work(_values(entry, given, at)).parts
        except AdvisorError:
            continue  # a corner no water can have
        if len(parts) != len(lows):
            continue
        lows = [min(low, part.value) for low, part in zip(lows, parts, strict=True)]
        highs = [max(high, part.value) for high, part in zip(highs, parts, strict=True)]
    typed = typed_units(entry, given)
    figures = tuple(
        Banded(part, low, high, in_typed(typed, part.name, part.unit, part.value, low, high))
        for part, low, high in zip(best.parts, lows, highs, strict=True)
    )
    units = {take.key: unit_of(take) for take in entry.takes}
    return SumResult(entry.word, given, units, figures, best.notes)


def _values(
    entry: Sum,
    given: Mapping[str, tuple[Quantity, ...]],
    at: Mapping[tuple[str, int], float],
) -> Values:
    values: dict[str, float | tuple[float, ...] | None] = {}
    for take in entry.takes:
        if take.key not in given:
            values[take.key] = take.default
            continue
        numbers = tuple(at.get((take.key, i), q.value) for i, q in enumerate(given[take.key]))
        values[take.key] = numbers if take.many else numbers[0]
    return values
