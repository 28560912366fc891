"""Gas above the water: solubility of oxygen, vapour, amounts in a headspace."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.water import masses
from advisor.water.constants import GAS_CONSTANT_L_ATM, KELVIN
from advisor.water.oxygen import STANDARD_MMHG, oxygen_saturation_mg_l, vapour_pressure_mmhg

Array = npt.NDArray[np.float64]

_NODES = np.arange(0.0, 48.5, 0.5)
_SEA = 35.0
_CM2_PER_100_IN2 = 645.16
#: Permeability is told in gas at 0 °C and 1 atm.
_CM3_PER_MMOL = 22.414


class Film(NamedTuple):
    """What one atmosphere drives through the wall of a bag [mmol/h/atm]."""

    o2: Array
    co2: Array
    n2: Array


class Headspace(NamedTuple):
    """What the gas of a sealed bag holds [mmol], each an array over samples."""

    o2: Array
    co2: Array
    n2: Array


def oxygen_mmol_l_atm(temperature_c: Array, salinity_g_kg: Array) -> Array:
    """Oxygen dissolved per atmosphere of oxygen [mmol/L/atm].

    The saturation of :mod:`advisor.water.oxygen` over the pressure it stands for,
    between whole half degrees; its logarithm is straight in salinity.
    """
    fresh, sea, _ = _tables()
    ln = np.interp(temperature_c, _NODES, fresh)
    if np.any(salinity_g_kg > 0.0):
        ln = ln + salinity_g_kg / _SEA * (np.interp(temperature_c, _NODES, sea) - ln)
    return np.asarray(np.exp(ln) / (2.0 * masses.O * d.AIR_O2 * dry_atm(temperature_c)))


def dry_atm(temperature_c: Array) -> Array:
    """Pressure left for the dry gas above water at one atmosphere [atm]."""
    return np.asarray(1.0 - np.interp(temperature_c, _NODES, _tables()[2]))


@lru_cache(maxsize=1)
def _tables() -> tuple[Array, Array, Array]:
    """At each half degree: ln saturation [mg/L] of fresh and sea water, vapour pressure [atm]."""
    ln = [[math.log(oxygen_saturation_mg_l(t, s)) for t in _NODES.tolist()] for s in (0.0, _SEA)]
    vapour = [vapour_pressure_mmhg(t) / STANDARD_MMHG for t in _NODES.tolist()]
    return np.array(ln[0]), np.array(ln[1]), np.array(vapour)


def mmol_of_gas(gas_l: Array, temperature_c: Array) -> Array:
    """Dry gas in a bag blown up to this volume at one atmosphere [mmol]."""
    return np.asarray(
        dry_atm(temperature_c) * gas_l * 1e3 / (GAS_CONSTANT_L_ATM * (temperature_c + KELVIN))
    )


def headspace(gas: str, gas_l: Array, temperature_c: Array, oxygen_fraction: Array) -> Headspace:
    """The gas as sealed: air, or oxygen with what air was left in the bag."""
    whole = mmol_of_gas(gas_l, temperature_c)
    if gas == "oxygen":
        return Headspace(whole * oxygen_fraction, np.zeros(1), whole * (1.0 - oxygen_fraction))
    return Headspace(whole * d.AIR_O2, whole * d.AIR_CO2, whole * (1.0 - d.AIR_O2 - d.AIR_CO2))


def exchange_per_h(velocity_cm_h: Array, depth_cm: Array, temperature_c: Array) -> Array:
    """Oxygen transfer coefficient [1/h] from a velocity at 20 °C and the depth of the water."""
    return np.asarray(velocity_cm_h / depth_cm * d.EXCHANGE_PER_C ** (temperature_c - 20.0))


def jar_atm_per_mmol(gas_l: Array, temperature_c: Array) -> Array:
    """What one mmol of gas presses in a jar of this gas volume [atm]; 0 without gas."""
    rt = GAS_CONSTANT_L_ATM * 1e-3 * (temperature_c + KELVIN)
    return np.asarray(np.where(gas_l > 0.0, rt / np.maximum(gas_l, 1e-9), 0.0))


def film_of(water_l: Array, gas_l: Array, through: Array) -> Film:
    """What the wall round the gas of a bag lets through [mmol/h/atm].

    The gas touches its share of the wall.

    through : against one bag of ``FILM_MIL``, free on all sides
    """
    bag_l = water_l + gas_l
    area_cm2 = d.FILM_SHAPE * np.cbrt(bag_l * 1e3) ** 2 * (gas_l / bag_l)
    per_cm3_mil = area_cm2 / _CM2_PER_100_IN2 / d.FILM_MIL / 24.0 / _CM3_PER_MMOL * through
    cm3 = d.FILM_CM3_MIL
    return Film(*(np.asarray(cm3[gas] * per_cm3_mil) for gas in ("o2", "co2", "n2")))
