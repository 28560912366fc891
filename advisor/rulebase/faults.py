"""Faults of rule files in plain sentences."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Any

from pydantic import BaseModel, ValidationError


def nearest(word: str, names: Iterable[str]) -> str:
    """'; did you mean "x"?' when a known name lies close, else nothing."""
    near = difflib.get_close_matches(str(word), list(names), n=1)
    return f'; did you mean "{near[0]}"?' if near else ""


def entry_faults(error: ValidationError, where: str, entry_model: type[BaseModel]) -> list[str]:
    """One sentence for each fault pydantic found in one entry."""
    return [
        f"{where}: {_sentence(fault, entry_model)}" for fault in error.errors(include_url=False)
    ]


def _sentence(fault: Any, entry_model: type[BaseModel]) -> str:
    path = ".".join(str(part) for part in fault["loc"]) or "entry"
    given = fault.get("input")
    kind = fault["type"]
    if kind == "extra_forbidden":
        known = list(entry_model.model_fields) if len(fault["loc"]) == 1 else []
        return f'"{path}" is not known here{nearest(path, known)}'
    if kind == "missing":
        return f'"{path}" is missing'
    if kind == "literal_error":
        return f"{path}: {given!r} is not one of {fault['ctx']['expected']}"
    if kind == "string_pattern_mismatch":
        return f"{path}: {given!r} is not an id; use lower case words joined by _ or -"
    if kind == "too_short":
        return f"{path}: must not be empty"
    shown = repr(given)
    return f"{path}: {shown[:60]} does not fit; {fault['msg'][0].lower()}{fault['msg'][1:]}"
