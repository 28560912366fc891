"""Readings of a case as facts, with the band each kit leaves."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.record import Record
from advisor.case import Case, Lot, Reading
from advisor.case.readings import RANGES
from advisor.rulebase import RuleBase

#: Waters whose readings the rules know by names of their own.
NAMED_WATERS = ("bag", "tank", "tap")


def reading_records(case: Case, lot: Lot, base: RuleBase, until: float) -> list[Record]:
    """One record per parameter and water.

    Of several readings of the bag the first counts, being nearest the journey;
    of the tank and the tap the latest.
    """
    chosen: dict[str, Record] = {}
    for record in _all(case, lot, base, until):
        if not (record.name.startswith("bag_") and record.name in chosen):
            chosen[record.name] = record
    return list(chosen.values())


def _all(case: Case, lot: Lot, base: RuleBase, until: float) -> Iterator[Record]:
    for at, look in case.looks_at(lot.id, until):
        for water in NAMED_WATERS:
            for parameter, reading in getattr(look, water).given().items():
                name = f"{water}_{parameter}"
                if name in base.quantities:
                    where = f"observation {at}, {water}.{parameter}"
                    yield reading_record(name, parameter, reading, where, look.at_hours, base)


def reading_record(
    name: str, parameter: str, reading: Reading, where: str, at_hours: float, base: RuleBase
) -> Record:
    low, high = band(reading, parameter)
    quantity = base.quantities[name]
    note = reading.note
    if reading.kit:
        note = "; ".join(filter(None, (note, f"by {reading.kit.replace('_', ' ')}")))
    return Record(
        kind="reading",
        name=name,
        value=reading.value,
        how="measured",
        low=low,
        high=high,
        unit=quantity.unit,
        where=(where,),
        entered=reading.entered,
        note=note,
        at_hours=at_hours,
    )


def band(reading: Reading, parameter: str) -> tuple[float, float]:
    """The band as given, else as the kind of kit leaves it, open-ended at a kit's end mark."""
    low = reading.value if reading.low is None else reading.low
    high = reading.value if reading.high is None else reading.high
    if reading.low is None and reading.high is None and reading.kit is not None:
        from advisor.units import Quantity, kit_band

        plain = Quantity(reading.value, low, high, reading.entered or "")
        banded = kit_band(plain, parameter, reading.kit)
        low, high = banded.low, banded.high
    floor, ceiling = RANGES[parameter]
    if reading.at_least:
        high = ceiling
    if reading.at_most:
        low = floor
    return max(low, floor), min(high, ceiling)
