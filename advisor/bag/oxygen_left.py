"""How long the oxygen of a shut bag still lasts."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.bag.integrator import Course, Run, Start

Array = npt.NDArray[np.float64]


#: Gas pressure of oxygen [atm] an air breather is taken to need. Judgement.
_AIR_BREATHER_ATM = 0.05
_TINY = 1e-12


def oxygen_hours_left(start: Start, course: Course, result: Run, limit_mmol_l: float) -> Array:
    """Hours until the water falls under an oxygen limit, per sample; inf without fish.

    The gas is taken to feed the water at a steady rate: the limit is reached
    when the gas pressure no longer drives oxygen in as fast as the fish use
    it. What is used until then, over the rate of use at the end, is the time.
    For air breathers the gas alone counts.
    """
    gulps = course.air_share > 0.0
    volume = course.volume_l[-1]
    use = course.use[-1] * (limit_mmol_l / (limit_mmol_l + course.half_rate))
    use = np.where(gulps, course.use[-1], use)
    rest = result.o2[-1] - limit_mmol_l * volume
    from_gas = _from_gas(start, course, result, limit_mmol_l, use, gulps)
    spent = np.where(result.gas_o2[-1] > 0.0, rest + from_gas, rest)
    hours = np.maximum(spent, 0.0) / np.maximum(use, _TINY)
    hours = np.where((rest > 0.0) | gulps, hours, 0.0)
    return np.asarray(np.where(use > 0.0, hours, np.inf))


def _from_gas(
    start: Start,
    course: Course,
    result: Run,
    limit_mmol_l: float,
    use: Array,
    gulps: npt.NDArray[np.bool_],
) -> Array:
    """Oxygen the gas can give off before its pressure is too low [mmol]."""
    drive = use / np.maximum(course.volume_l[-1] * course.ko[-1], _TINY)
    needed = np.where(gulps, _AIR_BREATHER_ATM, (limit_mmol_l + drive) / course.beta[-1])
    oxygen, co2 = result.gas_o2[-1], result.gas_co2[-1]
    if course.gas == "jar":
        return np.asarray(oxygen - needed / np.maximum(course.jar_atm_per_mmol[-1], _TINY))
    # a bag shrinks at constant pressure: oxygen's share of the gas sets its pressure,
    # and part of the CO2 given off until then joins the gas
    ratio = needed / np.maximum(course.dry_atm[-1] - needed, _TINY)
    free = co2 + result.co2[-1] * course.volume_l[-1]
    co2_to_gas = course.rq * co2 / np.maximum(free, _TINY)
    return np.asarray((oxygen - ratio * (start.gas_n2_mmol + co2)) / (1.0 + ratio * co2_to_gas))
