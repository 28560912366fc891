"""The sealed bag from packing until it is opened, with bands."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.bands import Band, Path
from advisor.bag.chemistry import water_constants
from advisor.bag.condition import condition, distances
from advisor.bag.draws import Draws
from advisor.bag.gases import (
    dry_atm,
    exchange_per_h,
    headspace,
    jar_atm_per_mmol,
    oxygen_mmol_l_atm,
)
from advisor.bag.inputs import Measured, SealedBag
from advisor.bag.integrator import Course, Run, Start, run
from advisor.bag.oxygen_left import oxygen_hours_left
from advisor.bag.packing import packed_water, temperature_course, time_grid
from advisor.bag.respiration import O2_MG, Metabolism
from advisor.bag.results import SealedForecast
from advisor.bag.state import BagState
from advisor.bag.summary import band_of, path_of, quantities
from advisor.water.constants import LN10

Array = npt.NDArray[np.float64]

#: Default oxygen limit [mg/L]: respiration changes its character below 2-3 (tilapia quotients).
LOW_DO_MG_L = 3.0
_ENDLESS_HOURS = 240.0


def forecast_sealed(
    bag: SealedBag,
    samples: int = 300,
    seed: int = 0,
    *,
    measured: Measured | None = None,
    low_do_mg_l: float = LOW_DO_MG_L,
) -> SealedForecast:
    """What the water of a sealed bag holds, over time and now, with 5-95 % bands.

    samples     : beside the central run; 0 for the central run alone
    measured    : readings of this bag; the end then starts from them, and
                  ``distances`` says how far they lie from the forecast
    low_do_mg_l : dissolved oxygen that ``oxygen_hours_left`` counts down to

    Raises AdvisorError for readings that contradict each other.
    """
    draws = Draws(samples, seed)
    sealed = seal(bag, draws)
    result = run(sealed.start, sealed.course, 1 + samples)
    paths = _paths(sealed, result)
    state = _last_state(sealed, result)
    left = oxygen_hours_left(sealed.start, sealed.course, result, low_do_mg_l / O2_MG)
    end = {name: path.at(-1) for name, path in paths.items()}
    found = distances(measured, end) if measured else ()
    if measured:
        state, end = condition(state, measured, end)
    return SealedForecast(
        hours=tuple(sealed.course.hours.tolist()),
        paths=paths,
        end=end,
        oxygen_hours_left=None if bag.fish_count == 0 else _clipped_band(left),
        oxygen_ran_out_h=_first_below(sealed.course.hours, paths["do_mg_l"], low_do_mg_l),
        low_do_mg_l=low_do_mg_l,
        assumptions=tuple(draws.assumptions),
        distances=found,
        notices=_notices(bag, paths, low_do_mg_l, measured),
        state=state,
    )


@dataclass(frozen=True)
class Sealed:
    """A bag made ready to integrate."""

    start: Start
    course: Course
    fish: Metabolism
    temperature: Array
    salinity: Array
    depth_cm: Array
    bag: SealedBag
    draws: Draws


def seal(bag: SealedBag, draws: Draws) -> Sealed:
    """Lay out everything a bag's run needs over its time grid."""
    hours = time_grid(bag.hours)
    temperature = temperature_course(bag, draws, hours)
    water = packed_water(bag, draws, temperature[0])
    constants = water_constants(temperature, water.salinity[None])
    gas_l = draws.known("gas_l", bag.gas_l)
    fill = draws.assumed(d.OXYGEN_FILL) if bag.gas == "oxygen" else np.ones(1)
    gas = headspace(bag.gas, gas_l, temperature[0], fill)
    velocity = draws.assumed(d.TRANSIT_EXCHANGE) * (gas_l > 0.0)
    ko = exchange_per_h(velocity, water.depth_cm, temperature)
    dry = dry_atm(temperature)
    fish = water.fish
    volume = water.volume_l
    start = Start(
        water.o2 * volume, water.dic * volume, water.tan * volume, water.alkalinity * volume,
        gas.o2, gas.co2, gas.n2, water.ph,
    )  # fmt: skip
    course = Course(
        hours=hours,
        volume_l=np.broadcast_to(volume, (len(hours), len(volume))),
        use=fish.use(hours, temperature),
        quotient=fish.quotient(hours),
        rq=fish.rq,
        half_rate=fish.half_rate,
        air_share=fish.air_share,
        ko=ko,
        kc=d.CO2_TO_O2_EXCHANGE * ko,
        beta=oxygen_mmol_l_atm(temperature, water.salinity),
        constants=constants,
        gas="jar" if bag.rigid else "bag",
        dry_atm=dry,
        air_o2_atm=d.AIR_O2 * dry,
        air_co2_atm=d.AIR_CO2 * dry,
        jar_atm_per_mmol=jar_atm_per_mmol(gas_l, temperature),
    )
    return Sealed(start, course, fish, temperature, water.salinity, water.depth_cm, bag, draws)


def _paths(sealed: Sealed, result: Run) -> dict[str, Path]:
    values = quantities(result, sealed.course.volume_l, sealed.temperature)
    return {name: path_of(array) for name, array in values.items()}


def _last_state(sealed: Sealed, result: Run) -> BagState:
    bag, volume = sealed.bag, sealed.course.volume_l[-1]
    conductivity = bag.conductivity_us_cm
    return BagState(
        water_l=volume,
        o2=result.o2[-1] / volume,
        dic=result.dic[-1] / volume,
        tan=result.tan[-1] / volume,
        alkalinity=result.alkalinity[-1] / volume,
        ph=result.log_h[-1] / -LN10,
        temperature_c=sealed.temperature[-1],
        salinity_g_kg=sealed.salinity,
        conductivity_us_cm=None
        if conductivity is None
        else sealed.draws.known("conductivity_us_cm", conductivity),
        depth_cm=sealed.depth_cm,
        fish=sealed.fish,
        hours=bag.hours,
        draws=sealed.draws,
    )


def _clipped_band(hours: Array) -> Band:
    return band_of(np.clip(hours, 0.0, _ENDLESS_HOURS))


def _first_below(hours: Array, path: Path, limit: float) -> float | None:
    """First time the central path lies under a limit, straight between grid points."""
    values = np.array(path.value)
    under = np.flatnonzero(values < limit)
    if not len(under):
        return None
    i = int(under[0])
    if i == 0:
        return 0.0
    part = (values[i - 1] - limit) / (values[i - 1] - values[i])
    return float(hours[i - 1] + part * (hours[i] - hours[i - 1]))


def _notices(
    bag: SealedBag, paths: dict[str, Path], low_do_mg_l: float, measured: Measured | None
) -> tuple[str, ...]:
    notices = [
        "Computed from respiration and gas exchange; waste, dead fish, zeolite, buffers and "
        "ammonia binders in the bag are not in it."
    ]
    if bag.fish_count and min(paths["do_mg_l"].value) < low_do_mg_l:
        notices.append(
            f"Oxygen falls under {low_do_mg_l:g} mg/L on the way; after that fish die or live "
            "on other reserves, and the forecast no longer holds."
        )
    if measured is not None and measured.ph is not None and measured.minutes_after_opening > 5.0:
        notices.append(
            f"pH was read {measured.minutes_after_opening:g} minutes after opening; CO2 has been "
            "leaving since, so the sealed bag was more acid than that."
        )
    return tuple(notices)
