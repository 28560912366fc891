"""Many simulations as one: bags, and ways of opening them, side by side in the sample axis.

A time step costs nearly the same for a hundred samples as for a thousand, so
the bags of a delivery, and of many deliveries, are integrated together. Bags
of different length repeat their last time; a step of no length does nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.course import EVERY, Course, Inflow, Run, Start
from advisor.bag.gases import Film
from advisor.bag.integrator import run
from advisor.errors import AdvisorError

Array = npt.NDArray[np.float64]

#: Samples worked on at a time, so that a step stays in the processor's cache.
MOST_SAMPLES = 2400


class Job(NamedTuple):
    """One simulation: ``samples`` wide; the rest as in :func:`advisor.bag.integrator.run`."""

    start: Start
    course: Course
    samples: int
    like: Run | None = None
    keep: tuple[str, ...] = EVERY


def run_all(jobs: Sequence[Job]) -> list[Run | AdvisorError]:
    """Every job's run, in order, as one by one; what cannot be solved gives its error instead."""
    done: list[Run | AdvisorError] = []
    for group in _groups(jobs):
        if len(group) == 1:
            done.append(_alone(group[0]))
            continue
        try:
            done.extend(_together(group))
        except AdvisorError:  # one of them: the others must not lack theirs
            done.extend(_alone(job) for job in group)
    return done


def _alone(job: Job) -> Run | AdvisorError:
    try:
        return run(*job)
    except AdvisorError as fault:
        return fault


def solved(runs: Iterable[Run | AdvisorError]) -> Iterator[Run]:
    """The runs, where one that cannot be solved ends it: raises its AdvisorError."""
    for each in runs:
        if isinstance(each, AdvisorError):
            raise each
        yield each


def _groups(jobs: Sequence[Job]) -> Iterator[list[Job]]:
    group: list[Job] = []
    width = 0
    for job in jobs:
        full = width + job.samples > MOST_SAMPLES
        if group and (full or not _alike(group[0], job)):
            yield group
            group, width = [], 0
        group.append(job)
        width += job.samples
    if group:
        yield group


def _alike(one: Job, other: Job) -> bool:
    a = (one.course.closed, one.like is None, one.keep)
    return a == (other.course.closed, other.like is None, other.keep)


def _together(jobs: Sequence[Job]) -> list[Run]:
    times = [len(job.course.hours) for job in jobs]
    most, whole = max(times), sum(job.samples for job in jobs)
    courses = [_complete(job.course) for job in jobs]

    def over_time(parts: Sequence[Array]) -> Array:
        if not any(part.any() for part in parts):
            return np.zeros((most, 1))
        out, begin = np.empty((most, whole)), 0
        for part, job in zip(parts, jobs, strict=True):
            cut = slice(begin, begin + job.samples)
            out[: len(part), cut] = part
            out[len(part) :, cut] = part[-1]
            begin += job.samples
        return out

    def once(parts: Sequence[Any]) -> Array:
        return np.concatenate(
            [np.broadcast_to(part, (job.samples,)) for part, job in zip(parts, jobs, strict=True)]
        )

    def merged(parts: Sequence[Any]) -> Any:
        first = parts[0]
        if first is None or isinstance(first, bool):
            return first
        if isinstance(first, tuple):
            return type(first)(*(merged(each) for each in zip(*parts, strict=True)))
        return over_time(parts) if np.ndim(first) == 2 else once(parts)

    first = courses[0].hours
    alike = all(np.array_equal(course.hours, first) for course in courses)
    hours = first if alike else over_time([course.hours[:, None] for course in courses])
    ready = [course._replace(hours=None) for course in courses]  # type: ignore[arg-type]
    course = merged(ready)._replace(hours=hours)
    start = merged([job.start for job in jobs])
    likes = [job.like.oxygen() for job in jobs if job.like is not None]
    result = run(start, course, whole, merged(likes) if likes else None, jobs[0].keep)
    ends = np.cumsum([job.samples for job in jobs])
    return [
        Run(*(part[: min(count, len(part)), end - job.samples : end] for part in result))
        for count, end, job in zip(times, ends.tolist(), jobs, strict=True)
    ]


def _complete(course: Course) -> Course:
    """A course with a film and an inflow, of nothing where there is none."""
    none = np.zeros(1)
    film = course.film or Film(none, none, none)
    inflow = course.inflow
    if inflow is None and not course.closed:
        inflow = Inflow(none, none, none, none)
    return course._replace(film=film if course.closed else None, inflow=inflow)
