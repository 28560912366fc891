"""Breaches that are known: how often each law is broken in the fixed samples today.

The file shrinks as the advice is mended. ``python -m tests.laws --write-known all`` writes it anew
from what stands; look at what it changes before keeping it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from pathlib import Path

import tomli_w

from tests.laws.check import run_many
from tests.laws.metamorphic import LAWS_BETWEEN

FILE = Path(__file__).with_name("known_breaches.toml")
#: name of a sample: mix, how many deliveries from seed 1
SAMPLES = {
    "wild_quick": ("wild", 40),
    "natural_quick": ("natural", 40),
    "wild_slow": ("wild", 400),
    "natural_slow": ("natural", 400),
}
#: seeds of the laws between two deliveries
BETWEEN = {"between_quick": range(8), "between_slow": range(8, 150)}
_HEAD = (
    "# Laws broken in the fixed samples of tests/laws, with how often. A law that gets more\n"
    "# breaches fails the test, and so does one that is listed and broken no more: strike it out.\n"
)


def known(sample: str) -> dict[str, int]:
    """Breaches by law that are known in a sample."""
    counts: dict[str, int] = tomllib.loads(FILE.read_text(encoding="utf-8")).get(sample, {})
    return counts


def found(sample: str, processes: int = 1) -> dict[str, int]:
    """Breaches by law that the sample shows now."""
    if sample in BETWEEN:
        counts = {
            law.__name__: sum(len(law(seed)) for seed in BETWEEN[sample]) for law in LAWS_BETWEEN
        }
        return {name: n for name, n in counts.items() if n}
    mix, draws = SAMPLES[sample]
    return run_many(mix, range(1, draws + 1), processes).counts()


def differences(sample: str, now: dict[str, int]) -> list[str]:
    """A sentence for each law that is broken more often, or no more."""
    before = known(sample)
    worse = [
        f"{law}: {n} breaches, {before.get(law, 0)} were known"
        for law, n in now.items()
        if n > before.get(law, 0)
    ]
    mended = [f"{law}: broken no more, strike it out" for law in before if not now.get(law)]
    return worse + mended


def write(samples: Sequence[str], processes: int = 1) -> None:
    """Write what ``samples`` ("all": every one) show now; the others stay as they are."""
    names = (*SAMPLES, *BETWEEN)
    tables = {name: known(name) for name in names}
    for name in names if "all" in samples else samples:
        tables[name] = dict(sorted(found(name, processes).items()))
    FILE.write_text(_HEAD + tomli_w.dumps(tables), encoding="utf-8")
