"""``python -m tests.replay.thinned [PATH] [--share 0.4] [--draws 3]``: cases told more sparsely.

Of every case that happened a share of its answers (signs, readings, history) is taken out at
random, and the causes are held against what is expected of the whole case. Rules that fit a
case by one answer alone show here, before strangers tell of another.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Sequence
from pathlib import Path

from advisor.advice.assess import reason
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.case import Case, load_case
from advisor.explain.replay.archive import case_files, judged_lot
from advisor.explain.replay.check_cases import Count
from tests.replay.robustness import answers, without

#: Answers on how a case was written down, not on what was seen.
KEPT = ("bags_sealed", "law")


def thinned(case: Case, share: float, seed: str, reasoner: Reasoner) -> Case:
    """The case without that share of its answers, drawn by ``seed``."""
    told = answers(reason(case, judged_lot(case), reasoner).sheet)
    told = [answer for answer in told if answer[1] not in KEPT]
    for answer in random.Random(seed).sample(told, int(len(told) * share)):
        case = without(case, judged_lot(case), answer, reasoner.base)
    return case


def run(paths: Sequence[Path], reasoner: Reasoner, share: float, draws: int) -> tuple[Count, Count]:
    """How often an expected cause still stands first, and within three."""
    first, three = Count(), Count()
    for path in paths:
        case = load_case(path)
        expected = case.expected
        if expected is None or not expected.first_cause or expected.kind == "constructed":
            continue
        for draw in range(draws):
            sparse = thinned(case, share, f"{path.stem}{draw}", reasoner)
            ranked = reason(sparse, judged_lot(sparse), reasoner).ranking.causes
            names = [cause.id for cause in ranked[:3]]
            first.add(names[0] in expected.first_cause)
            wanted = expected.in_first_three or expected.first_cause
            three.add(not set(names).isdisjoint(wanted))
    return first, three


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.replay.thinned")
    parser.add_argument("path", nargs="?", help="a case or a folder of them")
    parser.add_argument("--share", type=float, default=0.4, help="of the answers, taken out")
    parser.add_argument("--draws", type=int, default=3, help="of each case")
    args = parser.parse_args()
    first, three = run(case_files(args.path), default_reasoner(), args.share, args.draws)
    print(f"first cause {first.met}/{first.asked}, within three {three.met}/{three.asked}")


if __name__ == "__main__":
    main()
