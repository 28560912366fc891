"""Every text field of a case, and every way out of the program: text stays text.

tests/screens draws many hostile texts for the screens; here one text with all of
them goes into each field the case model has, so that a field added later is tried too.
"""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from pydantic import BaseModel

from advisor.case import Case, load_case, save_case
from advisor.screens.app import main
from tests.screens.hostile import _fill, hostile_case

STEERING = {"Cc", "Cf", "Cs", "Zl", "Zp"}  # Unicode Standard, table 4-4
STYLE = re.compile(r"\x1b\[[0-9;]*m")
TEXT = (
    '=HYPERLINK("http://x.invalid")\x1b[2J\x9b1m\u202e[red]x[/red][link=http://x]'
    "<script>alert(1)</script><img src=x onerror=y>&lt;{{ 7*7 }}\nDO NOW: pour\t'\" onload=z '"
)
#: Text fields whose content must be a word of the rules or a lot, so that a case with any other is
#: refused; and those filled by name below.
WORDS = {"Lot.group", "Observation.lot", "Observation.seen", "Observation.not_seen",
         "Outcome.confirmed_causes", "Death.lot", "Step.lot", "Sample.lot", "Expected.lot",
         "Expected.first_cause", "Expected.in_first_three", "Expected.first_action",
         "Expected.never", "Expected.measure_next"}  # fmt: skip
WAYS = [
    ("assess", "{case}", "--all"),
    ("why", "{case}", "--all"),
    ("why", "{case}", "--saved"),
    ("why", "{case}", "--flip"),
    ("bag", "{case}"),
    ("replay", "--check", "{case}", "--jobs", "1"),
    *(("paper", "{case}", "--for", whom, "--text") for whom in ("vet", "supplier", "log")),
]


def full_case() -> Case:
    """A hostile delivery in which no text field is left out."""
    data = hostile_case(TEXT).model_dump(exclude_defaults=True)
    of_case = get_type_hints(Case)
    expected = next(t for t in get_args(of_case["expected"]) if t is not type(None))
    saved = get_args(of_case["assessment"])[0]
    data["expected"] = _fill(expected, TEXT) | {"kind": "constructed"}
    del data["expected"]["lot"]
    lot = data["lot"][0]["id"]
    data["assessment"] = [_fill(saved, TEXT) | {"lot": lot, "causes": {TEXT: 3}, "actions": [TEXT]}]
    data["session"] = {"answered": [TEXT], "unknown": [TEXT]}
    later = {"at_hours": 2, "from_log": TEXT, "tank": {"ph": 7.4}}
    data["observation"] = (*data["observation"], later)
    data["outcome"] |= {"deaths": [{"at_hours": 3, "dead": 1}]}
    return Case.model_validate(data)


def texts_in(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from texts_in(inner)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from texts_in(inner)


def text_fields(part: type[BaseModel], seen: set[str]) -> Iterator[str]:
    """``Model.field`` of every field that takes any text, parts within parts as well."""
    if part.__name__ in seen:
        return
    seen.add(part.__name__)
    for name, hint in get_type_hints(part).items():
        for inner in _within(hint):
            if inner is str:
                yield f"{part.__name__}.{name}"
            elif isinstance(inner, type) and issubclass(inner, BaseModel):
                yield from text_fields(inner, seen)


def _within(hint: Any) -> Iterator[Any]:
    parts = get_args(hint)
    if not parts or getattr(hint, "__origin__", None).__class__.__name__ == "_LiteralSpecialForm":
        yield hint
    for part in parts:
        if part is not type(None) and not isinstance(part, str):
            yield from _within(part)


def filled(part: BaseModel, found: set[str]) -> set[str]:
    for name in type(part).model_fields:
        value = getattr(part, name)
        values = value if isinstance(value, tuple) else [value]
        for each in values:
            if isinstance(each, BaseModel):
                filled(each, found)
            elif any("<script" in text or text == TEXT[:37] for text in texts_in(each)):
                found.add(f"{type(part).__name__}.{name}")
    return found


def test_no_text_field_is_left_out() -> None:
    every = set(text_fields(Case, set()))
    assert len(every) > 40
    left = every - filled(full_case(), set()) - WORDS
    # answers about the history are words of the rules; delivery times and notes of a look are not
    assert {name for name in left if not name.endswith(".history")} <= {
        "Delivery.received", "Saved.lot",
    }  # fmt: skip


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("inert") / "case.toml"
    save_case(full_case(), path)
    return path


@pytest.mark.parametrize(
    "colour, words",
    [
        # what would change the advice is tried anew for every answer: in the slow suite
        pytest.param(
            colour,
            words,
            id=f"{'colour' if colour else 'plain'}-{' '.join(words)}",
            marks=[pytest.mark.slow] if "--flip" in words else [],
        )
        for colour in (True, False)
        for words in WAYS
    ],
)
def test_the_screen_is_not_steered(
    place: Path,
    words: tuple[str, ...],
    colour: bool,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("FORCE_COLOR" if colour else "NO_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm-256color")
    assert main([word.format(case=place) for word in words]) in (0, 1)
    shown, _ = capsys.readouterr()  # the bar of progress on standard error steers on purpose
    bare = STYLE.sub("", shown)
    assert not {c for c in bare if c != "\n" and unicodedata.category(c) in STEERING}
    # a note keeps its lines, but never from the first column on
    assert not re.search(r"^DO NOW: pour", bare, re.MULTILINE)
    if not colour:
        assert bare == shown


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.handlers: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]


@pytest.mark.parametrize("whom", ["vet", "supplier", "log"])
def test_a_page_runs_and_fetches_nothing(
    place: Path, whom: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "paper.html"
    assert main(["paper", str(place), "--for", whom, "--out", str(out)]) == 0
    page = out.read_text(encoding="utf-8")
    assert "&lt;script&gt;" in page
    tags = _Tags()
    tags.feed(page)
    assert not tags.tags & {"script", "iframe", "object", "embed", "link", "form", "base"}
    assert tags.handlers == []
    assert not [link for link in tags.links if not link.startswith(("data:image/", "#"))]
    steering = {c for c in page if unicodedata.category(c) in STEERING} - {"\n", "\u00ad"}
    assert not steering


@pytest.mark.parametrize("more", [(), ("--events",), ("--decimal-comma",)], ids=str)
def test_a_spreadsheet_computes_nothing(
    place: Path, more: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "cells.csv"
    assert main(["readings", str(place), *more, "--out", str(out)]) == 0
    raw = out.read_text(encoding="utf-8-sig")
    between = ";" if "--decimal-comma" in more else ","
    cells = [c for row in csv.reader(io.StringIO(raw), delimiter=between) for c in row]
    assert any("HYPERLINK" in cell for cell in cells)
    for cell in cells:  # OWASP, "CSV Injection"
        number = re.fullmatch(r"-?\d+([.,]\d+)?", cell)
        assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
        assert not {c for c in cell if unicodedata.category(c) in STEERING}


def test_what_is_saved_is_the_very_text(place: Path) -> None:
    assert load_case(place) == full_case()
