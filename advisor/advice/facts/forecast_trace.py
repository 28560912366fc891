"""What a forecast of the sealed bag was made from, so that it can be traced and doubted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from advisor.advice.facts.record import Record
from advisor.advice.facts.told import answer_in, kind_places
from advisor.case import Case, Lot

_LOT = ("count", "bags", "bag_water_l", "bag_gas_l", "gas")
_TOLD = ("lot.hours_sealed", "lot.fasted_hours", "lot.sedative")
_AIR = ("air_low_c", "air_high_c")
#: Readings of the bag water that the forecast starts from.
MEASURED = ("ph", "tan_mg_l", "temperature_c", "do_mg_l", "alkalinity_mg_l_caco3")


class Trace(NamedTuple):
    """Places of the case that were read, and names of the readings used."""

    where: tuple[str, ...]
    inputs: tuple[str, ...]


def trace_of(case: Case, lot: Lot, records: Mapping[tuple[str, str], Record]) -> Trace:
    """Everything of the case that the forecast of this lot's bag rests on."""
    names = (*MEASURED, "salinity_g_kg")
    inputs = tuple(f"bag_{n}" for n in names if ("reading", f"bag_{n}") in records)
    return Trace(tuple(dict.fromkeys(_places(case, lot, bool(inputs)))), inputs)


def _places(case: Case, lot: Lot, measured: bool) -> Iterator[str]:
    label = f'lot "{lot.id}"'
    yield from kind_places(lot)  # the kind decides what a fish breathes, and its mass if not told
    for field in (*_LOT, "mass_g"):
        if getattr(lot, field) not in (None, "unknown"):
            yield f"{label}, {field}"
    for field in lot.packed.given():
        yield f"{label}, packed.{field}"
    for field in _TOLD:
        place, value = answer_in(case, lot, field)
        if value not in (None, "unknown"):
            yield place
    for field in _AIR:
        if getattr(case.transit, field) is not None:
            yield f"transit.{field}"
    for at, look in case.looks_at(lot.id) if measured else ():
        if look.bag.given() and look.minutes_after_opening is not None:
            yield f"observation {at}, minutes_after_opening"
