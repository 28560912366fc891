"""Figures of a case held against each other: what cannot be is refused, what is odd is remarked.

Only what no delivery can be is refused. Limits of what is odd are judgement.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from advisor.case.model import Case, Lot, Observation
from advisor.case.readings import WATERS
from advisor.case.warmth import warmth_remarks
from advisor.wording.numbers import exact, short
from advisor.wording.times import span

#: Hours after receipt beyond which nothing of a delivery happens, and before which nothing does.
LATEST_H, EARLIEST_H = 24.0 * 366, -1000.0
#: Litres in one bag: more is no bag, and more than the second is rare.
MOST_BAG_L, ODD_BAG_L = 500.0, 60.0
#: Kilograms of fish in a litre of bag water.
MOST_LOAD_KG_L, ODD_LOAD_KG_L = 2.0, 0.5
#: Oxygen of water open to the air, pure oxygen bubbled through it included.
MOST_OPEN_MG_L = 25.0
#: Water under pure oxygen gas holds 1/0.2095 of what it holds under air; a meter's error besides.
_UNDER_OXYGEN = 4.773 * 1.05
#: Weight by the cube of length [g/cm3], for anything from eels to puffers.
_SHAPE, _ODD_SHAPE = (0.0002, 0.4), (0.001, 0.06)
Where = tuple[str | int, ...]


class Fault(NamedTuple):
    """Where a figure stands (names, and numbers of entries from 0), and what is wrong."""

    where: Where
    sentence: str


def impossible(case: Case) -> Iterator[Fault]:
    """What no delivery can be, each with the place of the figure to look at."""
    low, high = case.transit.air_low_c, case.transit.air_high_c
    if low is not None and high is not None and low > high:
        yield Fault(("transit", "air_low_c"), f"{exact(low)} lies above air_high_c ({exact(high)})")
    for at, lot in enumerate(case.lot):
        yield from _lot_faults(("lot", at), lot)
    for at, look in enumerate(case.observation):
        yield from _look_faults(("observation", at), look, case)
    yield from _outcome_faults(case)


def _lot_faults(where: Where, lot: Lot) -> Iterator[Fault]:
    if lot.bag_water_l is not None and lot.bag_water_l > MOST_BAG_L:
        meant = f"; {exact(lot.bag_water_l)} mL would be {exact(lot.bag_water_l / 1000)}"
        yield Fault((*where, "bag_water_l"), f"no bag holds {exact(lot.bag_water_l)} litres{meant}")
    load = _load_kg_l(lot)
    if load is not None and load > MOST_LOAD_KG_L:
        yield Fault(
            (*where, "bag_water_l"),
            f"{short(load)} kg of fish to each litre of bag water; look at count, bags, mass_g and "
            "bag_water_l",
        )
    shape = _shape(lot)
    if shape is not None and not _SHAPE[0] <= shape <= _SHAPE[1]:
        mass, length = exact(lot.mass_g or 0), exact(lot.length_cm or 0)
        yield Fault((*where, "mass_g"), f"no fish of {length} cm weighs {mass} g")
    opened, released = lot.opened_at_hours, lot.released_at_hours
    if opened is not None and released is not None and released < opened:
        yield Fault(
            (*where, "released_at_hours"), "the fish were released before the bag was opened"
        )
    if lot.sealed == "yes" and released is not None:
        yield Fault((*where, "sealed"), 'the bags are shut, and their fish released; write "no"')
    elif lot.sealed == "yes" and opened is not None:
        yield Fault((*where, "sealed"), 'the bags are shut, and were opened; write "no"')
    for name in ("opened_at_hours", "released_at_hours"):
        yield from _time_faults((*where, name), getattr(lot, name))


def _load_kg_l(lot: Lot) -> float | None:
    if lot.count is None or lot.mass_g is None or lot.bag_water_l is None or not lot.bags:
        return None
    return lot.count / lot.bags * lot.mass_g / 1000 / lot.bag_water_l


def _time_faults(where: Where, hours: float | None) -> Iterator[Fault]:
    if hours is not None and not EARLIEST_H <= hours <= LATEST_H:
        yield Fault(
            where,
            f"{exact(hours)} hours are {span(abs(hours))} {'after' if hours > 0 else 'before'} "
            f"receipt; a case takes {exact(EARLIEST_H)} to {exact(LATEST_H)}",
        )


def _look_faults(where: Where, look: Observation, case: Case) -> Iterator[Fault]:
    yield from _time_faults((*where, "at_hours"), look.at_hours)
    counts = [look.counts.normal, look.counts.down, look.counts.dead]
    held = _count_of(case, look.lot)
    if held is not None and sum(filter(None, counts)) > held:
        yield Fault(
            (*where, "counts"),
            f"{sum(filter(None, counts))} fish are counted, and there are {held}; mend the counts "
            "or the lot's count",
        )
    for water in WATERS:
        readings = getattr(look, water)
        oxygen = readings.do_mg_l
        if oxygen is None:
            continue
        most = MOST_OPEN_MG_L if water != "bag" else _most_under_oxygen(readings.temperature_c)
        if oxygen.value > most:
            what = "water open to the air" if water != "bag" else "water under pure oxygen"
            yield Fault(
                (*where, water, "do_mg_l"),
                f"{what} holds no {exact(oxygen.value)} mg/L of oxygen (at most {short(most)}); "
                f'for percent of saturation write "{exact(oxygen.value)} %"',
            )


def _most_under_oxygen(temperature: object) -> float:
    from advisor.units import saturated_mg_l

    at_c = getattr(temperature, "value", 0.0)
    return _UNDER_OXYGEN * saturated_mg_l(min(max(at_c, 0.0), 40.0))


def _count_of(case: Case, lot: str) -> int | None:
    """Fish of a lot, or of all; None when some lot's number is not known."""
    lots = [each for each in case.lot if lot in ("all", each.id)]
    known = [each.count for each in lots if each.count is not None]
    return sum(known) if lots and len(known) == len(lots) else None


