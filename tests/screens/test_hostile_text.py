"""Text of a case reaches the screen as text, with colour and without, in every command."""

from __future__ import annotations

import io
import json
import re
import sys
import unicodedata
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from advisor.case import save_case
from advisor.screens.app import main
from advisor.screens.console import print_json
from advisor.wording.text import one_line, plain
from tests.screens.hostile import hostile_case, texts

#: What rich writes for colour and weight (ECMA-48, 8.3.117, SGR), and nothing else of its kind.
STYLE = re.compile(r"\x1b\[[0-9;]*m")
#: Unicode general categories (Unicode Standard, table 4-4) that steer a terminal or hide.
STEERING = {"Cc", "Cf", "Cs", "Zl", "Zp"}

SCREENS = (
    ("assess", "{case}"),
    ("assess", "{case}", "--all"),
    ("why", "{case}", "--lot={lot}"),
    ("bag", "{case}"),
)
SPOOF = "x\n\nDO NOW: pour it in\n\x1b[2J[red]"


def steering(text: str) -> set[str]:
    return {c for c in text if c != "\n" and unicodedata.category(c) in STEERING}


def shown(words: tuple[str, ...], colour: bool, columns: int) -> tuple[int, str, str]:
    """Status, standard output and standard error of one command, as a terminal would get them."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        for name in ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE"):
            patch.delenv(name, raising=False)
        patch.setenv("FORCE_COLOR" if colour else "NO_COLOR", "1")
        patch.setenv("COLUMNS", str(columns))
        patch.setenv("TERM", "xterm-256color")
        patch.setattr(sys, "stdout", out)
        patch.setattr(sys, "stderr", err)
        try:
            status = main(words)
        except SystemExit as end:
            status = int(end.code or 0)
    return status, out.getvalue(), err.getvalue()


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("hostile") / "case.toml"


@pytest.mark.parametrize("screen", SCREENS, ids=lambda words: "-".join(words[:1] + words[2:3]))
@settings(max_examples=5)
@given(text=texts, columns=st.sampled_from((60, 80, 100)))
@example(text=SPOOF, columns=80)
def test_case_text_is_inert(place: Path, screen: tuple[str, ...], text: str, columns: int) -> None:
    case = hostile_case(text)
    place.unlink(missing_ok=True)
    save_case(case, place)
    words = tuple(word.format(case=place, lot=case.lot[0].id) for word in screen)
    status, coloured, err = shown(words, True, columns)
    assert status in (0, 1), err
    bare = STYLE.sub("", coloured)
    assert not steering(bare + STYLE.sub("", err))
    assert shown(words, False, columns)[1] == bare  # markup would be lost from one or the other
    for line in bare.split("\n"):
        assert cell_len(line) <= columns, line


@settings(max_examples=10)
@given(text=texts)
@example(text=SPOOF)
def test_readings_go_out_inert(place: Path, text: str) -> None:
    place.unlink(missing_ok=True)
    save_case(hostile_case(text), place)
    status, written, _ = shown(("readings", str(place)), True, 80)
    assert status == 0
    assert not steering(written.replace("\r\n", "\n"))  # CSV ends its lines so (RFC 4180)


@settings(max_examples=15)
@given(text=texts)
@example(text=SPOOF)
def test_every_letter_of_a_lots_name_is_shown(place: Path, text: str) -> None:
    case = hostile_case(text)
    place.unlink(missing_ok=True)
    save_case(case, place)
    _, screen, _ = shown(("assess", str(place)), False, 100)
    for lot in case.lot:
        wanted = re.sub(r"[\s·]", "", one_line(lot.id))
        assert wanted in re.sub(r"[\s·]", "", screen)


def test_a_name_cannot_pose_as_advice(place: Path) -> None:
    place.unlink(missing_ok=True)
    save_case(hostile_case(SPOOF), place)
    for command in ("assess", "why"):
        _, screen, _ = shown((command, str(place)), False, 80)
        assert not re.search(r"^\s*DO NOW: pour it in", screen, re.MULTILINE)
        assert "DO NOW: pour it in" in re.sub(r"\s+", " ", screen)


@settings(max_examples=40)
@given(text=texts)
@example(text="\x9b2J\u202e\U000e0041é鱼")
def test_json_keeps_every_character_and_steers_nothing(text: str) -> None:
    for encoding in ("utf-8", "ascii", "latin-1"):
        raw = io.BytesIO()
        with pytest.MonkeyPatch.context() as patch:
            stream = io.TextIOWrapper(raw, encoding, errors="replace")
            patch.setattr(sys, "stdout", stream)
            print_json(json.dumps({"a": text, text: 1}, ensure_ascii=False, indent=2))
            stream.flush()
            written = raw.getvalue().decode(encoding)
        assert not steering(written)
        assert json.loads(written) == {"a": text, text: 1}


def test_the_json_of_an_assessment_is_inert(place: Path) -> None:
    text = "\x9b2J \u202e[red]\n<b>"
    place.unlink(missing_ok=True)
    save_case(hostile_case(text), place)
    status, written, _ = shown(("assess", str(place), "--json"), True, 80)
    assert status == 0
    assert not steering(written)
    assert json.loads(written)["lots"][0]["label"] == text


@given(st.text())
def test_plain_text_steers_nothing_and_loses_nothing_else(text: str) -> None:
    kept = plain(text)
    assert not steering(kept)
    assert plain(kept) == kept
    if not steering(text) and "\t" not in text:
        assert kept == unicodedata.normalize("NFC", text)


@given(st.text())
def test_one_line_is_one_line(text: str) -> None:
    line = one_line(text)
    assert len(line.splitlines()) <= 1
    assert one_line(line) == line


def test_text_is_made_visible_not_taken_away() -> None:
    assert plain("a\x1b[2J\u202eb\tc") == "a·[2J·b c"
    assert one_line("a\n\n b\n") == "a / b"
    assert one_line("  two spaces") == "  two spaces"
    assert plain("e\u0301") == "é"
