"""Every figure the project claims about its speed, goal beside measured, in one table.

    python -m tests.benchmarks [--quick] [--only start engine ...]

All are ratios within this run, medians unless said; nothing here is a test. A group that
fails is reported as such and the others go on. ``--quick`` takes fewer turns and cases;
its figures are rougher. What each compares stands in the module of that name.
"""

from __future__ import annotations

import argparse
import os
import platform
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from importlib.metadata import version
from pathlib import Path
from typing import NamedTuple

CASES = Path(__file__).parents[2] / "cases"


class Figure(NamedTuple):
    """One line of the table. ``goal`` is "<= 2.5", ">= 12" or "" where none was set."""

    what: str
    measured: float
    goal: str = ""
    unit: str = ""

    @property
    def verdict(self) -> str:
        if not self.goal:
            return ""
        sign, number = self.goal.split()
        met = self.measured <= float(number) if sign == "<=" else self.measured >= float(number)
        return "met" if met else "NOT MET"


def ask(quick: bool) -> Iterator[Figure]:
    """Wall time until the first question stands on a terminal, over bare imports."""
    from tests.benchmarks import session_start

    pairs = []
    for _ in range(5 if quick else 15):
        first = session_start._session(0.0)[0]
        pairs.append(first / session_start._bare())
    ratio = statistics.median(pairs)
    yield Figure("ask: first question on the screen / libraries", ratio, "<= 1.5")


def start(quick: bool) -> Iterator[Figure]:
    """Processor time of whole commands over bare imports."""
    from tests.benchmarks import start_speed

    turns = start_speed.measured(3 if quick else 9)
    for name in ("one lot, again", "four lots, again", "one lot, new", "four lots, new"):
        ratio = start_speed.over_libraries(turns, name)
        goal = "<= 2.2" if name.startswith("one") else "<= 2.5"
        yield Figure(f"assess {name} / libraries", ratio, goal)
    ratio = start_speed.over_libraries(turns, "first ever")
    yield Figure("assess, nothing kept yet / libraries", ratio)


def engine(quick: bool) -> Iterator[Figure]:
    """The rule run for one case beside others given the same rules and facts."""
    from tests.benchmarks import engine_speed as speed

    for size in speed.SIZES:
        speed.check_agreement(size)
    turns = [speed.one_turn(5 if quick else 20) for _ in range(2 if quick else 5)]
    for size in speed.SIZES:
        ratio = speed.ratio(turns, ("ours", size), ("bare", size))
        yield Figure(f"rule run / bare durable-rules, {size} rules", ratio, "<= 1.5")
    for other, goal in (("CLIPS", "<= 1.5"), ("loop", "<= 6")):
        ratio = speed.ratio(turns, ("ours", 250), (other, 250))
        yield Figure(f"rule run / {other}, 250 rules", ratio, goal)
    ratio = speed.ratio(turns, ("ours", 1000), ("ours", 100))
    yield Figure("rule run, 1,000 rules / 100 rules", ratio, "<= 8")
    runs = 2_000 if quick else 10_000
    grown, wear = speed.memory_and_wear(runs)
    yield Figure(f"memory grown over {runs:,} cases", grown, "<= 2", "MB")
    yield Figure("last 500 cases / first 500", wear, "<= 1")


def water(quick: bool) -> Iterator[Figure]:
    """One pH solve beside PHREEQC's."""
    from tests.benchmarks import water_speed as speed

    found = speed.seconds_of(3 if quick else 7)
    what = "pH solve: times quicker than PHREEQC"
    yield Figure(what, speed.times_quicker(found, "one solve"), ">= 12")


def bag(quick: bool) -> Iterator[Figure]:
    """A sealed bag and its opening beside PHREEQC at the same times; the cost of bands."""
    from tests.benchmarks import bag_speed as speed

    t = speed.times_of(5 if quick else 15)
    ratio = t["phreeqc"] / t["single"]
    yield Figure("48 h bag and opening: times quicker than PHREEQC", ratio, ">= 10")
    ratio = t["sealed 300"] / t["sealed single"]
    yield Figure("band of 300 samples / single run", ratio, "<= 15")
    ratio = t["weighted 300"] / t["weighted single"]
    yield Figure("300 draws weighted by readings / one run with readings", ratio, "<= 8")
    ratio = t["weighted 300"] / t["sealed single"]
    yield Figure("the same / one run without readings", ratio)
    ratio = t["one by one"] / t["together"]
    yield Figure(f"{speed.MANY} bags with readings: one by one / together", ratio)
    yield Figure("cost of 4,500 samples / 900 samples (5 is linear)", speed.growth_of(t), "<= 5.5")


