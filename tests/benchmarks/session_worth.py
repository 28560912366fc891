"""How many questions the session needs, beside a fixed and a random order.

    python -m tests.benchmarks.session_worth [FOLDER ...] [--each]

Over all cases of the folders (default: cases/), a simulated person who knows
only what the case holds answers. Counted are the questions

- until the final first cause and first action stand and do not change again,
- until the first needed emergency action shows (one that the whole case calls for).

"Final" is the assessment of the whole case up to the same hour. Printed as a table; a
case whose answers no order can reach is counted apart, never left out in silence.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from advisor.advice.assess import plan_of, reason
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.ask.emergency import certain_emergencies
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from tests.benchmarks.answerer import Order, Person, Step, by_worth, fixed, play, shuffled

SEEDS = (1, 2, 3)


def main(arguments: Sequence[str]) -> None:
    folders = [Path(a) for a in arguments if not a.startswith("-")] or [Path("cases")]
    reasoner = default_reasoner()
    cases = [(p.stem, c) for f in folders for p in sorted(f.rglob("*.toml")) if (c := _load(p))]
    print(f"{len(cases)} cases from {', '.join(map(str, folders))}")
    if not cases:
        return
    orders: dict[str, list[Callable[[Person], Order]]] = {
        "by worth": [by_worth],
        "fixed": [fixed],
        "random": [partial(shuffled, seed=seed) for seed in SEEDS],
    }
    print(f"{'order':<10}{'settled in':>24}{'first emergency in':>26}{'out of reach':>14}")
    print(f"{'':<10}{'median':>12}{'90th pct':>12}{'median':>14}{'90th pct':>12}{'':>14}")
    wanted = [a[2:] for a in arguments if a.startswith("--") and a != "--each"]
    for name, ways in orders.items():
        if wanted and name.split()[-1] not in wanted:
            continue
        _row(name, ways, cases, reasoner, each="--each" in arguments and name == "by worth")


def _load(path: Path) -> Case | None:
    try:
        return load_case(path)
    except AdvisorError as fault:
        print(f"left out: {fault}")
        return None


def _row(
    name: str,
    ways: Sequence[Callable[[Person], Order]],
    cases: Sequence[tuple[str, Case]],
    reasoner: Reasoner,
    *,
    each: bool,
) -> None:
    settled: list[int] = []
    emergency: list[int] = []
    missed, stop_at, stood, seconds = 0, [], 0, 0.0
    for title, case in cases:
        for way in ways:
            person = Person(case, reasoner)
            wanted = _final(person)
            start = time.perf_counter()
            steps = list(play(person, way(person)))
            seconds += time.perf_counter() - start
            count = questions_until_settled(steps, wanted[:2])
            first = questions_until_emergency(steps, wanted[2])
            stop = next((n for n, s in enumerate(steps, 1) if s.session_would_stop), len(steps))
            stop_at.append(stop)
            stood += count is not None and count <= stop
            missed += count is None
            if count is not None:
                settled.append(count)
            if first is not None:
                emergency.append(first)
            if each:
                print(f"   {title:<28} settled {count}  emergency {first}  stops {stop}")
                print(
                    "      " + " ".join(s.question + ("" if s.known else "?") for s in steps[:16])
                )
    print(
        f"{name:<10}{_pair(settled, 12)}{_pair(emergency, 14)}{missed:>14}"
        f"   session ends after {statistics.median(stop_at):g}, settled by then in "
        f"{stood} of {len(cases) * len(ways)}"
    )


def _final(person: Person) -> tuple[str, str | None, frozenset[str]]:
    reasoner = person.reasoner
    reasoned = reason(person.case, person.lot, reasoner)
    plan = plan_of(reasoned, reasoner)
    first = plan.actions[0].id if plan.actions else None
    emergencies = frozenset(a.id for a in certain_emergencies(reasoned, plan))
    return reasoned.ranking.causes[0].id, first, emergencies


def questions_until_settled(steps: Sequence[Step], wanted: tuple[str, str | None]) -> int | None:
    """Number of the question after which the wanted cause and action stay first; None if never."""
    for at in range(len(steps) - 1, -1, -1):
        if (steps[at].first_cause, steps[at].first_action) != wanted:
            return at + 2 if at + 1 < len(steps) else None
    return 1 if steps else None


def questions_until_emergency(steps: Sequence[Step], wanted: frozenset[str]) -> int | None:
    """Number of the question after which a needed emergency first shows; None if none is needed."""
    return next((n for n, step in enumerate(steps, 1) if step.emergencies & wanted), None)


def _pair(counts: Sequence[int], width: int) -> str:
    if not counts:
        return f"{'-':>{width}}{'-':>12}"
    ordered = sorted(counts)
    ninetieth = ordered[min(len(ordered) - 1, int(0.9 * len(ordered)))]
    return f"{statistics.median(ordered):>{width}g}{ninetieth:>12}"


if __name__ == "__main__":
    main(sys.argv[1:])
