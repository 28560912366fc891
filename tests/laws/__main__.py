"""Lay the laws against many deliveries: ``python -m tests.laws --draws 200 --seed 1``."""

from __future__ import annotations

import argparse
from pathlib import Path

from tests.laws import known, words
from tests.laws.check import LAWS, Tally, check_files, drawn, per_thousand, run_many

MIXES = ("wild", "natural")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.laws", description=__doc__)
    parser.add_argument("--draws", type=int, default=0, help="deliveries of each mix")
    parser.add_argument("--seed", type=int, default=1, help="first seed")
    parser.add_argument("--mix", choices=(*MIXES, "both"), default="both")
    parser.add_argument("--cases", nargs="*", default=[], help="case files or folders")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--examples", type=int, default=5, help="shown for each law")
    parser.add_argument("--law", help="show only this law")
    parser.add_argument("--show", metavar="MIX SEED", nargs=2, help="print a drawn delivery")
    parser.add_argument(
        "--write-known",
        nargs="+",
        metavar="SAMPLE",
        default=[],
        help="write these samples (or all) into known_breaches.toml",
    )
    parser.add_argument("--write-words", action="store_true", help="write wild_words.toml")
    given = parser.parse_args()
    if given.write_known:
        known.write(given.write_known, given.processes)
        return
    if given.write_words:
        words.write()
        return
    if given.show:
        from advisor.case.toml_text import dumps_case

        case, truth = drawn(given.show[0], int(given.show[1]))
        print(f"# {truth}\n{dumps_case(case)}")
        return
    if given.draws:
        seeds = range(given.seed, given.seed + given.draws)
        for mix in MIXES if given.mix == "both" else (given.mix,):
            report(f"{mix}, seeds {seeds.start} to {seeds.stop - 1}",
                   run_many(mix, seeds, given.processes), given.examples, given.law)  # fmt: skip
    if given.cases:
        files = [f for name in given.cases for f in _files(Path(name))]
        report(f"{len(files)} case files", check_files(files), given.examples, given.law)


def _files(path: Path) -> list[str]:
    return sorted(map(str, path.rglob("*.toml"))) if path.is_dir() else [str(path)]


def report(title: str, tally: Tally, examples: int, only: str | None = None) -> None:
    """Counts by law and some examples of each."""
    print(f"\n== {title}: {tally.lots} lots, {len(tally.breaches)} breaches of {len(LAWS)} laws")
    for truth, n in sorted(tally.truths.items()):
        print(f"   {truth}: {n} lots, {tally.loud[truth]} called an emergency")
    for name, rate in per_thousand(tally).items():
        if only not in (None, name):
            continue
        law = LAWS[name]
        print(f"\n{rate:7.1f} per 1,000 lots  {name}  ({law.kind})\n        {law.says}")
        for breach in [b for b in tally.breaches if b.law == name][:examples]:
            print(f"        - {breach.where}, {breach.lot}")
            for step in breach.shown[:4]:
                print(f"            {step[:110]}")


if __name__ == "__main__":
    main()
