"""How much oxygen the fish use and how much ammonia they give off, over time and samples."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import fish_defaults as f
from advisor.bag.banded import Amount, Range
from advisor.bag.draws import Draws
from advisor.water import masses
from advisor.wording.numbers import exact

Array = npt.NDArray[np.float64]

#: mg per mmol of O2 and of N.
O2_MG = 2.0 * masses.O
N_MG = masses.N
_NITROGEN_HOURS, _NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH = np.array(f.NITROGEN_BY_FAST).T


_FEEDING_HOURS, _FEEDING_VALUE, _FEEDING_LOW, _FEEDING_HIGH = np.array(f.FEEDING_BY_FAST).T


class Metabolism(NamedTuple):
    """The fish of one bag; each an array over samples (or of one element).

    routine_mmol_h : oxygen use of all the fish at 24 °C, settled, fasted, oxygen ample
    ceiling_mmol_h : the most they can use at 24 °C
    heat_limit     : above it use no longer grows with warmth but fails [°C]
    narcosis       : share of use that CO2 can take away
    fasted_h       : hours since the last meal at packing, None unknown
    nitrogen_place : where in the range of ammonia per oxygen each sample lies, -1 to 1
    nitrogen_fixed : mol N per mol O2 when the last meal is unknown
    nitrogen_times : what a reading of ammonia makes of either
    feeding        : place in the range of feeding (last meal known), or its factor (unknown)
    rq             : CO2 per O2, mol/mol, of which water and gas get the share carbon_found
    half_rate      : oxygen at half use [mmol/L]
    dead_share, dead_since_h, dead_mmol_h : dead of the fish; when [h]; ammonia then at 24 °C
    """

    routine_mmol_h: Array
    ceiling_mmol_h: Array
    q10: Array
    heat_limit: Array
    peak: Array
    peak_h: Array
    rq: Array
    carbon_found: Array
    half_rate: Array
    air_share: Array
    narcosis: Array
    fasted_h: float | None
    nitrogen_place: Array
    nitrogen_fixed: Array
    nitrogen_times: Array
    feeding: Array
    dead_share: float
    dead_since_h: Array
    dead_mmol_h: Array

    @property
    def co2_per_o2(self) -> Array:
        """mol of CO2 that water and gas get per mol O2."""
        return np.asarray(self.rq * self.carbon_found)

    def use(self, hours: Array, temperature_c: Array, since_packing: Array | None = None) -> Array:
        """Oxygen use [mmol/h] at hours since handling (times,), shape (times, samples).

        since_packing : hours since packing, where handling was later
        """
        packed = hours if since_packing is None else since_packing
        warmth = self._warmth(temperature_c)
        excited = 1.0 + (self.peak - 1.0) * np.exp(-hours[:, None] / self.peak_h)
        wanted = self.routine_mmol_h * excited * self._feeding(packed)
        use = warmth * np.minimum(wanted, self.ceiling_mmol_h)
        if self.dead_share:
            use = use * (1.0 - self.dead_share * self._died(packed))
        return np.asarray(use)

    def quotient(self, hours: Array) -> Array:
        """mol N per mol O2 over the step ending at each of these hours since packing."""
        if self.fasted_h is None:
            fixed = self.nitrogen_fixed * self.nitrogen_times
            return np.broadcast_to(fixed, (len(hours), len(fixed)))
        middle = _middles(hours) + self.fasted_h
        log = [
            np.interp(middle, _NITROGEN_HOURS, np.log(column))[:, None]
            for column in (_NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH)
        ]
        place = self.nitrogen_place
        away = np.where(place < 0.0, log[0] - log[1], log[2] - log[0])
        return np.asarray(np.exp(log[0] + place * away) * self.nitrogen_times * (O2_MG / N_MG))

    def dead_n(self, hours: Array, temperature_c: Array) -> Array:
        """Ammonia [mmol/h] of the dead over the step ending at each hour since packing."""
        if not self.dead_share:
            return np.zeros((len(hours), 1))
        warmth = self.q10 ** ((temperature_c - f.REFERENCE_C) / 10.0)
        return np.asarray(self.dead_mmol_h * warmth * self._died(_middles(hours)))

    def nitrogen_away(self, hours: float) -> tuple[float, float]:
        """Logarithms of how far the range of ammonia per oxygen reaches down and up."""
        if self.fasted_h is None:
            r = f.NITROGEN_UNKNOWN
            return float(np.log(r.value / r.low)), float(np.log(r.high / r.value))
        value, low, high = _nitrogen_at(self.fasted_h + 0.5 * hours)
        return float(np.log(value / low)), float(np.log(high / value))

    def picked(self, order: npt.NDArray[np.intp]) -> Metabolism:
        """The same fish with the samples in another order."""
        return Metabolism(*(picked(part, order) for part in self))

    def _warmth(self, temperature_c: Array) -> Array:
        over = np.maximum(temperature_c - self.heat_limit, 0.0)
        rate = self.q10 ** ((temperature_c - over - f.REFERENCE_C) / 10.0)
        return np.asarray(rate * np.maximum(1.0 - over / f.HEAT_FAILS_WITHIN_C, 0.0))

    def _feeding(self, packed: Array) -> Array:
        if self.fasted_h is None:
            return self.feeding
        value, low, high = (
            np.interp(packed + self.fasted_h, _FEEDING_HOURS, column)[:, None]
            for column in (_FEEDING_VALUE, _FEEDING_LOW, _FEEDING_HIGH)
        )
        place = self.feeding
        return np.asarray(value + place * np.where(place < 0.0, value - low, high - value))

    def _died(self, packed: Array) -> Array:
        return np.asarray(packed[:, None] > self.dead_since_h, float)


def picked(part: Any, order: npt.NDArray[np.intp]) -> Any:
    """Samples of one array in another order; what is the same in all samples stays."""
    if isinstance(part, np.ndarray) and part.shape[-1] > 1:
        return part[..., order]
    return part


def _middles(hours: Array) -> Array:
    return np.concatenate([hours[:1], 0.5 * (hours[1:] + hours[:-1])])


def _nitrogen_at(hours: float) -> tuple[float, ...]:
    return tuple(
        float(np.exp(np.interp(hours, _NITROGEN_HOURS, np.log(column))))
        for column in (_NITROGEN_VALUE, _NITROGEN_LOW, _NITROGEN_HIGH)
    )


def metabolism(
    draws: Draws,
    *,
    fish_count: int,
    fish_mass_g: Amount | None,
    oxygen_use_factor: Amount | None,
    sedated: bool | None,
    air_breather: bool,
    fasted_hours: float | None,
    dead_count: int = 0,
    hours: float = 0.0,
) -> Metabolism:
    """Draw the metabolism of a bag's fish; unknown factors widen it.

    dead_count, hours : dead on arrival, and the journey in which they died
    """
    if fish_count == 0 or fish_mass_g is None:
        return _no_fish()
    mass = draws.known("fish_mass_g", fish_mass_g)
    if oxygen_use_factor is None:
        per_kg = draws.assumed(f.OXYGEN_USE)
    else:
        factor = draws.known("oxygen_use_factor", oxygen_use_factor)
        per_kg = f.OXYGEN_USE.value * factor * draws.assumed(f.OXYGEN_USE_KNOWN)
    size = (mass / f.REFERENCE_MASS_G) ** draws.assumed(f.MASS_EXPONENT)
    mmol_per_mg_kg = mass * fish_count / 1000.0 / O2_MG
    if sedated is not False:
        per_kg = per_kg * draws.assumed(f.SEDATION if sedated else f.SEDATION_UNKNOWN)
    ceiling = f.OXYGEN_USE_CEILING * np.maximum(per_kg / f.OXYGEN_USE.value, 1.0)
    if fasted_hours is not None:
        _note_nitrogen(draws, fasted_hours)
    known_fast = fasted_hours is not None
    none, one = np.zeros(1), np.ones(1)
    dead_g = dead_count * mass
    return Metabolism(
        routine_mmol_h=per_kg * size * mmol_per_mg_kg,
        ceiling_mmol_h=ceiling * size * mmol_per_mg_kg,
        q10=draws.assumed(f.Q10),
        heat_limit=draws.assumed(f.HEAT_LIMIT),
        peak=draws.assumed(f.HANDLING_PEAK),
        peak_h=draws.assumed(f.HANDLING_HOURS),
        rq=draws.assumed(f.RESPIRATORY_QUOTIENT),
        carbon_found=draws.assumed(f.CARBON_FOUND),
        half_rate=draws.assumed(f.HALF_RATE_DO) / O2_MG,
        air_share=draws.assumed(f.AIR_SHARE) if air_breather else np.zeros(1),
        narcosis=draws.assumed(f.NARCOSIS),
        fasted_h=fasted_hours,
        nitrogen_place=draws.place("nitrogen_quotient") if known_fast else none,
        nitrogen_fixed=none if known_fast else draws.assumed(f.NITROGEN_UNKNOWN) * (O2_MG / N_MG),
        nitrogen_times=one,
        feeding=draws.place("feeding") if known_fast else draws.assumed(f.FEEDING_UNKNOWN),
        dead_share=dead_count / fish_count,
        dead_since_h=hours * draws.assumed(f.DEAD_SINCE) if dead_count else none,
        dead_mmol_h=dead_g * draws.assumed(f.DEAD_N) / 24.0 / N_MG if dead_count else none,
    )


def _note_nitrogen(draws: Draws, fasted_hours: float) -> None:
    value, low, high = _nitrogen_at(fasted_hours)
    text = (
        f"ammonia-N given off per oxygen used, {exact(fasted_hours)} h after the last meal at "
        "packing"
    )
    unit = f.NITROGEN_UNKNOWN.unit
    draws.note(Range("nitrogen_quotient", text, value, low, high, unit, f.NITROGEN_SOURCE))
    value, low, high = (
        float(np.interp(fasted_hours, _FEEDING_HOURS, column))
        for column in (_FEEDING_VALUE, _FEEDING_LOW, _FEEDING_HIGH)
    )
    text = (
        f"oxygen use against a fasted fish's, {exact(fasted_hours)} h after the last meal at "
        "packing"
    )
    draws.note(Range("feeding", text, value, low, high, "times", f.FEEDING_SOURCE))


def _no_fish() -> Metabolism:
    none, one = np.zeros(1), np.ones(1)
    return Metabolism(
        routine_mmol_h=none, ceiling_mmol_h=none, q10=one, heat_limit=40.0 * one, peak=one,
        peak_h=one, rq=one, carbon_found=one, half_rate=one * (f.HALF_RATE_DO.value / O2_MG),
        air_share=none, narcosis=none, fasted_h=None, nitrogen_place=none, nitrogen_fixed=none,
        nitrogen_times=one, feeding=one, dead_share=0.0, dead_since_h=none, dead_mmol_h=none,
    )  # fmt: skip
