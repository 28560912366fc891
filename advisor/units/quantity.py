"""What a written reading becomes, and the errors a person may see on the way."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.errors import AdvisorError


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in the stored unit of its parameter, with the band it lies in.

    value     : best single figure
    low, high : ends of the band; equal to ``value`` when nothing widens it
    entered   : what the person typed, trimmed
    note      : how it was understood, where a choice was made; empty otherwise
    at_least  : the true value may be higher still ("over 8", top mark of a card)
    at_most   : the true value may be lower still ("<0.25")
    """

    value: float
    low: float
    high: float
    entered: str
    note: str = ""
    at_least: bool = False
    at_most: bool = False


class UnitError(AdvisorError):
    """The text names a unit, a substance or a value this parameter cannot have."""


class WordNotReading(AdvisorError):
    """A word was given where a number is meant; ``ask`` is the question to put next."""

    def __init__(self, parameter: str, text: str, ask: str) -> None:
        self.parameter = parameter
        self.text = text
        self.ask = ask
        super().__init__(f'{parameter}: "{text}" is not a reading. {ask}')


class AmbiguousBasis(AdvisorError):
    """The number can mean several amounts, and only the person can tell which.

    options : (label, quantity) for each meaning, to be offered as choices
    widened : one quantity whose band spans them all, for the answer "unknown"
    """

    def __init__(
        self, parameter: str, question: str, options: tuple[tuple[str, Quantity], ...]
    ) -> None:
        self.parameter = parameter
        self.question = question
        self.options = options
        self.widened = _spanning(options)
        labels = [label for label, _ in options]
        choices = ", ".join(labels[:-1]) + " or " + labels[-1]
        super().__init__(f"{parameter}: {question} Say {choices}, or leave it unknown.")


def _spanning(options: tuple[tuple[str, Quantity], ...]) -> Quantity:
    """All meanings in one band; the middle between their values stands in as the value."""
    quantities = [quantity for _, quantity in options]
    low = min(q.low for q in quantities)
    high = max(q.high for q in quantities)
    least, most = min(q.value for q in quantities), max(q.value for q in quantities)
    first = quantities[0]
    labels = ", ".join(label for label, _ in options)
    return Quantity(
        value=least + (most - least) / 2,
        low=low,
        high=high,
        entered=first.entered,
        note=f"not known which is meant ({labels}); the band spans them all",
        at_least=first.at_least,
        at_most=first.at_most,
    )
