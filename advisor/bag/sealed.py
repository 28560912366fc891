"""The sealed bag from packing until it is opened, with bands; one, or many at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from advisor.bag.banded import Band, Path
from advisor.bag.batch import Job, run_all
from advisor.bag.condition import (
    ConditionedBag,
    distances,
    implausible_alone,
    readings_in,
    refuse_contradiction,
    told,
    weigh,
)
from advisor.bag.course import LIKE, SHOWN, Run
from advisor.bag.draws import Draws
from advisor.bag.exposure import share_of
from advisor.bag.inputs import Measured, SealedBag
from advisor.bag.outcomes import OxygenOutlook, SealedForecast
from advisor.bag.oxygen_left import oxygen_left
from advisor.bag.packing import packing_doubt
from advisor.bag.paths import band_of, path_of, quantities
from advisor.bag.respiration import O2_MG, Metabolism, picked
from advisor.bag.seal import Sealed, last_state, seal, with_readings
from advisor.errors import AdvisorError
from advisor.wording.numbers import exact

Array = npt.NDArray[np.float64]

#: Default oxygen limit [mg/L]: respiration changes its character below 2-3 (tilapia quotients).
LOW_DO_MG_L = 3.0
_ENDLESS_HOURS = 240.0
#: Turning the bag is advised where it gives at least this many hours more. Judgement.
_WORTH_TURNING_H = 0.5


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
    measured    : readings of this bag; draws are weighed by how well they explain
                  every one of them, and ``distances`` says how far each lies from
                  the forecast that did not know it
    low_do_mg_l : dissolved oxygen that hours left count down to

    Raises AdvisorError for readings that contradict each other, or packing
    water that cannot be.
    """
    found = forecast_many((bag,), (measured,), samples, seed, low_do_mg_l=low_do_mg_l)[0]
    if isinstance(found, AdvisorError):
        raise found
    return found


def forecast_many(
    bags: Sequence[SealedBag],
    measured: Sequence[Measured | None] | None = None,
    samples: int = 300,
    seed: int = 0,
    *,
    low_do_mg_l: float = LOW_DO_MG_L,
    paths: bool = True,
) -> tuple[SealedForecast | AdvisorError, ...]:
    """Many bags, of one delivery or of many, simulated as one array.

    measured : one for each bag, or None for no readings at all
    paths    : False leaves the courses over time out, which costs half

    Each forecast is the same as by itself. A bag that cannot be forecast gives
    its AdvisorError in its place.
    """
    read = [None] * len(bags) if measured is None else list(measured)
    if len(read) != len(bags):
        raise AdvisorError(f"measured: {len(read)} for {len(bags)} bags; give one for each.")
    cases = [
        _attempt(bag, readings, samples, seed, paths)
        for bag, readings in zip(bags, read, strict=True)
    ]
    open_cases = [case for case in cases if isinstance(case, _Case)]
    shown = SHOWN if paths else ()
    keep = (*LIKE, *shown) if any(readings_in(case.measured) for case in open_cases) else shown
    firsts = run_all([case.sealed.job(keep) for case in open_cases])
    for case, first in zip(open_cases, firsts, strict=True):
        case.take(first)
    while waiting := [case for case in open_cases if case.waits is not None]:
        results = run_all([case.next_job() for case in waiting])
        for case, result in zip(waiting, results, strict=True):
            case.take(result)
    return tuple(case.forecast(low_do_mg_l) if isinstance(case, _Case) else case for case in cases)


def _attempt(
    bag: SealedBag, measured: Measured | None, samples: int, seed: int, paths: bool
) -> _Case | AdvisorError:
    try:
        if measured is not None:
            refuse_contradiction(measured)
        doubt = packing_doubt(bag)
        sealed = seal(with_readings(bag, measured), Draws(samples, seed))
    except AdvisorError as fault:
        return fault
    return _Case(sealed, measured, () if doubt is None else (doubt,), paths)


