"""What each way of the move does to the fish, in numbers; worked out only when asked for.

The physics is :mod:`advisor.bag`'s, from readings or, where there are none, from bands.
Nothing here decides: the limits stand in ``rules/moves.toml``.
"""

from __future__ import annotations

from typing import NamedTuple

from advisor.advice.facts.forecast import GILL_LIMIT, SAMPLES, measured_in_bag, sealed_bag
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.move.cost_of_ways import COMPUTED_AS
from advisor.bag.banded import Amount, Band
from advisor.bag.inputs import TankWater
from advisor.bag.tank_told import Tank, tank_water
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase


class WayNumbers(NamedTuple):
    """One way in numbers; bands are 5 to 95 %.

    nh3_peak_n_mg_l, nh3_dose_n_mg_h_l : un-ionised ammonia met [mg/L as N, and times hours]
    co2_dose_mg_h_l   : carbon dioxide met [mg/L times hours]
    lowest_do_mg_l    : least oxygen met [mg/L]
    ph_step, temperature_step_c, salinity_step_g_kg : largest change within five minutes
    minutes_to_harm   : until un-ionised ammonia passes the gill limit, None when it does not
    """

    move: str
    nh3_peak_n_mg_l: Band
    nh3_dose_n_mg_h_l: Band
    co2_dose_mg_h_l: Band
    lowest_do_mg_l: Band
    ph_step: Band
    temperature_step_c: Band
    salinity_step_g_kg: Band
    minutes_to_harm: float | None


def ways_in_numbers(case: Case, sheet: FactSheet, base: RuleBase) -> tuple[WayNumbers, ...]:
    """Every way that can be computed for a lot in a bag; none where too little is told."""
    from advisor.advice.facts.forecast import sealed_forecast
    from advisor.bag import ALL_METHODS, compare_openings

    bag = sealed_bag(case, sheet.lot, sheet.kind, sheet.records)
    tank = tank_of(sheet)
    if bag is None or tank is None:
        return ()
    wanted = {name: move for move, name in COMPUTED_AS.items()}
    methods = tuple(method for method in ALL_METHODS if method.name in wanted)
    try:
        forecast = sealed_forecast(bag, measured_in_bag(case, sheet.lot, sheet.records))
        found = compare_openings(forecast, tank, methods, samples=SAMPLES)
    except AdvisorError:
        return ()
    limit = base.limits[GILL_LIMIT].value
    return tuple(
        WayNumbers(
            wanted[each.name],
            each.peak_nh3_n_mg_l,
            each.nh3_dose_mg_h_l,
            each.co2_dose_mg_h_l,
            each.lowest_do_mg_l,
            each.steepest_ph_step,
            each.steepest_temperature_step_c,
            each.salinity_step_g_kg,
            each.minutes_to_nh3_limit(limit).minutes,
        )
        for each in found
    )


def tank_of(sheet: FactSheet) -> TankWater | None:
    """The tank in the simulation's terms; None without temperature or alkalinity."""
    told = tank_told(sheet)
    if told.temperature_c is None or told.alkalinity_mg_l_caco3 is None:
        return None
    try:
        return tank_water(told, 0.0)[0]
    except AdvisorError:
        return None


def tank_told(sheet: FactSheet) -> Tank:
    """The tank as far as the facts tell of it."""
    return Tank(
        volume_l=sheet.number("tank_volume_l"),
        temperature_c=amount_of(sheet, "tank_temperature_c"),
        ph=amount_of(sheet, "tank_ph"),
        alkalinity_mg_l_caco3=amount_of(sheet, "tank_alkalinity_mg_l_caco3"),
        tan_mg_l=amount_of(sheet, "tank_tan_mg_l"),
        nitrite_mg_l=amount_of(sheet, "tank_nitrite_mg_l"),
        do_mg_l=amount_of(sheet, "tank_do_mg_l"),
        salinity_g_kg=amount_of(sheet, "tank_salinity_g_kg"),
        conductivity_us_cm=amount_of(sheet, "tank_conductivity_us_cm"),
    )


def amount_of(sheet: FactSheet, name: str) -> Amount | None:
    """A reading as the simulation takes it: exact, or with its band."""
    record = sheet.quantity(name)
    if record is None:
        return None
    low, high = record.band
    return record.number if low == high else Band(record.number, low, high)
