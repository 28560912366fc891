"""Dilution, dosing and volumes: mass balance and nothing else."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.errors import AdvisorError
from advisor.water import masses
from advisor.water.formulas import published
from advisor.water.input_checks import check_between, check_not_negative, check_positive
from advisor.wording.numbers import exact


@published("mass balance", equation="(1 - {change_fraction})^{times}", unit="fraction left")
def left_after_changes(change_fraction: float, times: int = 1) -> float:
    """Share of a dissolved thing left after equal changes with water free of it."""
    check_between("change_fraction", change_fraction, 0.0, 1.0)
    check_not_negative("times", times)
    return float((1.0 - change_fraction) ** times)


@published(
    "mass balance", equation="({start} - {target}) / ({start} - {new_water})", unit="fraction"
)
def change_to_reach(start: float, target: float, new_water: float = 0.0) -> float:
    """Share of the water to change, once, to bring something from start to target.

    For what mixes in proportion (TAN, nitrite, salt, alkalinity), never for pH
    or NH3. 0 if already there. Raises AdvisorError when the new water holds
    more than the target.
    """
    for name, value in (("start", start), ("target", target), ("new_water", new_water)):
        check_not_negative(name, value)
    if start <= target:
        return 0.0
    if new_water >= start or new_water > target:
        raise AdvisorError(
            f"new_water: {exact(new_water)} is not below the target {exact(target)}; "
            "no change with this water reaches it. Use cleaner water."
        )
    return (start - target) / (start - new_water)


@published("well-mixed flow-through", equation="exp(-{tank_volumes})", unit="fraction left")
def left_after_flow_through(tank_volumes: float) -> float:
    """Share left after so many tank volumes have run through a well-mixed tank."""
    check_not_negative("tank_volumes", tank_volumes)
    return math.exp(-tank_volumes)


def blend(parts: Sequence[tuple[float, float]]) -> float:
    """Mean of (volume, value) by volume: for alkalinity, hardness, TAN, salinity, heat, NOT pH."""
    for volume, _ in parts:
        check_not_negative("volume", volume)
    total = math.fsum(volume for volume, _ in parts)
    check_positive("volume", total)
    return math.fsum(volume * value for volume, value in parts) / total


@published("mass balance", equation="{rise_g_l} * {volume_l} / {active_fraction}", unit="g")
def dose_g(rise_g_l: float, volume_l: float, active_fraction: float = 1.0) -> float:
    """Mass to add for a rise in concentration [g/L]; active_fraction is the active share of it."""
    check_not_negative("rise_g_l", rise_g_l, "g/L")
    check_not_negative("volume_l", volume_l, "L")
    check_positive("active_fraction", active_fraction)
    check_between("active_fraction", active_fraction, 0.0, 1.0)
    return rise_g_l * volume_l / active_fraction


@published(
    "one equivalent per mole; molar masses, IUPAC",
    equation="{rise_mg_l_caco3} / 50.043 * 84.006 * {volume_l} / 1000",
    unit="g NaHCO3",
)
def bicarbonate_for_alkalinity_g(rise_mg_l_caco3: float, volume_l: float) -> float:
    """Sodium bicarbonate that raises alkalinity by this much in this volume."""
    check_not_negative("rise_mg_l_caco3", rise_mg_l_caco3, "mg/L")
    check_not_negative("volume_l", volume_l, "L")
    return rise_mg_l_caco3 / masses.CACO3_MG_PER_MEQ * masses.NAHCO3 * volume_l / 1000.0


@published("volume of a box", equation="1000 * {length_m} * {width_m} * {depth_m}", unit="L")
def rectangular_volume_l(length_m: float, width_m: float, depth_m: float) -> float:
    """Volume of a box."""
    for name, value in (("length_m", length_m), ("width_m", width_m), ("depth_m", depth_m)):
        check_not_negative(name, value, "m")
    return 1000.0 * length_m * width_m * depth_m


@published("volume of a cylinder", equation="1000 * pi * {diameter_m}^2 / 4 * {depth_m}", unit="L")
def round_volume_l(diameter_m: float, depth_m: float) -> float:
    """Volume of an upright cylinder."""
    check_not_negative("diameter_m", diameter_m, "m")
    check_not_negative("depth_m", depth_m, "m")
    return 1000.0 * math.pi * diameter_m**2 / 4.0 * depth_m
