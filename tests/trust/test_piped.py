"""Answers piped in, endless input, and commands offered for copying, each as a process."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.case import load_case

ANSWERS = "where_are_they: 3\nhours_sealed: 30 h\nkinds: 40 guppies\n"


def _run(words: list[str], folder: Path, given: bytes = b"") -> tuple[int, str, str]:
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("ADVISOR", "PYTHON"))}
    environment |= {
        "PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONIOENCODING": "utf-8:strict",
        "ADVISOR_CASES": str(folder / "cases"), "COLUMNS": "300",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "advisor", *words],
        input=given, env=environment, cwd=folder, capture_output=True, timeout=120,
    )  # fmt: skip
    return done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode()


def test_a_pasted_byte_of_another_encoding_costs_no_answer(tmp_path: Path) -> None:
    given = ANSWERS.encode() + "other_signs: caf\xe9, brown gills\n".encode("latin-1")
    status, _, wrong = _run(["ask", "--answers", "-"], tmp_path, given)
    assert status in (0, 2) and "Traceback" not in wrong
    (path,) = (tmp_path / "cases").glob("*.toml")
    case = load_case(path)
    assert case.transit.hours_sealed == 30 and [lot.count for lot in case.lot] == [40]


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs an endless file")
@pytest.mark.parametrize(
    "words", [["ask", "--answers"], ["assess"], ["readings", "copy.toml", "--add"]]
)
def test_an_endless_file_is_refused_in_a_sentence(words: list[str], tmp_path: Path) -> None:
    copy = Path(__file__).parents[1] / "papers" / "delivery.toml"
    (tmp_path / "copy.toml").write_bytes(copy.read_bytes())
    status, _, wrong = _run([*words, "/dev/zero"], tmp_path)
    assert status == 2 and "/dev/zero" in wrong and "Traceback" not in wrong


def test_commands_offered_for_copying_are_quoted_for_the_shell(tmp_path: Path) -> None:
    folder = tmp_path / 'it\'s $(touch here) `x` & "y"'
    (tmp_path / "answers.txt").write_text(ANSWERS)
    words = ["ask", "--answers", "answers.txt", "--cases", str(folder)]
    status, said, _ = _run(words, tmp_path)
    assert status == 0
    (path,) = folder.glob("*.toml")
    # whole, and as the shell's own rules quote it (Python's shlex), however long the line
    assert f"advisor ask --resume {shlex.quote(str(path))}" in said.replace("\n'", " '")
    assert said.count(shlex.quote(str(path))) >= 1
