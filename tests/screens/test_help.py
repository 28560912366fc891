"""Help is readable at any width: no line is cut by the terminal in the middle of a word."""

from __future__ import annotations

import argparse

import pytest

from advisor.screens.app import COMMANDS, build_parser


def _helps() -> list[tuple[str, argparse.ArgumentParser]]:
    parser = build_parser()
    (commands,) = (a for a in parser._actions if isinstance(a, argparse._SubParsersAction))
    return [("advisor", parser), *commands.choices.items()]


@pytest.mark.parametrize("columns", [40, 46, 60, 80])
def test_every_help_fits_its_width(columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    helps = _helps()
    assert len(helps) == len(COMMANDS) + 1
    for name, parser in helps:
        # argparse cuts the usage itself, and an option with its value is one piece to it
        _, told = parser.format_help().split("\n\n", 1)
        for line in told.splitlines():
            # one word (a list of choices) may be longer than a narrow line holds
            assert len(line) <= columns or len(line.split()) == 1 or "{" in line, (name, line)
        assert "examples:" in told


def test_an_example_too_long_keeps_its_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    wide = {name: parser.format_help().split() for name, parser in _helps()}
    monkeypatch.setenv("COLUMNS", "44")
    narrow = {name: parser.format_help().split() for name, parser in _helps()}
    for name, words in wide.items():
        assert words[words.index("examples:") :] == narrow[name][narrow[name].index("examples:") :]
