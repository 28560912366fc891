"""Constants of the water along a simulation, and the pH solve of one time step.

The model and its constants are those of :mod:`advisor.water` (fresh, salted
and sea water). They are laid out over the time grid once; a step then only
has to close the charge balance, from a good guess, with part of the carbon
held by whatever the water exchanges with.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.errors import AdvisorError
from advisor.water.arrays import media_arrays

Array = npt.NDArray[np.float64]


#: Newton stops after a move of ln h smaller than this; what is left is of its square, 1e-7.
_LAST_MOVE = 3e-4


class WaterConstants(NamedTuple):
    """Constants over (times, samples), as ``advisor.water.arrays.Media`` has them.

    The hydrogen ion is per kilogram, as a meter has it, everything else per
    litre: kh_mmol [mmol/L/atm], kw_mmol [mmol/L x mol/kg], borate [mmol/L].
    """

    k1: Array
    k2: Array
    kn: Array
    kb: Array
    kh_mmol: Array
    kw_mmol: Array
    borate: Array
    davies: Array
    salt_ionic: Array
    pair1: Array
    pair2: Array
    salt_sodium: Array

    def at(self, i: int) -> WaterConstants:
        """The constants at one time."""
        return WaterConstants(*(part[i] for part in self))

    def rows(self) -> list[WaterConstants]:
        """The constants at every time."""
        return list(map(WaterConstants._make, zip(*self, strict=True)))


class Conditional(NamedTuple):
    """Constants of one water at its ionic strength; ``free`` turns h into mmol/L of H+."""

    k1: Array
    k2: Array
    kn: Array
    kw: Array
    free: Array


def water_constants(temperature_c: Array, salinity_g_kg: Array) -> WaterConstants:
    """Constants for a course of temperature [°C] and salinity [g/kg], each (times, samples)."""
    times = max(temperature_c.shape[0], salinity_g_kg.shape[0])
    if np.any(salinity_g_kg > 0.0):
        temperature_c, salinity_g_kg = np.broadcast_arrays(temperature_c, salinity_g_kg)
    m = media_arrays(temperature_c, salinity_g_kg)
    mmol = 1e3 * m.kg_per_l
    parts = (
        m.k1, m.k2, m.kn, m.kb, m.kh * mmol, m.kw * mmol, m.borate * mmol,
        m.davies, m.salt_ionic, m.pair1, m.pair2, m.salt_sodium,
    )  # fmt: skip
    return WaterConstants(
        *(np.broadcast_to(part, (times, part.shape[-1] if part.ndim else 1)) for part in parts)
    )


def conditional(c: WaterConstants, ions: Array, alkalinity: Array) -> Conditional:
    """Constants at an ionic strength [mmol/L] besides salt, with sodium's pairs counted."""
    strength = np.maximum(ions, 0.0) * 1e-3 + c.salt_ionic
    root = np.sqrt(strength)
    g1 = np.exp(c.davies * (root / (1.0 + root) - 0.3 * strength))
    squared = g1 * g1
    sodium = alkalinity * 1e-3 + c.salt_sodium
    bound1 = 1.0 + c.pair1 * squared * sodium
    bound2 = 1.0 + c.pair2 * squared * squared * sodium
    return Conditional(
        c.k1 * bound1 / g1,
        c.k2 * bound2 / (bound1 * squared * g1),
        c.kn * g1,
        c.kw_mmol / g1,
        1e3 / g1,
    )


class StepWater(NamedTuple):
    """The water after a step: ln of hydrogen-ion activity, concentrations [mmol/L],
    and what NH3, carbonate and H+ add to the ionic strength [mmol/L]."""

    log_h: Array
    co2: Array
    nh3: Array
    more_ions: Array


def largest(values: Array) -> float:
    """Largest size among the values, quick for a single number too."""
    return abs(values) if isinstance(values, float) else float(np.abs(values).max())


def carbonate_step(
    c: WaterConstants,
    alkalinity: Array,
    carbon: Array,
    tan: Array,
    share: Array | float,
    guess: Array,
    more_ions: Array | float = 0.0,
    salted: bool = True,
) -> StepWater:
    """pH of water that shares ``carbon`` with something taking ``share`` mmol/L per mmol/L of CO2.

    alkalinity, carbon, tan : [meq/L, mmol/L, mmol/L]; share 0 for water by itself
    guess                   : ln of the hydrogen-ion activity to start from
    more_ions               : what the last StepWater gave
    salted                  : False where it is known that there is no borate

    Newton on ln h for the charge balance of advisor.water.carbonate; the
    balance rises steadily with pH, so there is one root.
    """
    k1, k2, kn, kw, free = conditional(c, alkalinity + tan + more_ions, alkalinity)
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
        if salted:
            dissociated = c.kb / (c.kb + h)
            gap = gap + c.borate * dissociated
            slope = slope + c.borate * dissociated * (1.0 - dissociated)
        move = gap / slope
        worst = largest(move)
        if worst > 2.0:
            move = np.clip(move, -2.0, 2.0)
        x = x + move
        if worst < _LAST_MOVE:
            # carry the concentrations along the last move: first order is enough, it is small
            co2 = co2 + co2 * held * over_carbon * move
            nh3 = nh3 - nh3 * (1.0 - taken) * move
            return StepWater(x, co2, nh3, 0.5 * two_co3 - nh3 + free_h)
    raise AdvisorError("The pH of this water could not be solved; check alkalinity, pH and TAN.")


def settled_water(
    c: WaterConstants, alkalinity: Array, carbon: Array, tan: Array, guess: Array
) -> StepWater:
    """One water by itself, solved without a step before it to take the ionic strength from."""
    water = carbonate_step(c, alkalinity, carbon, tan, 0.0, guess)
    for _ in range(2):
        water = carbonate_step(c, alkalinity, carbon, tan, 0.0, water.log_h, water.more_ions)
    return water
