"""Minutes, hours and days."""

from __future__ import annotations

from advisor.advice.amounts.worked import IN_WORDS, NotWorkedOut, Outcome, Worked, needs
from advisor.wording.numbers import short

FLOAT = "time afloat, bag closed"
CHANGE = "time for the change of temperature"
WEEKS = "time apart"
SOFT = "soft water (rain or reverse-osmosis) in the tub"
SHUT = "shut no longer than"
PART_WAY = "first tub"


@needs(FLOAT, "bag_temperature_c", "tank_temperature_c")
def float_minutes(
    bag_temperature_c: float,
    tank_temperature_c: float,
    close_enough_c: float,
    bag_water_l: float | None = None,
) -> Outcome:
    """Minutes until a closed floating bag is within ``close_enough_c`` of the tank.

    Uses :func:`advisor.bag.floating.float_minutes`, which is fitted to the
    published half hour for a gap of 4 to 5 °C.
    """
    from advisor.bag import floating

    size = floating.USUAL_BAG_L if bag_water_l is None else bag_water_l
    time = floating.float_minutes(size, bag_temperature_c, tank_temperature_c, close_enough_c)
    working = (
        f"gap {short(abs(bag_temperature_c - tank_temperature_c), 3)} to "
        f"{short(close_enough_c, 3)} °C,"
        f" {short(size, 3)} L of water in the bag"
    )
    if bag_water_l is None:
        working += " (size not given, a usual one taken)"
    band = time.minutes
    source = f"Lim et al. 2003; {time.basis}"
    return Worked(FLOAT, band.value, band.low, band.high, "min", working, source)


def hours_for_change(
    gap_c: float | None,
    slow_c_per_h: float,
    fast_c_per_h: float,
    other_gap_c: float | None = None,
    at_once_c: float = 0.0,
) -> Outcome:
    """Hours for the wider of two gaps at a rate between slow and fast; 0 when there is none.

    gap_c, other_gap_c : how far tank and bag lie outside what the kind bears [°C];
                         below 0 = inside, None = not known
    at_once_c          : first degrees that are taken without waiting
    """
    known = [gap for gap in (gap_c, other_gap_c) if gap is not None]
    if not known:
        return NotWorkedOut(CHANGE, (IN_WORDS["gap_c"],))
    if not 0.0 < slow_c_per_h <= fast_c_per_h:
        return NotWorkedOut(CHANGE, why="the rates given in the rules are not a range above 0")
    gap = max(0.0, max(known) - at_once_c)
    low, high = gap / fast_c_per_h, gap / slow_c_per_h
    first = f" after the first {short(at_once_c, 3)} °C" if at_once_c else ""
    working = (
        f"{short(gap, 3)} °C{first} at {short(slow_c_per_h, 3)} to {short(fast_c_per_h, 3)} "
        "°C an hour"
    )
    return Worked(CHANGE, 0.5 * (low + high), low, high, "h", working, "arithmetic")


def weeks_to_days(least_weeks: float, most_weeks: float) -> Outcome:
    """Days in a span of weeks."""
    low, high = 7.0 * least_weeks, 7.0 * most_weeks
    working = f"{short(least_weeks, 3)} to {short(most_weeks, 3)} weeks"
    return Worked(WEEKS, high, low, high, "days", working, "arithmetic")


@needs(SOFT, "hard_us_cm", "wanted_us_cm")
def soft_water_share(
    volume_l: float,
    soft_us_cm: float,
    hard_us_cm: float,
    wanted_us_cm: float,
) -> Outcome:
    """Litres of soft water in a tub of ``volume_l``, the rest tank water, for a conductivity.

    Conductivity is taken to mix in proportion, good enough for a tub.
    """
    if wanted_us_cm >= hard_us_cm:
        why = "the bag is richer in minerals than the tank: thinning does not help; use water"
        return NotWorkedOut(SOFT, why=why + " as hard as the bag's")
    share = min(1.0, (hard_us_cm - wanted_us_cm) / max(hard_us_cm - soft_us_cm, 1e-9))
    litres = max(0.0, share) * volume_l
    working = (
        f"({short(hard_us_cm, 3)} - {short(wanted_us_cm, 3)}) / ({short(hard_us_cm, 3)} -"
        f" {short(soft_us_cm, 3)}) x {short(volume_l, 3)} L = {short(litres, 3)} L, the "
        "rest tank water"
    )
    return Worked(SOFT, litres, litres, litres, "L", working, "mixing in proportion")


@needs(SHUT, "oxygen_hours_left")
def shut_hours(
    most_h: float,
    oxygen_hours_left: float,
    usual_load_g_l: float | None = None,
    bag_loading_g_l: float | None = None,
) -> Outcome:
    """Hours a bag may stay shut: as long as its oxygen is foreseen to last, and never long.

    most_h         : whatever oxygen is left, carbon dioxide and ammonia go on rising meanwhile
    usual_load_g_l : load to which ``most_h`` belongs; a fuller bag keeps shorter in proportion,
                     for its fish give off as much more into the same water
    """
    keeps_h, crowd = most_h, ""
    if usual_load_g_l and bag_loading_g_l and bag_loading_g_l > usual_load_g_l:
        keeps_h = most_h * usual_load_g_l / bag_loading_g_l
        crowd = f" at {short(bag_loading_g_l)} g/L"
    hours = min(keeps_h, oxygen_hours_left)
    working = f"oxygen foreseen for {short(hours)} h"
    if oxygen_hours_left > keeps_h:
        working = (
            f"oxygen would last longer; after {short(keeps_h)} h{crowd} "
            "carbon dioxide and ammonia count"
        )
    return Worked(SHUT, hours, hours, hours, "h", working, "forecast of the bag; judgement")


@needs(PART_WAY, "present_temperature_c")
def part_way_c(step_c: float, present_temperature_c: float) -> Outcome:
    """Temperature of the tub that is ``step_c`` from the water they are in [°C]."""
    to_c = present_temperature_c + step_c
    working = f"{short(present_temperature_c)} + ({short(step_c)}) = {short(to_c)} °C"
    return Worked(PART_WAY, to_c, to_c, to_c, "°C", working, "arithmetic; the step is judgement")


@needs(CHANGE, "present_temperature_c", "next_temperature_c")
def hours_to_next_water(
    close_enough_c: float,
    slow_c_per_h: float,
    fast_c_per_h: float,
    present_temperature_c: float,
    next_temperature_c: float,
) -> Outcome:
    """Hours to bring fish to within ``close_enough_c`` of the next water, warmer or cooler.

    slow_c_per_h, fast_c_per_h : the pace they bear [°C/h]; see :func:`hours_for_change`
    """
    gap = abs(next_temperature_c - present_temperature_c) - close_enough_c
    return hours_for_change(gap, slow_c_per_h, fast_c_per_h)
