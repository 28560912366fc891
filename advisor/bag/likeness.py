"""How well a draw explains a reading: kits' errors, the model's, and which reading is believed.

A reading is known to its kit's band, an exact number to its instrument. The
simulation errs too, even with every input right. Both together are what a
draw may miss a reading by.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.banded import Amount, ends
from advisor.bag.draws import Draws

Array = npt.NDArray[np.float64]

#: 5 and 95 % points of a normal distribution, in standard deviations.
Z95 = 1.645
#: Standard deviation of an instrument whose band was not told, and of the simulation itself:
#: (absolute, share of the value). Judgement; pH meters and drop kits at their best.
INSTRUMENT = {
    "ph": (0.05, 0.0),
    "tan_mg_l": (0.02, 0.05),
    "alkalinity_mg_l_caco3": (2.0, 0.05),
    "do_mg_l": (0.1, 0.03),
}
SIMULATION = {
    "ph": (0.1, 0.0),
    "tan_mg_l": (0.02, 0.08),
    "alkalinity_mg_l_caco3": (2.0, 0.05),
    "do_mg_l": (0.5, 0.15),
}
#: Standard deviations past which nothing explains a reading. Judgement: ranges here are rough,
#: so a reading is believed for long.
FAR = 5.0
#: As many draws carry a weighted band at least. Judgement.
LEAST_DRAWS = 20.0


class ReadingLikelihood(NamedTuple):
    """One reading as a likelihood: value, and standard deviations below and above it."""

    name: str
    value: float
    below: float
    above: float

    def misfit(self, computed: Array) -> Array:
        """Squared distance of what a draw gives, in standard deviations."""
        off = computed - self.value
        return np.asarray((off / np.where(off < 0.0, self.below, self.above)) ** 2)

    def targets(self, draws: Draws) -> Array:
        """What each draw takes the truth to be; entry 0 the reading itself."""
        place = draws.place("target_" + self.name)
        away = np.where(place < 0.0, self.below, self.above)
        values = self.value + Z95 * place * away
        return values if self.name == "ph" else np.maximum(values, 0.02 * self.value)


def reading_of(name: str, amount: Amount) -> ReadingLikelihood:
    """A reading with its kit's band and the simulation's own error."""
    value, low, high = ends(amount)
    kit, share = INSTRUMENT[name]
    least = kit + share * abs(value)
    model, share = SIMULATION[name]
    model = model + share * abs(value)

    def spread(width: float) -> float:
        return float(np.hypot(max(width / Z95, least), model))

    return ReadingLikelihood(name, value, spread(value - low), spread(high - value))


def place_cost(place: Array) -> Array:
    """-2 ln of the worth of a place in a range, -1 and 1 its ends.

    Normal inside; outside it grows straight, since ranges set by judgement have
    longer tails than a normal distribution (Huber's choice).
    """
    away = np.abs(place)
    return np.asarray(Z95**2 * np.where(away <= 1.0, away**2, 2.0 * away - 1.0))


def far_off(reading: ReadingLikelihood, computed: Array) -> bool:
    """Whether a reading lies further from what the draws give than ``FAR`` deviations."""
    if reading.name == "ph":
        values, middle, value = computed, float(np.median(computed)), reading.value
        scale = 1.0
    else:
        values = np.log(np.maximum(computed, 1e-6))
        middle, value = float(np.median(values)), float(np.log(max(reading.value, 1e-6)))
        scale = max(reading.value, 1e-6)
    above = value > middle
    spread = abs(float(np.quantile(values, 0.95 if above else 0.05)) - middle) / Z95
    own = (reading.below if above else reading.above) / scale
    return abs(value - middle) > FAR * float(np.hypot(spread, own))


def resampled(read: Array, beforehand: Array) -> tuple[npt.NDArray[np.intp], float]:
    """Draws in proportion to their weights, and how many of them carry the whole.

    read, beforehand : logarithms of weight by the readings, and by what was held likely before

    Systematic resampling: equal steps through the running total of weights. Where
    fewer than ``LEAST_DRAWS`` would carry it, what was held likely before counts for
    less until so many do: a few draws make too narrow a band, and readings come first.
    """
    count = len(read)
    agreeing = _carrying(_weights(read + beforehand))
    least, power = min(LEAST_DRAWS, count / 4.0), 1.0
    if agreeing < least:
        low, high = 0.0, 1.0
        for _ in range(12):
            power = 0.5 * (low + high)
            enough = _carrying(_weights(read + power * beforehand)) >= least
            low, high = (power, high) if enough else (low, power)
        power = low
    weight = _weights(read + power * beforehand)
    marks = (np.arange(count) + 0.5) / count
    order = np.searchsorted(np.cumsum(weight), marks).clip(0, count - 1)
    return order, agreeing


def _weights(log_weight: Array) -> Array:
    weight = np.exp(log_weight - log_weight.max())
    return np.asarray(weight / weight.sum())


def _carrying(weight: Array) -> float:
    return float(1.0 / (weight**2).sum())
