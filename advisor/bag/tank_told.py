"""The tank as far as it was told, in the simulation's terms; what was not is taken and said."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.bag import defaults
from advisor.bag.banded import Amount, Band, Range, centre
from advisor.bag.inputs import TankWater
from advisor.water.seawater import SEA_FROM_G_KG
from advisor.wording.numbers import exact

#: Volume taken for a tank whose size is not known [L]; it matters only to pouring bag water in.
ANY_TANK_L = 1000.0


@dataclass(frozen=True)
class Tank:
    """The receiving water as far as it is known; None is unknown.

    filter : "cycled", "part" or "new", None unknown
    """

    volume_l: float | None = None
    temperature_c: Amount | None = None
    ph: Amount | None = None
    alkalinity_mg_l_caco3: Amount | None = None
    tan_mg_l: Amount | None = None
    nitrite_mg_l: Amount | None = None
    do_mg_l: Amount | None = None
    salinity_g_kg: Amount | None = None
    conductivity_us_cm: Amount | None = None
    filter: str | None = None


def tank_water(tank: Tank, salinity_g_kg: Amount) -> tuple[TankWater, tuple[str, ...]]:
    """The tank for the simulation, and what had to be taken for granted, in words.

    salinity_g_kg : of the bag, taken for a tank whose salinity is not known

    Raises AdvisorError for an impossible tank.
    """
    taken = []

    def known_or(given: Amount | None, usual: Range, what: str, unit: str) -> Amount:
        if given is not None:
            return given
        taken.append(
            f"{what} {exact(usual.value)} {unit} ({exact(usual.low)} to {exact(usual.high)})"
        )
        return Band(usual.value, usual.low, usual.high)

    sea = centre(salinity_g_kg) > SEA_FROM_G_KG
    alkalinity = defaults.START_ALKALINITY_SEA if sea else defaults.START_ALKALINITY
    water = TankWater(
        volume_l=ANY_TANK_L if tank.volume_l is None else tank.volume_l,
        temperature_c=known_or(tank.temperature_c, defaults.START_TEMPERATURE, "temperature", "°C"),
        alkalinity_mg_l_caco3=known_or(
            tank.alkalinity_mg_l_caco3, alkalinity, "alkalinity", "mg/L as CaCO3"
        ),
        ph=tank.ph,
        tan_mg_l=tank.tan_mg_l or 0.0,
        do_mg_l=tank.do_mg_l,
        salinity_g_kg=salinity_g_kg if tank.salinity_g_kg is None else tank.salinity_g_kg,
        conductivity_us_cm=tank.conductivity_us_cm,
    )
    if tank.ph is None:
        taken.append("pH in balance with room air")
    if tank.tan_mg_l is None:
        taken.append("no ammonia in it")
    return water, tuple(taken)
