"""What every formula carries beside its code: equation, unit, valid range, source.

:func:`published` is written above a function and holds these as data, so that
an audit can print the equation with the numbers put in and say when a value
lies outside what the source covers. It returns the function unchanged apart
from its docstring, which gains the same text.

>>> import advisor.water.ammonia
>>> record = FORMULAS["pka_fresh"]
>>> record.filled(temperature_c=25.0)
'0.09018 + 2729.92 / (25 + 273.15)'
>>> record.outside(temperature_c=51.0)
('temperature_c 51 is outside 0 to 50 °C, which this formula covers.',)
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeVar

from advisor.wording.numbers import exact

F = TypeVar("F", bound=Callable[..., object])

#: Every registered formula by the name of its function.
FORMULAS: dict[str, Formula] = {}


class SourceRange(NamedTuple):
    """The span of an input that the source covers."""

    low: float
    high: float
    unit: str = ""


class Formula(NamedTuple):
    """One published equation.

    equation : right-hand side, inputs in braces by their parameter names
    unit     : of the result
    ranges   : what the source covers, by parameter name
    source   : where it was published, and where it was read if elsewhere
    parts    : intermediate results the equation names, each worked out from the inputs
    rests_on : name of the formula whose range counts too, by salinity [g/kg]
    """

    name: str
    equation: str
    unit: str
    ranges: Mapping[str, SourceRange]
    source: str
    parts: Mapping[str, Callable[..., float]]
    rests_on: Callable[[float], str] | None = None

    def text(self) -> str:
        """The equation with the names of its inputs."""
        return re.sub(r"\{(\w+)\}", r"\1", self.equation)

    def filled(self, **values: float) -> str:
        """The equation with numbers put in; an input not given keeps its name."""
        known = dict(values)
        for name, work_out in self.parts.items():
            names = _parameters(work_out)
            needs = names[: len(names) - len(work_out.__defaults__ or ())]
            if name not in known and all(need in known for need in needs):
                known[name] = work_out(**{key: known[key] for key in names if key in known})

        def put_in(match: re.Match[str]) -> str:
            value = known.get(match[1])
            return match[1] if value is None else exact(value)

        return re.sub(r"\{(\w+)\}", put_in, self.equation)

    def outside(self, **values: float) -> tuple[str, ...]:
        """One sentence for each value outside what the source covers."""
        ranges = dict(self.ranges)
        if self.rests_on is not None:
            ranges |= FORMULAS[self.rests_on(values.get("salinity_g_kg", 0.0))].ranges
        return tuple(
            f"{name} {exact(values[name])} is outside "
            f"{exact(span.low)} to {exact(span.high)} {span.unit}".rstrip()
            + ", which this formula covers."
            for name, span in ranges.items()
            if name in values and not span.low <= values[name] <= span.high
        )


def _parameters(function: Callable[..., object]) -> tuple[str, ...]:
    """Names of a plain function's parameters (without the cost of importing inspect)."""
    return function.__code__.co_varnames[: function.__code__.co_argcount]


def published(
    source: str,
    *,
    equation: str,
    unit: str,
    ranges: Mapping[str, tuple[float, float, str]] | None = None,
    parts: Mapping[str, Callable[..., float]] | None = None,
    rests_on: Callable[[float], str] | None = None,
) -> Callable[[F], F]:
    """Register the function below as a formula, and put the same facts into its docstring."""

    def register(function: F) -> F:
        name = function.__name__
        spans = {key: SourceRange(*span) for key, span in (ranges or {}).items()}
        record = Formula(name, equation, unit, spans, source, parts or {}, rests_on)
        FORMULAS[name] = record
        covers = "; ".join(
            f"{key} {exact(span.low)} to {exact(span.high)} {span.unit}".rstrip()
            for key, span in spans.items()
        )
        tail = [f"Equation: {record.text()} [{unit}]"]
        tail += [f"Covers: {covers}"] if covers else []
        tail += [f"Source: {source}"]
        function.__doc__ = "\n\n".join([(function.__doc__ or "").rstrip(), *tail])
        return function

    return register


def shares(name: str, unit: str) -> Callable[[F], F]:
    """Register the function below as giving one result of a formula already published."""

    def register(function: F) -> F:
        FORMULAS[function.__name__] = FORMULAS[name]._replace(name=function.__name__, unit=unit)
        return function

    return register
