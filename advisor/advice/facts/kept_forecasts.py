"""Forecasts of the last bags looked at, kept on disk as the numbers they came to.

They are kept for the program's own code: when the simulation or the chemistry
changes, they are made again. What cannot be kept is made again too. Written once,
when the program ends, so that thousands of cases in one run cost nothing more.
"""

from __future__ import annotations

import atexit
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from advisor.rulebase.kept import KeptFile, as_line

#: As many as a few days' deliveries have lots.
MOST = 60


def recall(asked: str) -> dict[str, Any] | None:
    """What was kept for these inputs, word for word the same."""
    return _held().get(asked)


def remember(asked: str, numbers: Mapping[str, Any]) -> None:
    """Keep ``numbers`` among the last ``MOST``."""
    held = _held()
    held[asked] = dict(numbers)
    if len(held) > MOST:
        del held[next(iter(held))]
    _save_at_end()


@cache
def _save_at_end() -> None:
    atexit.register(save)


def save() -> None:
    """Write what is held; called when the program ends."""
    _file().write([as_line(each) for each in _held().items()])


@cache
def _held() -> dict[str, dict[str, Any]]:
    try:
        return dict(json.loads(line) for line in _file().read() or ())
    except (ValueError, TypeError):
        return {}


def _file() -> KeptFile:
    rooms = Path(__file__).parents[2]
    files = sorted(file for room in ("bag", "water") for file in (rooms / room).glob("*.py"))
    return KeptFile("forecasts", "", tuple(map(str, files)))
