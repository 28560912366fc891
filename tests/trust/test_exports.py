"""Nothing of other people is written over, and what is written is whole or not there at all."""

from __future__ import annotations

import csv
import io
import os
import stat
from pathlib import Path

import pytest

from advisor.case.exports import marked, write_export
from advisor.errors import AdvisorError
from advisor.explain.replay.progress import COLUMNS, keep, kept, progress_file
from advisor.screens.app import main
from advisor.wording.text import inert

DELIVERY = Path(__file__).parents[1] / "papers" / "delivery.toml"
TEXTS = {
    "html": "<html><head><title>x</title></head><body>fish</body></html>\n",
    "text": "Paper (vet): fish\n",
    "csv": "﻿hours after receipt [h],lot\r\n1,A\r\n",
}


@pytest.mark.parametrize("form", TEXTS)
def test_our_own_file_is_renewed_and_one_that_was_worked_on_is_not(
    form: str, tmp_path: Path
) -> None:
    path = tmp_path / "out"
    write_export(path, TEXTS[form], form)  # type: ignore[arg-type]
    write_export(path, TEXTS[form] + "more\n", form)  # type: ignore[arg-type]
    raw = path.read_bytes()
    assert b"more" in raw and raw.count(b"export ") == 1
    for worked_on in (raw + b"mine\n", raw.replace(b"more", b"mine"), raw[:-3]):
        path.write_bytes(worked_on)
        with pytest.raises(AdvisorError, match="not one of ours"):
            write_export(path, TEXTS[form], form)  # type: ignore[arg-type]
        assert path.read_bytes() == worked_on
    assert os.listdir(tmp_path) == ["out"]


#: Files by other hands that hold the words by which ours were once known.
OTHERS = {
    "a page": '<html><meta name="generator" content="advisor paper, advisor 0.1">my thesis',
    "a sheet": "hours after receipt [h],my column\n1,years of work\n",
    "a letter": "Paper (vet): my own letter\n",
    "a mark of its own": "export 0123456789abcdef\n",
    "a mark of zeros": "export 0000000000000000\n",
}


