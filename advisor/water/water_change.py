"""How much water to change, and in how many steps, to bring NH3 under a limit.

New water of a higher pH can raise NH3 while it lowers total ammonia, and every
change moves pH. So each step is solved, not read off a proportion: the largest
change that keeps the pH step within what is allowed, or the smallest that
reaches the limit.

pH is that just after mixing, before CO2 escapes or the fish add anything.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from advisor.water.ammonia import unionised_ammonia_mg_l
from advisor.water.carbonate import Water, mix, ph_from
from advisor.water.input_checks import check_between, check_not_negative, check_positive

#: How finely a change is looked through for a pH or NH3 bump on the way.
_STEPS = 40


class Mixed(NamedTuple):
    """The tank just after a change of this fraction."""

    fraction: float
    ph: float
    nh3_mg_l: float
    water: Water


class ChangePlan(NamedTuple):
    """Changes in order.

    reached        : whether NH3 ends at or under the limit
    limited_by     : what sets the size of the first change: "limit" (no more is
                     needed), "ph step", "largest change", or "new water" when
                     the new water itself is over the limit
    peak_nh3_mg_l  : highest NH3 met on the way, the start included
    """

    changes: tuple[Mixed, ...]
    reached: bool
    limited_by: str
    peak_nh3_mg_l: float


def after_change(tank: Water, new: Water, fraction: float) -> Mixed:
    """The tank just after replacing this fraction (0 to 1) of it with the new water.

    ``new.volume_l`` does not matter. Raises AdvisorError outside 0 to 1.
    """
    check_between("fraction", fraction, 0.0, 1.0)
    check_positive("volume_l", tank.volume_l, "L")
    kept = tank._replace(volume_l=tank.volume_l * (1.0 - fraction))
    water = mix([kept, new._replace(volume_l=tank.volume_l * fraction)])
    ph = ph_from(*water[1:])
    nh3 = unionised_ammonia_mg_l(water.tan_mg_l, ph, water.temperature_c, water.salinity_g_kg)
    return Mixed(fraction, ph, nh3, water)


def water_change_plan(
    tank: Water,
    new: Water,
    nh3_limit_mg_l: float,
    ph_step: float,
    *,
    largest_fraction: float = 0.5,
    most_changes: int = 20,
) -> ChangePlan:
    """Changes that bring NH3 [mg N/L] to the limit, none moving pH by more than ph_step.

    tank, new        : the water as it is and the water put in
    nh3_limit_mg_l   : un-ionised ammonia to reach [mg N/L], 0 or more
    ph_step          : largest change of pH in one step, more than 0
    largest_fraction : largest share of the tank to change at once

    Raises AdvisorError for an impossible input.
    """
    check_not_negative("nh3_limit_mg_l", nh3_limit_mg_l, "mg/L")
    check_positive("ph_step", ph_step)
    check_positive("largest_fraction", largest_fraction)
    now = after_change(tank, new, 0.0)
    peak = now.nh3_mg_l
    if now.nh3_mg_l <= nh3_limit_mg_l:
        return ChangePlan((), True, "limit", peak)
    if after_change(tank, new, 1.0).nh3_mg_l > nh3_limit_mg_l:
        return ChangePlan((), False, "new water", peak)
    changes: list[Mixed] = []
    limited_by = ""
    while now.nh3_mg_l > nh3_limit_mg_l and len(changes) < most_changes:
        now, why, highest = _one_change(now, new, nh3_limit_mg_l, ph_step, largest_fraction)
        peak = max(peak, highest)
        limited_by = limited_by or why
        changes.append(now)
    return ChangePlan(tuple(changes), now.nh3_mg_l <= nh3_limit_mg_l, limited_by, peak)


def _one_change(
    now: Mixed, new: Water, limit: float, ph_step: float, largest: float
) -> tuple[Mixed, str, float]:
    """The next change, what limited it, and the highest NH3 while pouring."""

    def too_far(mixed: Mixed) -> bool:
        return abs(mixed.ph - now.ph) > ph_step

    def there(mixed: Mixed) -> bool:
        return mixed.nh3_mg_l <= limit

    best = after_change(now.water, new, 0.0)
    highest = best.nh3_mg_l
    for i in range(1, _STEPS + 1):
        trial = after_change(now.water, new, largest * i / _STEPS)
        if too_far(trial):
            inside, _ = _edge(now.water, new, best.fraction, trial.fraction, too_far)
            return inside, "ph step", max(highest, inside.nh3_mg_l)
        if there(trial):
            _, enough = _edge(now.water, new, best.fraction, trial.fraction, there)
            return enough, "limit", highest
        best = trial
        highest = max(highest, trial.nh3_mg_l)
    return best, "largest change", highest


def _edge(
    tank: Water, new: Water, low: float, high: float, holds: Callable[[Mixed], bool]
) -> tuple[Mixed, Mixed]:
    """The changes just before and just after ``holds`` turns true between two fractions."""
    before, after = after_change(tank, new, low), after_change(tank, new, high)
    for _ in range(40):
        middle = after_change(tank, new, 0.5 * (before.fraction + after.fraction))
        if holds(middle):
            after = middle
        else:
            before = middle
    return before, after
