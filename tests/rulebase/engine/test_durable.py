"""Where durable-rules 2.0.28 crashes, hangs, leaks or answers wrongly, the engine does not.

Each test stands for one such place; what durable-rules itself does there was
seen with its own interface, and its cause read in its source.
"""

from __future__ import annotations

import gc
import signal

import pytest

from advisor.rulebase import engine as core_of
from advisor.rulebase.engine import (
    Engine,
    EngineError,
    Fact,
    Test,
)
from advisor.rulebase.rule_layout import JOINS_PER_SET, wire_name

from . import plain
from .counting import counting
from .piping import AGREED, PIPING, SEEN, rule


def agree(rules, facts):
    found = Engine(rules).run(facts)
    assert found == plain.run(rules, facts)
    return len(found)


# Limits of its tables


@pytest.mark.parametrize("count", [255, 256, 257, 300, 1000])
def test_any_number_of_rules_may_share_a_condition(count):  # 256: crash
    rules = [rule(f"r{n}", PIPING, Test("k", f"n{n}", "==", n)) for n in range(count)]
    assert agree(rules, [SEEN, *(Fact("k", f"n{n}", n) for n in range(0, count, 7))]) > count // 7


def test_rules_that_ask_for_the_very_same_all_fire():
    rules = [rule(f"r{n}", PIPING, derives=Fact("found", f"n{n}", True)) for n in range(600)]
    rules += [rule(f"s{n}", Test("found", f"n{n}", "==", True)) for n in range(600)]
    assert agree(rules, [SEEN]) == 1200


def test_any_number_of_names_may_be_of_one_kind():  # 512: hang
    rules = [rule(f"r{n}", Test("k", f"n{n}", "==", True)) for n in range(1200)]
    assert agree(rules, [Fact("k", f"n{n}", True) for n in range(0, 1200, 11)]) == 110


def test_any_number_of_kinds():  # 512: hang
    rules = [rule(f"r{n}", Test(f"k{n}", "n", "==", True)) for n in range(1200)]
    assert agree(rules, [Fact(f"k{n}", "n", True) for n in range(0, 1200, 11)]) == 110


@pytest.mark.parametrize("count", [64, 65, 200, 600])
def test_any_number_of_tests_may_be_met_by_one_reading(count):  # 65: error 303
    rules = [rule(f"r{n}", Test("reading", "ph", ">", n)) for n in range(count)]
    assert agree(rules, [Fact("reading", "ph", count)]) == count


def test_ranges_and_holes_of_many_kinds_on_one_reading():
    rules = [
        rule(
            f"r{low}-{high}",
            Test("reading", "ph", ">=", low),
            Test("reading", "ph", "<", high),
            Test("reading", "ph", "!=", (low + high) / 2),
        )
        for low in range(12)
        for high in range(low + 1, 13)
    ]
    for value in (0, 3, 6, 6.5, 11.5, 12):
        agree(rules, [Fact("reading", "ph", value)])


def test_more_rules_than_durable_rules_takes():  # 4,096 actions: error 106
    rules = [rule(f"r{n}", Test("k", f"n{n % 900}", "==", True)) for n in range(4500)]
    assert agree(rules, [Fact("k", "n7", True)]) == 5


def test_one_fact_may_meet_many_rules_and_one_rule_many_facts():
    tests = [Test("k", f"n{n}", ">=", 0) for n in range(12)]
    facts = [Fact("k", f"n{n}", n) for n in range(12)]
    assert agree([rule(f"r{n}", *tests) for n in range(40)], facts) == 40


# Numbers on the wire


@pytest.mark.parametrize("value", [1e22, 1e-7, 5e-324, 1.7976931348623157e308, 10**400, -(10**30)])
def test_numbers_that_print_with_an_exponent_or_overflow(value):  # 1e22: error 204
    rules = [rule("at", Test("k", "n", "==", value)), rule("over", Test("k", "n", ">", value))]
    assert agree(rules, [Fact("k", "n", value)]) == 1


def test_nothing_but_small_whole_numbers_reaches_durable_rules(monkeypatch):
    sent = []
    core = core_of._load_core()

    class Listening:
        def __getattr__(self, name):
            def call(*arguments):
                sent.extend(a for a in arguments if isinstance(a, str))
                return getattr(core, name)(*arguments)

            return call

    monkeypatch.setattr(core_of, "_load_core", Listening)
    rules = [rule("ré", Test("kïnd", "nàme", "==", "tëxt"), Test("k", "n", ">", 1.25e-9))]
    assert Engine(rules).run([Fact("kïnd", "nàme", "tëxt"), Fact("k", "n", 1e300)])
    assert sent
    assert all(text.isascii() and "." not in text and "text" not in text for text in sent)


# durable-rules tells names, and facts, apart by 32 bits


def fnv1a_32(text):
    value = 0x811C9DC5
    for byte in text.encode():
        value = (value ^ byte) * 0x01000193 & 0xFFFFFFFF
    return value


def test_no_two_names_share_a_hash():
    # Test vectors of draft-eastlake-fnv (IETF), appendix on FNV-1a 32 bits.
    assert (fnv1a_32("a"), fnv1a_32("foobar")) == (0xE40C292C, 0xBF9CF968)
    for names in (
        ["sid", "id", "$s", "begin", *map(wire_name, range(50_000))],
        ["fact", *(f"sid-{n}" for n in range(1, 2000))],
    ):
        assert len({fnv1a_32(name) for name in names}) == len(names)


