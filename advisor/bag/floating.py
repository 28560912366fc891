"""How long to float a closed bag until its water is near the tank's temperature."""

from __future__ import annotations

import math

from advisor.bag import defaults as d
from advisor.bag.banded import Band
from advisor.bag.inputs import check_amount
from advisor.bag.outcomes import FloatTime
from advisor.errors import AdvisorError
from advisor.wording.numbers import exact

#: Water of a bag whose size was not given [L].
USUAL_BAG_L = 2.5


def float_minutes(
    bag_water_l: float,
    bag_c: float,
    tank_c: float,
    target_gap_c: float,
    *,
    later_c: float | None = None,
    minutes_between: float | None = None,
) -> FloatTime:
    """Minutes of floating until bag and tank are within ``target_gap_c``.

    bag_water_l     : water in the bag [L]
    bag_c, tank_c   : now [°C]; with a second reading, ``bag_c`` is the first
    later_c, minutes_between : a second bag temperature, taken that many minutes of
                      floating later; the time is then counted from it

    The gap falls exponentially. Its time constant comes from two readings, or
    from the size of the bag: it grows with the bag's edge, and at 2.5 L fits
    the published half hour for 4-5 °C down to 2 °C. The usual 20 minutes is
    common practice without a source.

    Raises AdvisorError for impossible temperatures or readings that do not close in.
    """
    check_amount("water_l", bag_water_l)
    for value in (bag_c, tank_c, later_c if later_c is not None else bag_c):
        check_amount("temperature_c", value)
    if not 0.0 < target_gap_c <= 20.0:
        raise AdvisorError(f"target_gap_c: {exact(target_gap_c)} is outside 0 to 20 °C.")
    if later_c is None:
        times = _time_constants_by_size(bag_water_l)
        basis = "bag size; half an hour for 4-5 °C in a usual bag (the usual 20 minutes: no source)"
        gap = abs(bag_c - tank_c)
    else:
        times = _time_constants_by_readings(bag_c, later_c, tank_c, minutes_between)
        apart = exact(minutes_between or 0.0)
        basis = f"two readings {apart} minutes apart, each taken as 0.2 °C sharp"
        gap = abs(later_c - tank_c)
    log = math.log(gap / target_gap_c) if gap > target_gap_c else 0.0
    value, low, high = (time * log for time in times)
    return FloatTime(minutes=Band(value, low, high), basis=basis)


def _time_constants_by_size(bag_water_l: float) -> tuple[float, float, float]:
    r = d.FLOAT_TIME_CONSTANT_MIN
    size = (bag_water_l / d.FLOAT_REFERENCE_L) ** (1.0 / 3.0)
    return r.value * size, r.low * size, r.high * size


def _time_constants_by_readings(
    first_c: float, later_c: float, tank_c: float, minutes: float | None
) -> tuple[float, float, float]:
    if minutes is None or not 0.5 <= minutes <= 600.0:
        raise AdvisorError(
            "minutes_between: give how many minutes (0.5 to 600) lie between the two readings."
        )
    before, after = abs(first_c - tank_c), abs(later_c - tank_c)
    if (first_c - tank_c) * (later_c - tank_c) < 0.0 or after >= before:
        raise AdvisorError(
            f"later_c: {exact(later_c)} °C does not lie between the first reading "
            f"{exact(first_c)} and the "
            f"tank's {exact(tank_c)} °C; read all three again."
        )
    after = max(after, 0.1)

    def constant(off: float) -> float:
        change = max(math.log((before - off) / (after + off)), 0.02) if before > off else 0.02
        return minutes / change

    return minutes / math.log(before / after), constant(-0.2 if after > 0.2 else 0.0), constant(0.2)
