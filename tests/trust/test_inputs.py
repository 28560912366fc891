"""Files that are no case or no rules, through every command: plain sentences, status 2, no wait.

What each sentence says is tested where files are read (tests/case/test_file.py,
tests/rulebase/test_loading.py); here, that no command lets one pass it by.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.screens.app import main
from tests.case.fuzz import SEED
from tests.tiny import write_tiny

HUGE = 3_000_000
COMMANDS = (
    ("assess", "{}"),
    ("assess", "{}", "--json"),
    ("why", "{}"),
    ("why", "{}", "--flip"),
    ("bag", "{}"),
    ("paper", "{}", "--for", "vet"),
    ("readings", "{}"),
    ("readings", "{}", "--events"),
    ("recheck", "{}", "--answers", "/dev/null"),
)


def _loop(path: Path) -> None:
    path.symlink_to(path)


def _dangling(path: Path) -> None:
    path.symlink_to(path.with_name("gone"))


def _bytes(raw: bytes) -> Callable[[Path], object]:
    return lambda path: path.write_bytes(raw)


def _missing(_: Path) -> None:
    return None


NASTY: dict[str, Callable[[Path], object]] = {
    "missing": _missing,
    "empty": _bytes(b""),
    "blank": _bytes(b" \n\n"),
    "huge": _bytes(b"#" * HUGE),
    "deep": _bytes(b"a=" + b"[" * 900_000),
    "deep tables": _bytes(b"a=" + b"{a=" * 300_000),
    "binary": _bytes(bytes(range(256)) * 40),
    "utf-16": _bytes(SEED.encode("utf-16")),
    "latin-1": _bytes(SEED.replace("Saltmarsh", "Sältmarsh").encode("latin-1")),
    "half a file": _bytes(SEED.encode()[: len(SEED) // 2] + b"\n'"),
    "loop": _loop,
    "dangling link": _dangling,
    "pipe": os.mkfifo,
    "device": lambda path: path.symlink_to("/dev/zero"),
}


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    return tmp_path / "delivery.toml"


def said(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Status and what came on standard error, within two seconds of processor time."""
    began = time.process_time()
    try:
        status = main(words)
    except SystemExit as end:
        status = int(end.code or 0)
    assert time.process_time() - began < 2.0
    out, err = capsys.readouterr()
    return status, err or out


def check_sentences(err: str) -> None:
    assert err.strip()
    assert "Traceback" not in err and "Error" not in err
    assert all(line.isprintable() for line in err.split("\n"))
    assert len(err) < 4000


@pytest.mark.parametrize("kind", NASTY)
@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_what_is_no_case_gets_a_sentence(
    place: Path, command: tuple[str, ...], kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    NASTY[kind](place)
    before = sorted(os.listdir(place.parent))
    status, err = said([word.format(place) for word in command], capsys)
    assert status == 2
    check_sentences(err)
    assert "delivery.toml" in err.replace("\n", "")
    assert sorted(os.listdir(place.parent)) == before


@pytest.mark.parametrize("kind", [kind for kind in NASTY if kind != "missing"])
def test_an_archive_is_checked_in_spite_of_a_file_that_is_no_case(
    place: Path, kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    archive = place.parent / "archive"
    archive.mkdir()
    NASTY[kind](archive / "bad.toml")
    (archive / "good.toml").write_text("[[observation]]\ntank.ph = 7.4\n")
    status, told = said(["replay", "--check", str(archive), "--jobs", "1"], capsys)
    assert status == 1
    check_sentences(told)
    assert "bad.toml" in told and "1 could not be assessed" in told


@pytest.mark.parametrize("kind", [kind for kind in NASTY if kind not in ("missing", "blank")])
@pytest.mark.parametrize(
    "command",
    [("assess", "{case}"), ("why", "{case}"), ("bag", "{case}"), ("rules", "--check"),
     ("rules", "nitrite"), ("paper", "{case}", "--for", "vet"), ("replay", "--check", "{case}")],
    ids=" ".join,
)  # fmt: skip
def test_what_is_no_rule_file_gets_a_sentence(
    place: Path, command: tuple[str, ...], kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    place.write_text(SEED)
    folder = place.parent / "own rules"
    folder.mkdir()
    write_tiny(folder)
    if kind == "empty":  # an empty file beside others is none; without settings there are no rules
        (folder / "rulebase.toml").write_bytes(b"")
    else:
        NASTY[kind](folder / "more.toml")
    words = [word.format(case=place) for word in command]
    status, err = said([*words, "--rules", str(folder)], capsys)
    assert status == 2
    check_sentences(err)
    assert "rules" in err


def test_a_file_of_someone_else_gets_a_sentence(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place.write_text(SEED)
    place.chmod(0)
    root = os.geteuid() == 0
    folders = [place.parent, *place.parents[1:4]]
    kept = [(folder, folder.stat().st_mode & 0o7777) for folder in folders if root]
    for folder, mode in kept:
        folder.chmod(mode | 0o055)
    try:
        if root:
            os.seteuid(65534)
        status, err = said(["assess", str(place)], capsys)
    finally:
        if root:
            os.seteuid(0)
        for folder, mode in kept:
            folder.chmod(mode)
    assert status == 2
    assert "not allowed to read" in " ".join(err.split())
