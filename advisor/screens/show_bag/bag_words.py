"""What is said of a bag, in words: how to open it, how fast, and what it holds."""

from __future__ import annotations

from advisor.advice.move.cost_of_ways import COMPUTED_AS
from advisor.bag.banded import Band
from advisor.bag.outcomes import SealedForecast
from advisor.screens.show_bag.bag_looked_at import BagView
from advisor.screens.show_water.answer import amount
from advisor.wording.numbers import exact, fixed, percent, short

#: Name and unit of what a bag holds, in the order shown.
HOLDS = {
    "ph": ("pH", ""),
    "tan_mg_l": ("total ammonia", "mg/L as N"),
    "nh3_n_mg_l": ("un-ionised ammonia", "mg/L as N"),
    "co2_mg_l": ("carbon dioxide", "mg/L"),
    "do_mg_l": ("oxygen", "mg/L"),
    "temperature_c": ("temperature", "°C"),
    "alkalinity_mg_l_caco3": ("alkalinity", "mg/L as CaCO3"),
}
#: Decimals of a quantity where three figures would be too many.
PLACES = {"ph": 1, "temperature_c": 1, "alkalinity_mg_l_caco3": 0, "do_mg_l": 1, "co2_mg_l": 0}
#: Ways that are barred, told with their reasons on the first lines.
MOST_BARRED = 3
#: 240 hours of oxygen stand for 240 or more.
ENDLESS_H = 240.0


def way(view: BagView, name: str) -> str:
    """A way of opening in two or three words."""
    result = view.opening(name)
    stays = result.samples.method.in_bag_min if result else None
    words = {
        "left_open": "left open",
        "aerated": "air stone in it",
        "dripped": "drip 1 h, net",
        "poured": "poured in",
        "netted": "net at once",
        "floated": f"float {fixed(stays or 0)} min, net",
    }
    return words.get(name, name)


def headline(view: BagView) -> str:
    """How to open this bag and how fast, in one sentence or two."""
    if view.asked.emergency:
        return f"EMERGENCY: {view.asked.emergency}"
    if view.asked.move is not None and not no_fish(view):
        name = view.asked.move.name
        return f"{name[:1].upper()}{name[1:]}: {view.asked.move.because}"
    return by_its_water(view)


def no_fish(view: BagView) -> bool:
    """Whether the bag is known to hold none."""
    return view.asked.bag is not None and view.asked.bag.fish_count == 0


def by_its_water(view: BagView) -> str:
    """What the computed water alone says."""
    asked = view.asked
    if no_fish(view):
        return "No fish in it: there is nothing to hurry or to spare."
    if asked.released:
        return "The fish are out of this bag; what follows is what its water did and would have."
    if view.slow is not None:
        return f"Open it SLOWLY. {view.slow.text}"
    name = view.choice.name if view.choice else "netted"
    within = _within(view)
    if name == "floated":
        stays = view.opening("floated")
        minutes = stays.samples.method.in_bag_min if stays else None
        how = (
            f"FLOAT it shut about {fixed(minutes or 0)} min, then open and net the fish over "
            "at once"
        )
    elif name == "dripped":
        how = "DRIP tank water in for an hour, then net the fish over"
        within = ""
    elif asked.sealed is False:
        how, within = "NET the fish over NOW", ""
    else:
        how = "Open it and NET the fish over AT ONCE"
    first = ""
    if _oxygen_gone(view):
        first = "Its oxygen is about used up. "
    elif asked.tank.temperature_c is None and name != "floated" and asked.sealed is not False:
        first = f"Over {exact(view.gap_limit)} °C apart, float it shut first. "
    return f"{first}{how}{within}; pour the bag's water away."


def _oxygen_gone(view: BagView) -> bool:
    """Whether the shut bag's oxygen lasts for less than a quarter of an hour."""
    left = view.forecast.oxygen_hours_left if view.forecast else None
    return left is not None and left.value < 0.25


