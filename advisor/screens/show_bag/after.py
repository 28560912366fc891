"""The tank in the weeks after the fish went in: when limits are passed, and what keeps it under."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from advisor.advice.facts.forecast import GILL_LIMIT, SAMPLES
from advisor.advice.move.order import limit_of
from advisor.bag.banded import Amount, Band, centre, ends
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.screens.show_bag.bag_looked_at import BagView
from advisor.wording.numbers import exact, fixed, percent

if TYPE_CHECKING:
    from advisor.bag import ChangeAdvice, LimitTime, TankForecast

#: Nitrite limit of the rule base the tank is held against.
NITRITE_LIMIT = "nitrite_harm"
#: Food taken once they are fed [% of fish mass a day], the simulation's own default.
FEED_PERCENT = 1.0

Maturity = Literal["new", "part", "cycled"]
FILTER_WORDS: dict[Maturity, str] = {
    "cycled": "a mature filter",
    "part": "a part-grown filter (mature media moved in)",
    "new": "a new filter",
}


@dataclass(frozen=True)
class AfterStocking:
    """The tank with these fish, for each state of the filter that is possible.

    forecasts : by maturity; one when the filter is known, else mature and new
    """

    volume_l: float
    fish_count: int
    fish_total_g: float
    nh3_limit: float
    nitrite_limit: float
    forecasts: dict[Maturity, TankForecast]


def after_stocking(views: Sequence[BagView], base: RuleBase) -> AfterStocking | None:
    """The tank after all these lots went in; None when volume, number or mass is not known."""
    from advisor.bag import tank_after_stocking

    tank = views[0].asked.tank
    lots = [(view.asked.fish_count, view.asked.fish_mass_g) for view in views]
    if tank.volume_l is None or any(count and mass is None for count, mass in lots):
        return None
    count = sum(count for count, _ in lots)
    if count == 0:
        return None
    each = _mean_mass([(n, mass) for n, mass in lots if n and mass is not None])
    nh3, nitrite = limit_of(base, GILL_LIMIT), limit_of(base, NITRITE_LIMIT)
    known = tank.filter
    states: tuple[Maturity, ...] = ("cycled", "new") if known is None else (known,)  # type: ignore[assignment]
    try:
        forecasts = {
            state: tank_after_stocking(
                volume_l=tank.volume_l,
                fish_count=count,
                fish_mass_g=each,
                maturity=state,
                ph=_tank_ph(views[0]),
                temperature_c=centre(views[0].tank.temperature_c),
                salinity_g_kg=centre(views[0].tank.salinity_g_kg),
                feed_percent_per_day=FEED_PERCENT,
                start_tan_mg_l=centre(views[0].tank.tan_mg_l),
                start_nitrite_mg_l=centre(tank.nitrite_mg_l or 0.0),
                nh3_limit_mg_l=nh3,
                nitrite_limit_mg_l=nitrite,
                oxygen_use_factor=_oxygen_use(views),
                samples=SAMPLES,
            )
            for state in states
        }
    except AdvisorError:
        return None  # a tank the forecast cannot hold is left to the readings
    return AfterStocking(tank.volume_l, count, count * centre(each), nh3, nitrite, forecasts)


def _mean_mass(lots: Sequence[tuple[int, Amount]]) -> Amount:
    """Mass of one fish [g] over several lots, with its band."""
    total = sum(count for count, _ in lots)
    value, low, high = (
        sum(count * ends(mass)[at] for count, mass in lots) / total for at in range(3)
    )
    return value if low == high else Band(value, low, high)


def _oxygen_use(views: Sequence[BagView]) -> float | None:
    """Oxygen use of these kinds against the default, by mass; None when a kind is not certain."""
    total = weighted = 0.0
    for view in views:
        kind, mass = view.asked.kind, view.asked.fish_mass_g
        if view.asked.fish_count == 0 or mass is None:
            continue
        if kind is None or not kind.certain:
            return None
        grams = view.asked.fish_count * centre(mass)
        total += grams
        weighted += grams * kind.group.oxygen_use_factor
    return weighted / total if total else None


def _tank_ph(view: BagView) -> Amount:
    """pH of the tank: as read, or as the comparison of openings took it to be."""
    if view.tank.ph is not None:
        return view.tank.ph
    netted = view.opening("netted")
    assert netted is not None
    return netted.paths["ph"].at(-1)


def passing(limit: LimitTime, what: str) -> str:
    """When a limit is passed, in words; times in days."""
    if limit.passed == "not":
        return f"{what} stays under its limit"
    days = [day for day in (limit.earliest, limit.minutes, limit.latest) if day is not None]
    if not days:
        return f"{what} possibly passes its limit"
    first = min(days)
    when = "from the start" if first < 0.5 else f"from day {fixed(first)} at the earliest"
    return f"{what} {limit.passed} passes its limit, {when}"


def keeping(likely: ChangeAdvice, surely: ChangeAdvice) -> str:
    """What change keeps it under, in words."""
    if not surely.needed:
        return "No water change is needed for it."
    if not likely.needed:
        return f"Likely none needed; to be sure change {_schedule(surely)}."
    if likely.text == surely.text:
        return f"To keep under: change {_schedule(likely)}."
    return f"To keep under: change {_schedule(likely)}; to be sure {_schedule(surely)}."


def _schedule(advice: ChangeAdvice) -> str:
    if advice.schedule is None:
        return "more than half the water twice a day: fewer fish, less food or more filter"
    days = advice.schedule.every_days
    often = {0.5: "twice a day", 1.0: "daily"}.get(days, f"every {exact(days)} days")
    return f"{percent(advice.schedule.fraction)} {often}"
