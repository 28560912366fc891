"""Each way of opening as something to simulate, and the water around the fish that comes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.batch import Job
from advisor.bag.course import Course, Inflow, Run, Start
from advisor.bag.draws import Draws
from advisor.bag.exposure import Exposure
from advisor.bag.gases import dry_atm, exchange_per_h, oxygen_mmol_l_atm
from advisor.bag.methods import OpeningMethod
from advisor.bag.paths import quantities
from advisor.bag.state import BagState
from advisor.bag.step_chemistry import settled_water, water_constants
from advisor.bag.tankwater import SampledTank, met_in, met_with
from advisor.water.constants import LN10

Array = npt.NDArray[np.float64]
Water = dict[str, Array]

#: A move from one water to the other takes this long [min].
_MOVE_MIN = 0.25
_WATER = ("o2", "dic", "tan", "alkalinity")


def grid(minutes: float, move_at: float | None) -> Array:
    """Times [min]: fine at first and around the move, then every 2.5 minutes."""
    early = [0.0, _MOVE_MIN, 0.5, *np.arange(1.0, 20.0)]
    times = [*early, *np.arange(20.0, minutes, 2.5), minutes]
    if move_at is not None and 0.0 < move_at < minutes:
        times += [move_at, move_at + _MOVE_MIN]
    # not np.unique, which imports numpy.ma: that takes longer than all of this simulation
    return np.array(sorted({t for t in np.round(times, 4).tolist() if t <= minutes}), float)


@dataclass(frozen=True)
class Look:
    """One way of one bag: what to simulate (None for nothing), and what then surrounds the fish."""

    job: Job | None
    exposure: Callable[[Run | None], Exposure]


@dataclass(frozen=True)
class Opened:
    """A bag at the moment of opening, beside the tank, and how fast gas and heat move.

    still_cm_h, aerated_per_h : exchange; warming_min : time constant
    depth_cm : of the water, the bag standing open
    """

    bag: BagState
    tank: SampledTank
    draws: Draws
    still_cm_h: Array
    aerated_per_h: Array
    warming_min: Array
    depth_cm: Array

    @classmethod
    def of(cls, bag: BagState, tank: SampledTank, draws: Draws) -> Opened:
        """Draw what is assumed of exchange and warming, once for all methods."""
        edge = np.cbrt(bag.water_l * 1000.0)
        depth = edge * draws.assumed(d.DEPTH["standing"]._replace(name="depth_standing"))
        return cls(
            bag,
            tank,
            draws,
            draws.assumed(d.OPEN_EXCHANGE),
            draws.assumed(d.AERATED_EXCHANGE),
            draws.assumed(d.FLOAT_TIME_CONSTANT_MIN) * np.cbrt(bag.water_l / d.FLOAT_REFERENCE_L),
            bag.depth_cm if bag.depth_told else depth,
        )

    def osmotic_step(self) -> tuple[float, float | None]:
        """Central salinity step [g/kg] and conductivity ratio (over 1), None unknown."""
        step = float(abs(self.tank.salinity_g_kg[0] - self.bag.salinity_g_kg[0]))
        inside, outside = self.bag.conductivity_us_cm, self.tank.conductivity_us_cm
        if inside is None or outside is None or min(inside[0], outside[0]) <= 0.0:
            return step, None
        return step, float(max(outside[0] / inside[0], inside[0] / outside[0]))

    def look(self, method: OpeningMethod, minutes: float) -> Look:
        """The water around the fish from opening on: the bag's, then the tank's."""
        move_at = method.in_bag_min
        times = grid(minutes, move_at)
        in_bag = times[times <= (minutes if move_at is None else move_at)]
        if method.kind == "netted" or (len(in_bag) == 1 and method.kind != "poured"):
            return self._after(None, method, times, lambda _: self._at_opening())
        if method.kind == "floated":
            return self._after(None, method, times, lambda _: self._floated(in_bag))
        if method.kind == "poured":
            return self._poured(method, times)
        return self._open(method, times, in_bag)

    def _after(
        self, job: Job | None, method: OpeningMethod, times: Array,
        first: Callable[[Run | None], Water],
    ) -> Look:  # fmt: skip
        """What ``first`` gives for its times, then the tank."""

        def exposure(run: Run | None) -> Exposure:
            values, after = first(run), self.tank.quantities()
            met = {}
            for name in (each for each in values if each in after):
                met[name] = np.empty((len(times), self.bag.width))
                met[name][:] = after[name]
                met[name][: len(values[name])] = values[name]
            return Exposure(method, times, met)

        return Look(job, exposure)

    def _at_opening(self) -> Water:
        """The bag's water the moment it is opened."""
        bag = self.bag
        met = {name: np.asarray(value)[None] for name, value in met_in(bag).items()}
        return self._with_salts(met, bag.salinity_g_kg[None], np.ones((1, 1)))

    def _open(self, method: OpeningMethod, times: Array, minutes: Array) -> Look:
        """Bag water open to the air: still, aerated or dripped into."""
        bag, tank = self.bag, self.tank
        hours = minutes / 60.0
        growth = 1.0 + method.drip_per_h * hours[:, None]
        volume = bag.water_l * growth
        warming = np.exp(-minutes[:, None] / self.warming_min)
        temperature = _towards(bag.temperature_c, tank.temperature_c, warming / growth)
        salinity = _towards(bag.salinity_g_kg, tank.salinity_g_kg, 1.0 / growth)
        if method.kind == "aerated":
            ko = self.aerated_per_h * d.EXCHANGE_PER_C ** (temperature - 20.0)
        else:
            ko = exchange_per_h(self.still_cm_h, self.depth_cm * growth, temperature)
        per_h = method.drip_per_h * bag.water_l
        inflow = None
        if method.drip_per_h > 0.0:
            inflow = Inflow(*(getattr(tank, name) * per_h for name in _WATER))
        job = self._job(_start(bag, bag.water_l), hours, volume, temperature, salinity, ko, inflow)

        def met(run: Run | None) -> Water:
            assert run is not None
            return self._with_salts(quantities(run, volume, temperature), salinity, 1.0 / growth)

        return self._after(job, method, times, met)

    def _poured(self, method: OpeningMethod, minutes: Array) -> Look:
        """Bag and tank mixed at once, then the tank's own exchange with air."""
        bag, tank = self.bag, self.tank
        volume = bag.water_l + tank.volume_l
        share = (bag.water_l / volume)[None]
        mixed = {
            name: _towards(getattr(bag, name), getattr(tank, name), share)
            for name in (*_WATER, "temperature_c", "salinity_g_kg")
        }
        kla = tank.kla_per_h
        return self._moved_to(method, minutes, mixed, volume, kla, share, bag.ph)

    def _moved_to(
        self, method: OpeningMethod, minutes: Array, water: Water, volume: Array, kla: Array,
        bag_share: Array, ph: Array,
    ) -> Look:  # fmt: skip
        """The fish in another water from the first moment on; each water array (1, samples)."""
        times = len(minutes)
        temperature, salinity = (
            np.broadcast_to(water[name], (times, water[name].shape[1]))
            for name in ("temperature_c", "salinity_g_kg")
        )
        start = _start(self.bag, volume, {name: water[name][0] for name in _WATER}, ph)
        volumes = np.broadcast_to(volume, (times, len(volume)))
        ko = np.asarray(kla * d.EXCHANGE_PER_C ** (temperature - 20.0))
        job = self._job(start, minutes / 60.0, volumes, temperature, salinity, ko, None)

        def exposure(run: Run | None) -> Exposure:
            assert run is not None
            met = self._with_salts(quantities(run, volumes, temperature), salinity, bag_share)
            before = self._at_opening()
            whole = {}
            for name, values in met.items():
                whole[name] = np.array(np.broadcast_to(values, (times, self.bag.width)))
                whole[name][0] = before[name][0]  # the first thing they met was the bag
            return Exposure(method, minutes, whole)

        return Look(job, exposure)

    def _floated(self, minutes: Array) -> Water:
        """A bag still shut warms; its gas keeps oxygen and CO2 about where they are."""
        bag, hours = self.bag, minutes / 60.0
        warming = np.exp(-minutes[:, None] / self.warming_min)
        temperature = _towards(bag.temperature_c, self.tank.temperature_c, warming)
        salinity = bag.salinity_g_kg[None]
        since = bag.hours + hours
        use = bag.fish.use(hours, temperature, since) * bag.fish.quotient(since)
        excreted = _running_total(hours, use) / bag.water_l
        tan, alkalinity = bag.tan + excreted, bag.alkalinity + excreted
        constants = water_constants(temperature, salinity)
        guess = np.broadcast_to(bag.ph * -LN10, tan.shape)
        water = settled_water(constants, alkalinity, bag.dic, tan, guess)
        o2, warmth = (np.broadcast_to(each, tan.shape) for each in (bag.o2, temperature))
        met = met_with(water, alkalinity, tan, o2, warmth)
        ones = np.ones((len(minutes), 1))
        return self._with_salts(met, salinity * ones, ones)

    def _with_salts(self, met: Water, salinity: Array, bag_share: Array) -> Water:
        met = {**met, "salinity_g_kg": salinity}
        inside, outside = self.bag.conductivity_us_cm, self.tank.conductivity_us_cm
        if inside is not None and outside is not None:
            met["conductivity_us_cm"] = _towards(inside, outside, bag_share)
        return met

    def _job(
        self, start: Start, hours: Array, volume: Array, temperature: Array, salinity: Array,
        ko: Array, inflow: Inflow | None,
    ) -> Job:  # fmt: skip
        fish, dry, since = self.bag.fish, dry_atm(temperature), self.bag.hours + hours
        course = Course(
            hours=hours,
            volume_l=volume,
            use=fish.use(hours, temperature, since),
            quotient=fish.quotient(since),
            dead_n=fish.dead_n(since, temperature),
            rq=fish.co2_per_o2,
            half_rate=fish.half_rate,
            air_share=fish.air_share,
            narcosis=fish.narcosis,
            ko=ko,
            kc=d.CO2_TO_O2_EXCHANGE * ko,
            beta=oxygen_mmol_l_atm(temperature, salinity),
            constants=water_constants(temperature, salinity),
            closed=False,
            jar=np.zeros(1),
            dry_atm=dry,
            air_o2_atm=d.AIR_O2 * dry,
            air_co2_atm=d.AIR_CO2 * dry,
            jar_atm_per_mmol=np.zeros((len(hours), 1)),
            inflow=inflow,
        )
        return Job(start, course, self.bag.width)


def _towards(bag: Array, tank: Array, bag_share: Array) -> Array:
    """What is left of the bag's value when its share has fallen, (times, samples)."""
    return np.asarray(tank + (bag - tank) * bag_share)


def _start(
    bag: BagState, volume_l: Array, water: Water | None = None, ph: Array | None = None
) -> Start:
    """Amounts at opening; the gas above is the room's."""
    w = water or {name: getattr(bag, name) for name in _WATER}
    none = np.zeros(1)
    o2, dic, tan, alkalinity = (w[name] * volume_l for name in _WATER)
    return Start(o2, dic, tan, alkalinity, none, none, none, bag.ph if ph is None else ph)


def _running_total(hours: Array, rate: Array) -> Array:
    """Integral of a rate from the first time on (trapezium)."""
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(hours)[:, None]
    return np.concatenate([np.zeros((1, steps.shape[1])), np.cumsum(steps, axis=0)])
