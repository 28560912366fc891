"""Words that one part of the hearing passes over or sets apart: words/sets.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


def word_set(name: str) -> frozenset[str]:
    """The words of that set."""
    return frozenset(_sets()[name])


@cache
def _sets() -> Mapping[str, list[str]]:
    file = files("advisor.ask.hear") / "words" / "sets.toml"
    found: Mapping[str, list[str]] = tomllib.loads(file.read_text(encoding="utf-8"))["sets"]
    return found
