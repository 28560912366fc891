"""The water fish meet while a bag is opened, method by method.

Computed, not observed: no controlled trial compares dripping with netting out
at once. Every method starts from the same samples of the bag's water and ends
with the fish in the tank, at once or after their time in the bag.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag.chemistry import settled_water, water_constants
from advisor.bag.draws import Draws
from advisor.bag.exposure import Exposure, OpeningResult, result_of
from advisor.bag.gases import dry_atm, exchange_per_h, oxygen_mmol_l_atm
from advisor.bag.inputs import Measured, TankWater
from advisor.bag.integrator import Course, Inflow, Run, Start, run
from advisor.bag.methods import OPENING_METHODS, OpeningMethod, SlowChange
from advisor.bag.opened_bag import bag_at_opening
from advisor.bag.results import SealedForecast
from advisor.bag.state import BagState
from advisor.bag.summary import quantities
from advisor.bag.tankwater import Tank, sample_tank
from advisor.errors import AdvisorError
from advisor.water.constants import LN10

Array = npt.NDArray[np.float64]

#: A move from one water to the other takes this long [min].
_MOVE_MIN = 0.25


def compare_openings(
    bag: SealedForecast | BagState | Measured,
    tank: TankWater,
    methods: Sequence[OpeningMethod] = OPENING_METHODS,
    minutes: float = 120.0,
    *,
    slow_change: SlowChange | None = None,
    samples: int = 300,
    seed: int = 0,
) -> tuple[OpeningResult, ...]:
    """What the fish meet in the first ``minutes`` of each way of opening the bag.

    bag         : a forecast (its end, with readings where there were any), or
                  readings alone: pH and TAN are then required
    slow_change : when a slow change is worth its ammonia; None takes the defaults
    samples, seed : used with readings alone; a forecast brings its own

    Raises AdvisorError for readings too few or contradictory, or an
    impossible length of time.
    """
    if not 5.0 <= minutes <= 1440.0:
        raise AdvisorError(f"minutes: {minutes:g} is outside 5 to 1440 min.")
    if not methods:
        raise AdvisorError("methods: none given; leave them out to compare the usual ones.")
    state = bag_at_opening(bag, samples, seed)
    draws = Draws(state.draws.samples, state.draws.seed)
    opened = _Opened.of(state, sample_tank(tank, draws), draws)
    slow = slow_change or SlowChange()
    exposures = [opened.meet(method, minutes) for method in methods]
    own = state.draws.assumptions if isinstance(bag, Measured) else []
    assumptions = (*own, *draws.assumptions)
    verdict = slow.verdict(*opened.osmotic_step())
    return tuple(result_of(exposure, assumptions, verdict) for exposure in exposures)


def grid(minutes: float, move_at: float | None) -> Array:
    """Times [min]: fine at first and around the move, then every 2.5 minutes."""
    early = [0.0, _MOVE_MIN, 0.5, *np.arange(1.0, 20.0)]
    times = [*early, *np.arange(20.0, minutes, 2.5), minutes]
    if move_at is not None and 0.0 < move_at < minutes:
        times += [move_at, move_at + _MOVE_MIN]
    # not np.unique, which imports numpy.ma: that takes longer than all of this simulation
    return np.array(sorted({t for t in np.round(times, 4).tolist() if t <= minutes}), float)


@dataclass(frozen=True)
class _Opened:
    """A bag at the moment of opening, beside the tank, and how fast gas and heat move.

    still_cm_h, aerated_per_h : exchange of an opened bag; warming_min : time constant
    """

    bag: BagState
    tank: Tank
    still_cm_h: Array
    aerated_per_h: Array
    warming_min: Array

    @classmethod
    def of(cls, bag: BagState, tank: Tank, draws: Draws) -> _Opened:
        """Draw what is assumed of exchange and warming, once for all methods."""
        size = np.cbrt(bag.water_l / d.FLOAT_REFERENCE_L)
        return cls(
            bag,
            tank,
            draws.assumed(d.OPEN_EXCHANGE),
            draws.assumed(d.AERATED_EXCHANGE),
            draws.assumed(d.FLOAT_TIME_CONSTANT_MIN) * size,
        )

    def osmotic_step(self) -> tuple[float, float | None]:
        """Central salinity step [g/kg] and conductivity ratio (over 1), None unknown."""
        step = float(abs(self.tank.salinity_g_kg[0] - self.bag.salinity_g_kg[0]))
        inside, outside = self.bag.conductivity_us_cm, self.tank.conductivity_us_cm
        if inside is None or outside is None or min(inside[0], outside[0]) <= 0.0:
            return step, None
        return step, float(max(outside[0] / inside[0], inside[0] / outside[0]))

    def meet(self, method: OpeningMethod, minutes: float) -> Exposure:
        """The water around the fish from opening on: the bag's, then the tank's."""
        move_at = method.in_bag_min
        times = grid(minutes, move_at)
        in_bag = times[times <= (minutes if move_at is None else move_at)]
        if method.kind == "poured":
            values = self._poured(times)
        elif method.kind == "floated":
            values = self._floated(in_bag)
        else:
            values = self._open(in_bag, method)
        after = self.tank.quantities()
        met = {}
        for name in values.keys() & after.keys():
            met[name] = np.empty((len(times), self.bag.width))
            met[name][:] = after[name]
            met[name][: len(values[name])] = values[name]
        return Exposure(method, times, met)

    def _open(self, minutes: Array, method: OpeningMethod) -> dict[str, Array]:
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
            ko = exchange_per_h(self.still_cm_h, bag.depth_cm * growth, temperature)
        per_h = method.drip_per_h * bag.water_l
        inflow = None
        if method.drip_per_h > 0.0:
            carried = (tank.o2, tank.dic, tank.tan, tank.alkalinity)
            inflow = Inflow(*(part * per_h for part in carried))
        start = _start(bag, bag.water_l)
        result = self._run(start, hours, volume, temperature, salinity, ko, inflow)
        met = quantities(result, volume, temperature)
        return self._with_salts(met, salinity, 1.0 / growth)

    def _poured(self, minutes: Array) -> dict[str, Array]:
        """Bag and tank mixed at once, then the tank's own exchange with air."""
        bag, tank = self.bag, self.tank
        volume = bag.water_l + tank.volume_l
        share = (bag.water_l / volume)[None]
        shape = (len(minutes), share.shape[1])
        mixed = {
            name: _towards(getattr(bag, name), getattr(tank, name), share)
            for name in ("o2", "dic", "tan", "alkalinity", "temperature_c", "salinity_g_kg")
        }
        temperature, salinity = (
            np.broadcast_to(mixed[name], (len(minutes), mixed[name].shape[1]))
            for name in ("temperature_c", "salinity_g_kg")
        )
        start = _start(bag, volume, {name: value[0] for name, value in mixed.items()})
        volumes = np.broadcast_to(volume, shape)
        ko = np.asarray(tank.kla_per_h * d.EXCHANGE_PER_C ** (temperature - 20.0))
        result = self._run(start, minutes / 60.0, volumes, temperature, salinity, ko, None)
        met = quantities(result, volumes, temperature)
        whole = {k: np.array(v) for k, v in self._with_salts(met, salinity, share).items()}
        before = self._open(minutes[:1], OpeningMethod(name="", label="", kind="netted"))
        for name, values in whole.items():
            values[0] = before[name][0]  # the first thing they met was the bag
        return whole

    def _floated(self, minutes: Array) -> dict[str, Array]:
        """A bag still shut warms; its gas keeps oxygen and CO2 about where they are."""
        bag, hours = self.bag, minutes / 60.0
        warming = np.exp(-minutes[:, None] / self.warming_min)
        temperature = _towards(bag.temperature_c, self.tank.temperature_c, warming)
        salinity = bag.salinity_g_kg[None]
        use = bag.fish.use(hours, temperature) * bag.fish.quotient(bag.hours + hours)
        excreted = _running_total(hours, use) / bag.water_l
        tan, alkalinity = bag.tan + excreted, bag.alkalinity + excreted
        constants = water_constants(temperature, salinity)
        guess = np.broadcast_to(bag.ph * -LN10, tan.shape)
        water = settled_water(constants, alkalinity, bag.dic, tan, guess)
        still = np.broadcast_to(bag.o2, tan.shape)
        amounts = Run(
            used_o2=tan, o2=still, tan=tan, alkalinity=alkalinity, dic=tan, gas_o2=tan,
            gas_co2=tan, log_h=water.log_h, nh3=water.nh3, co2=water.co2,
        )  # fmt: skip
        met = quantities(amounts, np.ones(1), temperature)
        ones = np.ones((len(minutes), 1))
        return self._with_salts(met, salinity * ones, ones)

    def _with_salts(
        self, met: dict[str, Array], salinity: Array, bag_share: Array
    ) -> dict[str, Array]:
        met["salinity_g_kg"] = salinity
        inside, outside = self.bag.conductivity_us_cm, self.tank.conductivity_us_cm
        if inside is not None and outside is not None:
            met["conductivity_us_cm"] = _towards(inside, outside, bag_share)
        return met

    def _run(
        self, start: Start, hours: Array, volume: Array, temperature: Array, salinity: Array,
        ko: Array, inflow: Inflow | None,
    ) -> Run:  # fmt: skip
        fish, dry = self.bag.fish, dry_atm(temperature)
        course = Course(
            hours=hours,
            volume_l=volume,
            use=fish.use(hours, temperature),
            quotient=fish.quotient(self.bag.hours + hours),
            rq=fish.rq,
            half_rate=fish.half_rate,
            air_share=fish.air_share,
            ko=ko,
            kc=d.CO2_TO_O2_EXCHANGE * ko,
            beta=oxygen_mmol_l_atm(temperature, salinity),
            constants=water_constants(temperature, salinity),
            gas="open",
            dry_atm=dry,
            air_o2_atm=d.AIR_O2 * dry,
            air_co2_atm=d.AIR_CO2 * dry,
            jar_atm_per_mmol=np.zeros((len(hours), 1)),
            inflow=inflow,
        )
        return run(start, course, self.bag.width)


def _towards(bag: Array, tank: Array, bag_share: Array) -> Array:
    """What is left of the bag's value when its share has fallen, (times, samples)."""
    return np.asarray(tank + (bag - tank) * bag_share)


def _start(bag: BagState, volume_l: Array, water: dict[str, Array] | None = None) -> Start:
    """Amounts at opening; the gas above is the room's."""
    w = water or {name: getattr(bag, name) for name in ("o2", "dic", "tan", "alkalinity")}
    none = np.zeros(1)
    o2, dic, tan, alkalinity = (w[name] * volume_l for name in ("o2", "dic", "tan", "alkalinity"))
    return Start(o2, dic, tan, alkalinity, none, none, none, bag.ph)


def _running_total(hours: Array, rate: Array) -> Array:
    """Integral of a rate from the first time on (trapezium)."""
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(hours)[:, None]
    return np.concatenate([np.zeros((1, steps.shape[1])), np.cumsum(steps, axis=0)])
