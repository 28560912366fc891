"""Numbers are written in one room: no other file formats one."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2] / "advisor"
#: Format mini-language of Python's library reference: presentation types of numbers, and commas.
OF_A_NUMBER = re.compile(r"[eEfFgGn]$|^[-+ #0-9.,_]*%$|,")
IN_TEXT = re.compile(r"\{[^{}:]*:[^{}]*[eEfFgGn%]\}|%[-+ 0#]*\d*(?:\.\d+)?[eEfFgG]\b")
FILES = [path for path in sorted(ROOT.rglob("*.py")) if path.parent.name != "wording"]


def number_formats(text: str) -> list[str]:
    """Line and format of each place that turns a number into text by itself."""
    tree = ast.parse(text)
    inner = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)
             for part in ast.walk(node) if part is not node}  # fmt: skip
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            spec = "".join(
                part.value if isinstance(part, ast.Constant) else "{}"
                for part in node.format_spec.values  # type: ignore[attr-defined]
            )
            if OF_A_NUMBER.search(spec):
                found.append(f"{node.lineno} {spec}")
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in inner
            and IN_TEXT.search(node.value)
        ):
            found.append(f"{node.lineno} {node.value[:40]}")
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_a_file_formats_no_number_itself(path: Path) -> None:
    found = number_formats(path.read_text(encoding="utf-8"))
    assert not found, f"write it with advisor.wording.numbers: {found}"


@pytest.mark.parametrize(
    "line",
    ['f"{x:g}"', 'f"{x:.3g}"', 'f"{x:.2f}"', 'f"{x:+.0f}"', 'f"{x:,}"', 'f"{x:.{n}f}"',
     'f"{x:>5.3g}"', 'f"{x:.0%}"', '"{:.1f}".format(x)', '"%.3g" % x', '"{a:g}"'],
)  # fmt: skip
def test_a_format_of_a_number_is_found(line: str) -> None:
    assert number_formats(line)


@pytest.mark.parametrize(
    "line", ['f"{x:<20}"', 'f"{x:>{n}}"', 'f"{x:20}"', 'f"{at:%H:%M}"', '"20 %"', '"{a}: {b}"']
)
def test_other_formats_are_not(line: str) -> None:
    assert not number_formats(line)