def _within(view: BagView) -> str:
    """The minutes an opened bag leaves, when its ammonia may pass the gill limit at all."""
    still = view.opening("left_open")
    passed = still.minutes_to_nh3_limit(view.gill_limit) if still else None
    if passed is None or passed.passed == "not":
        return ""
    times = [t for t in (passed.earliest, passed.minutes) if t is not None]
    if not times:
        return ""
    return f", within {fixed(max(1.0, min(times)))} min of opening"


def why(view: BagView) -> str:
    """Why that way."""
    if no_fish(view):
        return ""
    if view.asked.move is not None:
        barred_ways = [way for way in view.asked.move.ways if way.state == "barred"]
        compared = {opening.name for opening in view.openings}
        not_now = sorted(barred_ways, key=lambda way: COMPUTED_AS.get(way.move) not in compared)[
            :MOST_BARRED
        ]
        return " ".join(f"Not {way.name}: {way.because}" for way in not_now)
    if view.slow is not None:
        return f"Slow change wins here: {view.slow.because}"
    if view.choice is None:
        return ""
    barred = {cost.name: cost.barred for cost in view.choice.costs if cost.barred}
    held = "".join(
        f" Not {name}: {barred[name]}." for name in ("floated", "dripped") if name in barred
    )
    return f"Why: {view.choice.because}.{held}"


def pace(view: BagView) -> str:
    """How long the opened bag may stand."""
    if no_fish(view):
        return ""
    parts = []
    for name, lead in (("left_open", "Left open"), ("aerated", "with an air stone in it")):
        result = view.opening(name)
        if result is None:
            continue
        passed = result.minutes_to_nh3_limit(view.gill_limit)
        if passed.passed == "not":
            parts.append(f"{lead}: not within {fixed(result.minutes[-1] / 60)} h")
            continue
        times = [t for t in (passed.earliest, passed.minutes) if t is not None]
        first, likely = "", ""
        if times and min(times) < 0.5:
            first = ", it may be so from the start"
        elif times:
            first = f", after {fixed(min(times))} min at the earliest"
        if passed.minutes is not None and passed.minutes >= 0.5:
            likely = f", likely {fixed(passed.minutes)} min"
        parts.append(f"{lead}: {passed.passed}{first}{likely}")
    limit = f"{short(view.gill_limit)} mg/L as N"
    return f"Un-ionised ammonia past {limit} harms gills. {'; '.join(parts)}."


def oxygen(forecast: SealedForecast) -> str:
    """How long the oxygen of the shut bag lasts."""
    left = forecast.oxygen_hours_left
    limit = f"{exact(forecast.low_do_mg_l)} mg/L"
    if left is None:
        return ""
    if forecast.oxygen is not None and forecast.oxygen.turn_gently:
        return (
            f"Oxygen is left in the gas ({percent(forecast.oxygen.gas_left_share.value)} of what "
            "was packed) but does not get into the water fast enough: turn the bag gently."
        )
    if forecast.oxygen_ran_out_h is not None and left.value <= 0.0:
        return (
            f"Oxygen fell under {limit} about {fixed(forecast.oxygen_ran_out_h)} h after packing."
        )
    if left.low >= ENDLESS_H:
        return f"Shut, its oxygen stays over {limit} for 240 h or more."
    ends = f"{_hours(left.low)} to {_hours(left.high)}"
    return f"Shut, its oxygen stays over {limit} for about {_hours(left.value)} h more ({ends})."


def _hours(value: float) -> str:
    return "240 or more" if value >= ENDLESS_H else amount(value, "", 0 if value >= 10 else 1)


def holds(name: str, band: Band) -> tuple[str, str, str]:
    """Name, value and band of one quantity, ready for columns."""
    label, unit = HOLDS[name]
    places = PLACES.get(name)
    if places is None:
        value, low, high = (short(end) for end in (band.value, band.low, band.high))
    else:
        value, low, high = (amount(end, "", places) for end in (band.value, band.low, band.high))
    ends = "" if low == high else f"({low} to {high})"
    return label, value, f"{ends} {unit}".strip()
