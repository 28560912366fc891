"""What a start costs: whole processes beside one that only imports the libraries.

    python -m tests.benchmarks.start_speed [--turns 7]

Processor time of each process and of what it starts, since the machine may be
busy; the programs take turns, printed are medians of the ratios within a turn.
They run as installed: from compiled files, with a cache folder of their own.

- "again" is a delivery looked at before, "new" one whose bags were not yet
  simulated, "first ever" a computer on which nothing is kept yet.
"""

from __future__ import annotations

import argparse
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

CASES = Path(__file__).parents[2] / "cases"
DEMO = CASES / "demo" / "four-lots-one-burned-on-opening.toml"
ONE_LOT = CASES / "constructed" / "bag-packed-with-air.toml"
LIBRARIES = "import rich.console, durable.engine; from pydantic import BaseModel"


def as_installed(folder: str) -> dict[str, str]:
    """The environment of a program that pip has installed, its files kept in ``folder``."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "PYTHONPYCACHEPREFIX": f"{folder}/pyc", "XDG_CACHE_HOME": f"{folder}/cache"}


def processor_ms(command: Sequence[str], environment: Mapping[str, str]) -> float:
    """Milliseconds of processor time the command takes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, env=environment, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1000 * (after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime)


def one_turn(folder: str, environment: Mapping[str, str], *, first: bool) -> dict[str, float]:
    """Milliseconds of each program."""
    cache = Path(environment["XDG_CACHE_HOME"]) / "advisor"

    def assess(case: Path) -> float:
        command = [sys.executable, "-m", "advisor", "assess", str(case)]
        return processor_ms(command, environment)

    found = {"libraries": processor_ms([sys.executable, "-c", LIBRARIES], environment)}
    if first:
        shutil.rmtree(cache, ignore_errors=True)
        found["first ever"] = assess(DEMO)
    for kept in cache.glob("forecasts-*"):
        kept.unlink()
    for name, case in (("four lots", DEMO), ("one lot", ONE_LOT)):
        found[f"{name}, new"] = assess(case)
        found[f"{name}, again"] = assess(case)
    return found


def measured(turns: int) -> list[dict[str, float]]:
    """Every turn's milliseconds; a first one, which compiles, is left out."""
    with tempfile.TemporaryDirectory() as folder:
        environment = as_installed(folder)
        one_turn(folder, environment, first=True)
        return [one_turn(folder, environment, first=turn < 3) for turn in range(turns)]


def over_libraries(turns: Sequence[Mapping[str, float]], name: str) -> float:
    """Median of the ratios within each turn."""
    return statistics.median(turn[name] / turn["libraries"] for turn in turns if name in turn)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.start_speed")
    parser.add_argument("--turns", type=int, default=7)
    turns = measured(parser.parse_args().turns)
    for name in turns[0]:
        each = statistics.median(turn[name] for turn in turns if name in turn)
        print(f"{name:<22}{each:>7.0f} ms{over_libraries(turns, name):>8.2f} times the libraries")


if __name__ == "__main__":
    main()
