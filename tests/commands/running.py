"""Running a command: in this process, or as a person does, in one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from advisor.screens.app import main

ROOT = Path(__file__).parents[2]


class Ran(NamedTuple):
    """How a command ended and what it said."""

    status: int
    out: str
    err: str


def run(capsys: pytest.CaptureFixture[str], *words: str) -> Ran:
    """One command in this process; argparse's own ending counts as a status."""
    try:
        status = main(list(words))
    except SystemExit as end:
        status = int(end.code or 0)
    said = capsys.readouterr()
    return Ran(status, said.out, said.err)


def run_apart(*words: str, columns: int = 80, code: str | None = None, **env: str) -> Ran:
    """One command in a process of its own (or ``code`` instead of it), its output piped."""
    what = ["-c", code, *words] if code else ["-m", "advisor", *words]
    done = subprocess.run(
        [sys.executable, *what],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "COLUMNS": str(columns), "PYTHONPATH": str(ROOT), **env},
        timeout=120,
        check=False,
    )
    return Ran(done.returncode, done.stdout, done.stderr)
