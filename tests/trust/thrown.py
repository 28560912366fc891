"""Throws an unforeseen error into a session at one of its calls, and looks for the answers after.

    python -m tests.trust.thrown [--every 1] [--until 19:25]

Python's own tracing throws it: at the nth call inside the session's modules counted from the
first answer kept. What was answered before must then be on disk, in a copy, or on the screen, and
equal. The whole trial throws at the first 400 calls, and at the first, second, middle and last
call of every function of the program that a session calls; each in a child of this process.
"""

from __future__ import annotations

import argparse
import io
import os
import re
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from types import FrameType
from typing import Any
from unittest.mock import patch

from advisor.case import Case, load_with_stamp, loads_case
from advisor.errors import AdvisorError
from advisor.screens import app
from advisor.screens.session.keep import Keeper

#: One answer a line; what a question does not take it asks again.
ANSWERS = "2\nguppy\n20\nyes\n3\nnot known\n26 C\n7.2\n1\n2\n1\n1\n1\n1\n"
SESSION = re.compile(r"advisor[/\\](ask|screens[/\\]session|case)[/\\]")
PROGRAM = re.compile(r"advisor[/\\](?!rulebase)\w+[/\\]")


class Unforeseen(RuntimeError):
    """No part of the program expects it."""


class Thrower:
    """Throws at the nth call inside the session, counted from the first answer kept."""

    def __init__(self, at: int, inside: re.Pattern[str] = SESSION) -> None:
        self.at, self.calls, self.thrown, self.on = at, 0, "", False
        self.inside = inside
        self.met: dict[str, list[int]] = defaultdict(list)

    def __call__(self, frame: FrameType, event: str, arg: Any) -> None:
        code = frame.f_code
        if (
            not self.on
            or self.thrown
            or event != "call"
            or not self.inside.search(code.co_filename)
        ):
            return
        self.calls += 1
        # a generator expression swallows what is thrown as it is let go
        if code.co_name.startswith("<"):
            return
        if self.at > 10**8:
            self.met[f"{code.co_filename}:{code.co_qualname}"].append(self.calls)
        if self.calls >= self.at:
            self.thrown = code.co_qualname
            raise Unforeseen(self.thrown)


@contextmanager
def _watched(thrower: Thrower, wanted: list[Case], folder: Path) -> Iterator[None]:
    plain: Callable[[Keeper, Case], None] = Keeper.save

    def save(keeper: Keeper, case: Case) -> None:
        keeper._wanted = wanted[0] = case  # handed over: from here on it may not be lost
        thrower.on = True
        plain(keeper, case)

    with (
        patch.object(Keeper, "save", save),
        patch.object(sys, "stdin", io.StringIO(ANSWERS)),
        patch.object(tempfile, "tempdir", str(folder)),
    ):
        sys.settrace(thrower)  # type: ignore[arg-type]
        try:
            yield
        finally:
            sys.settrace(None)


def sit(thrower: Thrower, folder: Path) -> tuple[Case, str]:
    """A session into which the error is thrown: the last case to be kept, and all that was said."""
    wanted, said = [Case()], io.StringIO()
    with redirect_stdout(said), redirect_stderr(said), _watched(thrower, wanted, folder):
        status = app.main(["ask", "--cases", str(folder / "cases")])
    assert status in (0, 2, 70) and "Traceback" not in said.getvalue()
    return wanted[0], said.getvalue()


def found(wanted: Case, folder: Path, said: str) -> bool:
    """Whether the case is in a file of the folder or stands on the screen."""
    for path in folder.rglob("*.toml"):
        if load_with_stamp(path, weighed=False)[0] == wanted:
            return True
    _, _, dump = said.partition("format = ")
    for end in range(len(lines := f"format = {dump}".splitlines()), 0, -1):
        try:
            return loads_case("\n".join(lines[:end]), weighed=False) == wanted
        except AdvisorError:
            continue
    return False


def lost(thrower: Thrower, folder: Path) -> str:
    """What is lost after the error; empty when nothing is."""
    try:
        wanted, said = sit(thrower, folder)
        if wanted == Case():
            return "no answer was kept before"
        kept = found(wanted, folder, said)
    except Exception as error:
        return f"after {thrower.thrown}: {type(error).__name__} {error}"
    return "" if kept else f"lost after an error in {thrower.thrown}: {said[-500:]}"


def points(folder: Path) -> list[int]:
    """The calls at which the whole trial throws."""
    counting = Thrower(10**9, PROGRAM)
    sit(counting, folder)
    chosen = set(range(1, 401))
    for calls in counting.met.values():
        chosen |= {calls[0], calls[min(1, len(calls) - 1)], calls[len(calls) // 2], calls[-1]}
    return sorted(chosen)


def _in_child(at: int) -> str:
    """``lost`` in a process of its own, which starts with everything loaded."""
    ours, its = os.pipe()
    child = os.fork()
    if child == 0:
        with tempfile.TemporaryDirectory() as name:
            os.write(its, lost(Thrower(at, PROGRAM), Path(name)).encode()[:60_000])
        os._exit(0)
    os.close(its)
    with open(ours, "rb") as pipe:
        said = pipe.read().decode("utf-8", "replace")
    return said if os.waitpid(child, 0)[1] == 0 else f"call {at}: the process died; {said}"


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.trust.thrown")
    parser.add_argument("--every", type=int, default=1, help="only each Nth point")
    parser.add_argument("--until", default="", help="stop at this time of day, such as 19:25")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        chosen = points(Path(name))[:: asked.every]
    print(f"{len(chosen)} points, calls 1 to {chosen[-1]}", flush=True)
    faults = tried = 0
    for at in chosen:
        if asked.until and time.strftime("%H:%M") >= asked.until:
            break
        wrong = _in_child(at)
        tried += 1
        if wrong:
            faults += 1
            print(f"call {at}: {wrong}", flush=True)
        if tried % 100 == 0:
            print(f"{tried} tried, {faults} faults", flush=True)
    print(f"{tried} of {len(chosen)} points tried, {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
