"""Errors and signals at every file call: nothing is lost, half written or left behind.

    python -m tests.trust.faults_at_calls [--every 1] [--only session]

``strace`` looks on while a command runs once and notes its system calls on the folder it works
in. Then the command is run again for each of them, on a fresh folder, and strace makes that one
call fail (EIO, ENOSPC, EACCES, EINTR) or sends a signal there (SIGINT, SIGTERM, SIGKILL). Each
run is a child of one process that has everything loaded, which saves a second a point.

Afterwards every file is as it was or whole and new, nothing else lies in the folder, an error
has ended in 0, 1 or 2 without a trace, and the same command run again ends well.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from advisor.case import Case, load_case, loads_case
from advisor.case.exports import _is_own
from advisor.errors import AdvisorError
from advisor.explain.replay.progress import COLUMNS, keep, kept
from tests.trust.kill_sessions import ROOT, Running, Told, lost

TOLD = Told(hours=30, heads=40, dead=1, tank_c=25.0, ph=7.0)
ERRORS = ("EIO", "ENOSPC", "EACCES", "EINTR")
SIGNALS = ("INT", "TERM", "KILL")
#: A signal that ends the program before it can clear away; the next run does.
HARD = ("TERM", "KILL")
STATUS = {"INT": (0, 1, 2, 130, -2), "TERM": (-15, 143), "KILL": (-9, 137)}
_CALL = re.compile(r"^(\d+) +(\w+)\(")
_HERE = re.compile(r"AT_FDCWD<[^>]*>")
#: Calls that the process which starts the children makes as well.
_NOT_HERE = ("recvfrom", "sendto", "wait4", "clone", "clone3", "getcwd", "chdir")


@dataclass(frozen=True)
class Work:
    """A command, the files that may stand in its folder afterwards, and what they must hold."""

    words: list[str]
    files: tuple[str, ...]
    sound: Callable[[Path, str], Iterator[str]]
    needs: tuple[str, ...] = ()


def _case_sound(folder: Path, said: str) -> Iterator[str]:
    case = load_case(folder / "copy.toml")
    old = load_case(ROOT / "tests" / "papers" / "delivery.toml")
    fresh = [look for look in case.observation if look.from_log]
    if case.model_copy(update={"observation": old.observation}) != old or len(fresh) not in (0, 3):
        yield f"copy.toml is neither old nor new: {len(fresh)} looks of the log"


def _export_sound(name: str) -> Callable[[Path, str], Iterator[str]]:
    def sound(folder: Path, said: str) -> Iterator[str]:
        if not _is_own(folder / name) or not (folder / name).read_bytes():
            yield f"{name} is not whole"

    return sound


def _scores_sound(folder: Path, said: str) -> Iterator[str]:
    lines = kept(folder / "scores.jsonl")
    if [line["case"] for line in lines][:2] != ["old", "old"] or len(lines) > 4:
        yield f"scores are lost: {lines}"


def _kept_sound(folder: Path, said: str) -> Iterator[str]:
    return iter(())  # that the next run says the same is asked of every work


def _session_sound(folder: Path, said: str) -> Iterator[str]:
    session = object.__new__(Running)
    session.told, session.screen = TOLD, said.splitlines()
    cases = [load_case(path) for path in (folder / "cases").glob("*.toml")]
    cases += _shown(said)
    if len(session.asked()) > 1 and not cases:
        yield "answers and no case"
    wrong = [list(lost(case, session)) for case in cases]
    if wrong and all(wrong):
        yield from min(wrong, key=len)


def _shown(said: str) -> list[Case]:
    """The case written on the screen, where it could not be saved."""
    lines = f"format = {said.partition('format = ')[2]}".splitlines()
    for end in range(len(lines), 1, -1):
        try:
            return [loads_case("\n".join(lines[:end]), weighed=False)]
        except AdvisorError:
            continue
    return []


WORKS = {
    "import": Work(
        ["readings", "copy.toml", "--add", "log.csv", "--water", "tank"],
        ("copy.toml", "log.csv"), _case_sound, ("copy", "log"),
    ),
    "csv": Work(
        ["readings", "copy.toml", "--out", "out.csv"],
        ("copy.toml", "out.csv"), _export_sound("out.csv"), ("copy", "out.csv"),
    ),
    "paper": Work(
        ["paper", "copy.toml", "--for", "log", "--out", "log.html"],
        ("copy.toml", "log.html"), _export_sound("log.html"), ("copy", "log.html"),
    ),
    "scores": Work(["scores"], ("scores.jsonl",), _scores_sound, ("scores",)),
    "kept": Work(["assess", "copy.toml"], ("copy.toml",), _kept_sound, ("copy",)),
    "session": Work(
        ["ask", "--answers", "answers.txt", "--cases", "cases"],
        ("answers.txt",), _session_sound, ("answers",),
    ),
}  # fmt: skip


def _laid_out(work: Work, folder: Path, made: dict[str, bytes]) -> None:
    """The folder as it is before the command runs."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    contents = {
        "copy": ("copy.toml", (ROOT / "tests" / "papers" / "delivery.toml").read_bytes()),
        "log": ("log.csv", b"Time,Temp (C)\n" + b"".join(
            f"2027-03-03 0{n}:00,25.{n}\n".encode() for n in range(3))),
        "scores": ("scores.jsonl", b'{"case": "old"}\n' * 2),
        "answers": ("answers.txt", "".join(
            f"{k}: {v}\n" for k, v in TOLD.lines().items()).encode()),
    }  # fmt: skip
    for need in work.needs:
        name, content = contents.get(need) or (need, made.get(need, b""))
        (folder / name).write_bytes(content)


