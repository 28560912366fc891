"""Tubs: how many litres for a lot, and how long a make-do one carries it."""

from __future__ import annotations

from advisor.advice.amounts.worked import NotWorkedOut, Outcome, Worked, needs
from advisor.wording.numbers import short

TUB = "tub"
CARRIES = "carries them, unfed and without a change of water"
#: pH and temperature of a tub of which nobody read either.
USUAL_PH, USUAL_TEMPERATURE_C = 7.5, 24.0
#: Days over which the make-do is foreseen; beyond them a filter would be growing.
_MOST_DAYS = 5.0
_SAMPLES = 60


@needs(TUB, "lot_mass_g")
def tub_l(most_g_l: float, lot_mass_g: float, least_l: float = 0.0) -> Outcome:
    """Least litres of an aired tub for this lot, at no more than ``most_g_l`` of fish.

    lot_mass_g : all fish of the lot together [g]
    least_l    : smaller than this no tub is worth setting up: it cools and fouls within the hour
    """
    needed = lot_mass_g / most_g_l
    litres = max(needed, least_l)
    working = f"{short(lot_mass_g, 3)} g of fish / {short(most_g_l, 3)} g/L = {short(needed, 3)} L"
    if litres > needed:
        working += f"; no tub under {short(least_l, 3)} L"
    return Worked(TUB, litres, litres, litres, "L", working, "arithmetic; loading is judgement")


def make_do_l(
    most_g_l: float,
    most_nh3_n: float,
    lot_mass_g: float | None = None,
    least_l: float = 0.0,
) -> Outcome:
    """Litres of the make-do tub; ``most_nh3_n`` [mg N/L] is what :func:`carries_h` goes by."""
    del most_nh3_n
    return tub_l(most_g_l, lot_mass_g, least_l)


@needs(CARRIES, "lot_mass_g", "fish_count")
def carries_h(
    litres: float,
    most_nh3_n: float,
    fish_count: float,
    lot_mass_g: float,
    ph: float | None = None,
    temperature_c: float | None = None,
    salinity_g_kg: float | None = None,
) -> Outcome:
    """Hours until the NH3 of a clean, aired, unfiltered tub passes ``most_nh3_n`` [mg N/L].

    ph, temperature_c : of the water the tub is filled with; usual ones when None

    The fish are not fed and no water is changed: :func:`advisor.bag.stocking.tank_after_stocking`
    with a new filter. The working says how long the oxygen lasts should the air stop.
    """
    if not (litres > 0.0 and lot_mass_g > 0.0 and fish_count >= 1):
        return NotWorkedOut(CARRIES, why="no fish to carry")
    from advisor.bag.still_tub import oxygen_minutes
    from advisor.bag.stocking import tank_after_stocking

    warm = USUAL_TEMPERATURE_C if temperature_c is None else temperature_c
    acid = USUAL_PH if ph is None else ph
    each_g, heads = lot_mass_g / fish_count, round(fish_count)
    course = tank_after_stocking(
        volume_l=litres, fish_count=heads, fish_mass_g=each_g, maturity="new", ph=acid,
        temperature_c=warm, salinity_g_kg=salinity_g_kg or 0.0, feed_percent_per_day=0.0,
        days=_MOST_DAYS, nh3_limit_mg_l=most_nh3_n, samples=_SAMPLES,
    )  # fmt: skip
    limit, longest = course.nh3_limit, _MOST_DAYS * 24.0
    value, low, high = (
        longest if days is None else min(longest, 24.0 * days)
        for days in (limit.minutes, limit.earliest, limit.latest)
    )
    still = oxygen_minutes(litres, heads, each_g, warm)
    guessed = " (usual figures where none was read)" if None in (ph, temperature_c) else ""
    working = (
        f"{heads} fish, {short(lot_mass_g, 3)} g in {short(litres, 3)} L at pH {short(acid, 3)} "
        f"and {short(warm, 3)} °C{guessed}, until NH3 passes {short(most_nh3_n, 2)} mg/L as N; "
        "should "
        f"the air stop, oxygen for about {_time(still)}"
    )
    if value >= longest:
        working += f"; no longer than {short(longest)} h were foreseen"
    source = "forecast of a stocked tank without a filter"
    return Worked(CARRIES, value, min(low, value), max(high, value), "h", working, source)


def _time(minutes: float) -> str:
    return f"{short(minutes, 2)} min" if minutes < 120.0 else f"{short(minutes / 60.0, 2)} h"
