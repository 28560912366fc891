"""One fact of a case: its value, its band, and how it came to be known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from advisor.rulebase.conditions import Value

Kind = Literal["reading", "computed", "sign", "history", "trait", "phase", "place"]
How = Literal["measured", "seen", "answered", "computed", "table", "forecast"]


class Record(NamedTuple):
    """A fact with its trace.

    value     : number in ``unit``, True/False, or a word
    low, high : ends of the band a number lies in (None for words and flags)
    where     : places in the case it was read from, e.g. "observation 2, tank.ph"
    entered   : what the person typed
    formula   : the equation; ``working`` the same with the numbers put in
    inputs    : names of the facts it was worked out from
    source    : works the formula rests on
    note      : a limit passed, an assumption made
    entry     : the species or group of the table whose figure or trait it rests on
    """

    kind: Kind
    name: str
    value: Value
    how: How
    low: float | None = None
    high: float | None = None
    unit: str = ""
    where: tuple[str, ...] = ()
    entered: str | None = None
    formula: str | None = None
    working: str | None = None
    inputs: tuple[str, ...] = ()
    source: str | None = None
    note: str | None = None
    at_hours: float | None = None
    entry: str | None = None

    @property
    def number(self) -> float:
        return float(self.value)

    @property
    def band(self) -> tuple[float, float]:
        """The band; a value without one stands for itself."""
        return (
            self.number if self.low is None else self.low,
            self.number if self.high is None else self.high,
        )

    def as_facts(self) -> Iterator[tuple[str, str, Value]]:
        """(kind, name, value) as conditions ask for it.

        ``most`` is what may be there: the high end of the band, but nothing where
        nothing was found. A test that reads zero is no sign of presence, however wide
        its lowest step; that it proves absence is another matter, and ``high`` says it.
        """
        if self.kind in ("reading", "computed"):
            low, high = self.band
            yield "value", self.name, self.number
            yield "low", self.name, low
            yield "high", self.name, high
            yield "most", self.name, 0.0 if self.number == 0.0 else high
        else:
            yield self.kind, self.name, self.value
