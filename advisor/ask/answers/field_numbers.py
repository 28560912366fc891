"""Numbers for fields of the case: hours, litres, grams, heads."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from advisor.ask.answers.choosing import NotUnderstood, brief, is_none, plain
from advisor.units import PARAMETERS, Quantity, UnitError, parse
from advisor.units.conversion import Surroundings
from advisor.units.parameters import Parameter
from advisor.units.reading import _parse  # the air on the way may be colder than any water
from advisor.units.words import NUMBER_WORDS
from advisor.wording.numbers import exact, short

#: Field -> parameter it is written in. Fields not named here hold whole numbers.
FIELDS: dict[str, str] = {
    "transit.hours_sealed": "hours",
    "transit.fasted_hours": "hours",
    "look.at_hours": "hours",
    "lot.bag_water_l": "volume_l",
    "lot.mass_g": "mass_g",
    "receiving.volume_l": "volume_l",
    "receiving.age_days": "age_days",
    "transit.air_c": "air",
}
#: Longest sealed time a case may hold [h]; see advisor.case.model.Hours.
_MOST_HOURS = 400.0
_AIR = replace(
    PARAMETERS["temperature_c"], name="air temperature", low=-40.0, high=60.0, odd_low=-25.0,
    odd_high=45.0, write="5 to 12 C",
)  # fmt: skip
#: No delivery has more of anything that is counted.
MOST_COUNTED = 1_000_000
#: A minus before the number, which no count has.
_BELOW_NONE = re.compile(r"\s*(?:-|\u2212|minus\b)\s*\d", re.IGNORECASE)
#: Words that make a number many times larger: "3 dozen" is no 3.
_MANIFOLD = re.compile(r"\b(?:dozens?|scores?|hundreds?|thousands?|pairs?)\b")
_NOW = frozenset(["now", "just now", "right now", "this minute", "0"])


def parameter_of(field: str) -> Parameter | None:
    """How the field's number is written; None for a whole number."""
    name = FIELDS.get(field)
    return None if name is None else _AIR if name == "air" else PARAMETERS[name]


def read_number(text: str, field: str) -> Quantity:
    """The quantity typed for a field, in the unit of its parameter.

    Raises what ``advisor.units.parse`` raises; NotUnderstood for whole numbers.
    """
    parameter = parameter_of(field)
    if parameter is None:
        number = float(whole_number(text))
        return Quantity(number, number, number, text.strip())
    if field == "look.at_hours" and plain(text) in _NOW:
        return Quantity(0.0, 0.0, 0.0, text.strip())
    if parameter is _AIR:
        return _parse(text, _AIR, Surroundings())
    return _within(parse(text, parameter.key), field)


def _within(quantity: Quantity, field: str) -> Quantity:
    if field.startswith("transit.") and quantity.value > _MOST_HOURS:
        raise UnitError(
            f"{field.partition('.')[2].replace('_', ' ')}: {short(quantity.value, 4)} h "
            "is outside 0 to "
            f"{exact(_MOST_HOURS)} h; write it like 36 h or 2 days."
        )
    return quantity


def values_of(quantity: Quantity, field: str) -> dict[str, Any]:
    """Fields of the case and what they become; a span of air temperatures fills two."""
    if field == "transit.air_c":
        return {"transit.air_low_c": quantity.low, "transit.air_high_c": quantity.high}
    return {field: int(quantity.value) if parameter_of(field) is None else quantity.value}


def whole_number(text: str) -> int:
    """A count as typed: "12", "a dozen" and "-5" are refused, "none" is 0."""
    said = plain(text)
    if is_none(said):
        return 0
    if _MANIFOLD.search(said):
        raise NotUnderstood(f'"{brief(text)}" is not one number in figures; write it like 24.')
    if _BELOW_NONE.match(text):
        raise NotUnderstood(f'"{brief(text)}" is below none; write it like 12.')
    found = re.findall(r"\d+", said)
    words = [NUMBER_WORDS[w] for w in said.split() if w in NUMBER_WORDS]
    numbers = [int(n) for n in found] or [int(w) for w in words if w == int(w)]
    if re.search(r"\d\s*[.,]\s*\d", text) or len(numbers) != 1 or numbers[0] > MOST_COUNTED:
        raise NotUnderstood(f'"{brief(text)}" is not one whole number; write it like 12.')
    return numbers[0]
