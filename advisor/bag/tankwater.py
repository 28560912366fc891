"""The tank's water as samples."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.banded import Amount
from advisor.bag.draws import Draws
from advisor.bag.gases import dry_atm, oxygen_mmol_l_atm
from advisor.bag.inputs import TankWater
from advisor.bag.respiration import N_MG, O2_MG
from advisor.bag.state import BagState, carbon_from_pco2, carbon_from_ph
from advisor.bag.step_chemistry import StepWater, settled_water, water_constants
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SampledTank:
    """Concentrations [mmol/L, meq/L] and the rest, each an array over samples."""

    volume_l: float
    temperature_c: Array
    alkalinity: Array
    tan: Array
    dic: Array
    o2: Array
    ph: Array
    salinity_g_kg: Array
    conductivity_us_cm: Array | None
    kla_per_h: Array

    def quantities(self) -> dict[str, Array]:
        """What fish meet in the tank, one array over samples per quantity."""
        met = {**met_in(self), "salinity_g_kg": self.salinity_g_kg}
        if self.conductivity_us_cm is not None:
            met["conductivity_us_cm"] = self.conductivity_us_cm
        return met


def met_in(sampled: SampledTank | BagState) -> dict[str, Array]:
    """What fish meet in a water as it stands, salts apart; one array over samples per quantity."""
    c = water_constants(sampled.temperature_c[None], sampled.salinity_g_kg[None]).at(0)
    guess = np.asarray(sampled.ph * -LN10)
    water = settled_water(c, sampled.alkalinity, sampled.dic, sampled.tan, guess)
    return met_with(water, sampled.alkalinity, sampled.tan, sampled.o2, sampled.temperature_c)


def met_with(
    water: StepWater, alkalinity: Array, tan: Array, o2: Array, temperature_c: Array
) -> dict[str, Array]:
    """The same of a solved water, from its amounts [meq/L, mmol/L]."""
    return {
        "ph": np.asarray(water.log_h / -LN10),
        "tan_mg_l": tan * N_MG,
        "nh3_n_mg_l": water.nh3 * N_MG,
        "co2_mg_l": water.co2 * CO2,
        "do_mg_l": o2 * O2_MG,
        "temperature_c": temperature_c,
        "alkalinity_mg_l_caco3": alkalinity * CACO3_MG_PER_MEQ,
    }


def sample_tank(tank: TankWater, draws: Draws) -> SampledTank:
    """Draw the tank; pH unknown is taken from room air, oxygen unknown as saturated."""

    def known(name: str, amount: Amount) -> Array:
        return draws.known("tank_" + name, amount)

    temperature = known("temperature_c", tank.temperature_c)
    salinity = known("salinity_g_kg", tank.salinity_g_kg)
    alkalinity = known("alkalinity", tank.alkalinity_mg_l_caco3) / CACO3_MG_PER_MEQ
    tan = known("tan", tank.tan_mg_l) / N_MG
    constants = water_constants(temperature[None], salinity[None]).at(0)
    if tank.ph is None:
        dic, ph = carbon_from_pco2(constants, draws.assumed(d.ROOM_CO2), alkalinity, tan)
    else:
        ph = known("ph", tank.ph)
        dic = carbon_from_ph(constants, ph, alkalinity, tan)
    saturated = d.AIR_O2 * dry_atm(temperature) * oxygen_mmol_l_atm(temperature, salinity)
    o2 = saturated if tank.do_mg_l is None else known("do", tank.do_mg_l) / O2_MG
    conductivity = tank.conductivity_us_cm
    return SampledTank(
        volume_l=tank.volume_l,
        temperature_c=temperature,
        alkalinity=alkalinity,
        tan=tan,
        dic=dic,
        o2=o2,
        ph=ph,
        salinity_g_kg=salinity,
        conductivity_us_cm=None if conductivity is None else known("conductivity", conductivity),
        kla_per_h=draws.either(tank.kla_per_h, d.TANK_EXCHANGE),
    )
