"""Ammonia and nitrite of a tank in the weeks after fish went in.

Fish give off ammonia at a steady rate; two groups of nitrifiers turn it into
nitrite and on, and grow while they have something to oxidise. pH and
temperature stay as given. How much the filter carries at the start is the
widest unknown; see ``stocking_defaults``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import stocking_defaults as k
from advisor.bag.banded import Amount, Assumption, Band, Path
from advisor.bag.draws import Draws
from advisor.bag.exposure import first_above, limit_time
from advisor.bag.inputs import check_amount
from advisor.bag.outcomes import LimitTime
from advisor.bag.paths import band_of, path_of
from advisor.bag.respiration import N_MG, metabolism
from advisor.errors import AdvisorError
from advisor.water.ammonia import pka
from advisor.wording.numbers import exact, percent

Array = npt.NDArray[np.float64]
Maturity = Literal["new", "part", "cycled"]

_STEPS_PER_DAY = 24


@dataclass(frozen=True, kw_only=True)
class WaterChange:
    """Share of the tank's water replaced, and how often [days]."""

    fraction: float
    every_days: float

    def __post_init__(self) -> None:
        if not 0.0 < self.fraction <= 1.0:
            raise AdvisorError(
                f"fraction: {exact(self.fraction)} is outside 0 to 1 (a quarter: 0.25)."
            )
        if not 0.1 <= self.every_days <= 60.0:
            raise AdvisorError(f"every_days: {exact(self.every_days)} is outside 0.1 to 60 days.")


@dataclass(frozen=True, kw_only=True)
class ChangeAdvice:
    """Whether water must be changed to keep the limits, and the gentlest schedule that does.

    needed   : False when the limits hold without
    schedule : None when none is needed, or none of ``SCHEDULES`` is enough
    """

    needed: bool
    schedule: WaterChange | None

    @property
    def text(self) -> str:
        """In words."""
        if not self.needed:
            return "no change needed"
        if self.schedule is None:
            return "half the water twice a day is not enough: fewer fish, less food, more filter"
        return f"{percent(self.schedule.fraction)} every {exact(self.schedule.every_days)} days"


#: Changes that are tried, least water per day first when several hold.
SCHEDULES: tuple[WaterChange, ...] = tuple(
    WaterChange(fraction=fraction, every_days=days)
    for days in (7.0, 3.0, 2.0, 1.0, 0.5)
    for fraction in (0.1, 0.2, 0.25, 0.3, 0.4, 0.5)
)


@dataclass(frozen=True, kw_only=True)
class TankForecast:
    """The tank over the days after stocking.

    days  : times [days]
    paths : tan_mg_l, nitrite_mg_l (both as N), nh3_n_mg_l
    nh3_limit, nitrite_limit : when each limit is passed, times in DAYS
    change_likely, change_surely : what keeps both under in the central run, and in
                    95 % of samples
    """

    days: tuple[float, ...]
    paths: dict[str, Path]
    peak_nh3_n_mg_l: Band
    peak_nitrite_mg_l: Band
    nh3_limit: LimitTime
    nitrite_limit: LimitTime
    change_likely: ChangeAdvice
    change_surely: ChangeAdvice
    assumptions: tuple[Assumption, ...]


class _Tank(NamedTuple):
    """Samples of a stocked tank: production and capacities [mg N/L/day], rates [1/day]."""

    production: Array
    capacity_a: Array
    capacity_b: Array
    growth_a: Array
    growth_b: Array
    decay: Array
    half_rate: Array

    def every(self, stride: int) -> _Tank:
        """The central run and every so-many-th sample."""
        return _Tank(*(_thin(part, stride) for part in self))

    def beside(self, count: int) -> _Tank:
        """Each sample ``count`` times over, shape (count, samples)."""
        return _Tank(*(np.broadcast_to(part, (count, len(part))) for part in self))


