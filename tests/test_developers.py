"""What DEVELOPERS.md and README.md name is there: files, folders, modules, commands."""

from __future__ import annotations

import argparse
import re
from importlib.util import find_spec
from pathlib import Path

import pytest

from advisor.screens import app

ROOT = Path(__file__).parents[1]
PAGES = {name: (ROOT / name).read_text("utf-8") for name in ("DEVELOPERS.md", "README.md")}


def quoted(text: str) -> set[str]:
    """Words in backquotes."""
    return {word.rstrip(".,") for run in re.findall(r"`([^`\n]+)`", text) for word in run.split()}


@pytest.mark.parametrize("page", PAGES)
def test_every_path_named_is_there(page: str) -> None:
    """A folder of a room may be named in the room's own line without the room."""
    paths = {
        word
        for word in quoted(PAGES[page])
        if re.fullmatch(r"[\w*]+(/[\w*.-]+)*/?", word) and "/" in word
    }
    inside = r"(?<![\w./-])(?:advisor|cases|rules|tests)/[\w*./-]*[\w*/]"
    paths |= set(re.findall(inside, PAGES[page]))
    assert len(paths) > 2
    roots = (ROOT, ROOT / "advisor", *(ROOT / "advisor").iterdir())
    gone = {path for path in paths if not any(list(root.glob(path)) for root in roots)}
    assert not gone


@pytest.mark.parametrize("page", PAGES)
def test_every_module_named_can_be_run(page: str) -> None:
    named = set(re.findall(r"\btests(?:\.\w+)+", PAGES[page])) - {"tests.benchmarks"}
    for module in named:
        path = Path(*module.split("."))
        file = ROOT / path / "__main__.py"
        file = file if file.is_file() else (ROOT / path).with_suffix(".py")
        assert find_spec(module) is not None, module
        assert '__name__ == "__main__"' in file.read_text("utf-8"), module


@pytest.mark.parametrize("page", PAGES)
def test_every_command_named_is_one(page: str) -> None:
    parser = app.build_parser()
    (commands,) = (a for a in parser._actions if isinstance(a, argparse._SubParsersAction))
    named = set(re.findall(r"(?:`|bin/|^ *|&& )advisor ([a-z]+)\b", PAGES[page], re.MULTILINE))
    assert named and named <= set(commands.choices)
