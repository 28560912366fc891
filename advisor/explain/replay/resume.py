"""Results of a long run kept in a file, line by line, so that it can go on where it stopped."""

from __future__ import annotations

import json
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from pathlib import Path
from typing import IO, Any, TypeVar

from pydantic import TypeAdapter

from advisor.errors import AdvisorError
from advisor.version import PROGRAM

Result = TypeVar("Result")
FORMAT = "advisor-results-1"


def kept_results(
    file: Path,
    doing: str,
    rules: Iterable[str],
    tasks: Iterable[str],
    run: Callable[[Iterable[str]], Iterator[Result]],
    form: type[Result],
) -> Iterator[Result]:
    """Results in the order of ``tasks``: those that the file holds, then those of ``run``.

    doing : what is done ("check"); with ``rules`` (fingerprints) and the program's version
            it stands in the first line, and a file of other work is refused
    run   : called with the tasks that are left; its results are added to the file
    form  : dataclass of the results

    A case that has changed since, and a line cut off by a power loss, are done again with
    everything after them.
    """
    adapter: TypeAdapter[Result] = TypeAdapter(form)
    head = {"format": FORMAT, "program": PROGRAM, "doing": doing, "rules": list(rules)}
    with _opened(file, head) as lines:
        left = iter(tasks)
        end = lines.tell()
        for task in left:
            line = lines.readline()
            kept = _read(line, task)
            if kept is None:
                left = chain([task], left)
                break
            end += len(line)
            yield adapter.validate_python(kept)
        lines.seek(end)
        lines.truncate()
        begun: deque[str] = deque()
        for result in run(_noted(left, begun)):
            task = begun.popleft()
            entry = {"task": task, "stamp": _stamp(task), "result": None}
            text = json.dumps(entry)[: -len("null}")] + adapter.dump_json(result).decode() + "}\n"
            lines.write(text.encode())
            lines.flush()
            yield result


def _noted(tasks: Iterable[str], begun: deque[str]) -> Iterator[str]:
    for task in tasks:
        begun.append(task)
        yield task


def _opened(file: Path, head: dict[str, Any]) -> IO[bytes]:
    """The file, past its first line; made when there is none yet."""
    first = (json.dumps(head) + "\n").encode()
    try:
        lines = file.open("r+b" if file.exists() else "x+b")
    except OSError as error:
        raise AdvisorError(f"--resume: {file}: cannot be used ({error.strerror})") from None
    found = lines.readline(100_000)
    if not found:
        lines.write(first)
    elif found != first:
        lines.close()
        ours = found.startswith(first[:30])
        what = "results of other rules, work or program" if ours else "something else"
        raise AdvisorError(f"--resume: {file} holds {what}; give the name of a new file.")
    return lines


def _read(line: bytes, task: str) -> Any:
    """The kept result of a task; None where the line is not of it, or of what it was."""
    try:
        entry = json.loads(line) if line.endswith(b"\n") else {}
    except ValueError:
        return None
    same = entry.get("task") == task and entry.get("stamp") == _stamp(task)
    return entry["result"] if same else None


def _stamp(task: str) -> str:
    """Size and time of a case file; nothing for a draw, which is always the same."""
    try:
        state = os.stat(task)  # a Path keeps its parts for ever on Python 3.12
    except (OSError, ValueError):
        return ""
    return f"{state.st_size}-{state.st_mtime_ns}"
