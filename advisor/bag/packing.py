"""A bag as packed: time grid, temperature on the way, water and fish at the start."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.bands import Amount
from advisor.bag.chemistry import water_constants
from advisor.bag.draws import Draws
from advisor.bag.gases import dry_atm, oxygen_mmol_l_atm
from advisor.bag.inputs import SealedBag, TemperaturePath
from advisor.bag.respiration import N_MG, O2_MG, Metabolism, metabolism
from advisor.bag.state import carbon_from_pco2, carbon_from_ph
from advisor.water.masses import CACO3_MG_PER_MEQ
from advisor.water.seawater import SEA_FROM_G_KG

Array = npt.NDArray[np.float64]

#: Early steps are the first plus this share of the time gone; from EARLY_H on, half hours.
_FIRST_STEP_H = 0.02
_STEP_SHARE = 0.1
_EARLY_H = 5.0
_STEP_H = 0.5


class PackedWater(NamedTuple):
    """Water and fish at the start; concentrations [mmol/L, meq/L] over samples."""

    volume_l: Array
    depth_cm: Array
    salinity: Array
    o2: Array
    dic: Array
    tan: Array
    alkalinity: Array
    ph: Array
    fish: Metabolism


@lru_cache(maxsize=32)
def time_grid(hours: float) -> Array:
    """Times [h] from 0 to the end: short steps while the water settles, then half hours."""
    if hours < _FIRST_STEP_H:
        return np.array([0.0, hours]) if hours > 0.0 else np.zeros(1)
    times, step = [0.0], _FIRST_STEP_H
    while times[-1] + 1.5 * step < min(hours, _EARLY_H):
        times.append(times[-1] + step)
        step = _FIRST_STEP_H + _STEP_SHARE * times[-1]
    late = np.arange(_EARLY_H, hours - 0.2 * _STEP_H, _STEP_H)
    grid = np.array([*times, *late, hours])
    grid.flags.writeable = False
    return grid


def temperature_course(bag: SealedBag, draws: Draws, hours: Array) -> Array:
    """Water temperature [°C], (times, samples): one box losing its gap to the outside.

    Froese: T = outside + (start - outside) exp(-t / time constant).
    """
    given = bag.temperature
    if not isinstance(given, TemperaturePath):
        constant = draws.known("temperature_c", given)
        return np.broadcast_to(constant, (len(hours), len(constant)))
    start = draws.either(given.start_c, d.START_TEMPERATURE)
    if given.outside_c is None:
        outside = start + draws.assumed(d.UNKNOWN_OUTSIDE)
    else:
        outside = draws.known("outside_c", given.outside_c)
    time_constant = draws.either(given.time_constant_h, d.BOX_TIME_CONSTANT_H)
    gap = (start - outside) * np.exp(-hours[:, None] / time_constant)
    return np.asarray(np.clip(outside + gap, 0.0, 45.0))


def packed_water(bag: SealedBag, draws: Draws, temperature_c: Array) -> PackedWater:
    """Water and fish at packing; what nobody measured is drawn from its range."""
    volume = draws.known("water_l", bag.water_l)
    salinity = draws.known("salinity_g_kg", bag.salinity_g_kg)
    sea = float(salinity.max()) > SEA_FROM_G_KG
    hardness = d.START_ALKALINITY_SEA if sea else d.START_ALKALINITY
    alkalinity = draws.either(bag.alkalinity_mg_l_caco3, hardness) / CACO3_MG_PER_MEQ
    tan = draws.either(bag.tan_mg_l, d.START_TAN) / N_MG
    constants = water_constants(temperature_c[None], salinity[None]).at(0)
    if bag.ph is None:
        dic, ph = carbon_from_pco2(constants, draws.assumed(d.START_CO2), alkalinity, tan)
    else:
        ph = draws.known("ph", bag.ph)
        dic = carbon_from_ph(constants, ph, alkalinity, tan)
    if bag.do_mg_l is None:
        air = d.AIR_O2 * dry_atm(temperature_c) * oxygen_mmol_l_atm(temperature_c, salinity)
        o2 = air * draws.assumed(d.START_SATURATION)
    else:
        o2 = draws.known("do_mg_l", bag.do_mg_l) / O2_MG
    return PackedWater(
        volume, depth_of(bag.depth_cm, volume, draws), salinity, o2, dic, tan, alkalinity, ph,
        _fish(bag, draws),
    )  # fmt: skip


def depth_of(depth_cm: Amount | None, volume_l: Array, draws: Draws) -> Array:
    """Depth of the water [cm]: as given, or from the edge of a cube of that volume."""
    if depth_cm is None:
        return np.asarray(draws.assumed(d.DEPTH) * np.cbrt(volume_l * 1000.0))
    return draws.known("depth_cm", depth_cm)


def _fish(bag: SealedBag, draws: Draws) -> Metabolism:
    return metabolism(
        draws,
        fish_count=bag.fish_count,
        fish_mass_g=bag.fish_mass_g,
        oxygen_use_factor=bag.oxygen_use_factor,
        sedated=bag.sedated,
        air_breather=bag.air_breather,
        fasted_hours=bag.fasted_hours,
    )
