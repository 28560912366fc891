"""The tank as the bag's simulation takes it, from what was told of it."""

from __future__ import annotations

from advisor.advice.facts.forecast import usual_salinity_g_kg
from advisor.advice.facts.sheet import FactSheet
from advisor.bag.banded import Amount, Band
from advisor.bag.inputs import TankWater
from advisor.bag.tank_told import Tank, tank_water
from advisor.errors import AdvisorError


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
    """The tank as far as the facts tell of it; of a kind of the sea it holds sea water."""
    salinity = amount_of(sheet, "tank_salinity_g_kg")
    return Tank(
        volume_l=sheet.number("tank_volume_l"),
        temperature_c=amount_of(sheet, "tank_temperature_c"),
        ph=amount_of(sheet, "tank_ph"),
        alkalinity_mg_l_caco3=amount_of(sheet, "tank_alkalinity_mg_l_caco3"),
        tan_mg_l=amount_of(sheet, "tank_tan_mg_l"),
        nitrite_mg_l=amount_of(sheet, "tank_nitrite_mg_l"),
        do_mg_l=amount_of(sheet, "tank_do_mg_l"),
        salinity_g_kg=usual_salinity_g_kg(sheet.kind) or None if salinity is None else salinity,
        conductivity_us_cm=amount_of(sheet, "tank_conductivity_us_cm"),
    )


def amount_of(sheet: FactSheet, name: str) -> Amount | None:
    """A reading as the simulation takes it: exact, or with its band."""
    record = sheet.quantity(name)
    if record is None:
        return None
    low, high = record.band
    return record.number if low == high else Band(record.number, low, high)
