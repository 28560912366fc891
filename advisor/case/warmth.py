"""A bag's temperature beside what else was told: its fellows, the air of the journey, the tank.

A bag follows the air round its box: it is never colder than the coldest air told, and warmer than
the warmest only by what it was packed with or a heat pack gave. How far is far is judgement.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.case.model import Case
from advisor.wording.numbers import exact

#: Bags of one delivery this far apart are asked about [°C], when read within so many hours.
APART_C, TOGETHER_H = 6.0, 2.0
#: So far past the air of the journey [°C]; and as warm as bags are packed or heat packs keep them.
PAST_AIR_C, PACKED_C = 3.0, 30.0
#: So far from the tank, where nobody told of a cold or a hot journey [°C].
FROM_TANK_C = 12.0


def warmth_doubt(
    case: Case, lot: str, celsius: float, at_hours: float, tank_c: float | None = None
) -> str | None:
    """What a bag's temperature stands far from, as a sentence; None where it fits.

    tank_c : temperature of the tank, when that is to be held against it too
    """
    fellows = [
        each
        for name, each, hour in _bags(case)
        if name not in ("all", lot) and abs(hour - at_hours) <= TOGETHER_H
    ]
    nearest = min(fellows, key=lambda each: abs(each - celsius), default=celsius)
    if abs(nearest - celsius) > APART_C:
        return f"{exact(celsius)} °C, and another bag of this delivery reads {exact(nearest)} °C"
    low, high = case.transit.air_low_c, case.transit.air_high_c
    if low is not None and celsius < low - PAST_AIR_C:
        return (
            f"{exact(celsius)} °C is colder than the coldest air of the journey ({exact(low)} °C)"
        )
    if high is not None and celsius > max(high, PACKED_C) + PAST_AIR_C:
        return (
            f"{exact(celsius)} °C is hotter than the warmest air of the journey ({exact(high)} °C)"
        )
    told = low is not None or high is not None or fellows or _felt(case, lot)
    if tank_c is not None and not told and abs(tank_c - celsius) > FROM_TANK_C:
        return f"{exact(celsius)} °C in the bag is far from the tank's {exact(tank_c)} °C"
    return None


def _bags(case: Case) -> Iterator[tuple[str, float, float]]:
    """(lot, temperature of its bag, hour) of every look that read one."""
    for look in case.observation:
        if look.bag.temperature_c is not None:
            yield look.lot, look.bag.temperature_c.value, look.at_hours


def _felt(case: Case, lot: str) -> bool:
    """Whether somebody told how box or bag felt to the hand."""
    own = next((each.history for each in case.lot if each.id == lot), {})
    felt = {**case.history, **own}
    return any(felt.get(f"box_arrived_{how}") == "yes" for how in ("cold", "hot"))


def warmth_remarks(case: Case) -> Iterator[str]:
    """The same of every bag a case holds, beside its fellows and the journey."""
    for at, look in enumerate(case.observation, 1):
        reading = look.bag.temperature_c
        if reading is None or look.from_log:
            continue
        doubt = warmth_doubt(case, look.lot, reading.value, look.at_hours)
        if doubt:
            yield f"look {at}, bag: {doubt}. Is that right?"
