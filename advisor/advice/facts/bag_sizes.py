"""How big the bags are, how full of fish, and what share of the tank they take up afloat."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.record import Record
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.wording.numbers import exact, short


def bag_records(case: Case, lot: Lot, base: RuleBase) -> Iterator[Record]:
    """Water in each bag [L], fish in each, bags of all lots, and bags over the tank [of 1]."""
    for record in (_water(lot), _fish(lot), _of_delivery(case), _share(case, lot)):
        if record is not None and record.name in base.quantities:
            yield record


def _water(lot: Lot) -> Record | None:
    if lot.bag_water_l is None:
        return None
    litres = lot.bag_water_l
    where = (f'lot "{lot.id}", bag_water_l',)
    return Record("computed", "bag_water_l", litres, "answered", litres, litres, "L", where)


def _fish(lot: Lot) -> Record | None:
    if not lot.count or not lot.bags:
        return None
    each = lot.count / lot.bags
    return Record(
        "computed",
        "fish_per_bag",
        each,
        "computed",
        each,
        each,
        "fish",
        (f'lot "{lot.id}", count', f'lot "{lot.id}", bags'),
        formula="count / bags",
        working=f"{lot.count} / {lot.bags} = {short(each, 3)}",
    )


def _of_delivery(case: Case) -> Record | None:
    """Bags of all lots together; not known as long as one lot does not say how many."""
    told = [lot.bags for lot in case.lot if lot.bags]
    if not told or len(told) < len(case.lot):
        return None
    total = float(sum(told))
    where = tuple(f'lot "{lot.id}", bags' for lot in case.lot)
    return Record("computed", "delivery_bags", total, "answered", total, total, "bags", where)


def _share(case: Case, lot: Lot) -> Record | None:
    """Gas that nobody told is between none and as much as a bag takes; none counts as sure."""
    from advisor.advice.facts.forecast import GAS_TO_WATER

    tank = case.receiving.volume_l
    if lot.bag_water_l is None or not tank:
        return None
    count, water = lot.bags or 1, lot.bag_water_l
    gas = [water * times for times in GAS_TO_WATER]
    if lot.bag_gas_l is not None:
        gas = [lot.bag_gas_l] * 3
    value, low, high = (count * (water + each) / tank for each in gas)
    places = [f'lot "{lot.id}", bag_water_l', "receiving.volume_l"]
    places += [f'lot "{lot.id}", bags'] if lot.bags else []
    places += [f'lot "{lot.id}", bag_gas_l'] if lot.bag_gas_l is not None else []
    return Record(
        "computed",
        "bags_to_tank_volume",
        value,
        "computed",
        low,
        high,
        "of 1",
        tuple(places),
        formula="bags x (bag_water_l + bag_gas_l) / volume_l",
        working=f"{count} x ({exact(water)} + {exact(gas[0])}) L / {exact(tank)} L"
        f" = {short(value, 3)}",
        note=None if lot.bag_gas_l is not None else "gas not given, a usual share taken",
    )
