"""How long the oxygen of a shut bag still lasts: what is stored, and what crosses the surface.

Two things can run short. The store, water and gas together, lasts so many
hours whatever the surface. What crosses a surface nobody disturbs can be less
than the fish use, so that the water grows poor under a full gas: turning the
bag gently mends that.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.course import Course, Run, Start

Array = npt.NDArray[np.float64]


#: Gas pressure of oxygen [atm] an air breather is taken to need. Judgement.
_AIR_BREATHER_ATM = 0.05
_TINY = 1e-12
#: As many times what is used: more than enough.
_AMPLE = 20.0


class OxygenLeft(NamedTuple):
    """Per sample: hours of the store, hours with the surface as it is, what crosses it at the
    limit over what is used, and the share of the packed gas oxygen that is left."""

    store_h: Array
    still_h: Array
    crossing: Array
    gas_left: Array


def oxygen_left(
    start: Start, course: Course, result: Run, limit_mmol_l: float, turned_per_h: Array
) -> OxygenLeft:
    """Hours until the water cannot be held over an oxygen limit; inf without fish.

    turned_per_h : exchange of the bag when it is turned gently [1/h]

    The limit is reached when the gas no longer drives oxygen in as fast as the
    settled fish use it. What is used until then, over the rate of use, is the
    time. For air breathers the gas alone counts.
    """
    gulps = course.air_share > 0.0
    volume = course.volume_l[-1]
    use = course.use[-1] * (limit_mmol_l / (limit_mmol_l + course.half_rate))
    use = np.maximum(np.where(gulps, course.use[-1], use), _TINY)
    rest = result.o2[-1] - limit_mmol_l * volume
    has_gas = start.gas_o2_mmol > 0.0
    moved = np.maximum(turned_per_h, course.ko[-1])

    def stored(ko: Array) -> Array:
        gas = _from_gas(course, result, limit_mmol_l, use, gulps, ko)
        return np.asarray(rest + np.where(has_gas, np.maximum(gas, 0.0), 0.0))

    supply = course.ko[-1] * (
        volume * course.beta[-1] * _oxygen_atm(course, result) - limit_mmol_l * volume
    )
    crossing = np.where(gulps, _AMPLE, np.clip(supply / use, 0.0, _AMPLE))
    store = np.maximum(stored(moved), 0.0) / use
    falling = np.maximum(rest, 0.0) / np.maximum(use - np.minimum(supply, use), _TINY)
    still = np.where(crossing < 1.0, falling, np.maximum(stored(course.ko[-1]), 0.0) / use)
    still = np.where((rest > 0.0) | gulps, np.minimum(still, store), 0.0)
    no_fish = course.use[-1] <= 0.0
    return OxygenLeft(
        np.where(no_fish, np.inf, store),
        np.where(no_fish, np.inf, still),
        np.where(no_fish, _AMPLE, crossing) + 0.0 * result.o2[-1],
        np.where(has_gas, result.gas_o2[-1] / np.maximum(start.gas_o2_mmol, _TINY), 0.0),
    )


def _oxygen_atm(course: Course, result: Run) -> Array:
    """Pressure of the oxygen in the gas at the end [atm]."""
    oxygen = result.gas_o2[-1]
    gas = oxygen + result.gas_co2[-1] + result.gas_n2[-1]
    in_bag = course.dry_atm[-1] * oxygen / np.maximum(gas, _TINY)
    return np.asarray(in_bag + course.jar * (course.jar_atm_per_mmol[-1] * oxygen - in_bag))


def _from_gas(
    course: Course,
    result: Run,
    limit_mmol_l: float,
    use: Array,
    gulps: npt.NDArray[np.bool_],
    ko: Array,
) -> Array:
    """Oxygen the gas can give off before its pressure is too low [mmol]."""
    drive = use / np.maximum(course.volume_l[-1] * ko, _TINY)
    needed = np.where(gulps, _AIR_BREATHER_ATM, (limit_mmol_l + drive) / course.beta[-1])
    oxygen, co2 = result.gas_o2[-1], result.gas_co2[-1]
    in_jar = oxygen - needed / np.maximum(course.jar_atm_per_mmol[-1], _TINY)
    # a bag shrinks at constant pressure: oxygen's share of the gas sets its pressure,
    # and part of the CO2 given off until then joins the gas
    short = course.dry_atm[-1] - needed
    ratio = needed / np.maximum(short, _TINY)
    free = co2 + result.co2[-1] * course.volume_l[-1]
    co2_to_gas = course.rq * co2 / np.maximum(free, _TINY)
    in_bag = (oxygen - ratio * (result.gas_n2[-1] + co2)) / (1.0 + ratio * co2_to_gas)
    in_bag = np.where(short > 0.0, in_bag, 0.0)
    return np.asarray(np.where(course.jar > 0.0, in_jar, in_bag))
