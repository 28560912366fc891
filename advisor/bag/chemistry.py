"""Constants of the water along a simulation, and the pH solve of one time step.

Fresh water (up to ``SEA_FROM_G_KG``): the constants and Davies correction of
:mod:`advisor.water`, with dissolved salt counted in the ionic strength. Above:
those of sea water, with borate. The equations live in ``advisor.water``; here
they are laid out over the time grid once, so that a step only solves for pH.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.errors import AdvisorError
from advisor.water.arrays import constants_arrays
from advisor.water.constants import KELVIN
from advisor.water.salinity import eos80_kg_m3
from advisor.water.seawater import SEA_FROM_G_KG, fits

Array = npt.NDArray[np.float64]

_LN10 = math.log(10.0)


class WaterConstants(NamedTuple):
    """Constants over (times, samples), either of length 1 where nothing changes.

    k1, k2, kn : as in advisor.water.carbonate [mol/L]; kh_mmol, kw_mmol in mmol/L
    davies     : ln(10) times the Davies A; 0 in sea water, whose constants are conditional
    salt_ions  : ionic strength of dissolved salt [mol/L]
    boron      : total borate [mmol/L], or None in fresh water; kb its constant
    """

    k1: Array
    k2: Array
    kn: Array
    kh_mmol: Array
    kw_mmol: Array
    davies: Array
    salt_ions: Array
    boron: Array | None = None
    kb: Array | None = None

    def at(self, i: int) -> WaterConstants:
        """The constants at one time."""
        return WaterConstants(*(None if part is None else part[i] for part in self))  # type: ignore[arg-type]


class StepWater(NamedTuple):
    """The water after a step: ln of hydrogen-ion activity, concentrations [mmol/L],
    and what NH3, carbonate and H+ add to the ionic strength [mmol/L]."""

    log_h: Array
    co2: Array
    nh3: Array
    more_ions: Array


def water_constants(temperature_c: Array, salinity_g_kg: Array) -> WaterConstants:
    """Constants for a course of temperature [°C] and salinity [g/kg], each (times, samples).

    Sea-water constants throughout if any of it is saltier than ``SEA_FROM_G_KG``.
    """
    if np.max(salinity_g_kg) > SEA_FROM_G_KG:
        return _sea(temperature_c, salinity_g_kg)
    c = constants_arrays(temperature_c)
    # ionic strength of sea salt per kg of water (Dickson et al. 2007, from memory)
    salt = 19.924e-3 * salinity_g_kg / (1.0 - 1.005e-3 * salinity_g_kg)
    salt = np.broadcast_to(salt, np.broadcast_shapes(salt.shape, c.k1.shape))
    return WaterConstants(c.k1, c.k2, c.kn, 1e3 * c.kh, 1e3 * c.kw, _LN10 * c.davies_a, salt)


def _sea(temperature_c: Array, salinity_g_kg: Array) -> WaterConstants:
    """Free-scale constants; amounts per litre, hydrogen ion per kg as a meter has it."""
    t, s = np.broadcast_arrays(temperature_c + KELVIN, np.maximum(salinity_g_kg, 1e-3))
    c = fits(t, s, np.log(t), np.exp)
    mmol_l = eos80_kg_m3(temperature_c, salinity_g_kg)  # 1000 mmol/mol times kg/L
    none = np.zeros_like(t)
    return WaterConstants(
        c.k1, c.k2, c.kn, c.kh * mmol_l, c.kw * mmol_l, none, none, c.borate * mmol_l, c.kb
    )


def carbonate_step(
    c: WaterConstants,
    alkalinity: Array,
    carbon: Array,
    tan: Array,
    share: Array | float,
    guess: Array,
    more_ions: Array | float,
) -> StepWater:
    """pH of water that shares ``carbon`` with something taking ``share`` mmol/L per mmol/L of CO2.

    alkalinity, carbon, tan : [meq/L, mmol/L, mmol/L]; share 0 for water by itself
    guess                   : ln of the hydrogen-ion activity to start from

    Newton on ln h for the charge balance of advisor.water.carbonate; the
    balance rises steadily with pH, so there is one root.
    """
    ions = np.maximum((alkalinity + tan + more_ions) * 1e-3, 0.0) + c.salt_ions
    root = np.sqrt(ions)
    g1 = np.exp(c.davies * (0.3 * ions - root / (1.0 + root)))
    k1, k2, kn, kw, free = c.k1 / g1, c.k2 / (g1 * g1 * g1), c.kn * g1, c.kw_mmol / g1, 1e3 / g1
    whole = 1.0 + share
    over_carbon = 1.0 / np.maximum(carbon, 1e-30)
    x = guess
    for _ in range(60):
        h = np.exp(x)
        r1 = k1 / h
        r2 = k2 / h
        co2 = carbon / (whole + r1 * (1.0 + r2))
        hco3 = co2 * r1
        two_co3 = 2.0 * hco3 * r2
        held = hco3 + two_co3
        oh = kw / h
        free_h = free * h
        taken = kn / (kn + h)
        nh3 = tan * taken
        gap = held + oh - free_h + nh3 - alkalinity
        slope = held * (1.0 - held * over_carbon) + two_co3 + oh + free_h + nh3 * (1.0 - taken)
        if c.boron is not None and c.kb is not None:
            borate = c.boron * c.kb / (c.kb + h)
            gap = gap + borate
            slope = slope + borate * h / (c.kb + h)
        move = gap / slope
        worst = np.abs(move).max()
        if worst > 2.0:
            move = np.clip(move, -2.0, 2.0)
        x = x + move
        if worst < 1e-6:
            return StepWater(x, co2, nh3, 0.5 * two_co3 - nh3 + free_h)
    raise AdvisorError("The pH of this water could not be solved; check alkalinity, pH and TAN.")
