"""What a sum of ``advisor water`` is: what it takes, how it works out, what it gives.

A sum is data: the keys a person gives, and one function from plain numbers to
results.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from advisor.errors import AdvisorError
from advisor.units import PARAMETERS, Quantity

#: Values of one working: a number, several (``many``), or None where not given.
Values = Mapping[str, "float | tuple[float, ...] | None"]

#: Value, ends of its band, unit as shown.
InTyped = tuple[float, float, float, str]

How = Literal["parameter", "share", "same", "count", "altitude", "pressure", "ppm"]


@dataclass(frozen=True)
class Take:
    """Something a sum takes.

    key       : what the person writes before "="
    parameter : key of ``units.PARAMETERS``; empty for a plain number read as ``how``
    also      : other words for it
    needed    : without it there is no answer
    default   : value when it is not given, None for "leave it out"
    many      : several values, joined by "and"
    """

    key: str
    parameter: str = ""
    also: tuple[str, ...] = ()
    needed: bool = True
    default: float | None = None
    many: bool = False
    how: How = "parameter"


@dataclass(frozen=True)
class SumFigure:
    """One figure of the answer.

    formula : name of the formula in ``water.formulas``, whose text is shown on -v
    inputs  : its inputs, for the same
    places  : decimals; None for three significant figures
    solved  : what the equation gives, where it was solved for this figure instead
    salt    : a mass of plain salt, the one thing that may be measured in teaspoons
    """

    name: str
    value: float
    unit: str
    formula: str = ""
    inputs: Mapping[str, float] = field(default_factory=dict)
    places: int | None = None
    solved: float | None = None
    salt: bool = False


@dataclass(frozen=True)
class WorkedSum:
    """The figures of one working and what should be said with them."""

    parts: Sequence[SumFigure]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sum:
    """One sum. ``example`` is what follows the word on the command line."""

    word: str
    meaning: str
    example: str
    takes: tuple[Take, ...]
    work: Callable[[Values], WorkedSum]
    about: str = ""


@dataclass(frozen=True)
class Banded:
    """A figure with the ends of its band; ``typed``: the same in the unit that was typed."""

    part: SumFigure
    low: float
    high: float
    typed: InTyped | None = None


@dataclass(frozen=True)
class SumResult:
    """What a sum gives for what was typed; ``units`` are those of ``given`` by key.

    verdicts : what it means for fish, in sentences
    """

    word: str
    given: Mapping[str, tuple[Quantity, ...]]
    units: Mapping[str, str]
    figures: tuple[Banded, ...]
    notes: tuple[str, ...]
    verdicts: tuple[str, ...] = ()


def unit_of(take: Take) -> str:
    """The unit a value is kept in."""
    if take.parameter:
        return PARAMETERS[take.parameter].unit
    return {"altitude": "m", "pressure": "mmHg", "ppm": "ppm"}.get(take.how, "")


def number(values: Values, key: str) -> float:
    """One value that is known to be a number."""
    found = values[key]
    assert isinstance(found, float), key
    return found


def optional(values: Values, key: str) -> float | None:
    """One value, or None where it was not given."""
    found = values[key]
    assert found is None or isinstance(found, float), key
    return found


def listed(values: Values, key: str, count: int) -> tuple[float, ...]:
    """``count`` values; a single one stands for all.

    Raises AdvisorError when the numbers do not match.
    """
    found = values[key]
    many = found if isinstance(found, tuple) else () if found is None else (found,)
    if len(many) == 1:
        return many * count
    if len(many) != count:
        raise AdvisorError(
            f"{key}: {len(many)} values for {count} waters; give one for all, or one for each."
        )
    return many
