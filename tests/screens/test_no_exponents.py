"""No number that a person or a program reads prints as an exponent, in any output of any case."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.case import load_case
from tests.screens.everything import CASES, EXPONENT, SHIPPED, commands, said_by

#: In the quick suite.
QUICK = CASES / "demo" / "four-lots-one-burned-on-opening.toml"


def mark(path: Path) -> tuple[pytest.MarkDecorator, ...]:
    """The other demonstrations are slow; what the trial adds is every other case."""
    if path == QUICK:
        return ()
    return (pytest.mark.slow if path.parent.name == "demo" else pytest.mark.trial,)


@pytest.mark.parametrize(
    "path",
    [pytest.param(path, marks=mark(path)) for path in SHIPPED],
    ids=lambda p: p.relative_to(CASES).as_posix(),
)
def test_no_number_prints_as_an_exponent(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    lots = [lot.id for lot in load_case(path).lot]
    for words in commands(path, lots):
        text = said_by(words)
        found = [text[max(0, m.start() - 60) : m.end() + 20] for m in EXPONENT.finditer(text)]
        assert not found, (" ".join(words), found[:3])


@pytest.mark.parametrize("text", ["4e+03 L", "is 1.06e+03 g", "(1e-05 to", '"low":2.5E-7,', "−1e3"])
def test_an_exponent_is_found(text: str) -> None:
    assert EXPONENT.search(text)


@pytest.mark.parametrize("text", ["d45d9a353673b114", "12e4ab", "lot 1e", "v1.2e3x", "#1e3"])
def test_marks_and_ids_are_none(text: str) -> None:
    assert not EXPONENT.search(text)