@dataclass(eq=False)
class _Case:
    """One bag on its way through the runs: first without readings, then meeting them.

    waits : the bag to be simulated next, None when done
    fault : why it could not be simulated
    """

    sealed: Sealed
    measured: Measured | None
    doubts: tuple[str, ...]
    with_paths: bool
    first: Run | None = None
    waits: ConditionedBag | None = None
    doubted: frozenset[str] = frozenset()
    result: Run | None = None
    fish: Metabolism | None = None
    order: npt.NDArray[np.intp] | None = None
    agreeing: float = 0.0
    fault: AdvisorError | None = None

    def take(self, result: Run | AdvisorError) -> None:
        """Go on from the run that was waited for."""
        if isinstance(result, AdvisorError):
            self.fault, self.waits = result, None
        elif self.first is None:
            self._begin(result)
        else:
            self._go_on(result)

    def next_job(self) -> Job:
        """The run that is waited for."""
        assert self.waits is not None
        return self.waits.job._replace(keep=SHOWN if self.with_paths else ())

    def _begin(self, first: Run) -> None:
        """Take the run without readings; leave out readings nothing explains."""
        self.first = self.result = first
        self.fish = self.sealed.fish
        self.agreeing = float(max(1, self.sealed.draws.samples))
        readings = readings_in(self.measured)
        if readings:
            self.doubted = implausible_alone(self.sealed, first, readings)
        self._aim()

    def _go_on(self, result: Run) -> None:
        """Weigh the draws of a run that was aimed at the readings; drop one that fits none."""
        assert self.waits is not None
        case, self.waits = self.waits, None
        found = weigh(case, result)
        if found.doubted is not None:
            self.doubted |= {found.doubted}
            self._aim()
            return
        self.result, self.fish = result, case.fish
        self.order, self.agreeing = found.order, found.agreeing

    def _aim(self) -> None:
        assert self.first is not None
        believed = tuple(r for r in readings_in(self.measured) if r.name not in self.doubted)
        self.waits = told(self.sealed, self.first, believed) if believed else None

    def forecast(self, low_do_mg_l: float) -> SealedForecast | AdvisorError:
        """Put the result together."""
        if self.fault is not None:
            return self.fault
        sealed, result, first = self.sealed, self.result, self.first
        assert result is not None and first is not None and self.fish is not None
        state = last_state(sealed, result, self.fish)
        end = _ends(sealed, result, self.order)
        untold = dict(end) if result is first else _ends(sealed, first, None)
        if sealed.expected_c is not None:
            untold["temperature_c"] = band_of(sealed.expected_c)
        if self.order is not None:
            state = state.picked(self.order)
        values = _over_time(sealed, result, self.order) if self.with_paths else {}
        paths = {name: path_of(array) for name, array in values.items()}
        ran_out = _first_below(sealed.course.hours, paths.get("do_mg_l"), low_do_mg_l)
        return SealedForecast(
            hours=tuple(sealed.course.hours.tolist()),
            paths=paths,
            end=end,
            untold=untold,
            oxygen=self._oxygen(low_do_mg_l / O2_MG),
            oxygen_ran_out_h=ran_out,
            low_do_mg_l=low_do_mg_l,
            assumptions=tuple(sealed.draws.assumptions),
            distances=distances(self.measured, untold, self.doubted, sealed.expected_c is not None),
            notices=self._notices(ran_out, low_do_mg_l),
            doubts=self.doubts,
            draws_that_agree=self.agreeing,
            state=state,
        )

    def _oxygen(self, limit_mmol_l: float) -> OxygenOutlook | None:
        sealed, result = self.sealed, self.result
        assert result is not None
        if sealed.bag.fish_count == 0:
            return None
        left = oxygen_left(sealed.start, sealed.course, result, limit_mmol_l, sealed.turned_per_h)
        store, still, crossing, gas = (
            part if self.order is None else picked(part, self.order) for part in left
        )
        store, still = np.minimum(store, _ENDLESS_HOURS), np.minimum(still, _ENDLESS_HOURS)
        helps = (crossing < 1.0) & (store - still >= _WORTH_TURNING_H)
        return OxygenOutlook(
            store_hours=_clipped_band(store),
            still_hours=_clipped_band(still),
            crossing_share=band_of(crossing),
            gas_left_share=band_of(gas + 0.0 * store),
            crossing_short=share_of(crossing < 1.0),
            turn_gently=bool(helps[0]),
        )

    def _notices(self, ran_out: float | None, low_do_mg_l: float) -> tuple[str, ...]:
        notices = [
            "Computed from respiration and gas exchange; waste, zeolite, buffers and ammonia "
            "binders in the bag are not in it."
        ]
        if self.sealed.bag.fish_count and ran_out is not None:
            notices.append(
                f"Oxygen falls under {exact(low_do_mg_l)} mg/L on the way; after that "
                "fish die or live "
                "on other reserves, and the forecast no longer holds."
            )
        read = self.measured
        if read is not None and read.ph is not None and read.minutes_after_opening > 5.0:
            notices.append(
                f"pH was read {exact(read.minutes_after_opening)} minutes after opening; "
                "CO2 has been "
                "leaving since, so the sealed bag was more acid than that."
            )
        return (*notices, *self.doubts)


def _over_time(sealed: Sealed, result: Run, order: npt.NDArray[np.intp] | None) -> dict[str, Array]:
    values = quantities(result, sealed.course.volume_l, sealed.temperature)
    if order is None:
        return values
    return {name: picked(array, order) for name, array in values.items()}


def _ends(sealed: Sealed, result: Run, order: npt.NDArray[np.intp] | None) -> dict[str, Band]:
    """The quantities at the end of a run."""
    last = Run(*(part[-1:] for part in result))
    values = quantities(last, sealed.course.volume_l[-1:], sealed.temperature[-1:])
    stack = np.concatenate([np.broadcast_to(each, last.o2.shape) for each in values.values()])
    bands = path_of(stack if order is None else stack[:, order])
    return {name: bands.at(row) for row, name in enumerate(values)}


def _clipped_band(hours: Array) -> Band:
    return band_of(np.clip(hours, 0.0, _ENDLESS_HOURS))


def _first_below(hours: Array, path: Path | None, limit: float) -> float | None:
    """First time the central path lies under a limit, straight between grid points."""
    if path is None:
        return None
    values = np.array(path.value)
    under = np.flatnonzero(values < limit)
    if not len(under):
        return None
    i = int(under[0])
    if i == 0:
        return 0.0
    part = (values[i - 1] - limit) / (values[i - 1] - values[i])
    return float(hours[i - 1] + part * (hours[i] - hours[i - 1]))
