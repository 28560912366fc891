"""A bag as packed: time grid, temperature on the way, water and fish at the start."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.banded import Amount, Range, centre, ends
from advisor.bag.draws import Draws
from advisor.bag.gases import dry_atm, oxygen_mmol_l_atm
from advisor.bag.inputs import SealedBag, TemperaturePath
from advisor.bag.respiration import N_MG, O2_MG, Metabolism, metabolism
from advisor.bag.state import carbon_from_pco2, carbon_from_ph
from advisor.bag.step_chemistry import WaterConstants, alkalinity_at_ph, water_constants
from advisor.errors import AdvisorError
from advisor.water.constants import equilibrium_constants
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2
from advisor.water.seawater import SEA_FROM_G_KG
from advisor.wording.numbers import exact, grouped

Array = npt.NDArray[np.float64]

#: Early steps are the first plus this share of the time gone; from EARLY_H on, even steps.
_FIRST_STEP_H = 0.02
_STEP_SHARE = 0.1
_EARLY_H = 8.0
_STEP_H = 1.25
#: Fish that came this cold are taken as cold-water fish where nothing says otherwise. Judgement.
COLD_KEPT_C = 14.0


class PackedWater(NamedTuple):
    """Water and fish at the start; concentrations [mmol/L, meq/L] over samples.

    pco2_atm       : CO2 pressure it was drawn with, None where pH was told
    hardness       : the range alkalinity was taken from, None where it was told
    """

    volume_l: Array
    depth_cm: Array
    salinity: Array
    o2: Array
    dic: Array
    tan: Array
    alkalinity: Array
    ph: Array
    fish: Metabolism
    pco2_atm: Array | None
    hardness: Range | None


@lru_cache(maxsize=32)
def time_grid(hours: float) -> Array:
    """Times [h] from 0 to the end: short steps while the water settles, then even steps."""
    if hours < _FIRST_STEP_H:
        return np.array([0.0, hours]) if hours > 0.0 else np.zeros(1)
    times, step = [0.0], _FIRST_STEP_H
    while times[-1] + 1.5 * step < min(hours, _EARLY_H):
        times.append(times[-1] + step)
        step = _FIRST_STEP_H + _STEP_SHARE * times[-1]
    late = np.arange(_EARLY_H, hours - 0.2 * _STEP_H, _STEP_H)
    grid = np.array([*times, *late, hours])
    grid.flags.writeable = False
    return grid


def temperature_course(bag: SealedBag, draws: Draws, hours: Array) -> tuple[Array, Array | None]:
    """Water temperature [°C], (times, samples): one box losing its gap to the outside.

    Froese: T = outside + (start - outside) exp(-t / time constant). A
    temperature read on arrival bends the course so that it ends there; where the
    packing temperature was told, its end before that comes second, else None.
    """
    given = bag.temperature
    if not isinstance(given, TemperaturePath):
        constant = draws.known("temperature_c", given)
        return np.broadcast_to(constant, (len(hours), len(constant))), None
    arrival = given.arrival_c
    usual = d.START_TEMPERATURE
    if given.start_c is None and arrival is not None and given.outside_c is None:
        usual = _start_for(arrival)
    start = draws.either(given.start_c, usual)
    if given.outside_c is None:
        outside = start + draws.assumed(d.UNKNOWN_OUTSIDE)
    else:
        outside = draws.known("outside_c", given.outside_c)
    time_constant = draws.either(given.time_constant_h, d.BOX_TIME_CONSTANT_H)
    gap = (start - outside) * np.exp(-hours[:, None] / time_constant)
    course = outside + gap
    expected = None
    if arrival is not None:
        expected = None if given.start_c is None else course[-1]
        bend = draws.known("arrival_c", arrival) - course[-1]
        whole = hours[-1] if hours[-1] > 0.0 else 1.0
        course = course + bend * (hours[:, None] / whole if hours[-1] > 0.0 else 1.0)
    return np.asarray(np.clip(course, 0.0, 45.0)), expected


def _start_for(arrival: Amount) -> Range:
    """Packed as tropical fish usually are, or as the fish came where that lies further off."""
    usual, came = d.START_TEMPERATURE, centre(arrival)
    if came < COLD_KEPT_C:  # fish of cold water are not packed at 24 °C
        return usual._replace(value=came + 3.0, low=came, high=max(came + 8.0, usual.low))
    return usual._replace(
        value=0.5 * (usual.value + came), low=min(usual.low, came), high=max(usual.high, came)
    )


def packed_water(bag: SealedBag, draws: Draws, temperature_c: Array) -> PackedWater:
    """Water and fish at packing; what nobody measured is drawn from its range."""
    volume = draws.known("water_l", bag.water_l)
    salinity = draws.known("salinity_g_kg", bag.salinity_g_kg)
    told = bag.alkalinity_mg_l_caco3
    sea = float(salinity.max()) > SEA_FROM_G_KG
    hardness = d.START_ALKALINITY_SEA if sea else d.START_ALKALINITY
    alkalinity = draws.either(told, hardness) / CACO3_MG_PER_MEQ
    tan = draws.either(bag.tan_mg_l, d.START_TAN) / N_MG
    constants = water_constants(temperature_c[None], salinity[None]).at(0)
    pco2 = None
    if bag.ph is None:
        pco2 = draws.assumed(d.START_CO2)
        dic, ph = carbon_from_pco2(constants, pco2, alkalinity, tan)
    else:
        ph = draws.known("ph", bag.ph)
        if told is None:
            co2 = constants.kh_mmol * draws.assumed(d.START_CO2)
            alkalinity = alkalinity_by_co2(
                constants, ph, alkalinity, hardness, co2, d.START_CO2, tan
            )
        dic = carbon_from_ph(constants, ph, alkalinity, tan)
    if bag.do_mg_l is None:
        air = d.AIR_O2 * dry_atm(temperature_c) * oxygen_mmol_l_atm(temperature_c, salinity)
        gassed = bag.gas == "oxygen" and bag.fish_count > 0
        o2 = air * draws.assumed(d.START_SATURATION_GASSED if gassed else d.START_SATURATION)
    else:
        o2 = draws.known("do_mg_l", bag.do_mg_l) / O2_MG
    return PackedWater(
        volume, depth_of(bag, volume, draws), salinity, o2, dic, tan, alkalinity, ph,
        _fish(bag, draws), pco2, hardness if told is None else None,
    )  # fmt: skip


def alkalinity_by_co2(
    c: WaterConstants, ph: Array, drawn: Array, hardness: Range, co2: Array, co2_range: Range,
    tan: Array,
) -> Array:  # fmt: skip
    """Alkalinity [meq/L] of a water of known pH: what waters hold, and what CO2 they hold.

    drawn, co2 : draws of alkalinity [meq/L] and free CO2 [mmol/L] from their ranges

    Both ranges are taken as normal in the logarithm; the pH ties them together,
    and their product has the mean weighted by their sharpness.
    """
    by_co2 = np.maximum(alkalinity_at_ph(c, ph, co2, tan), 1e-3)
    wide = np.log(hardness.high / hardness.low)
    sharp = np.log(co2_range.high / co2_range.low)
    share = sharp**2 / (sharp**2 + wide**2)
    return np.asarray(np.exp(share * np.log(drawn) + (1.0 - share) * np.log(by_co2)))


def depth_of(bag: SealedBag, volume_l: Array, draws: Draws) -> Array:
    """Depth of the water [cm]: as given, or by how the bag lies."""
    if bag.depth_cm is not None:
        return draws.known("depth_cm", bag.depth_cm)
    lies = "jar" if bag.rigid else bag.posture
    share = d.DEPTH_UNKNOWN if lies is None else d.DEPTH[lies]
    return np.asarray(draws.assumed(share) * np.cbrt(volume_l * 1000.0))


def packing_doubt(bag: SealedBag) -> str | None:
    """Why the pH told of the packing water cannot be, or hardly; None when it can.

    What it says of CO2 is held against what water outside a bag holds.
    Raises AdvisorError where no such water is possible at one atmosphere.
    """
    if bag.ph is None:
        return None
    told = bag.alkalinity_mg_l_caco3
    hardness = d.START_ALKALINITY.low if told is None else ends(told)[1]
    # the highest pH and the lowest alkalinity the readings allow: the mildest reading of them
    co2 = _co2_mg_l(ends(bag.ph)[2], hardness)
    if co2 <= d.PACKING_CO2_MOST_MG_L:
        return None
    words = (
        f"ph: {exact(centre(bag.ph))} at packing with an alkalinity of {exact(hardness)} "
        "mg/L as CaCO3 "
        f"would need {grouped(round(co2))} mg/L of CO2; water that stood open holds 0.5 to 30. "
        "Measure both again, or leave one out."
    )
    if told is not None and co2 > d.PACKING_CO2_IMPOSSIBLE_MG_L:
        raise AdvisorError(words)
    return words


def _co2_mg_l(ph: float, alkalinity_mg_l_caco3: float) -> float:
    """Free CO2 of bicarbonate water at 25 °C; enough to doubt a reading by."""
    k1 = equilibrium_constants(25.0).k1
    return float(alkalinity_mg_l_caco3 / CACO3_MG_PER_MEQ * CO2 * 10.0**-ph / k1)


def _fish(bag: SealedBag, draws: Draws) -> Metabolism:
    return metabolism(
        draws,
        fish_count=bag.fish_count,
        fish_mass_g=bag.fish_mass_g,
        oxygen_use_factor=bag.oxygen_use_factor,
        sedated=bag.sedated,
        air_breather=bag.air_breather,
        fasted_hours=bag.fasted_hours,
        dead_count=bag.dead_count,
        hours=bag.hours,
    )