def tank_after_stocking(
    *,
    volume_l: float,
    fish_count: int,
    fish_mass_g: Amount,
    maturity: Maturity,
    ph: Amount,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    feed_percent_per_day: float = 1.0,
    change: WaterChange | None = None,
    days: float = 28.0,
    start_tan_mg_l: float = 0.0,
    start_nitrite_mg_l: float = 0.0,
    nh3_limit_mg_l: float = 0.05,
    nitrite_limit_mg_l: float = 0.5,
    oxygen_use_factor: Amount | None = None,
    samples: int = 300,
    seed: int = 0,
) -> TankForecast:
    """TAN, nitrite and NH3 after stocking, when limits are passed, and what change prevents it.

    volume_l             : water in the system [L]
    fish_count, fish_mass_g : the new stock, mass of one fish [g]
    maturity             : "new", "part" (mature media moved in) or "cycled"
    feed_percent_per_day : food [% of fish mass per day]; 0 while they are not fed
    change               : the schedule of water changes, None for none
    nh3_limit_mg_l, nitrite_limit_mg_l : [mg N/L]; the caller's rules give their own

    Raises AdvisorError for impossible input.
    """
    _check(volume_l, fish_count, maturity, feed_percent_per_day, days, temperature_c, ph)
    draws = Draws(samples, seed)
    tank = _draw(
        draws, volume_l, fish_count, fish_mass_g, maturity, temperature_c,
        feed_percent_per_day, oxygen_use_factor,
    )  # fmt: skip
    fraction = _unionised(draws, ph, temperature_c, salinity_g_kg)
    start = (start_tan_mg_l, start_nitrite_mg_l)
    times, tan, nitrite = _integrate(tank, days, start, [change])
    nh3, nitrite = tan[:, 0] * fraction, nitrite[:, 0]
    likely, surely = _gentlest(
        tank, days, start, _thin(fraction, 8), (nh3_limit_mg_l, nitrite_limit_mg_l)
    )
    return TankForecast(
        days=tuple(times.tolist()),
        paths={
            "tan_mg_l": path_of(tan[:, 0]),
            "nitrite_mg_l": path_of(nitrite),
            "nh3_n_mg_l": path_of(nh3),
        },
        peak_nh3_n_mg_l=band_of(nh3.max(axis=0)),
        peak_nitrite_mg_l=band_of(nitrite.max(axis=0)),
        nh3_limit=limit_time(first_above(times, nh3, nh3_limit_mg_l)),
        nitrite_limit=limit_time(first_above(times, nitrite, nitrite_limit_mg_l)),
        change_likely=likely,
        change_surely=surely,
        assumptions=tuple(draws.assumptions),
    )


def _draw(
    draws: Draws, volume_l: float, fish_count: int, fish_mass_g: Amount, maturity: Maturity,
    temperature_c: float, feed_percent: float, oxygen_use_factor: Amount | None,
) -> _Tank:  # fmt: skip
    fish = metabolism(
        draws, fish_count=fish_count, fish_mass_g=fish_mass_g, oxygen_use_factor=oxygen_use_factor,
        sedated=False, air_breather=False, fasted_hours=1000.0,
    )  # fmt: skip
    settled = np.array([1000.0])  # hours after handling
    use = fish.use(settled, np.full((1, 1), temperature_c)) * fish.quotient(settled)
    fasted = use[0] * 24.0 * N_MG / volume_l
    total_g = draws.known("fish_mass_g", fish_mass_g) * fish_count
    protein = total_g * feed_percent / 100.0 * draws.assumed(k.PROTEIN)
    fed = protein * draws.assumed(k.TAN_PER_PROTEIN) * 1000.0 / volume_l
    production = np.maximum(fasted, fed)
    half_rate = draws.assumed(k.HALF_RATE_N)
    warmth = k.GROWTH_Q10 ** ((temperature_c - 25.0) / 10.0)
    capacity = production * draws.assumed(k.CARRIED[maturity])
    return _Tank(
        production,
        capacity,
        capacity * draws.assumed(k.NITRITE_CARRIED),
        draws.assumed(k.AMMONIA_GROWTH) * warmth,
        draws.assumed(k.NITRITE_GROWTH) * warmth,
        draws.assumed(k.DECAY),
        half_rate,
    )


