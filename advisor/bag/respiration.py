"""How much oxygen the fish use and how much ammonia they give off, over time and samples."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.bands import Amount, Range
from advisor.bag.draws import Draws
from advisor.water import masses

Array = npt.NDArray[np.float64]

#: mg per mmol of O2 and of N.
O2_MG = 2.0 * masses.O
N_MG = masses.N
_NITROGEN_HOURS, _NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH = np.array(d.NITROGEN_BY_FAST).T


class Metabolism(NamedTuple):
    """The fish of one bag; each an array over samples (or of one element).

    routine_mmol_h : oxygen use of all the fish at 24 °C, settled, oxygen ample
    ceiling_mmol_h : the most they can use at 24 °C
    fasted_h       : hours since the last meal at packing, None unknown
    nitrogen_place : where in the range of ammonia per oxygen each sample lies, -1 to 1
    nitrogen_fixed : mol N per mol O2 when the last meal is unknown
    half_rate      : oxygen at half use [mmol/L]
    """

    routine_mmol_h: Array
    ceiling_mmol_h: Array
    q10: Array
    peak: Array
    peak_h: Array
    rq: Array
    half_rate: Array
    air_share: Array
    fasted_h: float | None
    nitrogen_place: Array
    nitrogen_fixed: Array

    def use(self, hours: Array, temperature_c: Array) -> Array:
        """Oxygen use [mmol/h] at hours since handling (times,), shape (times, samples)."""
        warmth = self.q10 ** ((temperature_c - d.REFERENCE_C) / 10.0)
        excited = 1.0 + (self.peak - 1.0) * np.exp(-hours[:, None] / self.peak_h)
        return np.asarray(warmth * np.minimum(self.routine_mmol_h * excited, self.ceiling_mmol_h))

    def quotient(self, hours: Array) -> Array:
        """mol N per mol O2 over the step ending at each of these hours since packing."""
        if self.fasted_h is None:
            return np.broadcast_to(self.nitrogen_fixed, (len(hours), len(self.nitrogen_fixed)))
        middle = np.concatenate([hours[:1], 0.5 * (hours[1:] + hours[:-1])]) + self.fasted_h
        log = [
            np.interp(middle, _NITROGEN_HOURS, np.log(column))[:, None]
            for column in (_NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH)
        ]
        place = self.nitrogen_place
        away = np.where(place < 0.0, log[0] - log[1], log[2] - log[0])
        return np.asarray(np.exp(log[0] + place * away) * (O2_MG / N_MG))


def metabolism(
    draws: Draws,
    *,
    fish_count: int,
    fish_mass_g: Amount | None,
    oxygen_use_factor: Amount | None,
    sedated: bool | None,
    air_breather: bool,
    fasted_hours: float | None,
) -> Metabolism:
    """Draw the metabolism of a bag's fish; unknown factors widen it."""
    if fish_count == 0 or fish_mass_g is None:
        return _no_fish()
    mass = draws.known("fish_mass_g", fish_mass_g)
    if oxygen_use_factor is None:
        per_kg = draws.assumed(d.OXYGEN_USE)
    else:
        factor = draws.known("oxygen_use_factor", oxygen_use_factor)
        per_kg = d.OXYGEN_USE.value * factor * draws.assumed(d.OXYGEN_USE_KNOWN)
    size = (mass / d.REFERENCE_MASS_G) ** draws.assumed(d.MASS_EXPONENT)
    mmol_per_mg_kg = mass * fish_count / 1000.0 / O2_MG
    if sedated is not False:
        per_kg = per_kg * draws.assumed(d.SEDATION if sedated else d.SEDATION_UNKNOWN)
    ceiling = d.OXYGEN_USE_CEILING * np.maximum(per_kg / d.OXYGEN_USE.value, 1.0)
    if fasted_hours is not None:
        _note_nitrogen(draws, fasted_hours)
    known_fast = fasted_hours is not None
    return Metabolism(
        routine_mmol_h=per_kg * size * mmol_per_mg_kg,
        ceiling_mmol_h=ceiling * size * mmol_per_mg_kg,
        q10=draws.assumed(d.Q10),
        peak=draws.assumed(d.HANDLING_PEAK),
        peak_h=draws.assumed(d.HANDLING_HOURS),
        rq=draws.assumed(d.RESPIRATORY_QUOTIENT),
        half_rate=draws.assumed(d.HALF_RATE_DO) / O2_MG,
        air_share=draws.assumed(d.AIR_SHARE) if air_breather else np.zeros(1),
        fasted_h=fasted_hours,
        nitrogen_place=draws.place("nitrogen_quotient") if known_fast else np.zeros(1),
        nitrogen_fixed=np.zeros(1)
        if known_fast
        else draws.assumed(d.NITROGEN_UNKNOWN) * (O2_MG / N_MG),
    )


def _note_nitrogen(draws: Draws, fasted_hours: float) -> None:
    value, low, high = (
        float(np.exp(np.interp(fasted_hours, _NITROGEN_HOURS, np.log(column))))
        for column in (_NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH)
    )
    text = f"ammonia-N given off per oxygen used, {fasted_hours:g} h after the last meal at packing"
    unit = d.NITROGEN_UNKNOWN.unit
    draws.note(Range("nitrogen_quotient", text, value, low, high, unit, d.NITROGEN_SOURCE))


def _no_fish() -> Metabolism:
    none, one = np.zeros(1), np.ones(1)
    return Metabolism(
        none, none, one, one, one, one, one * (d.HALF_RATE_DO.value / O2_MG), none, None, none, none
    )
