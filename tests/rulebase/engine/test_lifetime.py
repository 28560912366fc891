"""Engines over a long life: memory, several engines, several threads, loading."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import threading

import pytest

from advisor.rulebase.engine import (
    Engine,
    EngineError,
    EngineUnavailable,
    Fact,
    Test,
)

from .piping import AGREED, PIPING, SEEN, rule

# Memory


def resident_bytes():
    with open("/proc/self/statm") as stream:
        return int(stream.read().split()[1]) * os.sysconf("SC_PAGE_SIZE")


needs_proc = pytest.mark.skipif(not os.path.exists("/proc/self/statm"), reason="needs /proc")


def chained_rules(count):
    return [
        rule(f"r{n}", Test("k", f"n{n}", ">", 1), PIPING, derives=Fact("k", f"n{n + 1}", 2))
        for n in range(count)
    ]


@needs_proc
@pytest.mark.slow
def test_memory_stays_flat_over_2000_runs():
    engine = Engine(chained_rules(60))
    facts = [SEEN, *(Fact("k", f"n{n}", 2) for n in range(0, 60, 4))]

    def runs(count):
        for _ in range(count):
            assert len(engine.run(facts)) == 60

    runs(200)
    gc.collect()
    before = resident_bytes()
    runs(2000)
    gc.collect()
    assert resident_bytes() - before < 1_000_000


@needs_proc
@pytest.mark.parametrize("closed", [True, False])
def test_engines_free_what_they_hold_when_closed_or_collected(closed):
    rules = chained_rules(30)

    def engines(count):
        for _ in range(count):
            engine = Engine(rules)
            engine.run([SEEN, Fact("k", "n0", 2)])
            if closed:
                engine.close()

    engines(50)
    gc.collect()
    before = resident_bytes()
    engines(300)  # some 150 MB if none were freed
    gc.collect()
    assert resident_bytes() - before < 4_000_000


# Several engines, several threads


def test_engines_with_different_rules_live_side_by_side():
    engines = [Engine([rule(f"r{n}", Test("k", "n", ">", n))]) for n in range(40)]
    for value in (0, 20, 40):
        fired = [bool(engine.run([Fact("k", "n", value)])) for engine in engines]
        assert fired == [value > n for n in range(40)]
    for engine in engines[::2]:
        engine.close()
    assert engines[1].run([Fact("k", "n", 2)])


def test_a_closed_engine_says_so():
    engine = Engine([rule("r", PIPING)])
    engine.close()
    engine.close()
    with pytest.raises(EngineError, match="closed"):
        engine.run([SEEN])


def test_a_run_inside_more_does_not_disturb_the_outer_one():
    engine = Engine([rule("r", PIPING), rule("s", Test("k", "n", "==", 1))])
    inner = []

    def more(firings):
        inner.append(engine.run([Fact("k", "n", 1)]))
        return []

    assert engine.run([SEEN], more) == AGREED
    assert [firing.rule_id for firing in inner[0]] == ["s"]


def test_one_engine_may_run_in_several_threads_at_once():
    rules = [rule(f"r{n}", PIPING, Test("k", "n", "==", n)) for n in range(100)]
    engine = Engine(rules)
    wrong = []

    def work(number):
        for turn in range(60):
            value = (number * 31 + turn) % 100
            found = engine.run([SEEN, Fact("k", "n", value)])
            if [firing.rule_id for firing in found] != [f"r{value}"]:
                wrong.append(found)

    interval = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)  # switch threads as often as can be
    try:
        threads = [threading.Thread(target=work, args=(number,)) for number in range(6)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    finally:
        sys.setswitchinterval(interval)
    assert not wrong


# Loading


def test_without_durable_rules_one_sentence_says_how_to_install_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "durable_rules_engine", None)
    with pytest.raises(EngineUnavailable) as caught:
        Engine([rule("r", PIPING)])
    assert "CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_importing_the_engine_does_not_load_durable_rules():
    code = "import sys, advisor.rulebase.engine; print([m for m in sys.modules if 'durable' in m])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_results_are_the_same_byte_for_byte_in_another_process():
    code = (
        "from advisor.rulebase.engine import *\n"
        "tests = lambda n: ((Test('k', 'n', '>', n % 7),), (Test('k', 'm', '!=', 'é'),))\n"
        "rules = [CompiledRule(f'r{n}', tests(n), Fact('k', f'd{n}', True)) for n in range(300)]\n"
        "facts = [Fact('k', 'n', 5), Fact('k', 'm', 'e')]\n"
        "print(ascii(Engine(rules).run(facts)))"
    )
    outputs = {
        subprocess.run(
            [sys.executable, "-W", "error", "-c", code],
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("0", "1", "2")
    }
    assert len(outputs) == 1
    assert len(outputs.pop()) > 10_000