def test_thousands_of_facts_are_all_kept():
    facts = [Fact("k", f"n{n}", n) for n in range(3000)]
    rules = [rule(f"r{n}", Test("k", f"n{n}", "==", n)) for n in range(3000)]
    assert len(Engine(rules).run(facts)) == 3000


# Sessions


def test_every_session_is_deleted(monkeypatch):  # else 5.8 MB are lost a case
    core = counting(monkeypatch)
    rules = [rule(f"r{n}", PIPING, Test("k", f"n{n}", "==", 1)) for n in range(80)]
    facts = [SEEN, *(Fact("k", f"n{n}", 1) for n in range(80) if n != 5)]
    assert len(Engine(rules).run(facts, lambda firings: [Fact("k", "n5", 1)])) == 80
    sets = 80 // JOINS_PER_SET
    assert core.calls["delete_state"] == sets + (JOINS_PER_SET > 1)  # one of them a second time
    assert not core.open


def test_rules_that_ask_for_something_unknown_are_not_even_opened(monkeypatch):
    core = counting(monkeypatch)
    rules = [rule(f"r{n}", PIPING, Test("k", f"n{n}", "==", 1)) for n in range(80)]
    engine = Engine(rules)
    assert engine.run([SEEN]) == ()
    assert core.calls["assert_fact"] == 0
    assert len(engine.run([SEEN, Fact("k", "n5", 1)])) == 1
    assert core.calls["delete_state"] == 1


@pytest.mark.parametrize("error", [ValueError("lost?"), KeyboardInterrupt(), SystemExit(3)])
def test_an_error_in_recording_a_firing_is_raised_and_the_session_deleted(monkeypatch, error):
    core = counting(monkeypatch)
    engine = Engine([rule("r", PIPING)])
    with monkeypatch.context() as patch:

        def fail(*_):
            raise error

        patch.setattr(core_of._Run, "record", fail)
        with pytest.raises(type(error)) as caught:
            engine.run([SEEN])
    assert caught.value is error
    assert not core.open
    assert engine.run([SEEN]) == AGREED


@pytest.mark.parametrize("error", [ValueError("lost?"), KeyboardInterrupt()])
def test_an_error_in_more_is_raised(error):
    def more(firings):
        raise error

    engine = Engine([rule("r", PIPING)])
    with pytest.raises(type(error)) as caught:
        engine.run([SEEN], more)
    assert caught.value is error
    assert engine.run([SEEN]) == AGREED


@pytest.mark.parametrize(
    "call",
    [("assert_fact", 1), ("complete_and_start_action", 1), ("complete_and_start_action", 2)],
)
def test_an_interrupt_between_any_two_calls_deletes_the_session(monkeypatch, call):
    core = counting(monkeypatch, (call, KeyboardInterrupt()))
    engine = Engine([rule("r", PIPING)])
    with pytest.raises(KeyboardInterrupt):
        engine.run([SEEN])
    assert not core.open
    assert engine.run([SEEN]) == AGREED


def test_a_session_interrupted_while_opening_is_left_alone_and_not_used_again(monkeypatch):
    # Deleting a session in which no rule ever fired crashes the process.
    core = counting(monkeypatch, (("start_action_for_state", 1), KeyboardInterrupt()))
    engine = Engine([rule("r", PIPING, Test("k", "n", "==", 1))])
    with pytest.raises(KeyboardInterrupt):
        engine.run([SEEN, Fact("k", "n", 1)])
    assert core.calls["delete_state"] == 0
    assert engine.run([SEEN, Fact("k", "n", 2)]) == ()
    assert len(engine.run([SEEN, Fact("k", "n", 1)])) == 1


def test_a_fact_that_durable_rules_drops_is_an_error(monkeypatch):
    core = counting(monkeypatch)
    engine = Engine([rule("r", PIPING)])

    core.assert_fact = lambda handle, fact: (1, 0)  # it met nothing
    with pytest.raises(EngineError, match="dropped"):
        engine.run([SEEN])


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="needs POSIX timers")
def test_interrupts_at_random_moments_are_neither_lost_nor_harmful():
    rules = [rule(f"r{n}", PIPING, Test("k", f"n{n % 50}", ">", n % 3)) for n in range(200)]
    facts = [SEEN, *(Fact("k", f"n{n}", 2) for n in range(50))]
    engine = Engine(rules)
    expected = plain.run(rules, facts)

    def interrupt(*_):
        raise KeyboardInterrupt

    caught = 0
    before = signal.signal(signal.SIGALRM, interrupt)
    gc.disable()  # Hypothesis listens to it, and Python drops what is raised in a listener
    try:
        for moment in range(300):
            try:
                signal.setitimer(signal.ITIMER_REAL, 1e-4 + moment * 1.3e-5)
                while True:
                    engine.run(facts)
            except KeyboardInterrupt:
                caught += 1
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
        gc.enable()
    assert caught == 300
    assert engine.run(facts) == expected


def test_what_one_run_was_told_is_forgotten_in_the_next():
    engine = Engine([rule("r", PIPING, Test("k", "n", "==", 1))])
    for _ in range(3):
        assert engine.run([SEEN]) == ()
        assert engine.run([Fact("k", "n", 1)]) == ()
        assert len(engine.run([SEEN, Fact("k", "n", 1)])) == 1
