"""The water fish meet while a bag is opened, method by method; one bag, or many at once.

Computed, not observed: no controlled trial compares dripping with netting out
at once. Every method starts from the same samples of the bag's water and ends
with the fish in the tank, at once or after their time in the bag.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.bag.batch import Job, run_all, solved
from advisor.bag.draws import Draws
from advisor.bag.exposure import OpeningResult, first_above, limit_time, result_of
from advisor.bag.inputs import Measured, TankWater
from advisor.bag.methods import LEFT_OPEN, OPENING_METHODS, OpeningMethod, SlowChange
from advisor.bag.opened_bag import bag_at_opening
from advisor.bag.outcomes import LimitTime, SealedForecast
from advisor.bag.respiration import N_MG
from advisor.bag.state import BagState
from advisor.bag.tankwater import sample_tank
from advisor.bag.ways import Look, Opened, grid
from advisor.errors import AdvisorError
from advisor.wording.numbers import exact

Bag = SealedForecast | BagState | Measured


def compare_openings(
    bag: Bag,
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
    slow_change : when a slow change is worth its ammonia; None leaves it open
    samples, seed : used with readings alone; a forecast brings its own

    Raises AdvisorError for readings too few or contradictory, or an
    impossible length of time.
    """
    return compare_many(
        ((bag, tank),), methods, minutes, slow_change=slow_change, samples=samples, seed=seed
    )[0]


def compare_many(
    cases: Sequence[tuple[Bag, TankWater]],
    methods: Sequence[OpeningMethod] = OPENING_METHODS,
    minutes: float = 120.0,
    *,
    slow_change: SlowChange | None = None,
    samples: int = 300,
    seed: int = 0,
) -> tuple[tuple[OpeningResult, ...], ...]:
    """The same for many bags, each with its tank, simulated as one array.

    Returns, for each case, one result a method; the same as one by one.
    """
    if not 5.0 <= minutes <= 1440.0:
        raise AdvisorError(f"minutes: {exact(minutes)} is outside 5 to 1440 min.")
    if not methods:
        raise AdvisorError("methods: none given; leave them out to compare the usual ones.")
    opened = [_opened(bag, tank, samples, seed) for bag, tank in cases]
    looks = [[each.look(method, minutes) for method in methods] for each in opened]
    runs = iter(solved(run_all([look.job for row in looks for look in row if look.job])))
    return tuple(
        _results(case, each, row, runs, slow_change)
        for (case, _), each, row in zip(cases, opened, looks, strict=True)
    )


def times_left_open(
    bags: Sequence[tuple[Bag, TankWater]], limits_mg_l: Sequence[float], minutes: float = 120.0
) -> tuple[LimitTime | AdvisorError, ...]:
    """When un-ionised ammonia [mg N/L] passes its limit in each bag opened and left still.

    As ``compare_many`` and ``minutes_to_nh3_limit`` say it, and of the bags as one array,
    but nothing else is worked out. A bag for which it cannot be told gives its error.
    """
    jobs: list[Job | AdvisorError] = []
    for bag, tank in bags:
        try:
            look = _opened(bag, tank, 0, 0).look(LEFT_OPEN, minutes)
        except AdvisorError as fault:
            jobs.append(fault)
            continue
        assert look.job is not None
        jobs.append(look.job._replace(keep=("nh3",)))
    runs = iter(run_all([job for job in jobs if isinstance(job, Job)]))
    times = grid(minutes, None)
    found: list[LimitTime | AdvisorError] = []
    for job, limit in zip(jobs, limits_mg_l, strict=True):
        run = next(runs) if isinstance(job, Job) else job
        passed = run if isinstance(run, AdvisorError) else first_above(times, run.nh3 * N_MG, limit)
        found.append(passed if isinstance(passed, AdvisorError) else limit_time(passed))
    return tuple(found)


def _opened(bag: Bag, tank: TankWater, samples: int, seed: int) -> Opened:
    state = bag_at_opening(bag, samples, seed)
    draws = Draws(state.draws.samples, state.draws.seed)
    return Opened.of(state, sample_tank(tank, draws), draws)


def _results(
    bag: Bag, opened: Opened, looks: list[Look], runs: object, slow: SlowChange | None
) -> tuple[OpeningResult, ...]:
    own = opened.bag.draws.assumptions if isinstance(bag, Measured) else []
    assumptions = (*own, *opened.draws.assumptions)
    verdict = None if slow is None else slow.verdict(*opened.osmotic_step())
    return tuple(
        result_of(
            look.exposure(None if look.job is None else next(runs)),  # type: ignore[call-overload]
            assumptions,
            verdict,
        )
        for look in looks
    )