def session(quick: bool) -> Iterator[Figure]:
    """What thinking after one answer costs, and how many questions are needed."""
    from advisor.advice.reasoner import default_reasoner
    from advisor.case import load_case
    from tests.benchmarks import session_worth as worth
    from tests.benchmarks.answerer import Person, by_worth, play

    reasoner = default_reasoner()
    paths = sorted(CASES.rglob("*.toml"))[:: 8 if quick else 1]
    settled, emergency, ratios = [], [], []
    for path in paths:
        person = Person(load_case(path), reasoner)
        first_cause, first_action, needed = worth._final(person)
        steps = list(play(person, by_worth(person)))
        count = worth.questions_until_settled(steps, (first_cause, first_action))
        settled.append(len(steps) + 1 if count is None else count)
        shown = worth.questions_until_emergency(steps, needed)
        if needed:
            emergency.append(len(steps) + 1 if shown is None else shown)
        ratios.append(_answer_over_rules(person))
    settled.sort()
    yield Figure(
        f"questions until settled, {len(paths)} cases", statistics.median(settled), "<= 12"
    )
    yield Figure("the same, 90th percentile", settled[int(0.9 * (len(settled) - 1))], "<= 20")
    median = statistics.median(emergency)
    yield Figure(f"questions until a needed emergency, {len(emergency)} cases", median, "<= 4")
    yield Figure("thinking after one answer / its rule run", statistics.median(ratios))


def _answer_over_rules(person: object) -> float:
    """Facts, rules, ranking, plan and next question, over the rules alone."""
    from advisor.advice.assess import plan_of, reason
    from advisor.ask.next_question import next_question
    from advisor.rulebase.engine import Fact

    case, lot, reasoner = person.case, person.lot, person.reasoner  # type: ignore[attr-defined]
    whole, rules = [], []
    for _ in range(3):
        began = time.perf_counter()
        thought = reason(case, lot, reasoner)
        plan = plan_of(thought, reasoner)
        next_question(case, lot, thought, reasoner, [action.id for action in plan.actions])
        whole.append(time.perf_counter() - began)
        used = reasoner.compiled.used
        facts = [Fact(*fact) for fact in thought.sheet.engine_facts(used)]
        began = time.perf_counter()
        reasoner.engine.run(facts)
        rules.append(time.perf_counter() - began)
    return min(whole) / min(rules)


def check(quick: bool) -> Iterator[Figure]:
    """``replay --check`` over an archive on two cores and on one; what a million would cost."""
    from tests.benchmarks import check_speed

    cases = 300 if quick else 5000
    rates = check_speed.rates(cases)
    yield Figure(f"replay --check, {cases:,} cases: 2 cores / 1 core", rates.gain, ">= 1.7")
    yield Figure("cases per second of one core's own time", 1 / rates.each_s)
    yield Figure("a million cases", rates.each_s * 1e6 / 3600, "", "core h")
    yield Figure("memory grown in the second half of them", rates.grown_mb, "<= 5", "MB")


def page(quick: bool) -> Iterator[Figure]:
    """Phones that answer ``serve`` in the same moment, beside one phone alone."""
    from tests.benchmarks import page_load

    phones, rounds = (8, 6) if quick else (20, 12)
    one, many = page_load.measured(1, rounds), page_load.measured(phones, rounds)
    what = f"answer on the page, {phones} phones at once"
    yield Figure(f"{what}: median", 1000 * statistics.median(many.taken), "", "ms")
    yield Figure("the same, one phone", 1000 * statistics.median(one.taken), "", "ms")
    yield Figure("the server's own time for one answer", 1000 * many.cpu_s, "", "ms")


def size(quick: bool) -> Iterator[Figure]:
    """What an installation takes, and how much of it pictures in papers cost."""
    from tests.benchmarks import installed_size

    whole, own = installed_size.sizes()
    yield Figure("installed, without extras", whole, "", "MB")
    yield Figure("of it for matplotlib alone", own, "", "MB")


GROUPS: dict[str, Callable[[bool], Iterator[Figure]]] = {
    "ask": ask,
    "start": start,
    "engine": engine,
    "water": water,
    "bag": bag,
    "session": session,
    "check": check,
    "page": page,
    "size": size,
}


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer turns, rougher figures")
    parser.add_argument("--only", nargs="+", choices=GROUPS, default=list(GROUPS))
    options = parser.parse_args()
    libraries = ("durable-rules", "pydantic", "rich", "numpy")
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, ", end="")
    print(f"load {os.getloadavg()[0]:.1f}; ", end="")
    print(", ".join(f"{name} {version(name)}" for name in libraries))
    if options.quick:
        print("quick: fewer turns and cases")
    print(f"\n{'figure':<58}{'goal':>8}{'measured':>12}")
    failed = False
    for name in options.only:
        print(f"{name}")
        try:
            for figure in GROUPS[name](options.quick):
                value = f"{figure.measured:.2f} {figure.unit}".strip()
                line = f"  {figure.what:<56}{figure.goal:>8}{value:>12}  {figure.verdict}"
                print(line.rstrip(), flush=True)
        except Exception as error:  # one group's fault must not hide the others' figures
            failed = True
            said = next(iter(str(error).splitlines()), "")
            print(f"  could not be measured: {type(error).__name__}: {said}")
    return 1 if failed else 0


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as kept:
        # commands run as installed: from compiled files, and with a cache of their own
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = f"{kept}/pyc"
        os.environ["XDG_CACHE_HOME"] = f"{kept}/cache"
        sys.exit(main())
