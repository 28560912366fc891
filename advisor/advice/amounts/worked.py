"""What a formula for an amount gives back."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from inspect import signature
from typing import NamedTuple


class Worked(NamedTuple):
    """A quantity with its band.

    label   : what it is, e.g. "plain salt (sodium chloride)"
    working : the formula with the numbers put in, and what was assumed
    source  : where the formula comes from
    """

    label: str
    value: float
    low: float
    high: float
    unit: str
    working: str
    source: str


class NotWorkedOut(NamedTuple):
    """Why there is no figure: ``missing`` names what was not given, ``why`` says the rest."""

    label: str
    missing: tuple[str, ...] = ()
    why: str = ""


Outcome = Worked | NotWorkedOut
Formula = Callable[..., Outcome]

#: Inputs by parameter name, in words, for "not given: ...".
IN_WORDS = {
    "volume_l": "volume of the tank",
    "now": "the reading",
    "tan_mg_l": "total ammonia of the tank",
    "nitrite_mg_l": "nitrite of the tank",
    "tank_tan_mg_l": "total ammonia of the tank",
    "tank_ph": "pH of the tank",
    "tank_temperature_c": "temperature of the tank",
    "bag_temperature_c": "temperature of the bag",
    "alkalinity_mg_l_caco3": "alkalinity of the tank",
    "gap_c": "temperature of the water, and the kind",
    "hard_us_cm": "conductivity of the tank",
    "wanted_us_cm": "conductivity of the bag",
    "lot_mass_g": "number and size of the fish",
    "fish_count": "number of the fish",
}


def needs(label: str, *inputs: str) -> Callable[[Formula], Formula]:
    """A formula that, while one of these inputs is None, gives a NotWorkedOut naming it."""

    def made(formula: Formula) -> Formula:
        order = tuple(signature(formula).parameters)

        @wraps(formula)
        def outcome(*values: float | None, **named: float | None) -> Outcome:
            given = {**dict(zip(order, values, strict=False)), **named}
            absent = tuple(IN_WORDS.get(name, name) for name in inputs if given.get(name) is None)
            return NotWorkedOut(label, absent) if absent else formula(**given)

        return outcome

    return made
