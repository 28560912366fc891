"""Faults of rule files in plain sentences, none in the checking library's wording."""

from __future__ import annotations

import re
from typing import Any

from pydantic import BaseModel, ValidationError

from advisor.rulebase.entries import Settings
from advisor.wording.nearest import nearest
from advisor.wording.numbers import exact
from advisor.wording.places import path_text, shown

_QUOTED = re.compile(r"'([^']*)'")
#: Kind of fault -> what is said after the value.
_WANTED = {
    "string_type": "is not text; put it in quotes, or [ ] around it where a list is wanted",
    "int_type": "is not a whole number; write one such as 12",
    "int_parsing": "is not a whole number; write one such as 12",
    "int_from_float": "is not a whole number; write one such as 12",
    "int_parsing_size": "is not a number that can be measured",
    "float_type": "is not a number; write one such as 1.5",
    "float_parsing": "is not a number; write one such as 1.5",
    "finite_number": "is not a number that can be measured",
    "bool_type": "is neither true nor false; write one of these, without quotes",
    "bool_parsing": "is neither true nor false; write one of these, without quotes",
    "string_unicode": "holds characters that cannot be read; type the text again",
}


def scale_faults(settings: Settings) -> list[str]:
    """What is wrong with the weights: words that lack one, or stand in the wrong order."""
    faults = []
    for name, words in (
        ("decibans", ("weak", "supporting", "strong", "decisive")),
        ("standing", ("possible", "likely", "very_likely")),
    ):
        given = getattr(settings, name)
        lacking = [word for word in words if word not in given]
        faults += [f"{name} lacks {word}" for word in lacking]
        weights = [given[word] for word in words if word in given]
        if sorted(set(weights)) != weights:
            faults.append(f"{name} must rise from {words[0]} to {words[-1]}")
        if name == "decibans" and weights and min(weights) <= 0:
            faults.append("decibans must be above 0; a rule that opposes turns the sign itself")
    return faults


def entry_faults(error: ValidationError, where: str, entry_model: type[BaseModel]) -> list[str]:
    """One sentence for each field the model refused; of a field of several kinds, one for all."""
    found: dict[str, str] = {}
    faults = error.errors(include_url=False)
    for fault in faults:
        loc = fault["loc"]
        if fault["type"] == "too_short" and any(
            f["loc"][: len(loc)] == loc for f in faults if f is not fault
        ):
            continue  # the list is empty only because its entries were refused
        path = path_text(_field(fault["loc"]))
        found.setdefault(path, f"{where}: {_sentence(fault, path, entry_model)}")
    return list(found.values())


def _field(loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """``loc`` without what names the kinds of value tried, or says that a key is meant."""
    kept = loc
    while len(kept) > 1 and isinstance(kept[-1], str) and kept[-1] in _NOT_FIELDS:
        kept = kept[:-1]
    return kept


_NOT_FIELDS = {"[key]", "str", "float", "finite-float", "constrained-float", "constrained-str"}


def _sentence(fault: Any, path: str, entry_model: type[BaseModel]) -> str:
    given, kind = fault.get("input"), fault["type"]
    if kind == "extra_forbidden":
        known = list(entry_model.model_fields) if len(fault["loc"]) == 1 else []
        return f'"{path}" is not known here{nearest(path, known)}'
    if kind == "missing":
        return f'"{path}" is missing'
    if kind == "literal_error":
        words = _QUOTED.findall(fault["ctx"]["expected"])
        near = nearest(given, words) if isinstance(given, str) else ""
        return f"{path}: {shown(given)} is not one of {', '.join(words)}{near}"
    if kind == "string_pattern_mismatch":
        return f"{path}: {shown(given)} is not an id; use lower case words joined by _ or -"
    if kind == "string_too_long":
        return f"{path}: {shown(given)} is too long; at most {fault['ctx']['max_length']} letters"
    if kind in ("too_short", "string_too_short"):
        return f"{path}: must not be empty"
    if kind in ("greater_than", "greater_than_equal"):
        bound = fault["ctx"].get("gt", fault["ctx"].get("ge"))
        more = "more than" if kind == "greater_than" else "at least"
        return f"{path}: {shown(given)} is too low; it must be {more} {exact(bound)}"
    if kind in ("tuple_type", "list_type"):
        inside = shown(given) if isinstance(given, str) else "..."
        return f"{path}: {shown(given)} is not a list; write {path} = [{inside}]"
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return f"{path}: {shown(given)} is not a table; write it as {{ name = value }}"
    return f"{path}: {shown(given)} {_WANTED.get(kind, 'does not fit here')}"