class Server:
    """A process with the program loaded; ``run`` has a child of it do one command."""

    def __init__(self, folder: Path, cache: Path) -> None:
        self.folder, self.cache = folder, cache
        ours, its = socket.socketpair()
        environment = {k: v for k, v in os.environ.items() if not k.startswith("ADVISOR")}
        environment |= {
            "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "COLUMNS": "100", "TMPDIR": str(folder),
            "XDG_CACHE_HOME": str(cache), "XDG_DATA_HOME": str(folder), "HOME": str(folder),
        }  # fmt: skip
        code = f"from tests.trust.faults_at_calls import serve; serve({its.fileno()})"
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-c", code],
            env=environment, stdin=subprocess.DEVNULL, pass_fds=[its.fileno()],
        )  # fmt: skip
        its.close()
        self._ours = ours
        assert self._ours.recv(10) == b"ready"

    def run(self, work: Work, *strace: str) -> tuple[int, str, str]:
        """Status, output and errors of the command; with strace's options, under strace."""
        watch = None
        if strace:
            watch = subprocess.Popen(
                ["strace", "-f", "-y", "-p", str(self._process.pid), *strace],
                stderr=subprocess.PIPE, text=True,
            )  # fmt: skip
            assert watch.stderr is not None
            if "attached" not in (line := watch.stderr.readline()):
                raise NoStrace(line.strip())
        self._ours.send(json.dumps({"words": work.words, "folder": str(self.folder)}).encode())
        status = int(self._ours.recv(20))
        if watch is not None:
            watch.terminate()
            watch.communicate()
        said, wrong = (self.folder.parent / name for name in ("out", "err"))
        return status, said.read_text("utf-8", "replace"), wrong.read_text("utf-8", "replace")

    def stop(self) -> None:
        self._ours.close()
        self._process.wait(30)


class NotReached(RuntimeError):
    """This run made fewer such calls than the one that was noted."""


class NoStrace(RuntimeError):
    """strace may not look at another process here."""


def serve(handle: int) -> None:
    """Fork a child for each command that is asked for, and answer with its status."""
    from advisor.screens import app

    app.build_parser()
    asked = socket.socket(fileno=handle)
    asked.send(b"ready")
    while request := asked.recv(10_000):
        given = json.loads(request)
        child = os.fork()
        if child == 0:
            os._exit(_as_child(given["words"], Path(given["folder"])))
        _, status = os.waitpid(child, 0)
        asked.send(str(os.waitstatus_to_exitcode(status)).encode())


def _as_child(words: list[str], folder: Path) -> int:
    from advisor.screens import app

    os.chdir(folder)
    for number, name in ((1, "out"), (2, "err")):
        flags = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
        os.dup2(os.open(folder.parent / name, flags), number)
    status = 70
    try:
        if words[0] == "scores":
            line: dict[str, str | float | None] = dict.fromkeys(COLUMNS, "new")
            app._run = lambda argv: keep(Path("scores.jsonl"), line) or 0  # type: ignore[func-returns-value]
        status = app.main(words)
    except SystemExit as end:
        status = int(end.code or 0)
    except BaseException:
        traceback.print_exc()
    sys.stdout.flush()
    sys.stderr.flush()
    return status


def calls_of(work: Work, server: Server, log: Path) -> list[tuple[str, int, str]]:
    """(system call, which of its kind, as strace wrote it) of each call on the folder."""
    status, said, wrong = server.run(work, "-e", "trace=%file,%desc", "-o", str(log))
    assert status == 0, f"without any fault: {status}\n{said}\n{wrong}"
    seen: Counter[tuple[str, str]] = Counter()
    found = []
    for line in log.read_text(errors="replace").splitlines():
        match = _CALL.match(line)
        if not match:
            continue
        seen[match[1], match[2]] += 1
        plain = _HERE.sub("AT_FDCWD", line)
        there = f"{server.folder}/" in plain or f"{server.cache}/" in plain
        relative = re.search(r'\((?:AT_FDCWD, )?"[^/]', plain)
        if (there or relative) and match[2] not in _NOT_HERE:
            found.append((match[2], seen[match[1], match[2]], line))
    return found


