"""Values with their bands, and where each assumed number came from.

Plain data: nothing here imports numpy, so that a result can be shown, saved
and passed about without paying for the library that computed it.
"""

from __future__ import annotations

from typing import NamedTuple


class Band(NamedTuple):
    """A value and the ends of its 5-95 % band, in one unit."""

    value: float
    low: float
    high: float


#: What a caller may give for a number: exact, or a reading with its band.
Amount = float | Band


class Path(NamedTuple):
    """One quantity over time: the central run and the 5-95 % band around it."""

    value: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]

    def at(self, index: int) -> Band:
        """The band at one of the times of the forecast."""
        return Band(self.value[index], self.low[index], self.high[index])


class Range(NamedTuple):
    """A number the model needs, with the range it is taken to lie in.

    low, high : 5 % and 95 % points
    log       : spread by factors (True) or by differences (False)
    source    : publication, "common practice, no source", "judgement" or "from memory"
    """

    name: str
    text: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    log: bool = True


class Assumption(NamedTuple):
    """One number that was not measured for this bag but taken from a source."""

    name: str
    text: str
    value: float
    low: float
    high: float
    unit: str
    source: str


class Distance(NamedTuple):
    """How far a reading lies from the forecast that did not know it.

    verdict   : "within", "above" or "below" the band of the forecast
    plausible : whether any draw, with mass balance kept, explains the reading;
                if not, it was not used
    """

    quantity: str
    measured: Band
    forecast: Band
    verdict: str
    text: str
    plausible: bool = True


def centre(amount: Amount) -> float:
    """The single best figure of an amount."""
    return amount.value if isinstance(amount, Band) else float(amount)


def ends(amount: Amount) -> tuple[float, float, float]:
    """Value, low and high of an amount; an exact number is its own band."""
    if isinstance(amount, Band):
        return amount.value, amount.low, amount.high
    return float(amount), float(amount), float(amount)
