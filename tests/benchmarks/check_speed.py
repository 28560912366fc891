"""Cases per second of ``advisor replay --check``.

    python -m tests.benchmarks.check_speed [--cases 5000] [--jobs 1 2]
    python -m tests.benchmarks.check_speed --cases 300 --older FOLDER

Writes random deliveries (tests/replay/deliveries.py) with an empty expectation into a
folder of its own, checks them with one and with two processes, and reports cases per
second, processor time for each case (which tells a busy machine from a slow program), the
gain and the most memory this process took. Workers' start is counted in.
Goal: two cores gain at least 1.7. Nothing here is a test.
"""

from __future__ import annotations

import argparse
import itertools
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

from advisor.case import load_case, save_case
from advisor.errors import AdvisorError
from advisor.explain.replay.check_cases import CheckTable, judge_all
from advisor.explain.replay.crowd import cores, over
from advisor.rulebase import load_rulebase
from tests.replay.deliveries import delivery

HERE = Path(__file__).parents[2]
EXPECTED = '\n[expected]\nkind = "constructed"\nsource = "drawn at random for timing"\n'


def write(folder: Path, count: int, seed: int) -> list[str]:
    """``count`` deliveries as files; of those drawn, the ones whose figures can be."""
    base = load_rulebase()
    paths: list[str] = []
    for number in itertools.count():
        if len(paths) == count:
            break
        path = folder / f"{number:06}.toml"
        save_case(delivery(random.Random(f"{seed}/{number}"), base), path)
        with path.open("a", encoding="utf-8") as file:
            file.write(EXPECTED)
        try:
            load_case(path)
        except AdvisorError:
            path.unlink()
        else:
            paths.append(str(path))
    return paths


def processor() -> float:
    """Seconds of processor time of this process and of those that have ended."""
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


class Rates(NamedTuple):
    """Cases per second with one process and with two; processor seconds of one case;
    MB this process grew by in the second half of the cases."""

    one: float
    two: float
    each_s: float
    grown_mb: float

    @property
    def gain(self) -> float:
        return self.two / self.one


def rates(cases: int, seed: int = 1) -> Rates:
    """An archive of so many drawn cases, checked with one process and with two."""
    with tempfile.TemporaryDirectory() as folder:
        paths = write(Path(folder), cases, seed)
        spent, sizes, each_s = [], [], 0.0
        for jobs in (1, 2):
            began, worked = time.perf_counter(), processor()
            table = CheckTable()
            for number, judged in enumerate(over(paths, judge_all, jobs=jobs), 1):
                table.add(judged)
                if jobs == 1 and number in (max(1, cases // 2), cases):
                    sizes.append(resident_mb())
            spent.append(time.perf_counter() - began)
            each_s = each_s or (processor() - worked) / cases
    return Rates(cases / spent[0], cases / spent[1], each_s, sizes[-1] - sizes[0])


def resident_mb() -> float:
    """Memory of this process now (Linux)."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


_WRITE = """
import sys
from pathlib import Path
from tests.benchmarks.check_speed import write
write(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
"""
#: Run in the folder of a version: milliseconds of processor a case, start not counted.
_EACH = """
import importlib, sys, time
from pathlib import Path
room = "advisor.explain.replay" if Path("advisor/explain").is_dir() else "advisor.replay"
over = importlib.import_module(room + ".crowd").over
names = [room + "." + file.stem for file in Path(*room.split(".")).glob("check*.py")]
check = next(m for m in map(importlib.import_module, names) if hasattr(m, "by_odds"))
work = getattr(check, "judge_all", None) or check.judge_with
paths = sys.argv[1:]
list(over(paths[:1], work))
began = time.process_time()
read = [not each.fault for each in over(paths, work)]
print(1000 * (time.process_time() - began) / len(paths), "".join(map(str, map(int, read))))
"""


def over_older(older: Path, cases: int, turns: int = 5, seed: int = 1) -> tuple[float, int]:
    """Least processor time a case of an older version over ours, by turns; and cases compared.

    older : a folder that holds it, such as one that ``git worktree add`` made of a commit

    Only deliveries that both can read are compared.
    """
    with tempfile.TemporaryDirectory() as folder:
        words = [sys.executable, "-c", _WRITE, folder, str(cases), str(seed)]
        subprocess.run(
            words, cwd=older, check=True
        )  # what the older one draws, both can mostly read
        paths = sorted(map(str, Path(folder).glob("*.toml")))
        for version in (older, HERE):
            read = _run(version, paths)[1]
            paths = [path for path, is_read in zip(paths, read, strict=True) if is_read == "1"]
        ours, theirs = [], []
        for _ in range(turns):
            theirs.append(_run(older, paths)[0])
            ours.append(_run(HERE, paths)[0])
    return min(theirs) / min(ours), len(paths)


def _run(version: Path, paths: list[str]) -> tuple[float, str]:
    """Milliseconds a case, and for each case "1" where it could be read."""
    command = [sys.executable, "-c", _EACH, *paths]
    said = subprocess.run(command, cwd=version, check=True, capture_output=True, text=True).stdout
    each, read = said.split()
    return float(each), read


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.check_speed")
    parser.add_argument("--cases", type=int, default=5000)
    parser.add_argument("--jobs", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--older", type=Path, help="folder of an older version to compare with")
    args = parser.parse_args()
    if args.older is not None:
        times, cases = over_older(args.older, args.cases, seed=args.seed)
        print(
            f"{times:.2f} times the cases per second and core of {args.older.name}, {cases} cases"
        )
        return
    with tempfile.TemporaryDirectory() as folder:
        paths = write(Path(folder), args.cases, args.seed)
        rates = []
        print(f"{len(paths)} cases, {cores()} cores, load before {os.getloadavg()[0]:.1f}")
        for jobs in args.jobs:
            began, worked = time.perf_counter(), processor()
            table = CheckTable.of(over(paths, judge_all, jobs=jobs))
            spent = time.perf_counter() - began
            rates.append(len(paths) / spent)
            unread = len(table.unreadable)
            each = 1000 * (processor() - worked) / len(paths)
            print(
                f"{jobs} processes: {rates[-1]:.1f} cases/s ({spent:.1f} s, {unread} unread), "
                f"{each:.0f} ms of processor each"
            )
        if len(rates) > 1:
            print(f"gain {rates[-1] / rates[0]:.2f} (goal 1.7 on 2 cores)")
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"most memory of this process {most:.0f} MB")


if __name__ == "__main__":
    main()
