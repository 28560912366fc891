"""Samples of everything that is not known exactly, drawn once per forecast.

Entry 0 of every drawn array is the central value; the other entries are a
Latin hypercube over the ranges, so that one vectorised run gives the central
path and its band together. An exact number stays an array of one element.
"""

from __future__ import annotations

import zlib
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from advisor.bag.banded import Amount, Assumption, Range, ends
from advisor.errors import AdvisorError

Array = npt.NDArray[np.float64]
_Z95 = NormalDist().inv_cdf(0.95)


class Draws:
    """The samples of one forecast, and the list of what had to be assumed.

    samples : beside the central run; 0 gives the central run alone
    seed    : the same seed, bag and samples give the same band
    """

    def __init__(self, samples: int, seed: int) -> None:
        if not 0 <= samples <= 100_000:
            raise AdvisorError(f"samples: {samples} is outside 0 to 100000.")
        self.samples = samples
        self.seed = seed
        self.assumptions: list[Assumption] = []

    def known(self, name: str, amount: Amount) -> Array:
        """A given number: one element when exact, samples of its band otherwise."""
        value, low, high = ends(amount)
        if low == high:
            return np.array([value])
        return self._spread(Range(name, "", value, low, high, "", "", log=False))

    def assumed(self, range_: Range) -> Array:
        """A number taken from a source, noted among the assumptions."""
        self.note(range_)
        return self._spread(range_)

    def note(self, r: Range) -> None:
        """Put a range among the assumptions without drawing it."""
        noted = Assumption(r.name, r.text, r.value, r.low, r.high, r.unit, r.source)
        self.assumptions.append(noted)

    def either(self, amount: Amount | None, range_: Range) -> Array:
        """The given number, or the assumed one where it is unknown."""
        return self.assumed(range_) if amount is None else self.known(range_.name, amount)

    def place(self, name: str) -> Array:
        """Where in an assumed range each sample lies: -1 low end, 0 centre, 1 high end."""
        return _placed(self.seed, name, self.samples)

    def _spread(self, r: Range) -> Array:
        """Two half-normals with the ends of the range as 5 and 95 % points, cut at the ends."""
        z = self.place(r.name)
        if r.log:
            ratio = np.where(z < 0.0, r.value / r.low, r.high / r.value)
            return np.asarray(r.value * ratio**z, float)
        return np.asarray(r.value + z * np.where(z < 0.0, r.value - r.low, r.high - r.value), float)


@lru_cache(maxsize=256)
def _placed(seed: int, name: str, samples: int) -> Array:
    """Places in an order that depends on the name only, so that other inputs do not disturb it."""
    placed = np.zeros(1 + samples)
    if samples:
        rng = np.random.default_rng([seed, zlib.crc32(name.encode())])
        placed[1:] = _places(samples)[rng.permutation(samples)]
    placed.flags.writeable = False
    return placed


@lru_cache(maxsize=8)
def _places(samples: int) -> Array:
    """Middles of equal shares of a normal distribution, 5 and 95 % points at -1 and 1."""
    shares = (np.arange(samples) + 0.5) / max(samples, 1)
    normal = NormalDist()
    return np.clip([normal.inv_cdf(share) / _Z95 for share in shares], -1.0, 1.0).astype(float)