def _outcome_faults(case: Case) -> Iterator[Fault]:
    held = _count_of(case, "all")
    alive = case.outcome.survivors_48h
    if held is not None and alive is not None and alive > held:
        yield Fault(("outcome", "survivors_48h"), f"{alive} survive, and there were {held}")
    for at, death in enumerate(case.outcome.deaths):
        where = ("outcome", "deaths", at)
        yield from _time_faults((*where, "at_hours"), death.at_hours)
        of_lot = _count_of(case, death.lot)
        if of_lot is not None and death.dead > of_lot:
            yield Fault((*where, "dead"), f"{death.dead} died, and there were {of_lot}")


def unlikely(case: Case) -> Iterator[str]:
    """What may be but seldom is: sentences that stand beside the advice."""
    from advisor.units import is_odd

    for lot in case.lot:
        yield from _odd_lot(lot)
    for at, look in enumerate(case.observation, 1):
        for water in WATERS:
            for name, reading in getattr(look, water).given().items():
                question = None if look.from_log else is_odd(reading.value, name)
                if question:
                    yield f"look {at}, {water}: {question}"
        if look.minutes_after_opening is not None and _shut(case, look.lot):
            yield f"look {at}: minutes after opening are given, and the bags are still shut"
    yield from warmth_remarks(case)
    yield from _falling_deaths(case)
    transit = case.transit
    if transit.delay_hours and transit.hours_sealed and transit.delay_hours > transit.hours_sealed:
        yield "the delay is longer than the whole journey"


def _odd_lot(lot: Lot) -> Iterator[str]:
    if lot.bag_water_l is not None and ODD_BAG_L < lot.bag_water_l <= MOST_BAG_L:
        yield f'lot "{lot.id}": {exact(lot.bag_water_l)} litres are much for one bag'
    load = _load_kg_l(lot)
    if load is not None and ODD_LOAD_KG_L < load <= MOST_LOAD_KG_L:
        yield f'lot "{lot.id}": {short(load)} kg of fish to each litre of bag water'
    if lot.bags is not None and lot.count is not None and lot.bags > lot.count:
        yield f'lot "{lot.id}": more bags ({lot.bags}) than fish ({lot.count})'
    if lot.bag_gas_l and lot.bag_water_l and lot.bag_gas_l > 30 * lot.bag_water_l:
        yield f'lot "{lot.id}": over thirty times as much gas as water in a bag'
    shape = _shape(lot)
    if shape is not None and not _ODD_SHAPE[0] <= shape <= _ODD_SHAPE[1]:
        yield f'lot "{lot.id}": {exact(lot.mass_g or 0)} g at {exact(lot.length_cm or 0)} cm is odd'


def _shape(lot: Lot) -> float | None:
    """Weight by the cube of length [g/cm3]."""
    known = lot.mass_g is not None and lot.length_cm is not None
    return (lot.mass_g or 0) / (lot.length_cm or 1) ** 3 if known else None


def _shut(case: Case, lot: str) -> bool:
    lots = [each for each in case.lot if lot in ("all", each.id)]
    return bool(lots) and all(each.sealed == "yes" for each in lots)


def _falling_deaths(case: Case) -> Iterator[str]:
    """Dead are counted from the beginning: a later look never has fewer."""
    most: dict[str, int] = {}
    for look in sorted(case.observation, key=lambda each: each.at_hours):
        dead = look.counts.dead
        if dead is None:
            continue
        if dead < most.get(look.lot, 0):
            yield (
                f"at {exact(look.at_hours)} h {dead} dead are counted, and {most[look.lot]} were "
                "before; dead are counted from the beginning"
            )
        most[look.lot] = max(dead, most.get(look.lot, 0))


def line_of(text: str, where: Where) -> int:
    """The line (from 1) of a TOML text on which a figure stands, else its table's; 0 if neither."""
    seen: dict[str, int] = {}
    inside, table_line = False, 0
    top, entry = str(where[0]), next((w for w in where[1:] if isinstance(w, int)), 0)
    names = [str(w) for w in where[1:] if isinstance(w, str)]
    for number, line in enumerate(text.splitlines(), 1):
        stripped = line.strip()
        if stripped.startswith("["):
            name = stripped.strip("[] ").split("#")[0].strip("] ")
            head = name.split(".")[0].strip()
            if stripped.startswith("[[") and name == top:
                seen[top] = seen.get(top, -1) + 1
            inside = head == top and seen.get(top, 0) == entry
            if inside and not table_line:
                table_line = number
        elif inside and names:
            key = stripped.split("=")[0].replace(" ", "").replace('"', "")
            dotted = ".".join(names)
            if key in (dotted, names[-1], names[0]) or key.startswith(f"{dotted}."):
                return number
    return table_line
