"""Places and values of a file, as sentences about it say them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any


def path_text(loc: Sequence[str | int]) -> str:
    """``observation 2, tank.ph`` from ("observation", 1, "tank", "ph")."""
    text, after_number = "", False
    for part in loc:
        if isinstance(part, int):
            text += f" {part + 1}"
        else:
            text += (", " if after_number else "." if text else "") + part[:60]
        after_number = isinstance(part, int)
    return text


def shown(value: Any) -> str:
    """A value as it stood in the file, cut short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value[:40]}..."' if len(value) > 43 else f'"{value}"'
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, int):
        return str(value) if abs(value) < 10**18 else "a number of more than 18 digits"
    if isinstance(value, (date, datetime, time)):
        return value.isoformat()
    return "a table" if isinstance(value, dict) else "a list"
