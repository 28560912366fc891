"""One bag looked at: its forecast, every way of opening it, and the way that costs least."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from advisor.advice.facts.forecast import GILL_LIMIT, SAMPLES, sealed_forecast
from advisor.advice.facts.waters import TEMPERATURE_GAP_LIMIT
from advisor.advice.move.cost_of_ways import (
    COMPUTED_AS,
    ChosenWay,
    Slow,
    cheapest_way,
    slow_change,
    slow_limits,
)
from advisor.advice.move.order import limit_of
from advisor.bag.banded import Amount, centre
from advisor.bag.floating import USUAL_BAG_L
from advisor.bag.inputs import TankWater
from advisor.bag.tank_told import tank_water
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.screens.show_bag.bag_asked import TANK_FLAGS, BagAsked, in_flags
from advisor.wording.numbers import exact

if TYPE_CHECKING:
    from advisor.bag import FloatTime, OpeningMethod, OpeningResult, SealedForecast

#: The longest floating that is tried [min].
_LONGEST_FLOAT_MIN = 110.0


@dataclass(frozen=True)
class BagView:
    """Everything shown of one bag.

    openings   : in the order they are compared
    choice     : the way that costs least by the limits, None when none moves the fish
    slow       : that slow change wins, or None
    float_time : None when bag and tank are close enough already
    taken      : what of the tank was not known and taken for granted, in words
    gill_limit : un-ionised ammonia [mg/L as N] that begins to harm gills, from the rule base
    gap_limit  : largest gap of temperature at release [°C], from the rule base
    """

    asked: BagAsked
    forecast: SealedForecast | None
    tank: TankWater
    taken: tuple[str, ...]
    openings: tuple[OpeningResult, ...]
    choice: ChosenWay | None
    slow: Slow | None
    float_time: FloatTime | None
    gill_limit: float
    gap_limit: float

    @property
    def chosen(self) -> str | None:
        """The way to mark: the assessment's, where there is one; else the one that costs least."""
        if self.asked.move is not None:
            name = COMPUTED_AS.get(self.asked.move.chosen, "")
            return None if self.opening(name) is None else name
        return None if self.slow is not None or self.choice is None else self.choice.name

    def opening(self, name: str) -> OpeningResult | None:
        """One way of opening by its name."""
        return next((result for result in self.openings if result.name == name), None)


def look(asked: BagAsked, base: RuleBase) -> BagView:
    """Forecast, compare and choose.

    Raises AdvisorError for readings that contradict each other or an impossible tank.
    """
    from advisor.bag import compare_openings

    if asked.bag is not None:
        forecast = sealed_forecast(asked.bag, asked.measured)
        salinity: Amount = asked.bag.salinity_g_kg
        bag_c = forecast.end["temperature_c"].value
        start: object = forecast
    else:
        forecast = None
        assert asked.measured is not None
        salinity = asked.measured.salinity_g_kg or 0.0
        given = asked.measured.temperature_c
        bag_c = centre(given) if given is not None else 24.0
        start = asked.measured
    try:
        tank, taken = tank_water(asked.tank, salinity)
    except AdvisorError as fault:
        raise in_flags(fault, TANK_FLAGS) from None
    gap_limit = limit_of(base, TEMPERATURE_GAP_LIMIT)
    float_time = _float(asked, bag_c, tank, gap_limit)
    openings = compare_openings(
        start,  # type: ignore[arg-type]
        tank,
        tuple(_methods(float_time)),
        slow_change=slow_limits(base),
        samples=SAMPLES,
    )
    left = forecast.oxygen_hours_left if forecast else None
    return BagView(
        asked=asked,
        forecast=forecast,
        tank=tank,
        taken=taken,
        openings=openings,
        choice=cheapest_way(openings, base, left),
        slow=slow_change(asked.kind, openings, asked.sheet, base),
        float_time=float_time,
        gill_limit=limit_of(base, GILL_LIMIT),
        gap_limit=gap_limit,
    )


def _float(asked: BagAsked, bag_c: float, tank: TankWater, gap_c: float) -> FloatTime | None:
    """Floating time until the gap is small enough; None when it is."""
    from advisor.bag import float_minutes

    tank_c = centre(tank.temperature_c)
    bag = asked.bag
    water = centre(bag.water_l) if bag is not None else USUAL_BAG_L
    if asked.later is not None:
        first, later = asked.later.first_c, asked.later.later_c
        found = float_minutes(
            water, first, tank_c, gap_c, later_c=later, minutes_between=asked.later.minutes
        )
    else:
        found = float_minutes(water, bag_c, tank_c, gap_c)
    return found if found.minutes.value > 0.0 else None


def _methods(float_time: FloatTime | None) -> Iterator[OpeningMethod]:
    """The usual ways, floating for as long as this bag needs."""
    from advisor.bag import OPENING_METHODS

    for method in OPENING_METHODS:
        if method.kind == "floated" and float_time is not None:
            needed = _to_five(float_time.minutes.value)
            label = f"floated shut {exact(needed)} minutes, then netted over"
            yield replace(method, in_bag_min=needed, label=label)
        else:
            yield method


def _to_five(minutes: float) -> float:
    """Rounded up to five minutes, as a person times it."""
    return min(_LONGEST_FLOAT_MIN, 5.0 * -(-minutes // 5.0))
