"""Litres of water to change, and what the change does to temperature and pH."""

from __future__ import annotations

from advisor.advice.amounts.worked import NotWorkedOut, Outcome, Worked, needs
from advisor.errors import AdvisorError
from advisor.water.ammonia import unionised_fraction
from advisor.water.arithmetic import blend, change_to_reach
from advisor.water.carbonate import Water, solve_from_ph
from advisor.water.water_change import after_change, water_change_plan
from advisor.wording.numbers import exact, fixed, short

LABEL = "water to change"
_BALANCE = "mass balance"


@needs(LABEL, "volume_l")
def water_change_share_l(volume_l: float, share: float) -> Outcome:
    """Litres for a fixed share (0 to 1) of the tank."""
    litres = share * volume_l
    working = f"{short(share * 100, 3)} % of {short(volume_l, 3)} L = {short(litres, 3)} L"
    return Worked(LABEL, litres, litres, litres, "L", working, _BALANCE)


@needs(LABEL, "volume_l")
def water_change_l(
    volume_l: float,
    target: float,
    least_share: float,
    most_share: float,
    now: float | None = None,
    new: float | None = None,
) -> Outcome:
    """Litres that bring something dissolved from ``now`` to ``target`` in one change.

    new : what the fresh water holds of it; None is taken as nothing
    The share is kept between ``least_share`` and ``most_share``; without a
    reading the least is advised and the band reaches to the most.
    """
    if now is None:
        working = (
            f"not measured: {short(least_share * 100, 3)} to {short(most_share * 100, 3)} %"
            f" of {short(volume_l, 3)} L, then measure"
        )
        low, high = least_share * volume_l, most_share * volume_l
        return Worked(LABEL, low, low, high, "L", working, _BALANCE)
    try:
        wanted = change_to_reach(now, target, new or 0.0)
    except AdvisorError:
        why = (
            f"the new water holds {short(new or 0.0, 3)}, no less than the {short(target, 3)} "
            "aimed at"
        )
        return NotWorkedOut(LABEL, why=why)
    share = min(max(wanted, least_share), most_share)
    litres = share * volume_l
    working = (
        f"({short(now, 3)} - {short(target, 3)}) / ({short(now, 3)} - {short(new or 0.0, 3)})"
        f" = {short(wanted * 100, 3)} %, taken {short(share * 100, 3)} % of {short(volume_l, 3)} L"
    )
    if new is None:
        working += "; the new water was not measured, taken as holding none"
    if wanted > most_share:
        working += "; one change does not reach it, test and repeat"
    return Worked(LABEL, litres, litres, litres, "L", working, _BALANCE)


@needs(LABEL, "volume_l")
def water_change_for_ammonia_l(
    volume_l: float,
    most_nh3_n: float,
    least_share: float,
    most_share: float,
    most_ph_rise: float,
    tank_tan_mg_l: float | None = None,
    tank_ph: float | None = None,
    tank_temperature_c: float | None = None,
    tank_alkalinity_mg_l_caco3: float | None = None,
    tank_salinity_g_kg: float | None = None,
    tap_tan_mg_l: float | None = None,
    tap_ph: float | None = None,
    tap_temperature_c: float | None = None,
    tap_alkalinity_mg_l_caco3: float | None = None,
) -> Outcome:
    """Litres of a first change that brings un-ionised ammonia toward ``most_nh3_n`` [mg/L N].

    With pH and alkalinity of tank and tap the pH after the change is solved, and
    the change stops where pH would move by more than ``most_ph_rise`` or the
    fresh water's pH would make more ammonia toxic than it takes away. Without
    them it goes by proportion and stays small where the tap's pH is higher.
    """
    salinity = tank_salinity_g_kg or 0.0
    if tank_tan_mg_l is None or tank_ph is None or tank_temperature_c is None:
        return water_change_l(volume_l, most_nh3_n, least_share, most_share)
    tank = (tank_ph, tank_alkalinity_mg_l_caco3, tank_tan_mg_l, tank_temperature_c)
    warm = tank_temperature_c if tap_temperature_c is None else tap_temperature_c
    tap = (tap_ph, tap_alkalinity_mg_l_caco3, tap_tan_mg_l or 0.0, warm)
    old, new = _water(volume_l, *tank, salinity), _water(volume_l, *tap, 0.0)
    if old is not None and new is not None:
        return _solved(old, new, tank_ph, most_nh3_n, least_share, most_share, most_ph_rise)
    most, note = most_share, "pH after the change not worked out: alkalinity or pH missing"
    if tap_ph is not None and tap_ph > tank_ph + most_ph_rise:
        most = min(most_share, max(0.1, least_share / 2))
        note = f"kept small: tap pH {exact(tap_ph)} is above the tank's {exact(tank_ph)}"
    target = most_nh3_n / unionised_fraction(tank_ph, tank_temperature_c, salinity)
    outcome = water_change_l(
        volume_l, target, min(least_share, most), most, tank_tan_mg_l, tap_tan_mg_l
    )
    if isinstance(outcome, NotWorkedOut):
        return outcome
    working = f"total ammonia, {outcome.working}; {note}"
    source = "Emerson et al. 1975; mass balance"
    return Worked(LABEL, outcome.value, outcome.low, outcome.high, "L", working, source)


