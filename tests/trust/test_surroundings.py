"""Status 70 is for faults of the program alone: wrong surroundings end in 0, 1 or 2 and a sentence.

Every command is run as a process in odd locales, encodings and homes, with closed and full
streams, and with names that are none. A part runs always, all 500 and more on demand.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
CASE = ROOT / "tests" / "papers" / "delivery.toml"

COMMANDS: dict[str, list[str]] = {
    "alone": [],
    "ask": ["ask"],
    "ask by answers": ["ask", "--answers", "-"],
    "recheck": ["recheck", "{copy}"],
    "assess": ["assess", "{copy}"],
    "assess as JSON": ["assess", "{copy}", "--json"],
    "why": ["why", "{copy}"],
    "bag": ["bag", "{copy}"],
    "water": ["water", "ammonia", "1", "ph", "8", "25", "C"],
    "paper": ["paper", "{copy}", "--for", "log", "--text"],
    "paper to a file": ["paper", "{copy}", "--for", "vet"],
    "readings": ["readings", "{copy}"],
    "readings to a file": ["readings", "{copy}", "--out", "out.csv"],
    "a log": ["readings", "{copy}", "--add", "log.csv"],
    "rules": ["rules"],
}
TYPED = "2\ncafé\nkoi\n20\n".encode("latin-1") + b"\x00\x1b[A\xff\xfe\n" * 3

#: Environment and streams: (variables, None taking one away; streams closed; what stdout is).
SURROUNDINGS: dict[str, tuple[dict[str, str | None], tuple[int, ...], str]] = {
    "UTF-8, strictly": ({"PYTHONIOENCODING": "utf-8:strict", "LC_ALL": "C.UTF-8"}, (), "pipe"),
    "C": ({"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}, (), "pipe"),
    "POSIX without UTF-8": ({"LC_ALL": "POSIX", "PYTHONUTF8": "0"}, (), "pipe"),
    "a locale that is not there": ({"LC_ALL": "xx_YY.UTF-8", "LANG": "zz"}, (), "pipe"),
    "ASCII": ({"PYTHONIOENCODING": "ascii:strict"}, (), "pipe"),
    "Latin-1": ({"PYTHONIOENCODING": "latin-1"}, (), "pipe"),
    "two-byte output": ({"PYTHONIOENCODING": "utf-16"}, (), "pipe"),
    "Shift-JIS": ({"PYTHONIOENCODING": "shift_jis"}, (), "pipe"),
    "no home": ({"HOME": None, "XDG_DATA_HOME": None, "XDG_CACHE_HOME": None}, (), "pipe"),
    "a home that is not there": ({"HOME": "/no/where", "XDG_DATA_HOME": None}, (), "pipe"),
    "a home that is a file": ({"HOME": "/etc/hostname", "XDG_DATA_HOME": None}, (), "pipe"),
    "cases in a device": ({"ADVISOR_CASES": "/dev/null/x"}, (), "pipe"),
    "cases in a system folder": ({"ADVISOR_CASES": "/proc/x"}, (), "pipe"),
    "cases of nobody": ({"ADVISOR_CASES": "~no-such-person/x"}, (), "pipe"),
    "cases of a long name": ({"ADVISOR_CASES": "x" * 5000}, (), "pipe"),
    "a cache that is a file": ({"XDG_CACHE_HOME": "/etc/hostname"}, (), "pipe"),
    "a data folder that is not absolute": ({"XDG_DATA_HOME": "relative"}, (), "pipe"),
    "no folder for passing files": ({"TMPDIR": "/no/where"}, (), "pipe"),
    "no columns": ({"COLUMNS": "0", "LINES": "0"}, (), "pipe"),
    "columns that are no number": ({"COLUMNS": "many"}, (), "pipe"),
    "too many columns": ({"COLUMNS": "9" * 30}, (), "pipe"),
    "a terminal of no kind": ({"TERM": "no-such", "FORCE_COLOR": "1"}, (), "pipe"),
    "no path, no user": ({"PATH": None, "USER": None, "LOGNAME": None}, (), "pipe"),
    "a zone that is none": ({"TZ": "Nowhere/Atlantis"}, (), "pipe"),
    "closed input": ({}, (0,), "pipe"),
    "closed output": ({}, (1,), "pipe"),
    "closed errors": ({}, (2,), "pipe"),
    "all closed": ({}, (0, 1, 2), "pipe"),
    "full output": ({}, (), "/dev/full"),
    "output to nowhere": ({}, (), "/dev/null"),
}
#: Names of files, as bytes where no text has them.
NAMES: dict[str, Any] = {
    "empty": "", "a dot": ".", "dots": "..", "a slash": "/", "a device": "/dev/null",
    "endless": "/dev/zero", "system": "/proc/self/mem", "long": "x" * 300, "longest": "y" * 6000,
    "deep": "a/" * 2000 + "b", "control": "a\x01\x1b[31m.toml", "line": "a\nb.toml",
    "Latin-1": b"caf\xe9.toml", "broken": b"\xff\xfe\xfd", "direction": "\u202eabc.toml",
    "zero width": "a\u200b.toml", "fish": "🐟.toml", "dashes": "-", "option": "--x",
    "percent": "%s%n.toml", "braces": "{0}.toml", "quotes": "'\"$(x)`.toml", "star": "*.toml",
    "nobody": "~no-such-person/a.toml", "tilde": "~", "not there": "no/such/file.toml",
    "a binary": sys.executable, "a folder": "/etc", "unreadable": "/etc/shadow.no", "dot": "./.",
    "separator": "a\\b.toml", "spaces": "   ", "reserved": "CON", "surrogate": b"\xed\xa0\x80.toml",
}  # fmt: skip
NAMED: dict[str, list[Any]] = {
    "assess": ["assess", "{name}"],
    "resume": ["ask", "--resume", "{name}"],
    "answers": ["ask", "--answers", "{name}"],
    "out": ["readings", "{copy}", "--out", "{name}"],
    "add": ["readings", "{copy}", "--add", "{name}"],
    "rules": ["assess", "{copy}", "--rules", "{name}"],
}
RUNS: list[tuple[str, list[Any], str]] = [
    *((f"{c} in {s}", COMMANDS[c], s) for c in COMMANDS for s in SURROUNDINGS),
    *(
        (f"{c} of {n}", [NAMES[n] if w == "{name}" else w for w in NAMED[c]], "output to nowhere")
        for c in NAMED
        for n in NAMES
    ),
]


def _run(words: list[Any], surroundings: str, folder: Path) -> tuple[int, str]:
    given, closed, output = SURROUNDINGS[surroundings]
    copy = folder / "delivery.toml"
    copy.write_bytes(CASE.read_bytes())
    (folder / "log.csv").write_bytes("Time,Temp (°C)\n2027-03-02 15:00,25\n".encode("latin-1"))
    base = {k: v for k, v in os.environ.items() if not k.startswith(("LC_", "PYTHON", "ADVISOR"))}
    base |= {"PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(folder / "data")}
    environment = {k: v for k, v in {**base, **given}.items() if v is not None}

    def close() -> None:
        for stream in closed:
            os.close(stream)

    with open(output if output != "pipe" else os.devnull, "wb") as out:
        done = subprocess.run(
            [sys.executable, "-m", "advisor", *(str(copy) if w == "{copy}" else w for w in words)],
            input=TYPED,
            stdout=subprocess.PIPE if output == "pipe" else out,
            stderr=subprocess.PIPE,
            env=environment,
            cwd=folder,
            preexec_fn=close,
            timeout=120,
        )
    return done.returncode, done.stderr.decode(errors="replace")


def _check(run: tuple[str, list[Any], str], folder: Path) -> None:
    name, words, surroundings = run
    status, said = _run(words, surroundings, folder)
    assert status in (0, 1, 2), f"{name}: status {status}\n{said[-1500:]}"
    assert "Traceback" not in said, f"{name}\n{said[-1500:]}"
    if status == 2 and 2 not in SURROUNDINGS[surroundings][1]:
        assert said.strip(), f"{name}: no word of why"


def test_there_are_enough_of_them() -> None:
    assert len(RUNS) > 500


@pytest.mark.parametrize("run", RUNS[::37], ids=lambda run: run[0])
def test_some_wrong_surroundings_end_in_a_sentence(
    run: tuple[str, list[Any], str], tmp_path: Path
) -> None:
    _check(run, tmp_path)


@pytest.mark.trial
@pytest.mark.parametrize("run", RUNS, ids=lambda run: run[0])
def test_all_wrong_surroundings_end_in_a_sentence(
    run: tuple[str, list[Any], str], tmp_path: Path
) -> None:
    _check(run, tmp_path)
