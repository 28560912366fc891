"""What one case costs in the engine, beside three others doing the same work.

    python -m tests.benchmarks.engine_speed [--turns 7] [--rounds 20] [--runs 10000]

All four are given the same rules and facts and must report the same firings:

- ours: advisor.rulebase.engine;
- bare: durable-rules by its own Python interface, as its manual shows it but for
  what it needs not to crash or lose facts (a session and its deletion for each
  case, single facts, ``dist`` 0, one rule for each branch);
- CLIPS: the C rule engine, through clipspy;
- loop: plain Python, a dictionary of facts and a loop over the rules.

Each of the four runs in a process of its own, since one's use of memory slows the
others, and they take turns so that a busy machine slows them alike. Times are
medians of medians, ratios are medians of the ratios within a turn. Nothing here is
a test.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import operator
import os
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any

from advisor.rulebase.engine import CompiledRule, Engine, Fact, Test

SIZES = (100, 250, 1000)
FACTS_PER_CASE = 35
CASES = 20


# Rules and cases, shaped like the evidence in rules/: half of the branches ask for
# one fact and most others for two, a rule has two branches on average, signs are
# asked for most, and some rules make findings that others use.


def names(size: int) -> dict[str, list[str]]:
    counts = {"sign": 20 + size // 6, "reading": 15 + size // 12, "finding": size // 12}
    return {kind: [f"{kind}_{n}" for n in range(count)] for kind, count in counts.items()}


def some_tests(rng: random.Random, words: dict[str, list[str]]) -> list[Test]:
    """The tests on one name: a sign, a finding, a limit or a range of a reading."""
    kind = rng.choices(("sign", "reading", "finding"), (56, 26, 18))[0]
    name = rng.choice(words[kind])
    if kind != "reading":
        return [Test(kind, name, "==", kind == "finding" or rng.random() < 0.8)]
    low = float(rng.randint(0, 9))
    shape = rng.random()
    if shape < 0.4:
        return [Test(kind, name, ">=", low)]
    if shape < 0.8:
        return [Test(kind, name, "<", low)]
    return [Test(kind, name, ">=", low), Test(kind, name, "<", low + 2)]


def rule_base(size: int) -> list[CompiledRule]:
    rng = random.Random(size)
    words = names(size)
    rules = []
    for number in range(size):
        branches = []
        for _ in range(rng.choices((1, 2, 3, 4, 6), (58, 18, 13, 6, 5))[0]):
            count = rng.choices((1, 2, 3), (49, 42, 9))[0]
            tests = {
                group[0][:2]: group for group in (some_tests(rng, words) for _ in range(count))
            }
            branches.append(tuple(test for group in tests.values() for test in group))
        derives = None
        if number % 12 == 0:
            derives = Fact("finding", rng.choice(words["finding"]), True)
        rules.append(CompiledRule(f"rule-{number}", tuple(branches), derives))
    return rules


def case(size: int, seed: int) -> list[Fact]:
    rng = random.Random(seed)
    words = names(size)
    readings = rng.sample(words["reading"], 12)
    signs = rng.sample(words["sign"], FACTS_PER_CASE - len(readings))
    return [
        *(Fact("reading", name, round(rng.uniform(0, 10), 1)) for name in readings),
        *(Fact("sign", name, rng.random() < 0.5) for name in signs),
    ]


# The four. Each is made from rules and returns a function from facts to the
# firings, as a set of (rule id, branch).

Fired = set[tuple[str, int]]
Run = Callable[[Sequence[Fact]], Fired]


def ours(rules: Sequence[CompiledRule]) -> Run:
    engine = Engine(rules)
    return lambda facts: {firing[:2] for firing in engine.run(facts)}


def bare(rules: Sequence[CompiledRule]) -> Run:
    from durable.engine import Host, MessageNotHandledException

    class Quiet(Host):  # type: ignore[misc]
        def _run(self) -> None:
            """Its two background threads would run the same sessions."""

    fired: Fired = set()
    queue: list[Fact] = []

    def action(rule: CompiledRule, number: int) -> Callable[[Any], None]:
        def run(_: Any) -> None:
            fired.add((rule.id, number))
            if rule.derives is not None:
                queue.append(rule.derives)

        return run

    symbols = {">=": "$gte", "<": "$lt"}
    definition: dict[str, Any] = {
        "begin": {"all": [{"c": {"$and": [{"t": "begin"}, {"n": "begin"}]}}], "run": lambda c: None}
    }
    for rule in rules:
        for number, branch in enumerate(rule.branches):
            groups: dict[tuple[str, str], list[Any]] = {}
            for kind, name, op, value in branch:
                test = {"v": value} if op == "==" else {symbols[op]: {"v": value}}
                groups.setdefault((kind, name), [{"t": kind}, {"n": name}]).append(test)
            conditions = [{f"c{n}": {"$and": group}} for n, group in enumerate(groups.values())]
            definition[f"{rule.id}/{number}"] = {
                "all": conditions,
                "dist": 0,
                "run": action(rule, number),
            }
    host = Quiet()
    host.register_rulesets({"bare": definition})

    def run(facts: Sequence[Fact]) -> Fired:
        fired.clear()
        known = set()
        try:
            host.assert_fact("bare", {"sid": "1", "t": "begin", "n": "begin"})
            queue[:] = facts
            while queue:
                fact = queue.pop(0)
                if fact in known:
                    continue
                known.add(fact)
                with contextlib.suppress(MessageNotHandledException):
                    host.assert_fact(
                        "bare", {"sid": "1", "t": fact.kind, "n": fact.name, "v": fact.value}
                    )
        finally:
            host.delete_state("bare", "1")
        return set(fired)

    return run


def clips(rules: Sequence[CompiledRule]) -> Run:
    import clips as clipspy

    environment = clipspy.Environment()
    environment.build("(deftemplate fact (slot kind) (slot name) (slot value))")
    fired: Fired = set()
    environment.define_function(lambda rule, number: fired.add((rule, number)), "hit")

    def written(value: object) -> str:
        return str(value).upper() if isinstance(value, bool) else repr(value)

    for rule in rules:
        derived = ""
        if rule.derives is not None:
            kind, name, value = rule.derives
            derived = f"(assert (fact (kind {kind}) (name {name}) (value {written(value)})))"
        for number, branch in enumerate(rule.branches):
            groups: dict[tuple[str, str], list[str]] = {}
            for kind, name, op, value in branch:
                tests = groups.setdefault((kind, name), [f"?v{len(groups)}"])
                asked = written(value) if op == "==" else f":({op} {tests[0]} {written(value)})"
                tests.append(asked)
            patterns = " ".join(
                f"(fact (kind {kind}) (name {name}) (value {'&'.join(tests)}))"
                for (kind, name), tests in groups.items()
            )
            environment.build(
                f'(defrule {rule.id}/{number} {patterns} => (hit "{rule.id}" {number}) {derived})'
            )
    template = environment.find_template("fact")
    symbols = {test[i] for rule in rules for b in rule.branches for test in b for i in (0, 1)}
    symbol = {name: clipspy.Symbol(name) for name in symbols}

    def run(facts: Sequence[Fact]) -> Fired:
        fired.clear()
        environment.reset()
        for kind, name, value in facts:
            if name in symbol:
                template.assert_fact(kind=symbol[kind], name=symbol[name], value=value)
        environment.run()
        return set(fired)

    return run


def loop(rules: Sequence[CompiledRule]) -> Run:
    compare = {"==": operator.eq, ">=": operator.ge, "<": operator.lt}
    branches = [
        (rule, number, [(t[:2], compare[t.op], t.value) for t in branch])
        for rule in rules
        for number, branch in enumerate(rule.branches)
    ]

    def run(facts: Sequence[Fact]) -> Fired:
        values = {(fact.kind, fact.name): fact.value for fact in facts}
        fired: Fired = set()
        changed = True
        while changed:
            changed = False
            for rule, number, tests in branches:
                for name, holds, limit in tests:
                    if name not in values or not holds(values[name], limit):
                        break
                else:
                    fired.add((rule.id, number))
                    if rule.derives is not None and rule.derives[:2] not in values:
                        values[rule.derives[:2]] = rule.derives.value
                        changed = True
        return fired

    return run


MAKERS = {"ours": ours, "bare": bare, "CLIPS": clips, "loop": loop}


def check_agreement(size: int) -> float:
    """All four report the same firings; returns how many branches fire in a case."""
    rules = rule_base(size)
    runs = {name: make(rules) for name, make in MAKERS.items()}
    fired = 0
    for seed in range(CASES):
        facts = case(size, seed)
        results = {name: run(facts) for name, run in runs.items()}
        assert all(result == results["loop"] for result in results.values()), results
        fired += len(results["loop"])
    return fired / CASES


def measure(name: str, size: int, rounds: int) -> float:
    """Milliseconds a case, in this process."""
    run = MAKERS[name](rule_base(size))
    cases = [case(size, seed) for seed in range(CASES)]
    took = []
    for _ in range(rounds):
        for facts in cases:
            begun = time.perf_counter()
            run(facts)
            took.append(time.perf_counter() - begun)
    return statistics.median(took) * 1000


Times = dict[tuple[str, int], float]


def one_turn(rounds: int) -> Times:
    """Milliseconds a case for each of the four at each size, each in its own process."""
    found = {}
    for size in SIZES:
        for name in MAKERS:
            program = f"print(measure({name!r}, {size}, {rounds}))"
            command = [sys.executable, "-c", f"from {__spec__.name} import *; {program}"]
            done = subprocess.run(command, check=True, capture_output=True, text=True)
            found[name, size] = float(done.stdout)
    return found


def ratio(turns: Sequence[Times], over: tuple[str, int], under: tuple[str, int]) -> float:
    """The median of the ratios within each turn."""
    return statistics.median(turn[over] / turn[under] for turn in turns)


def resident_mb() -> float:
    with open("/proc/self/statm") as stream:
        return int(stream.read().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6


def memory_and_wear(runs: int) -> tuple[float, float]:
    """Growth [MB] over so many runs, and the last 500 cases over the first."""
    run = ours(rule_base(250))
    cases = [case(250, seed) for seed in range(CASES)]
    for number in range(500):
        run(cases[number % CASES])
    gc.collect()
    before = resident_mb()
    took = []
    for number in range(runs):
        begun = time.perf_counter()
        run(cases[number % CASES])
        took.append(time.perf_counter() - begun)
    gc.collect()
    return resident_mb() - before, statistics.median(took[-500:]) / statistics.median(took[:500])


BARE_START = "import rich.console, pydantic, durable.engine"
OUR_START = (
    "import rich.console, pydantic\n"
    "from advisor.rulebase.engine import *\n"
    "r = [CompiledRule(f'r{n}', ((Test('sign', f's{n % 90}', '==', True),"
    " Test('reading', f'r{n % 40}', '>', n % 7), Test('sign', f's{n % 70}', '==', n % 2 > 0)),))"
    " for n in range(300)]\n"
    "Engine(r).run([Fact('sign', 's1', True)])"
)
ENGINE_ONLY = "from advisor.rulebase.engine import *"


def start_ms(*programs: str, turns: int = 15) -> list[float]:
    """Median milliseconds of whole processes, taking turns."""
    found: list[list[float]] = [[] for _ in programs]
    for _ in range(turns):
        for took, program in zip(found, programs, strict=True):
            begun = time.perf_counter()
            subprocess.run([sys.executable, "-c", program], check=True)
            took.append((time.perf_counter() - begun) * 1000)
    return [statistics.median(took) for took in found]


def build_ms(size: int, turns: int = 9) -> float:
    rules = rule_base(size)
    took = []
    for _ in range(turns):
        begun = time.perf_counter()
        engine = Engine(rules)
        took.append(time.perf_counter() - begun)
        engine.close()
    return statistics.median(took) * 1000


def goal(label: str, ratio: float, most: float) -> None:
    print(f"{label:<46}{ratio:>8.2f}   at most {most:<6g}{'met' if ratio <= most else 'NOT MET'}")


def main() -> None:
    parser = argparse.ArgumentParser(description="What one case costs in the engine.")
    parser.add_argument("--rounds", type=int, default=20)
    parser.add_argument("--turns", type=int, default=7)
    parser.add_argument("--runs", type=int, default=10_000)
    options = parser.parse_args()

    fired = {size: check_agreement(size) for size in SIZES}
    turns = [one_turn(options.rounds) for _ in range(options.turns)]
    print(f"{'ms a case':<12}" + "".join(f"{name:>10}" for name in MAKERS) + "   fired")
    for size in SIZES:
        medians = [statistics.median(turn[name, size] for turn in turns) for name in MAKERS]
        row = "".join(f"{median:>10.3f}" for median in medians)
        print(f"{size:>6} rules{row}{fired[size]:>8.1f}")
    print()
    for size in SIZES:
        goal(f"ours / bare, {size} rules", ratio(turns, ("ours", size), ("bare", size)), 1.5)
    goal("ours / CLIPS, 250 rules", ratio(turns, ("ours", 250), ("CLIPS", 250)), 1.5)
    goal("ours / loop, 250 rules", ratio(turns, ("ours", 250), ("loop", 250)), 6)
    goal("1,000 rules / 100 rules", ratio(turns, ("ours", 1000), ("ours", 100)), 8)
    grown, wear = memory_and_wear(options.runs)
    goal(f"growth over {options.runs} cases [MB]", grown, 2)
    goal("last 500 cases / first 500", wear, 1.1)
    empty, plain, start, engine = start_ms("pass", BARE_START, OUR_START, ENGINE_ONLY)
    print(
        f"\nwhole process [ms]: interpreter {empty:.0f}; our engine {engine:.0f}; "
        f"importing rich, pydantic, durable {plain:.0f};\nrich, pydantic, our engine with 300 "
        f"rules built and run {start:.0f}; building 300 rules alone {build_ms(300):.1f}"
    )
    goal("start with 300 rules / bare imports", start / plain, 1.5)


if __name__ == "__main__":
    main()
