"""Everything the program says of a case: every screen, paper, table and JSON text."""

from __future__ import annotations

import contextlib
import html
import io
import re
from collections.abc import Iterator
from pathlib import Path

from advisor.screens.app import main

CASES = Path(__file__).parents[2] / "cases"
SHIPPED = sorted(CASES.rglob("*.toml"))
#: A number with an exponent, standing by itself; hexadecimal marks and ids are none.
EXPONENT = re.compile(r"(?<![\w.#-])[-+−]?\d+(?:\.\d+)?[eE][-+]?\d+(?![\w])")
TAGS = re.compile(r"<(style|svg)\b.*?</\1>|<[^>]*>", re.DOTALL)


def commands(path: Path, lots: list[str]) -> Iterator[list[str]]:
    """Every command that says something of the case at ``path``."""
    case = str(path)
    yield ["assess", case, "--json"]
    yield ["assess", case, "--all"]
    yield ["assess", case]
    yield ["bag", case, "--json"]
    yield ["bag", case, "-v"]
    for purpose in ("vet", "supplier", "log"):
        yield ["paper", case, "--for", purpose, "--out", "-"]
        yield ["paper", case, "--for", purpose, "--text"]
    yield ["readings", case]
    yield ["readings", case, "--events"]
    for lot in lots:
        yield ["why", case, "--lot", lot]
        yield ["why", case, "--lot", lot, "--json"]


def said_by(words: list[str]) -> str:
    """What a command prints, drawings and marks of a page taken out."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        try:
            status = main(words)
        except SystemExit as end:
            status = int(end.code or 0)
    text = out.getvalue()
    assert status in (0, 1, 2), (words, text[-300:])
    return html.unescape(TAGS.sub(" ", text)) if words[0] == "paper" else text
