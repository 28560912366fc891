"""What a trial on demand prints: a number of goes, how they came out, each that went wrong."""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Callable


def tally(about: str, trial: Callable[[int], tuple[str, str]], count: int) -> None:
    """Run ``trial`` for 0, 1, 2 ...; it gives the outcome's name and what was wrong, if anything.

    about : the module's docstring, for ``--help``
    count : goes, where the command line does not say how many
    """
    parser = argparse.ArgumentParser(description=about.splitlines()[0])
    parser.add_argument("count", type=int, nargs="?", default=count, help="how many goes")
    counts: Counter[str] = Counter()
    for number in range(parser.parse_args().count):
        outcome, fault = trial(number)
        counts[outcome] += 1
        if fault:
            counts["WRONG"] += 1
            print(number, outcome, fault)
    print(dict(counts))
