"""Many cases over several cores.

Each worker process makes its own reasoner once; only paths go out and small
results come back, in the order of the paths, so memory does not grow with the
archive. Workers are started fresh ("spawn"), because the engine's compiled
core has not been shown to survive a fork.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from advisor.advice.assess import Reasoner

Result = TypeVar("Result")
#: What is done with one case: it is named by its function, so that a worker finds it.
Work = Callable[[Path, tuple[Reasoner, ...]], Result]

_MOST_CHUNK = 64
_held: tuple[Reasoner, ...] = ()


def over(
    paths: Sequence[Path],
    work: Work[Result],
    folders: Sequence[Path | None] = (None,),
    jobs: int = 1,
) -> Iterator[Result]:
    """``work`` on every path, in order. Rules of each folder are made ready once a process.

    jobs : processes; 1 works in this one
    """
    jobs = max(1, min(jobs, len(paths)))
    if jobs == 1:
        held = tuple(Reasoner.load(folder) for folder in folders)
        for path in paths:
            yield work(path, held)
        return
    chunk = max(1, min(_MOST_CHUNK, len(paths) // (jobs * 8)))
    context = multiprocessing.get_context("spawn")
    with context.Pool(jobs, _begin, (tuple(folders),)) as pool:
        tasks = ((path, work) for path in paths)
        yield from pool.imap(_one, tasks, chunksize=chunk)


def _begin(folders: tuple[Path | None, ...]) -> None:
    global _held
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent is interrupted and ends the pool
    _held = tuple(Reasoner.load(folder) for folder in folders)


def _one(task: tuple[Path, Work[Result]]) -> Result:
    path, work = task
    return work(path, _held)


def cores() -> int:
    """Processor cores this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on this system
        return os.cpu_count() or 1
