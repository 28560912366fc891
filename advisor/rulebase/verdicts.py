"""What a figure of the water sums means for fish: a ladder of limits, or a kind's keeping range."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from advisor.rulebase.works import Id, Sourced, Text


class Verdict(Sourced):
    """Words for one figure.

    figure       : as a sum names it; ``given:KEY`` for what was typed under that key
    sound        : the word for a figure that passes no limit
    above, below : limit -> word for a figure beyond it, the mildest first; one of the two
    sensitive    : trait of kinds for which a figure counts one step graver
    range        : keeping range it is compared with instead ("ph")
    kinds        : name -> group for whom it is said when no fish is named
    """

    figure: Text
    sound: Text
    above: dict[Id, Text] = Field(default_factory=dict)
    below: dict[Id, Text] = Field(default_factory=dict)
    sensitive: Id | None = None
    range: Literal["ph", "temperature"] | None = None
    kinds: dict[str, Id] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_measure(self) -> Verdict:
        if sum(map(bool, (self.above, self.below, self.range))) != 1:
            raise ValueError("give one of above, below and range")
        return self
