"""What one way of opening does to the fish: paths, peaks, dose and steps."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.banded import Assumption, Band, Path
from advisor.bag.methods import OpeningMethod
from advisor.bag.outcomes import LimitTime
from advisor.bag.paths import band_of, path_of
from advisor.errors import AdvisorError
from advisor.wording.numbers import exact

Array = npt.NDArray[np.float64]

#: Steps are the largest change within this many minutes.
STEP_MIN = 5.0
STATEMENT = (
    "This comparison is computed from chemistry and gas exchange. No controlled trial compares "
    "dripping with netting out at once."
)


class Exposure(NamedTuple):
    """The water around the fish: arrays (times, samples) by quantity."""

    method: OpeningMethod
    minutes: Array
    met: dict[str, Array]


@dataclass(frozen=True, kw_only=True)
class OpeningResult:
    """One way of opening a bag.

    minutes : times after opening [min]
    paths   : as the fish meet them; those of a forecast, salinity_g_kg, and
              conductivity_us_cm where both waters' are known
    peak_nh3_n_mg_l, nh3_dose_mg_h_l : highest NH3-N [mg/L], and its integral [mg/L x h]
    co2_dose_mg_h_l  : integral of free CO2 [mg/L x h]
    lowest_do_mg_l   : least dissolved oxygen the fish meet
    steepest_ph_step, steepest_temperature_step_c : largest change within 5 minutes,
              the move into the tank included
    slow_change_because : why slow change wins here in spite of the ammonia, or None
    """

    name: str
    label: str
    minutes: tuple[float, ...]
    paths: dict[str, Path]
    peak_nh3_n_mg_l: Band
    nh3_dose_mg_h_l: Band
    co2_dose_mg_h_l: Band
    lowest_do_mg_l: Band
    steepest_ph_step: Band
    steepest_temperature_step_c: Band
    salinity_step_g_kg: Band
    statement: str
    slow_change_because: str | None
    assumptions: tuple[Assumption, ...]
    samples: Exposure = field(repr=False, compare=False)

    def minutes_to_nh3_limit(self, limit_mg_l: float) -> LimitTime:
        """When un-ionised ammonia [mg N/L] passes a limit while the fish are in it."""
        if not 0.0 < limit_mg_l < 1000.0:
            raise AdvisorError(f"limit_mg_l: {exact(limit_mg_l)} is outside 0 to 1000 mg/L as N.")
        return limit_time(
            first_above(self.samples.minutes, self.samples.met["nh3_n_mg_l"], limit_mg_l)
        )


def result_of(
    exposure: Exposure, assumptions: tuple[Assumption, ...], slow_change_because: str | None
) -> OpeningResult:
    """Measure an exposure."""
    minutes, met = exposure.minutes, exposure.met
    nh3, salinity = met["nh3_n_mg_l"], met["salinity_g_kg"]
    spans = np.diff(minutes)[:, None] / 60.0
    return OpeningResult(
        name=exposure.method.name,
        label=exposure.method.label,
        minutes=tuple(minutes.tolist()),
        paths={name: path_of(values) for name, values in met.items()},
        peak_nh3_n_mg_l=band_of(nh3.max(axis=0)),
        nh3_dose_mg_h_l=band_of(_dose(nh3, spans)),
        co2_dose_mg_h_l=band_of(_dose(met["co2_mg_l"], spans)),
        lowest_do_mg_l=band_of(met["do_mg_l"].min(axis=0)),
        steepest_ph_step=band_of(steepest(minutes, met["ph"])),
        steepest_temperature_step_c=band_of(steepest(minutes, met["temperature_c"])),
        salinity_step_g_kg=band_of(steepest(minutes, salinity)),
        statement=STATEMENT,
        slow_change_because=slow_change_because,
        assumptions=assumptions,
        samples=exposure,
    )


def _dose(values: Array, spans: Array) -> Array:
    """Integral over time (trapezium)."""
    return np.asarray((0.5 * (values[1:] + values[:-1]) * spans).sum(axis=0))


def steepest(minutes: Array, values: Array) -> Array:
    """Largest change within ``STEP_MIN`` minutes, per sample."""
    most = np.zeros(values.shape[1])
    for ahead in range(1, len(minutes)):
        near = minutes[ahead:] - minutes[:-ahead] <= STEP_MIN
        if not near.any():
            break
        change = np.abs(values[ahead:] - values[:-ahead])[near]
        most = np.maximum(most, change.max(axis=0))
    return most


def first_above(minutes: Array, values: Array, limit: float) -> Array:
    """First time each sample passes a limit, straight between times; inf if never."""
    over = values > limit
    at = over.argmax(axis=0)
    column = np.arange(values.shape[1])
    before = np.maximum(at - 1, 0)
    low, high = values[before, column], values[at, column]
    part = np.where(high > low, (limit - low) / np.where(high > low, high - low, 1.0), 0.0)
    when = minutes[before] + np.clip(part, 0.0, 1.0) * (minutes[at] - minutes[before])
    return np.where(over.any(axis=0), np.where(at == 0, minutes[0], when), np.inf)


def share_of(holds: npt.NDArray[np.bool_]) -> Literal["surely", "possibly", "not"]:
    """In words, in what share of the samples beside the central one something holds."""
    share = float((holds[1:] if len(holds) > 1 else holds).mean())
    return "surely" if share >= 0.95 else "not" if share <= 0.05 else "possibly"


def limit_time(first: Array) -> LimitTime:
    """Sum up first passing times over samples, entry 0 the central run, inf for never."""
    rest = np.sort(first[1:]) if len(first) > 1 else first
    early, late = rest[int(0.05 * (len(rest) - 1))], rest[int(np.ceil(0.95 * (len(rest) - 1)))]
    return LimitTime(
        share_of(np.isfinite(first)),
        _finite(first[0]),
        _finite(early),
        _finite(late),
    )


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None
