"""Packages whose parts are imported when they are first asked for (PEP 562)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def parts_of(
    package: str, homes: Mapping[str, str]
) -> tuple[Callable[[str], Any], Callable[[], list[str]]]:
    """``__getattr__`` and ``__dir__`` of a package.

    ``homes`` holds for each module the names the package takes from it, with spaces between.
    """
    home_of = {name: module for module, names in homes.items() for name in names.split()}

    def part(name: str) -> Any:
        if name not in home_of:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        return getattr(import_module(home_of[name]), name)

    def names() -> list[str]:
        return sorted(home_of)

    return part, names