@pytest.mark.parametrize("what", OTHERS)
@pytest.mark.parametrize(
    "words",
    [
        ["paper", "{case}", "--for", "vet", "--out", "{out}"],
        ["paper", "{case}", "--for", "log", "--text", "--out", "{out}"],
        ["readings", "{case}", "--out", "{out}"],
        ["readings", "{case}", "--events", "--out", "{out}"],
    ],
    ids=lambda words: " ".join(words[:1] + words[2:4]),
)
def test_no_command_writes_over_a_file_of_other_people(
    what: str, words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "theirs"
    out.write_text(OTHERS[what], encoding="utf-8")
    filled = [word.format(case=DELIVERY, out=out) for word in words]
    assert main(filled) == 2
    assert "not one of ours" in " ".join(capsys.readouterr().err.split())
    assert out.read_text(encoding="utf-8") == OTHERS[what]
    assert os.listdir(tmp_path) == ["theirs"]


def test_scores_go_over_no_file_of_other_people(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    keep(progress_file("Ines"), dict.fromkeys(COLUMNS, "x"))
    theirs = tmp_path / "theirs.csv"
    theirs.write_text("years of work", encoding="utf-8")
    assert main(["replay", "--as", "Ines", "--export", str(theirs)]) == 2
    assert theirs.read_text(encoding="utf-8") == "years of work"
    fresh = tmp_path / "fresh.csv"
    assert main(["replay", "--as", "Ines", "--export", str(fresh)]) == 0
    assert main(["replay", "--as", "Ines", "--export", str(fresh)]) == 0


def test_no_link_and_no_device_is_followed(tmp_path: Path) -> None:
    theirs = tmp_path / "theirs"
    theirs.write_text("mine")
    link, fifo = tmp_path / "link", tmp_path / "fifo"
    link.symlink_to(theirs)
    os.mkfifo(fifo)
    for path in (link, fifo, tmp_path):
        with pytest.raises(AdvisorError):
            write_export(path, "x", "text")
    assert theirs.read_text() == "mine" and link.is_symlink()
    # a link planted where a file is being written is taken away, never followed
    planted = tmp_path / "out"
    for name in (".out.writing", ".out.saving"):
        (tmp_path / name).symlink_to(theirs)
    write_export(planted, "x", "text")
    assert theirs.read_text() == "mine"


def test_the_mode_is_kept_and_nothing_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out"
    write_export(path, "first", "text")
    path.chmod(0o600)
    write_export(path, "second", "text")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    before = path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(AdvisorError, match="disk is full"):
        write_export(path, "third", "text")
    assert path.read_bytes() == before and os.listdir(tmp_path) == ["out"]


def test_a_score_cut_off_by_a_power_loss_costs_only_itself(tmp_path: Path) -> None:
    path = tmp_path / "scores.jsonl"
    line = dict.fromkeys(COLUMNS, "x")
    keep(path, line)
    keep(path, line)
    raw = path.read_bytes()
    for end in range(1, 40):  # the second line torn at many places, in the middle of letters too
        path.write_bytes(raw[:-end])
        keep(path, line)
        assert len(kept(path)) >= 2, end


def test_people_of_every_script_keep_their_own_scores() -> None:
    names = [
        "Ines",
        "Inés",
        "田中",
        "佐藤",
        "Анна",
        "Ольга",
        "محمد",
        "فاطمة",
        "李",
        "a/b",
        "a-b",
        "🐟",
    ]
    files = {progress_file(name) for name in names}
    assert len(files) == len(names)
    assert progress_file("INES") == progress_file("ines ")
    assert all(file.parent == progress_file("Ines").parent for file in files)


HOSTILE = [
    "=1+1",
    "a;=1+1",
    "a,=1+1",
    "a\t=1+1",
    "x; @SUM(1)",
    'say ";=cmd|x',
    "a;＝1",
    "a,+1",
    "a;;-1",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_no_cell_computes_under_either_separator(text: str) -> None:
    out = io.StringIO()
    csv.writer(out).writerow(["1", inert(text), "2"])
    for separator in ",;\t|":
        for cell in next(csv.reader([out.getvalue()], delimiter=separator)):
            for part in (cell, *cell.split(separator)):
                assert part.strip(" '\"")[:1] not in "=@＝" or "'" in part[:3] or not part, (
                    cell,
                    part,
                )


def test_the_mark_is_one_and_the_rest_is_as_it_was() -> None:
    raw = marked(TEXTS["csv"], "csv")
    assert raw.decode("utf-8-sig").splitlines()[1:] == ["1,A"]
    assert marked("", "text").endswith(b"\n")


@pytest.mark.parametrize("purpose", ["vet", "supplier", "log"])
def test_no_control_or_direction_code_of_a_lot_reaches_a_paper_or_its_pictures(
    purpose: str, tmp_path: Path
) -> None:
    case, out = tmp_path / "case.toml", tmp_path / "out.html"
    case.write_text(
        'format = "arrival-case-1"\ndelivery.received = 2027-03-02T14:10:00\n[[lot]]\n'
        'id = "A\\u0007\\u202E$x_"\nspecies = "guppy\\u0000"\ncount = 10\nbags = 1\n'
        'bag_water_l = 2\nsealed = "yes"\nhours_sealed = 30\n[[observation]]\nat_hours = 0.1\n'
        "bag.temperature_c = 22\nbag.tan_mg_l = 4\nbag.ph = 6.8\n",
        encoding="utf-8",
    )
    assert main(["paper", str(case), "--for", purpose, "--out", str(out)]) == 0
    text = out.read_text(encoding="utf-8")
    assert not any(letter in text for letter in "\x00\x07\u202e")