def trial(
    name: str, server: Server, place: Path, call: tuple[str, int, str], fault: str
) -> Iterator[str]:
    """What is wrong after one fault at one call."""
    work, folder, cache, log = WORKS[name], place / "work", place / "cache", place / "log"
    made = {path.name: path.read_bytes() for path in (place / "made").iterdir()}
    _laid_out(work, folder, made)
    if name == "kept":
        shutil.rmtree(cache, ignore_errors=True)
    is_signal = fault in SIGNALS
    how = f"signal={fault}" if is_signal else f"error={fault}"
    inject = f"inject={call[0]}:{how}:when={call[1]}"
    status, said, wrong = server.run(work, "-e", f"trace={call[0]}", "-e", inject, "-o", str(log))
    done = log.read_text(errors="replace")
    if "INJECTED" not in done and "--- SIG" not in done:
        raise NotReached
    if status not in (STATUS[fault] if is_signal else (0, 1, 2)):
        yield f"status {status}: {wrong[-300:]}"
    if "Traceback" in wrong + said or (status == 2 and not wrong.strip()):
        yield f"status {status}, said: {wrong[-300:]}"
    yield from work.sound(folder, said + wrong)
    if fault not in HARD:
        yield from _left_over(work, folder, cache)
    again, said, wrong = server.run(work)
    if again != 0:
        yield f"run again: status {again}: {wrong[-300:]}"
    yield from work.sound(folder, said + wrong)
    yield from _left_over(work, folder, cache if fault not in HARD else None)
    if name == "kept" and said != (place / "said").read_text():
        yield "says something else afterwards"


def _left_over(work: Work, folder: Path, cache: Path | None) -> Iterator[str]:
    for path in (*folder.rglob("*"), *(cache.rglob("*") if cache else ())):
        of_session = path.parent.name == "cases" and not path.name.startswith(".")
        of_cache = cache is not None and cache in path.parents and path.suffix == ".jsonl"
        rescued = path.name.startswith("advisor-case-")
        if path.is_file() and path.name not in work.files and not (
            of_session or of_cache or rescued
        ):  # fmt: skip
            yield f"left behind: {path.name}"


def run(
    name: str, place: Path, every: int, start: int = 0, say: Callable[[str], object] = print
) -> tuple[int, list[str]]:
    """(points tried, what is wrong) for each ``every``-th pair of call and fault."""
    work, folder, cache = WORKS[name], place / "work", place / "cache"
    (place / "made").mkdir(exist_ok=True)
    _laid_out(work, folder, {})
    server = Server(folder, cache)
    try:
        return _all_of(name, server, place, every, start, say)
    finally:
        server.stop()


def _all_of(
    name: str, server: Server, place: Path, every: int, start: int, say: Callable[[str], object]
) -> tuple[int, list[str]]:
    work, folder, cache = WORKS[name], place / "work", place / "cache"
    _, said, _ = server.run(work)  # makes the earlier export, and warms what is kept
    (place / "said").write_text(said)
    for made in work.needs:
        if (folder / made).is_file():
            shutil.copy(folder / made, place / "made")
    _laid_out(work, folder, {p.name: p.read_bytes() for p in (place / "made").iterdir()})
    if name == "kept":
        shutil.rmtree(cache)
    calls = calls_of(work, server, place / "log")
    points = [(call, fault) for call in calls for fault in (*ERRORS, *SIGNALS)][start::every]
    faults, missed = [], 0
    for call, fault in points:
        try:
            found = list(trial(name, server, place, call, fault))
        except NotReached:
            missed += 1
            continue
        except (AdvisorError, OSError, subprocess.TimeoutExpired) as error:
            found = [f"{type(error).__name__}: {error}"]
        for each in found:
            faults.append(f"{name}, {fault} at {call[0]} {call[1]} ({call[2][:160]}): {each}")
            say(faults[-1])
    reached = len(points) - missed
    say(f"{name}: {len(calls)} calls, {reached} points of {len(points)}, {len(faults)} faults")
    return reached, faults


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.trust.faults_at_calls")
    parser.add_argument("--every", type=int, default=1, help="only each Nth point")
    parser.add_argument("--start", type=int, default=0)
    parser.add_argument("--only", choices=WORKS, nargs="+", default=list(WORKS))
    asked = parser.parse_args()
    tried, wrong = 0, []
    for name in asked.only:
        with tempfile.TemporaryDirectory(prefix="advisor-faults-") as place:
            count, faults = run(
                name, Path(place), asked.every, asked.start, lambda line: print(line, flush=True)
            )
            tried, wrong = tried + count, wrong + faults
    print(f"{tried} points, {len(wrong)} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
