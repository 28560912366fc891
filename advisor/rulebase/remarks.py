"""One objection to a rule base, and the place it speaks of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class Remark:
    """``fault`` fails the check, ``remark`` only deserves a look."""

    severity: Literal["fault", "remark"]
    where: str
    text: str


def fault(kind: str, entry: Any, text: str) -> Remark:
    return Remark("fault", where(kind, entry), text)


def remark(kind: str, entry: Any, text: str) -> Remark:
    return Remark("remark", where(kind, entry), text)


def where(kind: str, entry: Any) -> str:
    """``rules/causes/ammonia.toml, rule nh3-high``."""
    return f"rules/{entry.file}, {kind} {entry.id}"
