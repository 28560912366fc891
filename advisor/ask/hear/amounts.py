"""Amounts of water and weights of fish inside a line: each number with its unit, and no other."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from advisor.errors import AdvisorError
from advisor.units import AmbiguousBasis, parse
from advisor.wording.numbers import exact

_NUMBER = r"(?<![\w.,])(\d+(?:[.,]\d+)?)(?:\s*(?:-|to|or|and)\s*(\d+(?:[.,]\d+)?))?"
_UNITS = {
    "volume_l": (
        r"l(?:it(?:er|re)s?|tr?s?|itros?)?|ml|millilit\w+|cl|(?:us |uk |imp(?:erial)?\.? |british )?"
        r"gal(?:lon)?s?|m3|m³|cubic met\w+|cbm|tonn?es?|tons?|t|pints?|quarts?|qts?|cups?|fl\.? oz|oz|ounces?"
    ),
    "mass_g": r"g(?:r|rams?|ramm)?|gms?|kg|kilos?|kilograms?|mg|oz|ounces?|lbs?|pounds?|k",
}
#: Units that the rest of the project does not read, in those it reads.
_OTHER = (
    (r"^(?:m3|m³|cubic met\w+|cbm|tonn?es?|tons?|t)$", 1000.0, "l"),
    (r"^(?:cl)$", 0.01, "l"),
    (r"^(?:kilos?|k)$", 1.0, "kg"),
    (r"^(?:gms?|gramm|gr)$", 1.0, "g"),
    (r"^(?:ltr?s?|litros?)$", 1.0, "l"),
    (r"^(?:oz|ounces?|fl.*)$", 29.5735, "ml"),
    (r"^imp\w*\.? gal\w*$", 1.0, "imperial gallons"),
)


def _fraction(hit: re.Match[str]) -> str:
    return f"{exact(int(hit[1]) / int(hit[2]), 4)} "


_SHARES: tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...] = (
    (r"\b(\d+) and (?:an? )?half\b", r"\1.5"),
    (r"\bhalf (?:of )?an? |\bhalf (?=(?:l|gal|kilo|kg|pint|pound|oz|ounce|lb))", "0.5 "),
    (r"\b(?:three|3) quarters? (?:of )?an? ", "0.75 "),
    (r"(?<![\d/])([1-3])/([234]) (?:of )?(?:an? |the )?(?=lit|l\b|gal|kilo|kg|pint|pound|lb)", _fraction),
    (r"\b(?:a )?quarter (?:of )?an? ", "0.25 "),
    (r"\b(?:a )?third (?:of )?an? ", "0.333 "),
    (r"\bbetween (\d+(?:[.,]\d+)?) and (\d)", r"\1-\2"),
    (r"\b(?:an?|1) (?=(?:lit|gal|kilo|pound|pint|ton))", "1 "),
    (r"(\d)½", r"\1.5"), (r"½", "0.5"), (r"(?<![\d/])1/2\b", "0.5"), (r"(?<![\d/])1/4\b", "0.25"), (r"(?<![\d/])3/4\b", "0.75"),
)  # fmt: skip


_PARTS = {"half": 0.5, "third": 1 / 3, "3rd": 1 / 3, "quarter": 0.25, "0.5": 0.5, "0.25": 0.25, "0.75": 0.75, "0.333": 1 / 3, "2 thirds": 2 / 3, "3 quarters": 0.75}  # fmt: skip
_SHARE = "|".join(sorted((re.escape(part) for part in _PARTS), key=len, reverse=True))
#: "a third of a 20 litre bag", "20 litre bag half full"
_PART_OF = re.compile(
    rf"(?<![\d.])({_SHARE})(?: full)? ?(?:of )?(?:(?:an?|the|1) )?(\d+(?:[.,]\d+)?)(?=[\s-]*(?:l\b|lit|gal))"
)
_PART_FULL = re.compile(
    rf"(?<![\w.,])(\d+(?:[.,]\d+)?)[\s-]*(l\b|lit\w*|gal\w*)\s+bags?,? (?:(?:about|is|are|filled|only|just|roughly|to) )*(?:a |1 )?({_SHARE}) (?:full|filled|water)\b"
)


def _part(share: str, whole: str) -> str:
    return exact(_PARTS[share] * float(whole.replace(",", ".")), 4)


@dataclass
class Amounts:
    """Amounts as (low, value, high) in stored units, each once; ``ask``: what must be told."""

    values: list[tuple[float, float, float]] = field(default_factory=list)
    ask: str = ""


def amounts(text: str, parameter: str) -> Amounts:
    """Amounts of a parameter ("volume_l", "mass_g") in a line in small letters and figures."""
    found = Amounts()
    if re.search(r"(?<![\d.,])\d[.,]000\s*(?:l\b|lit|gal)", text):
        found.ask = "One or a thousand? Write it without the point."
        return found
    for form, put in _SHARES:
        text = re.sub(form, put, text)
    text = _PART_OF.sub(lambda hit: _part(hit[1], hit[2]), text)
    text = _PART_FULL.sub(lambda hit: f"{_part(hit[3], hit[1])} {hit[2]}", text)
    for hit in re.finditer(rf"{_NUMBER}\s*({_UNITS[parameter]})(?![a-z³\d/])", text):
        ends = [_read(n, hit[3], parameter, found) for n in (hit[1], hit[2]) if n]
        if None in ends or not ends:
            continue
        low, high = min(e for e in ends if e is not None), max(e for e in ends if e is not None)
        value = ((low + high) / 2, low, high)
        told = (value[1], value[0], value[2])
        if not any(
            abs(told[1] - other[1]) <= 0.03 * max(told[1], other[1]) for other in found.values
        ):
            found.values.append(told)
    return found


def _read(number: str, unit: str, parameter: str, found: Amounts) -> float | None:
    number = number.replace(",", ".")
    for form, scale, name in _OTHER:
        if re.match(form, unit) and (name != "ml" or parameter == "volume_l"):
            number, unit = str(float(number) * scale), name
            break
    try:
        return parse(f"{number} {unit}", parameter).value
    except AmbiguousBasis as doubt:
        found.ask = doubt.question
    except AdvisorError:
        pass
    return None