def _water(
    volume_l: float,
    ph: float | None,
    alkalinity: float | None,
    tan: float,
    temperature: float,
    salinity: float,
) -> Water | None:
    if ph is None or alkalinity is None:
        return None
    try:
        dic = solve_from_ph(ph, alkalinity, tan, temperature, salinity).dic_mmol_l
    except AdvisorError:
        return None  # this pH and alkalinity do not belong together
    return Water(volume_l, alkalinity, dic, tan, temperature, salinity)


def _solved(
    old: Water,
    new: Water,
    ph: float,
    limit: float,
    least: float,
    most: float,
    ph_step: float,
) -> Outcome:
    plan = water_change_plan(old, new, limit, ph_step, largest_fraction=most)
    if plan.limited_by == "new water":
        why = "The tap's own pH would keep the ammonia toxic: use water of lower pH, or a binder."
        return NotWorkedOut(LABEL, why=why)
    first = plan.changes[0] if plan.changes else after_change(old, new, least)
    if abs(first.ph - ph) > ph_step:
        first = after_change(old, new, min(least, 0.1))
    start = after_change(old, new, 0.0)
    if first.nh3_mg_l > max(limit, start.nh3_mg_l):
        why = "The tap's pH would make more ammonia toxic than the change takes out."
        return NotWorkedOut(LABEL, why=why)
    litres = first.fraction * old.volume_l
    working = (
        f"{short(first.fraction * 100, 3)} % of {short(old.volume_l, 3)} L: un-ionised ammonia"
        f" {short(start.nh3_mg_l, 3)} to {short(first.nh3_mg_l, 3)} mg/L N, pH "
        f"{fixed(ph, 2)} to {fixed(first.ph, 2)}"
    )
    if len(plan.changes) > 1:
        working += f"; {len(plan.changes)} such changes to reach {short(limit, 3)}"
    source = "carbonate and ammonia balance solved after mixing (Plummer & Busenberg; Emerson)"
    return Worked(LABEL, litres, litres, litres, "L", working, source)


def temperature_after(
    litres: float, volume_l: float, tank_temperature_c: float, tap_temperature_c: float
) -> Worked:
    """Temperature [°C] just after putting in ``litres`` of fresh water."""
    after = blend(((volume_l - litres, tank_temperature_c), (litres, tap_temperature_c)))
    working = (
        f"{short(volume_l - litres, 3)} L at {exact(tank_temperature_c)} and {short(litres, 3)} L"
        f" at {exact(tap_temperature_c)} °C"
    )
    label = "temperature just after, if the fresh water goes in as it is"
    return Worked(label, after, after, after, "°C", working, "heat balance")
