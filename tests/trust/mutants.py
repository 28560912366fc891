"""Mutation testing: which small faults in a room do the tests of that room notice?

    python -m tests.trust.mutants advisor/advice/ranking [--sample 150] [--seed 1]

Each mutant is one fault of tests/trust/mutations.py, run in a copy of the tree
against the tests of its room, stopped at the first failure. It counts as killed
when a test fails or the tests take over twice the processor time of the sound
code. Prints every survivor with its line, and the share killed with its 95 %
interval (Wilson 1927) when a sample was drawn. Unix only: each run is a fork.
"""

from __future__ import annotations

import argparse
import importlib
import math
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from tests.trust.mutations import Mutant, mutants

ROOT = Path(__file__).parents[2]
#: The tests of a room, quick ones first (a folder would put them in the order of their names); for
#: any other room they are named with --tests.
TESTS = {
    "advisor/water": (
        "tests/water/test_published_values.py",
        "tests/water/test_bad_input.py",
        "tests/water/test_water_change.py",
        "tests/water/test_formulas.py",
        "tests/water/test_laws.py",
        "tests/water/test_against_sea_water.py",
        "tests/water/test_against_phreeqc.py",
    ),
    "advisor/advice/ranking": ("tests/advice/test_ranking.py", "tests/advice/test_assess.py"),
    "advisor/advice/facts/situation": (
        "tests/advice/facts/test_where.py",
        "tests/advice/facts/test_situation.py",
    ),
    "advisor/advice/move": (
        "tests/advice/move/test_choice.py",
        "tests/advice/move/test_costs.py",
        "tests/advice/move/test_order.py",
    ),
    "advisor/bag/likeness": ("tests/bag/test_weighting.py",),
    "advisor/bag/condition": (
        "tests/bag/test_weighting.py",
        "tests/bag/test_aimed.py",
        "tests/bag/test_readings.py",
    ),
    # with its slow tests: they hold what each of some 2,700 lines is taken to mean
    "advisor/ask/hear": (
        "-m",
        "slow or not slow",
        "tests/ask/test_hear.py",
        "tests/ask/test_hear_counts.py",
        "tests/ask/test_hear_readings.py",
        "tests/ask/test_hear_signs.py",
        "tests/ask/test_hear_patterns.py",
        "tests/ask/test_hear_clock.py",
        "tests/ask/test_hear_names.py",
        "tests/ask/test_hear_places.py",
        "tests/ask/test_heads_on_file.py",
        "tests/ask/test_phrases.py",
        "tests/ask/test_hear_laws.py",
        "tests/ask/test_utterances.py",
    ),
    "advisor/page/guard": ("tests/page/test_gate.py",),
    "advisor/page/entry": ("tests/page/test_gate.py",),
    "advisor/advice/plan": ("tests/advice/test_plan.py", "tests/advice/test_assess.py"),
    "advisor/rulebase/engine": (
        "tests/rulebase/engine/test_meaning.py",
        "tests/rulebase/engine/test_layout.py",
        "tests/rulebase/engine/test_durable.py",
        "tests/rulebase/engine/test_lifetime.py",
        "tests/rulebase/engine/test_agreement.py",
    ),
}
COPIED = ("advisor", "rules", "cases", "tests", "pyproject.toml")
#: Loaded once before the forks; never a module of our own.
PRELOADED = (
    "pytest", "hypothesis", "numpy", "pydantic", "rich", "scipy.integrate", "gsw", "phreeqpython",
    "PyCO2SYS",
)  # fmt: skip
LEAST_S, TIMES, MEMORY = 20.0, 2, 6 << 30


class Run(NamedTuple):
    """How the tests ended on one tree."""

    failed: bool
    why: str
    seconds: float


def files_of(room: str) -> list[Path]:
    """Source files of a room, which is a package or a single module; relative to the root."""
    whole = ROOT / room.removesuffix(".py")
    found = sorted(whole.rglob("*.py")) if whole.is_dir() else [whole.with_suffix(".py")]
    return [file.relative_to(ROOT) for file in found]


def run_tests(tree: Path, tests: Sequence[str], limit_s: float) -> Run:
    """Run ``tests`` of ``tree`` in a fork of this process, with fresh caches."""
    report = tree / "report.txt"
    shutil.rmtree(tree / ".hypothesis", ignore_errors=True)
    shutil.rmtree(tree / "cache", ignore_errors=True)
    if (tree / "cache-of-sound-code").exists():
        shutil.copytree(tree / "cache-of-sound-code", tree / "cache")
    child = os.fork()
    if child == 0:
        _be_the_tests(tree, tests, report)
    code, spent = _wait(child, limit_s)
    if code is None:
        return Run(True, "took too long", spent)
    lines = report.read_text(errors="replace").splitlines()
    why = [line for line in lines if line.startswith(("FAILED", "ERROR"))]
    return Run(code != 0, (why or ["stopped"])[0][:150], spent)


