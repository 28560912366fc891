"""Constants of the water along a simulation, and the pH solve of one time step.

The model and its constants are those of :mod:`advisor.water` (fresh, salted
and sea water), and so is the charge balance. Constants are laid out over the
time grid once; a step then only has to close the balance, from a good guess,
with part of the carbon held by whatever the water exchanges with.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.media import media_arrays
from advisor.errors import AdvisorError
from advisor.water.charge_balance import Conditional, carbonate_left, charges
from advisor.water.charge_balance import conditional as conditional_of

Array = npt.NDArray[np.float64]


#: Newton stops after a move of ln h smaller than this; what is left is of its square, 1e-6.
_LAST_MOVE = 1e-3


class Working(NamedTuple):
    """What the steps work with: numpy's functions for arrays, math's for plain numbers."""

    exp: Callable[[Any], Any]
    log: Callable[[Any], Any]
    sqrt: Callable[[Any], Any]
    maximum: Callable[[Any, Any], Any]
    minimum: Callable[[Any, Any], Any]
    largest: Callable[[Any], float]


def _largest(values: Array) -> float:
    return float(np.abs(values).max())


ARRAYS = Working(np.exp, np.log, np.sqrt, np.maximum, np.minimum, _largest)
#: One sample alone: plain numbers are several times quicker than arrays of one.
NUMBERS = Working(math.exp, math.log, math.sqrt, max, min, abs)


class WaterConstants(NamedTuple):
    """Constants over (times, samples), as :class:`advisor.bag.media.Media` has them.

    The hydrogen ion is per kilogram, as a meter has it, everything else per
    litre: kh_mmol [mmol/L/atm], kw [mmol/L x mol/kg], borate [mmol/L].
    """

    k1: Array
    k2: Array
    kn: Array
    kb: Array
    kh_mmol: Array
    kw: Array
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
    return WaterConstants(*(_over(times, part) for part in parts))


def _over(times: int, part: Array) -> Array:
    if part.ndim == 2 and len(part) == times:
        return part
    return np.broadcast_to(part, (times, part.shape[-1] if part.ndim else 1))


def conditional(c: WaterConstants, ions: Any, alkalinity: Any, w: Working = ARRAYS) -> Conditional:
    """Constants at an ionic strength [mmol/L] besides salt, with sodium's pairs counted."""
    strength = w.maximum(ions, 0.0) * 1e-3 + c.salt_ionic
    sodium = alkalinity * 1e-3 + c.salt_sodium
    return conditional_of(c, strength, sodium, 1e3, w.exp, w.sqrt)


class StepWater(NamedTuple):
    """The water after a step: ln of hydrogen-ion activity, concentrations [mmol/L],
    and what NH3, carbonate and H+ add to the ionic strength [mmol/L]."""

    log_h: Array
    co2: Array
    nh3: Array
    more_ions: Array


def carbonate_step(
    c: WaterConstants,
    alkalinity: Any,
    carbon: Any,
    tan: Any,
    share: Any,
    guess: Any,
    more_ions: Any = 0.0,
    salted: bool = True,
    w: Working = ARRAYS,
) -> StepWater:
    """pH of water that shares ``carbon`` with something taking ``share`` mmol/L per mmol/L of CO2.

    alkalinity, carbon, tan : [meq/L, mmol/L, mmol/L]; share 0 for water by itself
    guess                   : ln of the hydrogen-ion activity to start from
    more_ions               : what the last StepWater gave
    salted                  : False where it is known that there is no borate
    w                       : numpy's or math's functions

    Newton on ln h for the charge balance; it rises steadily with pH, so there is one root.
    """
    k = conditional(c, alkalinity + tan + more_ions, alkalinity, w)
    whole = 1.0 + share
    over_carbon = 1.0 / w.maximum(carbon, 1e-30)
    borate = c.borate if salted else None
    x = guess
    for _ in range(60):
        at = charges(w.exp(x), k, alkalinity, tan, carbon, whole, c.kb, borate)
        held = at.hco3 + 2.0 * at.co3
        move = at.gap / (at.slope - held * held * over_carbon)
        worst = w.largest(move)
        if worst > 2.0:
            move = w.maximum(w.minimum(move, 2.0), -2.0)
        x = x + move
        if worst < _LAST_MOVE:
            # carry the concentrations along the last move: first order is enough, it is small
            co2 = at.co2 + at.co2 * held * over_carbon * move
            nh3 = at.nh3 - at.nh3 * (1.0 - at.freed) * move
            return StepWater(x, co2, nh3, at.co3 - nh3 + at.hydrogen)
    raise AdvisorError("The pH of this water could not be solved; check alkalinity, pH and TAN.")


def settled_water(
    c: WaterConstants, alkalinity: Any, carbon: Any, tan: Any, guess: Any, w: Working = ARRAYS
) -> StepWater:
    """One water by itself, solved without a step before it to take the ionic strength from."""
    water = carbonate_step(c, alkalinity, carbon, tan, 0.0, guess, w=w)
    for _ in range(2):
        water = carbonate_step(
            c, alkalinity, carbon, tan, 0.0, water.log_h, water.more_ions, True, w
        )
    return water


class WaterAtPh(NamedTuple):
    """A water of known pH: what carbonates the alkalinity leaves, bicarbonate, K1 and K2."""

    left: Array
    hco3: Array
    k1: Array
    k2: Array


def water_at_ph(c: WaterConstants, ph: Array, alkalinity: Array, tan: Array) -> WaterAtPh:
    """Carbonates [meq/L, mmol/L] of a water of this pH and alkalinity."""
    h = 10.0**-ph
    ions = np.asarray(alkalinity + tan, float)
    for _ in range(4):
        k = conditional(c, ions, alkalinity)
        left = carbonate_left(h, k, alkalinity, tan, c.kb, c.borate)
        hco3 = np.maximum(left, 0.0) / (1.0 + 2.0 * k.k2 / h)
        ions = alkalinity + tan - tan * k.kn / (k.kn + h) + k.free * h + hco3 * k.k2 / h
    return WaterAtPh(left, hco3, k.k1, k.k2)


def alkalinity_at_ph(c: WaterConstants, ph: Array, co2: Array, tan: Array) -> Array:
    """Alkalinity [meq/L] of a water of this pH that holds this free CO2 [mmol/L]."""
    h = 10.0**-ph
    alkalinity = np.zeros(1)
    for _ in range(8):
        k = conditional(c, np.abs(alkalinity) + tan, np.maximum(alkalinity, 0.0))
        hco3 = co2 * k.k1 / h
        nothing = carbonate_left(h, k, 0.0, tan, c.kb, c.borate)
        alkalinity = hco3 * (1.0 + 2.0 * k.k2 / h) - nothing
        alkalinity = np.clip(alkalinity, -1e3, 1e3)
    return np.asarray(alkalinity)
