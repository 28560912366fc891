"""The bag's water at the moment of opening, from a forecast or from readings alone."""

from __future__ import annotations

import numpy as np

from advisor.bag import defaults as d
from advisor.bag.banded import Amount, centre
from advisor.bag.draws import Draws
from advisor.bag.gases import dry_atm, oxygen_mmol_l_atm
from advisor.bag.inputs import Measured
from advisor.bag.outcomes import SealedForecast
from advisor.bag.packing import alkalinity_by_co2
from advisor.bag.respiration import N_MG, O2_MG, Metabolism, metabolism
from advisor.bag.state import BagState, carbon_from_ph
from advisor.bag.step_chemistry import water_constants
from advisor.errors import AdvisorError
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2
from advisor.water.seawater import SEA_FROM_G_KG

#: Water of a bag nobody described [L]; it sets how deep the water stands and how fast it warms.
_USUAL_WATER_L = 2.0


def bag_at_opening(bag: SealedForecast | BagState | Measured, samples: int, seed: int) -> BagState:
    """The state an opening starts from."""
    if isinstance(bag, SealedForecast):
        return bag.state
    return bag if isinstance(bag, BagState) else state_from_readings(bag, Draws(samples, seed))


def state_from_readings(measured: Measured, draws: Draws) -> BagState:
    """A bag known only by its readings.

    Raises AdvisorError when pH or TAN is missing: nothing else stands in for them.
    """
    for name in ("ph", "tan_mg_l"):
        if getattr(measured, name) is None:
            raise AdvisorError(
                f"{name}: missing; without a forecast of the sealed bag, pH and TAN must be read."
            )
    water_l = _USUAL_WATER_L if measured.water_l is None else measured.water_l
    volume = draws.known("water_l", water_l)
    temperature = draws.either(measured.temperature_c, d.START_TEMPERATURE)
    salinity = draws.known("salinity_g_kg", measured.salinity_g_kg or 0.0)
    tan = draws.known("read_tan_mg_l", measured.tan_mg_l or 0.0) / N_MG
    ph = draws.known("read_ph", measured.ph or 7.0)
    c = water_constants(temperature[None], salinity[None]).at(0)
    read, conductivity = measured.alkalinity_mg_l_caco3, measured.conductivity_us_cm
    sea = float(salinity.max()) > SEA_FROM_G_KG
    hardness = d.START_ALKALINITY_SEA if sea else d.START_ALKALINITY
    if read is None:
        drawn = draws.assumed(hardness) / CACO3_MG_PER_MEQ
        co2 = draws.assumed(d.BAG_CO2) / CO2
        alkalinity = alkalinity_by_co2(c, ph, drawn, hardness, co2, d.BAG_CO2, tan)
    else:
        alkalinity = draws.known("read_alkalinity", read) / CACO3_MG_PER_MEQ
    if measured.do_mg_l is None:
        air = d.AIR_O2 * dry_atm(temperature) * oxygen_mmol_l_atm(temperature, salinity)
        o2 = air * draws.assumed(d.START_SATURATION)
    else:
        o2 = draws.known("read_do_mg_l", measured.do_mg_l) / O2_MG
    return BagState(
        water_l=volume,
        o2=o2,
        dic=carbon_from_ph(c, ph, alkalinity, tan),
        tan=tan,
        alkalinity=alkalinity,
        ph=ph,
        temperature_c=temperature,
        salinity_g_kg=salinity,
        conductivity_us_cm=None
        if conductivity is None
        else draws.known("conductivity_us_cm", conductivity),
        depth_cm=np.cbrt(volume * 1000.0) * draws.assumed(d.DEPTH["standing"]),
        depth_told=False,
        fish=_fish_of(measured.fish_total_g, draws),
        hours=0.0,
        draws=draws,
    )


def _fish_of(total_g: Amount | None, draws: Draws) -> Metabolism:
    """Fish of one gram each, so many that the mass is right; none when the mass is unknown."""
    return metabolism(
        draws,
        fish_count=0 if total_g is None else round(centre(total_g)),
        fish_mass_g=1.0,
        oxygen_use_factor=None,
        sedated=None,
        air_breather=False,
        fasted_hours=None,
    )