def _be_the_tests(tree: Path, tests: Sequence[str], report: Path) -> None:
    os.setsid()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    os.chdir(tree)
    out = os.open(report, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644)
    os.dup2(out, 1)
    os.dup2(out, 2)
    os.environ["XDG_CACHE_HOME"] = str(tree / "cache")
    sys.dont_write_bytecode = True
    sys.path[:] = [str(tree), *(path for path in sys.path if Path(path or ".").resolve() != ROOT)]
    for name in [n for n in sys.modules if n.split(".")[0] in ("advisor", "tests")]:
        del sys.modules[name]
    import pytest

    plain = ("-x", "-q", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist")
    code = pytest.main([*plain, "-p", "no:randomly", "--hypothesis-seed=1", *tests])
    sys.stdout.flush()
    os._exit(int(code))


def _wait(child: int, limit_s: float) -> tuple[int | None, float]:
    """Exit status, or None when it was stopped, and processor seconds."""
    began = time.monotonic()
    while True:
        done, status, usage = os.wait4(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status), usage.ru_utime + usage.ru_stime
        spent = _processor_s(child)
        if spent > limit_s or time.monotonic() - began > 4 * limit_s:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return None, spent
        time.sleep(0.05)


def _processor_s(child: int) -> float:
    fields = Path(f"/proc/{child}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def interval(killed: int, of: int) -> tuple[float, float]:
    """95 % interval of a share (Wilson 1927, J. Am. Stat. Assoc. 22:209)."""
    z, share = 1.959964, killed / of
    middle = (share + z * z / (2 * of)) / (1 + z * z / of)
    half = z * math.sqrt(share * (1 - share) / of + z * z / (4 * of * of)) / (1 + z * z / of)
    return middle - half, middle + half


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("room", help="a package or module, such as advisor/water")
    parser.add_argument("--sample", type=int, help="so many mutants at random; default all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tests", nargs="+", help="test files or folders; default the room's own")
    parser.add_argument("--only", default="", help="mutants of files whose path holds this")
    asked = parser.parse_args()
    room = asked.room.rstrip("/").removesuffix(".py")
    tests = asked.tests or TESTS[room]
    every = [(file, make) for file in files_of(room) if asked.only in str(file)
             for make in mutants((ROOT / file).read_text(encoding="utf-8"))]  # fmt: skip
    size = min(asked.sample or len(every), len(every))
    drawn = [(file, make()) for file, make in random.Random(asked.seed).sample(every, size)]
    print(f"{room}: {len(every)} mutants, {size} of them run against {' '.join(tests)}", flush=True)
    for name in PRELOADED:
        importlib.import_module(name)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        survivors = try_all(Path(folder).resolve(), drawn, tests)
    killed = size - len(survivors)
    low, high = interval(killed, size)
    sampled = "" if size == len(every) else f" (95 % interval {low:.1%} to {high:.1%})"
    print(f"{room}: killed {killed} of {size}, {killed / size:.1%}{sampled}")
    for file, each in sorted(survivors, key=lambda pair: (pair[0], pair[1].line)):
        print(f"  {file}:{each.line} {each.kind}: {each.before}  ->  {each.after}")
    return 0


def try_all(
    tree: Path, drawn: Sequence[tuple[Path, Mutant]], tests: Sequence[str]
) -> list[tuple[Path, Mutant]]:
    """Run every mutant in a copy at ``tree``; return those no test noticed."""
    for name in COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, tree / name)
    sound = run_tests(tree, tests, 600)
    if sound.failed:
        raise SystemExit(f"The tests fail on the sound code: {sound.why}")
    if (tree / "cache").exists():
        (tree / "cache").rename(tree / "cache-of-sound-code")
    limit_s = LEAST_S + TIMES * sound.seconds
    survivors, ends = [], Counter[str]()
    for number, (file, mutant) in enumerate(drawn, 1):
        kept = (tree / file).read_bytes()
        (tree / file).write_text(mutant.source, encoding="utf-8")
        end = run_tests(tree, tests, limit_s)
        (tree / file).write_bytes(kept)
        ends[end.why.partition("::")[0] if end.failed else "survived"] += 1
        if not end.failed:
            survivors.append((file, mutant))
            print(f"survived {file}:{mutant.line} {mutant.before} -> {mutant.after}", flush=True)
        if number % 10 == 0:
            print(f"{number}: {dict(ends)}", file=sys.stderr, flush=True)
    return survivors


if __name__ == "__main__":
    sys.exit(main())
