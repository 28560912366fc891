"""Many cases over several cores, or over a cluster, with flat memory.

Each worker makes its own reasoners once; only names of cases go out and small results
come back, in the order of the names, a few chunks ahead of what is asked for. Workers
are started fresh ("spawn"), because the engine's compiled core has not been shown to
survive a fork.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import lru_cache
from itertools import islice
from pathlib import Path
from threading import Lock
from typing import Any, Protocol, TypeVar

from advisor.advice.reasoner import Reasoner
from advisor.errors import AdvisorError

Result = TypeVar("Result")
Folders = tuple[Path | None, ...]
#: What is done with some cases, in order: named by its function, so that a worker finds it.
Work = Callable[[Sequence[str], tuple[Reasoner, ...]], Iterable[Result]]

#: Cases worked on together: enough that their bags, simulated as one array, cost little.
_CHUNK = 32
#: Chunks that wait or are worked on at once, for each worker.
_AHEAD = 3
#: Seconds without an answer before a cluster is asked whether it still has workers.
_PATIENCE = 20.0


class WorkersLost(AdvisorError):
    """Workers ended before their work was done; what came before stands."""


class _Future(Protocol):
    def result(self) -> list[Any]: ...


def over(
    tasks: Iterable[str],
    work: Work[Result],
    folders: Iterable[Path | None] = (None,),
    jobs: int = 1,
    on: str | None = None,
) -> Iterator[Result]:
    """``work`` on all tasks, some at a time, in order. Rules are made ready once a worker.

    tasks : paths of cases, or names of draws
    jobs  : processes; 1 works in this one
    on    : address of a Dask scheduler, such as "tcp://10.0.0.5:8786", instead of processes
            here; cases and rules must lie under the same paths for its workers

    Raises WorkersLost when a process ends before its work is done (a cluster gives the
    work of a lost worker to another, and is lost with its last one).
    """
    held = tuple(folders)
    left = iter(tasks)
    if on is None and jobs <= 1:
        while chunk := list(islice(left, _CHUNK)):
            yield from work(chunk, _reasoners(held))
        return
    with _pool(jobs, held) if on is None else _cluster(on, held) as (submit, workers):
        waiting: deque[_Future] = deque()
        while chunk := list(islice(left, _CHUNK)):
            waiting.append(submit(chunk, work))
            if len(waiting) >= _AHEAD * workers:
                yield from waiting.popleft().result()
        while waiting:
            yield from waiting.popleft().result()


def cores() -> int:
    """Processor cores this process may use."""
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on this system
        return os.cpu_count() or 1


@lru_cache(maxsize=1)
def _reasoners(folders: Folders) -> tuple[Reasoner, ...]:
    return tuple(Reasoner.load(folder) for folder in folders)


Submit = Callable[[list[str], Work[Any]], _Future]


@contextmanager
def _pool(jobs: int, folders: Folders) -> Iterator[tuple[Submit, int]]:
    """Processes on this machine."""
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(jobs, context, _begin, (folders,))
    done = False
    try:
        yield (lambda chunk, work: pool.submit(_chunk, chunk, work, folders)), jobs
        done = True
    except BrokenProcessPool:
        raise WorkersLost(
            "A worker process ended before its work was done (killed, or out of memory)."
        ) from None
    finally:
        pool.shutdown(wait=done, cancel_futures=True)


def _begin(folders: Folders) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent is interrupted and ends the pool
    _reasoners(folders)


def _chunk(tasks: list[str], work: Work[Result], folders: Folders) -> list[Result]:
    return list(work(tasks, _reasoners(folders)))


# -- a cluster ----------------------------------------------------------------


@contextmanager
def _cluster(address: str, folders: Folders) -> Iterator[tuple[Submit, int]]:
    """Workers of a running Dask cluster."""
    try:
        from distributed import Client
    except ImportError:
        raise AdvisorError("--on needs Dask: pip install 'advisor[cluster]'.") from None
    try:
        client: Any = Client(address, timeout=5)
    except (OSError, ValueError, TimeoutError):
        raise AdvisorError(f"--on: no Dask scheduler answers at {address}.") from None
    absolute = tuple(None if folder is None else folder.resolve() for folder in folders)

    def submit(chunk: list[str], work: Work[Any]) -> _Future:
        future = client.submit(_chunk_away, chunk, work, absolute, os.getcwd(), pure=False)
        return _Patient(client, future)

    try:
        yield submit, max(1, len(client.scheduler_info()["workers"]))
    finally:
        client.close()


class _Patient:
    """A future of the cluster that does not wait for workers that are gone."""

    def __init__(self, client: Any, future: Any) -> None:
        self.client, self.future = client, future

    def result(self) -> list[Any]:
        while True:
            try:
                found: list[Any] = self.future.result(timeout=_PATIENCE)
                return found
            except TimeoutError:
                if not self.client.scheduler_info()["workers"]:
                    raise WorkersLost("The cluster has no worker left.") from None
            except AdvisorError:
                raise
            except Exception as error:
                said = (str(error).splitlines() or [type(error).__name__])[0]
                raise WorkersLost(f"The cluster gave up: {said}") from None


_one_at_a_time = Lock()  # a worker may have threads; the engine and the folder are one


def _chunk_away(tasks: list[str], work: Work[Result], folders: Folders, here: str) -> list[Result]:
    """A chunk as the asking process would do it, in its folder, so that names stay the same."""
    with _one_at_a_time:
        back = os.getcwd()
        os.chdir(here)
        try:
            return _chunk(tasks, work, folders)
        finally:
            os.chdir(back)
