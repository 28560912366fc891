"""A bag made ready to simulate: its fish, its water and its gas over the time grid."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.batch import Job
from advisor.bag.course import EVERY, Course, Run, Start
from advisor.bag.draws import Draws
from advisor.bag.gases import (
    dry_atm,
    exchange_per_h,
    film_of,
    headspace,
    jar_atm_per_mmol,
    oxygen_mmol_l_atm,
)
from advisor.bag.inputs import Measured, SealedBag, TemperaturePath
from advisor.bag.packing import PackedWater, packed_water, temperature_course, time_grid
from advisor.bag.respiration import Metabolism
from advisor.bag.state import BagState
from advisor.bag.step_chemistry import WaterConstants, water_constants
from advisor.water.constants import LN10

Array = npt.NDArray[np.float64]


#: So little is none [L].
_NO_GAS_L = 1e-4


@dataclass(frozen=True, eq=False)
class Sealed:
    """A bag made ready to integrate.

    expected_c : where the temperature would have ended by what was told of the way;
                 None where nothing was, or nothing was read
    """

    start: Start
    course: Course
    water: PackedWater
    temperature: Array
    expected_c: Array | None
    bag: SealedBag
    draws: Draws

    @property
    def fish(self) -> Metabolism:
        """Its fish."""
        return self.water.fish

    @property
    def constants_at_start(self) -> WaterConstants:
        """Constants of the packing water."""
        return self.course.constants.at(0)

    @property
    def turned_per_h(self) -> Array:
        """Exchange of this bag once it is turned gently [1/h]."""
        return exchange_per_h(
            np.full(1, d.TURNED_EXCHANGE.value), self.water.depth_cm, self.temperature[-1]
        )

    def job(self, keep: tuple[str, ...] = EVERY) -> Job:
        """What is to be integrated, and what of it is kept over time."""
        return Job(self.start, self.course, 1 + self.draws.samples, None, keep)


def with_readings(bag: SealedBag, measured: Measured | None) -> SealedBag:
    """The bag with what a reading tells of the way: where its temperature ended, its salts."""
    if measured is None:
        return bag
    changes: dict[str, object] = {}
    came = measured.temperature_c
    if came is not None:
        given = bag.temperature
        path = (
            replace(given, arrival_c=came)
            if isinstance(given, TemperaturePath)
            else TemperaturePath(start_c=given, arrival_c=came)
        )
        changes["temperature"] = path
    for name in ("salinity_g_kg", "conductivity_us_cm"):
        if getattr(measured, name) is not None:
            changes[name] = getattr(measured, name)
    return replace(bag, **changes)  # type: ignore[arg-type]


def seal(bag: SealedBag, draws: Draws) -> Sealed:
    """Lay out everything a bag's run needs over its time grid."""
    hours = time_grid(bag.hours)
    temperature, expected = temperature_course(bag, draws, hours)
    water = packed_water(bag, draws, temperature[0])
    gas_l = draws.known("gas_l", bag.gas_l)
    gas_l = np.where(gas_l < _NO_GAS_L, 0.0, gas_l)
    fill = draws.assumed(d.OXYGEN_FILL) if bag.gas == "oxygen" else np.ones(1)
    gas = headspace(bag.gas, gas_l, temperature[0], fill)
    exchange = d.TRANSIT_UNKNOWN if bag.motion is None else d.TRANSIT_EXCHANGE[bag.motion]
    velocity = draws.assumed(exchange) * (gas_l > 0.0)
    ko = exchange_per_h(velocity, water.depth_cm, temperature)
    dry = dry_atm(temperature)
    fish, volume = water.fish, water.volume_l
    through = np.zeros(1) if bag.rigid else draws.assumed(d.FILM)
    start = Start(
        water.o2 * volume, water.dic * volume, water.tan * volume, water.alkalinity * volume,
        gas.o2, gas.co2, gas.n2, water.ph,
    )  # fmt: skip
    course = Course(
        hours=hours,
        volume_l=np.broadcast_to(volume, (len(hours), len(volume))),
        use=fish.use(hours, temperature),
        quotient=fish.quotient(hours),
        dead_n=fish.dead_n(hours, temperature),
        rq=fish.co2_per_o2,
        half_rate=fish.half_rate,
        air_share=fish.air_share,
        narcosis=fish.narcosis,
        ko=ko,
        kc=d.CO2_TO_O2_EXCHANGE * ko,
        beta=oxygen_mmol_l_atm(temperature, water.salinity),
        constants=water_constants(temperature, water.salinity[None]),
        closed=True,
        jar=np.full(1, 1.0 if bag.rigid else 0.0),
        dry_atm=dry,
        air_o2_atm=d.AIR_O2 * dry,
        air_co2_atm=d.AIR_CO2 * dry,
        jar_atm_per_mmol=jar_atm_per_mmol(gas_l, temperature),
        film=None if bag.rigid else film_of(volume, gas_l, through),
    )
    return Sealed(start, course, water, temperature, expected, bag, draws)


def last_state(sealed: Sealed, result: Run, fish: Metabolism) -> BagState:
    """The samples at the end of a run."""
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
        salinity_g_kg=sealed.water.salinity,
        conductivity_us_cm=None
        if conductivity is None
        else sealed.draws.known("conductivity_us_cm", conductivity),
        depth_cm=sealed.water.depth_cm,
        depth_told=bag.rigid or bag.depth_cm is not None,
        fish=fish,
        hours=bag.hours,
        draws=sealed.draws,
    )
