"""``advisor why`` as a person runs it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.screens.app import main
from tests.said import joined

CASES = Path(__file__).parent / "cases"
OPENING = str(CASES / "opening.toml")


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = main(["why", *words])
    out, err = capsys.readouterr()
    return status, out, err


def test_the_note_names_what_was_typed_the_numbers_and_the_sources(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    let_out = (
        Path(OPENING)
        .read_text(encoding="utf-8")
        .replace("opened_at_hours = 0\n", "opened_at_hours = 0\nreleased_at_hours = 0.1\n")
    )
    (tmp_path / "let-out.toml").write_text(let_out, encoding="utf-8")
    status, out, _ = run(capsys, str(tmp_path / "let-out.toml"), "ammonia_bag")
    flat = " ".join(out.split())
    assert status == 0
    for wanted in ('typed "8 ppm NH4"', "= 6 / (1 + 10^(", "limit nh3_gill_damage", "WORKS CITED"):
        assert wanted in flat
    assert "judgement" in flat and "(read)" in flat


@pytest.mark.parametrize("columns", ["60", "100"])
def test_it_fits_the_screen_without_colour(
    columns: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    monkeypatch.setenv("NO_COLOR", "1")
    _, out, _ = run(capsys, OPENING, "ammonia_bag", "nitrite", "air_tank")
    assert "\x1b" not in out
    assert max(map(len, out.splitlines())) <= int(columns)


def test_json_is_the_published_form(capsys: pytest.CaptureFixture[str]) -> None:
    for words, form in (
        ((), "advisor-why-1"),
        (("--what-if", "ph=7"), "advisor-what-if-1"),
    ):
        status, out, _ = run(capsys, OPENING, *words, "--json")
        assert status == 0 and json.loads(out)["format"] == form


def test_bad_input_is_one_sentence_and_status_2(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("nitritee",), ("--what-if", "phh=7"), ("--lot", "nobody"), ("--until", "x")):
        try:
            status, out, err = run(capsys, OPENING, *words)
        except SystemExit as end:  # a fault argparse finds
            status, (out, err) = int(str(end.code)), capsys.readouterr()
        assert status == 2 and not out and err.strip() and "Traceback" not in err


def test_text_of_a_case_is_neither_markup_nor_control_codes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = Path(OPENING).read_text(encoding="utf-8")
    evil = "[red]x[/red]\\u001b[2J"
    path = tmp_path / "evil.toml"
    path.write_text(text.replace("8 ppm NH4", evil).replace("green swordtail", evil))
    _, out, _ = run(capsys, str(path), "ammonia_bag", "bag_tan_mg_l")
    assert "\x1b" not in out and "[red]x[/red]" in out


def test_a_lot_not_shown_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = run(capsys, str(CASES / "two_lots.toml"))
    flat = " ".join(out.split())
    shown = "danios" if "Lot danios" in flat else "tetras"
    other = {"danios": "tetras", "tetras": "danios"}[shown]
    assert f"Lot {shown}" in flat and f"--lot: {other}" in flat


def test_the_whole_case_stays_as_it_was(capsys: pytest.CaptureFixture[str]) -> None:
    before = Path(OPENING).read_bytes()
    run(capsys, OPENING, "--what-if", "ph=7")
    assert Path(OPENING).read_bytes() == before


def test_it_runs_as_a_command_of_its_own() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "why", OPENING, "want of oxygen"],
        capture_output=True,
        text=True,
        check=False,
        cwd=CASES.parents[2],
    )
    assert done.returncode == 0 and "want of oxygen" in joined(done.stdout)
