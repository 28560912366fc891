"""Faults of a case in sentences a fish keeper can act on.

One sentence each: file and field, what was found, what is allowed, the nearest
name. Nothing of the checking library's own wording gets through.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from pydantic import ValidationError

from advisor.case import schema
from advisor.case.misnamed import unknown_name
from advisor.case.readings import RANGES
from advisor.errors import AdvisorError
from advisor.wording.nearest import near_words
from advisor.wording.numbers import exact, fixed, short
from advisor.wording.places import path_text, shown
from advisor.wording.toml_file import MOST_SHOWN

#: Ending of a name -> how its unit is said, an example, the parameter of ``advisor.units``.
_UNITS: tuple[tuple[str, str, str, str], ...] = (
    ("_c", "°C", "25.5", "temperature_c"),
    ("_l", "litres", "1.5", "volume_l"),
    ("_g", "grams", "2.5", "mass_g"),
    ("_cm", "centimetres", "4.5", "length_cm"),
    ("_m", "metres", "0.5", ""),
    ("_hours", "hours", "1.5", "hours"),
    ("hours_sealed", "hours", "30", "hours"),
    ("_days", "days", "90", ""),
    ("minutes_after_opening", "minutes", "15", "minutes"),
)

#: Ending of a name -> (unit that may have been meant, stored unit, how one becomes the other).
_MISTAKEN: tuple[tuple[str, str, str, Callable[[float], float]], ...] = (
    ("_c", "°F", "°C", lambda fahrenheit: (fahrenheit - 32) / 1.8),
    ("_hours", "minutes", "hours", lambda minutes: minutes / 60),
    ("hours_sealed", "minutes", "hours", lambda minutes: minutes / 60),
    ("altitude_m", "feet", "m", lambda feet: feet * 0.3048),
)


def model_faults(error: ValidationError, where: str) -> list[str]:
    """One sentence for each field the model refused, in the model's order."""
    found: dict[tuple[str | int, ...], str] = {}
    for fault in error.errors(include_url=False):
        loc = _field(fault["loc"])
        if loc in found:
            continue  # a value that may be of several kinds is refused once for each
        # Sentences beyond those shown are only counted; finding nearest names takes time.
        found[loc] = f"{where}{_sentence(fault, loc)}" if len(found) < MOST_SHOWN else ""
    return list(found.values())