def _integrate(
    tank: _Tank, days: float, start: tuple[float, float], changes: list[WaterChange | None]
) -> tuple[Array, Array, Array]:
    """Hourly steps; TAN and nitrite [mg N/L], (times, schedules, samples).

    Each step oxidises at the rate of its start times the concentration of its
    end, which keeps everything positive and loses no nitrogen.
    """
    t = tank.beside(len(changes))
    count = max(1, round(days * _STEPS_PER_DAY))
    dt = days / count
    width = max(part.shape[1] for part in t)
    tan, nitrite = (np.full((len(changes), width), value) for value in start)
    a, b = t.capacity_a, t.capacity_b
    kept = _kept(changes, count, dt)
    out = np.empty((2, count + 1, len(changes), width))
    out[0, 0], out[1, 0] = tan, nitrite
    for i in range(1, count + 1):
        fed_a, fed_b = tan / (t.half_rate + tan), nitrite / (t.half_rate + nitrite)
        rate_a, rate_b = a / (t.half_rate + tan), b / (t.half_rate + nitrite)
        tan = (tan + dt * t.production) / (1.0 + dt * rate_a)
        nitrite = (nitrite + dt * rate_a * tan) / (1.0 + dt * rate_b)
        a = a * np.exp(dt * (t.growth_a * fed_a - t.decay))
        b = b * np.exp(dt * (t.growth_b * fed_b - t.decay))
        out[0, i], out[1, i] = tan, nitrite
        tan, nitrite = tan * kept[i], nitrite * kept[i]
    return np.linspace(0.0, days, count + 1), out[0], out[1]


def _kept(changes: list[WaterChange | None], count: int, dt: float) -> Array:
    """Share of the old water kept at each step, (steps, schedules, 1)."""
    kept = np.ones((count + 1, len(changes), 1))
    for column, change in enumerate(changes):
        if change is not None:
            times = np.arange(1, int(count * dt / change.every_days + 1e-9) + 1)
            steps = np.round(times * change.every_days / dt).astype(int)
            kept[np.minimum(steps, count), column] = 1.0 - change.fraction
    return kept


def _gentlest(
    tank: _Tank,
    days: float,
    start: tuple[float, float],
    fraction: Array,
    limits: tuple[float, float],
) -> tuple[ChangeAdvice, ChangeAdvice]:
    """Least water per day that keeps both limits, in the central run and in 95 % of samples."""
    tried: list[WaterChange | None] = [None, *SCHEDULES]
    _, tan, nitrite = _integrate(tank.every(8), days, start, tried)
    under = ((tan * fraction).max(axis=0) <= limits[0]) & (nitrite.max(axis=0) <= limits[1])
    by_water = sorted(SCHEDULES, key=lambda c: (c.fraction / c.every_days, c.fraction))

    def advice(holds: npt.NDArray[np.bool_]) -> ChangeAdvice:
        if holds[0]:
            return ChangeAdvice(needed=False, schedule=None)
        enough = (change for change in by_water if holds[tried.index(change)])
        return ChangeAdvice(needed=True, schedule=next(enough, None))

    return advice(under[:, 0]), advice(under.mean(axis=1) >= 0.95)


def _unionised(draws: Draws, ph: Amount, temperature_c: float, salinity_g_kg: float) -> Array:
    check_amount("salinity_g_kg", salinity_g_kg)
    p = pka(temperature_c, salinity_g_kg)
    return np.asarray(1.0 / (1.0 + 10.0 ** (p - draws.known("ph", ph))))


def _thin(values: Array, stride: int) -> Array:
    """Entry 0 and every so-many-th of the rest; one element stays one."""
    return values if len(values) == 1 else np.concatenate([values[:1], values[1::stride]])


def _check(
    volume_l: float, fish_count: int, maturity: str, feed: float, days: float, t: float, ph: Amount
) -> None:
    check_amount("volume_l", volume_l)
    check_amount("temperature_c", t)
    check_amount("ph", ph)
    if fish_count < 0:
        raise AdvisorError(f"fish_count: {fish_count} is not a number of fish; give 0 or more.")
    if maturity not in k.CARRIED:
        raise AdvisorError(f'maturity: "{maturity}" is not known; use "new", "part" or "cycled".')
    if not 0.0 <= feed <= 20.0:
        raise AdvisorError(
            f"feed_percent_per_day: {exact(feed)} is outside 0 to 20 % of fish mass."
        )
    if not 0.25 <= days <= 120.0:
        raise AdvisorError(f"days: {exact(days)} is outside 0.25 to 120.")
