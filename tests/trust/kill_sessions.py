"""kill -9 at random moments: what a session has taken in must be in the file.

    python -m tests.trust.kill_sessions --count 500 [--seed 1]

Each trial runs ``advisor ask`` as a program of its own with answers by name, drawn anew,
and kills it a moment (0 to 60 ms, random) after a random question has come up. An answer
counts as completed once the next question stands on the screen: it was taken in before
that. Then the case must load and hold every completed answer with its value, nothing of
the killed session may stand in the way of going on, and going on must end well.

Every fifth trial has two sessions at once on one case, of which one is killed, or both.
Each has its own answers, and each must find its completed answers in the file it was told of.

The one seed decides answers and moments, not how far a program gets in a millisecond.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.rulebase import load_rulebase

ROOT = Path(__file__).parents[2]
#: Questions after which a session may be killed, and how long after one came up [s].
KILL_AFTER, WITHIN_S = (1, 14), 0.06
TWO_AT_ONCE_EVERY, GO_ON_EVERY, FINISH_EVERY = 5, 10, 3
_NUMBERED = re.compile(r"^\d+\. (?:[^:?]{1,40}: )?(.*)")
_ELSEWHERE = re.compile(r"answers are kept in (.*?\.toml) from here on")


@dataclass(frozen=True)
class Told:
    """What one person answers, and how each answer must stand in the case."""

    hours: int
    heads: int
    dead: int
    tank_c: float
    ph: float

    @classmethod
    def drawn(cls, rng: random.Random, heads: int | None = None) -> Told:
        """Drawn anew; with ``heads``, of a delivery whose fish another already counted."""
        heads = heads or rng.randint(5, 90)
        return cls(
            hours=rng.randint(2, 70),
            heads=heads,
            dead=rng.randint(0, heads),
            tank_c=rng.randint(180, 290) / 10,
            ph=rng.randint(60, 85) / 10,
        )

    def lines(self) -> Mapping[str, str]:
        return {
            "where_are_they": "3",
            "breathing_and_posture": "1 4",
            "hours_sealed": f"{self.hours} h",
            "kinds": f"{self.heads} guppies",
            "arrived": "2 h",
            "counts": f"{self.dead} dead",
            "thermometer": f"{self.tank_c} C|",
            "ph": f"{self.ph} meter|",
        }

    def checks(self) -> Mapping[str, Callable[[Case], bool]]:
        """Question -> whether the case holds its answer."""
        return {
            "where_are_they": lambda case: case.lot[0].release_method == "netted",
            "breathing_and_posture": lambda case: any(
                {"gasping_at_surface", "hanging_at_surface"} <= set(look.seen)
                for look in case.observation
            ),
            "hours_sealed": lambda case: case.transit.hours_sealed == self.hours,
            "kinds": lambda case: [lot.count for lot in case.lot] == [self.heads],
            "arrived": lambda case: any(look.at_hours == 2 for look in case.observation),
            "counts": lambda case: any(look.counts.dead == self.dead for look in case.observation),
            "thermometer": lambda case: any(
                r is not None and r.value == self.tank_c
                for r in (look.tank.temperature_c for look in case.observation)
            ),
            "ph": lambda case: any(
                r is not None and r.value == self.ph
                for r in (look.tank.ph for look in case.observation)
            ),
        }


@dataclass
class Count:
    """What the trials came to."""

    trials: int = 0
    two_at_once: int = 0
    killed: int = 0
    half_written: int = 0
    answers: int = 0
    went_on: int = 0
    moved_aside: int = 0
    faults: list[str] = field(default_factory=list)


class Running:
    """One ``advisor ask`` under way, its screen read line by line."""

    def __init__(self, folder: Path, told: Told, *more: str) -> None:
        self.told = told
        self.screen: list[str] = []
        answers = folder / f"answers-{time.monotonic_ns()}.txt"
        answers.write_text("\n".join(f"{k}: {v}" for k, v in told.lines().items()), "utf-8")
        self._process = subprocess.Popen(
            [sys.executable, "-m", "advisor", "ask", "--cases", str(folder / "cases"),
             "--answers", str(answers), *more],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, cwd=ROOT,
            env={**os.environ, "COLUMNS": "100", "PYTHONUTF8": "1"},
        )  # fmt: skip

    def read_until(self, questions: int) -> None:
        """Read on until so many questions have come up, or the session is over."""
        assert self._process.stdout is not None
        while len(self.asked()) < questions:
            line = self._process.stdout.readline()
            if not line:
                return
            self.screen.append(line.rstrip("\n"))

    def kill(self) -> bool:
        """SIGKILL, and the rest of the screen. False when it had already ended."""
        alive = self._process.poll() is None
        self._process.kill()
        self._rest()
        return alive and self._process.returncode == -9

    def finish(self) -> int:
        self._rest()
        return self._process.returncode

    def _rest(self) -> None:
        # not communicate(): it reads past what readline() has already taken in
        assert self._process.stdout is not None
        self.screen += self._process.stdout.read().splitlines()
        self._process.wait()

    def asked(self) -> list[str]:
        """Questions that came up, in order, by id."""
        found = (_NUMBERED.match(line) for line in self.screen)
        return [name for match in found if match and (name := _id_of(match.group(1)))]

    def kept_in(self, path: Path) -> Path:
        """The file this session last said it keeps the case in."""
        told = _ELSEWHERE.findall(" ".join(" ".join(self.screen).split()))
        return path.parent / Path(told[-1]).name if told else path


@cache
def _beginnings() -> Mapping[str, str]:
    return {q.text[:24]: q.id for q in load_rulebase().questions.values()}


def _id_of(text: str) -> str | None:
    return _beginnings().get(text[:24])


def _answered(case: Case) -> set[str]:
    """Questions the case holds an answer to; the lot, which may be named later, left out."""
    return {key.partition("/")[0] for key in case.session.answered}


def lost(case: Case, session: Running, *, before: Sequence[str] = ()) -> Iterator[str]:
    """Completed answers of a session that the case does not hold."""
    held = _answered(case)
    checks = session.told.checks()
    for name in (*before, *session.asked()[:-1]):
        if name not in held:
            yield f"{name} is not in the file"
        elif name in checks and name not in before and not checks[name](case):
            yield f"{name} is in the file with another value"


def one_killed(folder: Path, rng: random.Random, count: Count) -> Iterator[str]:
    """One session, killed; gives what is wrong with what it left behind."""
    session = Running(folder, Told.drawn(rng))
    session.read_until(rng.randint(*KILL_AFTER))
    time.sleep(rng.uniform(0, WITHIN_S))
    count.killed += session.kill()
    cases = folder / "cases"
    files = sorted(cases.glob("*.toml"))
    done = session.asked()[:-1]
    count.answers += len(done)
    count.half_written += len(list(cases.glob(".case-*"))) if cases.is_dir() else 0
    if not files and done:
        yield f"{len(done)} completed answers and no file"
    for path in files:
        yield from lost(load_case(path), session)
    if len(files) > 1:
        yield f"{len(files)} files of one session"
    if files and rng.randrange(GO_ON_EVERY) == 0:
        yield from _went_on(folder, files[0], session, count)


def _went_on(folder: Path, path: Path, killed: Running, count: Count) -> Iterator[str]:
    """Going on after a kill: ends well, keeps all, and clears away what the kill left."""
    before = _answered(load_case(path))
    again = Running(folder, killed.told, "--resume", str(path))
    status = again.finish()
    count.went_on += 1
    if status != 0:
        yield f"going on ended with status {status}: {again.screen[-1:]}"
    left = [p.name for p in path.parent.iterdir() if p != path]
    if left:
        yield f"left lying about: {left}"
    after = load_case(path)
    if not before <= _answered(after):
        yield f"going on lost {sorted(before - _answered(after))}"
    yield from lost(after, killed)


def two_at_once(folder: Path, rng: random.Random, count: Count) -> Iterator[str]:
    """Two sessions on one case, one of them killed."""
    first = Running(folder, Told.drawn(rng))
    first.read_until(4)
    first.kill()
    (path,) = (folder / "cases").glob("*.toml")
    # the kill may come after the fish were counted: more dead than those would be asked back
    heads = first.told.heads
    mine = sorted(_answered(load_case(path)))
    pair = [Running(folder, Told.drawn(rng, heads), "--resume", str(path)) for _ in range(2)]
    for session in pair:
        session.read_until(rng.randint(*KILL_AFTER))
    time.sleep(rng.uniform(0, WITHIN_S))
    count.killed += pair[0].kill()
    if rng.randrange(FINISH_EVERY):
        count.killed += pair[1].kill()
    elif (status := pair[1].finish()) != 0:
        yield f"the session left alone ended with status {status}: {pair[1].screen[-1:]}"
    for session in pair:
        where = session.kept_in(path)
        count.answers += len(session.asked()[:-1])
        count.moved_aside += where != path
        yield from (f"{where.name}: {s}" for s in lost(load_case(where), session, before=mine))
    for each in (folder / "cases").glob("*.toml"):
        load_case(each)


def run(trials: int, seed: int, say: Callable[[str], object] = lambda line: None) -> Count:
    """So many trials; every fault with the trial it came from."""
    count = Count()
    for trial in range(trials):
        rng = random.Random(f"{seed}/{trial}")
        double = trial % TWO_AT_ONCE_EVERY == TWO_AT_ONCE_EVERY - 1
        with tempfile.TemporaryDirectory(prefix="advisor-kill-") as folder:
            try:
                way = two_at_once if double else one_killed
                found = list(way(Path(folder), rng, count))
            except (AdvisorError, ValueError) as fault:
                found = [f"{type(fault).__name__}: {fault}"]
        count.trials += 1
        count.two_at_once += double
        count.faults += [f"trial {trial}: {each}" for each in found]
        for each in found:
            say(f"trial {trial}: {each}")
        if (trial + 1) % 50 == 0:
            say(f"{trial + 1} trials, {count.answers} answers, {len(count.faults)} faults")
    return count


def main(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.trust.kill_sessions")
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    count = run(given.count, given.seed, lambda line: print(line, flush=True))
    print(
        f"{count.trials} trials ({count.two_at_once} with two sessions at once): "
        f"{count.killed} sessions killed under way, {count.answers} completed answers looked "
        f"for, {count.half_written} half-written files left and {count.went_on} sessions gone "
        f"on with, {count.moved_aside} sessions kept beside another's; "
        f"{len(count.faults)} faults"
    )
    return 1 if count.faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
