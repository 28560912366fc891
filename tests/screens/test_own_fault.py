"""A fault of our own ends in a sentence, a status of its own, and a trace on file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.screens import app


def test_a_fault_of_the_program_shows_no_trace_and_keeps_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("wires\x1b[31m crossed")

    monkeypatch.setattr(app, "build_parser", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    assert app.main(["rules"]) == 70  # EX_SOFTWARE, BSD sysexits.h
    shown = " ".join(capsys.readouterr().err.split())
    assert "fault of the program" in shown and "Traceback" not in shown and "\x1b[31m" not in shown
    (kept,) = tmp_path.glob("advisor-fault-*.txt")
    assert re.search(r"Traceback.*RuntimeError: wires", kept.read_text(), re.DOTALL)


def test_where_no_file_can_be_kept_it_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(app, "build_parser", lambda *_: 1 / 0)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "gone"))
    assert app.main(["rules"]) == 70
    assert "could not be kept" in " ".join(capsys.readouterr().err.split())