def _field(loc: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """``loc`` up to the entry of [history], without the kinds of value tried there."""
    return loc[: loc.index("history") + 2] if "history" in loc else loc


def _sentence(fault: Any, loc: tuple[str | int, ...]) -> str:
    """``, field: what is wrong``; the file's name goes before it."""
    given, name = fault["input"], str(loc[-1]) if loc else ""
    path = path_text(loc)
    if fault["type"] == "extra_forbidden":
        path, words = path_text(loc[:-1]), unknown_name(name, given, loc[:-1])
    elif fault["type"] == "missing":
        path, words = path_text(loc[:-1]), f"{name} is missing; write {name} = {_example(loc)}"
    elif fault["type"] == "value_error":
        words = _own_words(str(fault["ctx"]["error"]), name, given)
    elif fault["type"] == "string_unicode":
        words = "holds characters that cannot be saved; type the text again"
    else:
        words = _misfit(name, given, loc)
    return f", {path}: {words}" if path else f": {words}"


def _misfit(name: str, given: Any, loc: Sequence[str | int]) -> str:
    """A value of the wrong kind, or outside its range or words."""
    kinds = {kind.get("type", "string"): kind for kind in schema.allowed(loc)}
    top = isinstance(loc[-1], str) and len(loc) == 1 if loc else False
    if kinds.keys() == {"array"}:
        return _not_a_list(name, given, bool(schema.names(schema.allowed((*loc, 0)))), top)
    if kinds.keys() == {"object"}:
        return _not_a_table(loc, given, top)
    if kinds.keys() >= {"number", "string", "boolean"}:
        return f"{shown(given)} does not fit; write true, false, a number or text in quotes"
    if kinds.keys() >= {"number", "string", "object"}:
        return f"{shown(given)} is not a reading; write a number, or text with its unit"
    if "boolean" in kinds:
        return f"{shown(given)} is neither true nor false; write one of these, without quotes"
    if "number" in kinds or "integer" in kinds:
        kind = kinds.get("integer") or kinds["number"]
        return _not_a_number(name, given, kind)
    text = kinds.get("string", {})
    words = text.get("enum") or ([text["const"]] if "const" in text else [])
    if words:
        return _not_a_word(given, words)
    if "maxLength" in text and isinstance(given, str):
        return f"{shown(given)} has {len(given)} characters; give 1 to {text['maxLength']}"
    return f"{shown(given)} is not text; put it in quotes"


def _not_a_list(name: str, given: Any, of_tables: bool, top: bool) -> str:
    if top:
        return f"write [[{name}]] with double brackets, once for each {name}"
    if of_tables:
        return f"{shown(given)} is not a list of tables; write {name} = [{{ ... }}]"
    entry = shown(given) if isinstance(given, str) else '"..."'
    return f"{shown(given)} is not a list; write {name} = [{entry}]"


def _not_a_table(loc: Sequence[str | int], given: Any, top: bool) -> str:
    if top and isinstance(given, list):
        return f"write [{loc[0]}] with single brackets, and only once"
    if top:
        return f"{shown(given)} is not a part of a case; write [{loc[0]}] and its entries below it"
    first = next(iter(schema.names(schema.allowed(loc))), "entry")
    if isinstance(loc[-1], int):
        return f"{shown(given)} is not a table; write {{ {first} = ... }}"
    return f"{shown(given)} is not a table; write its entries as {loc[-1]}.{first} = ..."


def _not_a_word(given: Any, words: Sequence[str]) -> str:
    if len(words) == 1:
        return f'{shown(given)} is not a form this version reads; it reads "{words[0]}"'
    near = ""
    if isinstance(given, bool):
        near = ("yes" if given else "no") if "yes" in words else ""
    elif isinstance(given, str):
        near = "".join(near_words(given.lower(), words))
    hint = f'; did you mean "{near}"?' if near else ""
    return f"{shown(given)} is not one of {', '.join(words)}{hint}"


def _not_a_number(name: str, given: Any, kind: schema.Node) -> str:
    unit, example, parameter = _unit(name)
    whole = kind["type"] == "integer"
    if isinstance(given, bool) or not isinstance(given, (int, float)):
        say = "a whole number, e.g. 12" if whole else f"a number, e.g. {example}"
        say = f"{unit} as {say}" if unit else say
        if isinstance(given, str) and (read := _read(name, given, parameter)):
            say = f"{name} = {read}"
        return f"{shown(given)} is not a number; write {say}"
    if abs(given) > 1e300 or not math.isfinite(given):  # in this order: whole numbers may be huge
        return f"{shown(given)} is not a measurable number; leave the line out if it is not known"
    if whole and isinstance(given, float):
        write = fixed(given) if given == int(given) else "12"
        return f"{given} is not a whole number; write one such as {write}"
    low, high = kind.get("minimum"), kind.get("maximum")
    if low is not None and high is not None:
        return _outside(name, given, low, high)
    least = "more than 0" if low is None else f"{exact(low)} or more"
    return f"{shown(given)} is too low; it must be {least}"


def _read(name: str, given: str, parameter: str) -> str:
    """``151.4`` when ``given`` is a quantity with a unit, such as "40 gal" for a volume."""
    if not parameter:
        return ""
    from advisor.units import parse

    try:
        return f"{short(parse(given[:60], parameter).value, 4)}"
    except AdvisorError:
        return ""


def _own_words(words: str, name: str, given: Any) -> str:
    """The model's own sentence, with a hint where another unit was plainly meant."""
    if name not in RANGES:
        return words
    low, high = RANGES[name]
    for value in given.values() if isinstance(given, dict) else [given]:
        if isinstance(value, (int, float)) and not low <= value <= high:
            return _outside(name, value, low, high)
    return words


def _outside(name: str, given: float, low: float, high: float) -> str:
    hint = _mistaken(name, given, low, high)
    return f"{shown(given)} is outside {shown(low)} to {shown(high)}{hint}"


def _mistaken(name: str, given: float, low: float, high: float) -> str:
    """'. Is that °F? 78 °F is 25.6 °C.' when that explains the number."""
    if name == "do_mg_l" and high < given <= 200:
        return ". Is that % of saturation? This field takes mg/L."
    if name == "total_gas_pressure_pct" and 0.5 <= given <= 3:
        return f". Is that a ratio? {shown(given)} is {short(given * 100, 4)} %."
    for ending, other, unit, turn in _MISTAKEN:
        if name.endswith(ending) and given > high and low <= turn(given) <= high:
            return f". Is that {other}? {shown(given)} {other} is {fixed(turn(given), 1)} {unit}."
    return ""


def _unit(name: str) -> tuple[str, str, str]:
    return next((unit[1:] for unit in _UNITS if name.endswith(unit[0])), ("", "1.5", ""))


def _example(loc: Sequence[str | int]) -> str:
    kind = schema.allowed(loc)[0]
    if "enum" in kind:
        return f'"{kind["enum"][0]}"'
    return {"number": _unit(str(loc[-1]))[1], "integer": "12"}.get(kind["type"], '"..."')
