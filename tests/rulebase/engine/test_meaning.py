"""What it means for a rule to fire."""

from __future__ import annotations

import itertools
import math

import pytest

from advisor.rulebase.engine import (
    CompiledRule,
    Engine,
    EngineError,
    Fact,
    Firing,
    Test,
    limits_exceeded,
)
from advisor.rulebase.rule_layout import MAX_CONDITIONS

from . import plain


def rule(rule_id, *branches, derives=None):
    return CompiledRule(rule_id, tuple(tuple(branch) for branch in branches), derives)


def fires(test, *values):
    """Whether one rule with this test fires on facts of the same name."""
    facts = [Fact(test.kind, test.name, value) for value in values]
    found = Engine([rule("r", [test])]).run(facts)
    assert found == plain.run([rule("r", [test])], facts)
    return bool(found)


def asks(op, value):
    return Test("reading", "ph", op, value)


@pytest.mark.parametrize(
    ("op", "below", "at", "above"),
    [
        ("==", False, True, False),
        ("!=", True, False, True),
        ("<", True, False, False),
        ("<=", True, True, False),
        (">", False, False, True),
        (">=", False, True, True),
    ],
)
@pytest.mark.parametrize("limit", [7.5, 7, -3, 0, 1e22, 1e-7, 5e-324, 2**53, 10**40, 0.1 + 0.2])
def test_each_comparison_below_at_and_above_its_limit(op, below, at, above, limit):
    step = 1 if isinstance(limit, int) else 0
    under = limit - step if step else math.nextafter(limit, -math.inf)
    over = limit + step if step else math.nextafter(limit, math.inf)
    assert [fires(asks(op, limit), x) for x in (under, limit, over)] == [below, at, above]


@pytest.mark.parametrize(
    ("limit", "value", "equal"),
    [
        (7, 7.0, True),
        (0.0, -0.0, True),
        (10**22, 1e22, True),
        (2**53, 2**53 + 1, False),  # the same as floats, different as numbers
        (2.0**53, 2**53 + 1, False),
        (0.3, 0.1 + 0.2, False),
        (7, "7", False),
        ("7", 7, False),
        ("7", 7.0, False),
        (1, True, False),
        (True, 1, False),
        (0.0, False, False),
        (True, "true", False),
        ("True", True, False),
        ("", False, False),
        ("", "", True),
        ("a", "A", False),
        ("a", "a ", False),
        ("a", "a\x00", False),
        ("é", "e\u0301", False),  # not normalised: other characters, another text
        ("x" * 65536 + "abc", "abc", False),  # durable-rules keeps 16 bits of a length
        ('a", "v": 1, "x": "', 'a", "v": 1, "x": "', True),
        ("\\", "\\", True),
        ("\ud800", "\ud800", True),
    ],
)
def test_equal_means_the_same_sort_and_the_same_value(limit, value, equal):
    assert fires(asks("==", limit), value) is equal


@pytest.mark.parametrize(("limit", "value"), [(7, "8"), ("7", 8), (1, False), (True, 0)])
def test_not_equal_asks_for_the_same_sort_too(limit, value):
    assert not fires(asks("!=", limit), value)


@pytest.mark.parametrize(
    "word", ["sid", "id", "$s", "$and", 'q"k', "\\", "鱼", "🐟", "", "\x00", "a.b", "c0", "{0}"]
)
def test_any_text_can_be_a_kind_a_name_a_value_or_a_rule_id(word):
    rules = [rule(word, [Test(word, word, "==", word)], derives=Fact("found", word, word))]
    facts = (Fact(word, word, word),)
    assert Engine(rules).run(facts) == (Firing(word, 0, facts),)


def test_a_kind_and_a_name_do_not_run_together():
    rules = [rule("r", [Test("ab", "c", "==", 1)])]
    assert Engine(rules).run([Fact("a", "bc", 1), Fact("abc", "", 1), Fact("c", "ab", 1)]) == ()


def test_every_test_of_one_branch_must_hold():
    rules = [rule("r", [asks(">=", 7), Test("sign", "piping", "==", True)])]
    assert Engine(rules).run([Fact("reading", "ph", 7)]) == ()
    facts = (Fact("reading", "ph", 7), Fact("sign", "piping", True))
    assert Engine(rules).run(facts) == (Firing("r", 0, facts),)


def test_one_branch_is_enough_and_each_branch_is_reported():
    rules = [rule("r", [asks("<", 6)], [asks("<", 7)], [asks("<", 8)])]
    found = Engine(rules).run([Fact("reading", "ph", 6.5)])
    assert [firing.branch for firing in found] == [1, 2]


@pytest.mark.parametrize(("value", "inside"), [(6, False), (6.5, True), (7.5, True), (8, False)])
def test_two_bounds_make_a_range(value, inside):
    rules = [rule("r", [asks(">=", 6.5), asks("<=", 7.5), asks(">=", 6.5)])]
    assert bool(Engine(rules).run([Fact("reading", "ph", value)])) is inside


def test_facts_come_in_the_order_of_the_tests():
    names = ["d", "a", "c", "b"]
    rules = [rule("r", [Test("k", name, "==", 1) for name in names])]
    found = Engine(rules).run([Fact("k", name, 1) for name in sorted(names)])
    assert [fact.name for fact in found[0].facts] == names


@pytest.mark.parametrize(
    ("first", "second"), [(8, 5), (1, True), (True, False), ("1", 1), ("a", "b"), (1.0, "1.0")]
)
def test_two_values_of_one_name_are_refused(first, second):
    engine = Engine([rule("r", [asks(">", 6)])])
    with pytest.raises(EngineError, match=r"reading ph: told as .* and as .*; one can hold"):
        engine.run([Fact("reading", "ph", first), Fact("reading", "ph", second)])
    with pytest.raises(EngineError, match="one can hold"):
        engine.run([Fact("reading", "ph", first)], lambda _: [Fact("reading", "ph", second)])


def test_a_derived_value_that_contradicts_is_refused():
    rules = [rule(f"r{n}", [asks(">", n)], derives=Fact("found", "x", n == 0)) for n in (0, 1)]
    with pytest.raises(EngineError, match="found x: told as"):
        Engine(rules).run([Fact("reading", "ph", 8)])


def test_firings_are_sorted_by_rule_and_branch_whatever_the_order_of_rules_and_facts():
    rules = [rule(f"r{n}", [asks(">", n)], [Test("k", "m", "<", 9)]) for n in (3, 10, 1, 2)]
    facts = [Fact("reading", "ph", 20), Fact("k", "m", 3)]
    results = {
        Engine(order).run(given)
        for order in itertools.permutations(rules)
        for given in itertools.permutations(facts)
    }
    assert len(results) == 1
    found = results.pop()
    assert [firing[:2] for firing in found] == sorted(firing[:2] for firing in found)
    assert len(found) == 8


def test_repeated_facts_count_once():
    rules = [rule("r", [asks(">", 6)])]
    found = Engine(rules).run([Fact("reading", "ph", 7)] * 50 + [Fact("reading", "ph", 7.0)])
    assert found == (Firing("r", 0, (Fact("reading", "ph", 7),)),)


def test_facts_no_rule_asks_for_are_ignored():
    assert Engine([rule("r", [asks(">", 6)])]).run([Fact("reading", "salinity_g_kg", 7)]) == ()


def test_no_rules_and_no_facts_give_no_firings():
    assert Engine([]).run([Fact("reading", "ph", 7)]) == ()
    assert Engine([rule("r", [asks(">", 6)])]).run([]) == ()


def chain(length):
    """r0 derives step 0 from a reading, each next rule a step from the one before."""
    first = rule("r0", [asks(">", 7)], derives=Fact("step", "0", True))
    later = [
        rule(f"r{n}", [Test("step", str(n - 1), "==", True)], derives=Fact("step", str(n), True))
        for n in range(1, length)
    ]
    return [first, *later]


@pytest.mark.parametrize("backwards", [False, True])
def test_rules_chain_to_any_depth(backwards):
    rules = chain(300)  # more than one rule set
    engine = Engine(rules[::-1] if backwards else rules)
    assert len(engine.run([Fact("reading", "ph", 8)])) == 300
    assert engine.run([Fact("reading", "ph", 7)]) == ()


def test_a_derived_fact_joins_given_ones():
    rules = [
        rule("finding", [asks(">", 8)], derives=Fact("finding", "alkaline", True)),
        rule(
            "cause", [Test("finding", "alkaline", "==", True), Test("sign", "piping", "==", True)]
        ),
    ]
    found = Engine(rules).run([Fact("sign", "piping", True), Fact("reading", "ph", 9)])
    assert found[0] == Firing(
        "cause", 0, (Fact("finding", "alkaline", True), Fact("sign", "piping", True))
    )


def test_rules_that_feed_each_other_come_to_rest():
    rules = [
        rule(
            "a", [Test("k", "b", "==", 1)], [Test("k", "start", "==", 1)], derives=Fact("k", "a", 1)
        ),
        rule("b", [Test("k", "a", "==", 1)], derives=Fact("k", "b", 1)),
        rule("self", [Test("k", "a", "==", 1)], derives=Fact("k", "a", 1)),
    ]
    found = Engine(rules).run([Fact("k", "start", 1)])
    assert [firing[:2] for firing in found] == [("a", 0), ("a", 1), ("b", 0), ("self", 0)]


def test_more_sees_the_first_firings_once_and_its_facts_chain():
    calls = []

    def more(firings):
        calls.append(firings)
        return [Fact("standing", "ammonia", "likely")]

    likely = Test("standing", "ammonia", "==", "likely")
    rules = [
        rule("evidence", [asks(">", 8)]),
        rule("action", [likely, asks(">", 8)], derives=Fact("doing", "add_air", True)),
        rule("caution", [Test("doing", "add_air", "==", True)]),
    ]
    ph = Fact("reading", "ph", 9)
    found = Engine(rules).run([ph], more)
    assert calls == [(Firing("evidence", 0, (ph,)),)]
    assert [firing.rule_id for firing in found] == ["action", "caution", "evidence"]


def test_more_is_called_when_nothing_fired():
    calls = []
    assert Engine([rule("r", [asks(">", 8)])]).run([], lambda f: calls.append(f) or []) == ()
    assert calls == [()]


@pytest.mark.parametrize(
    "value", [math.nan, math.inf, -math.inf, None, [1], {"v": 1}, b"7", 1j, Fact]
)
def test_values_that_cannot_be_compared_are_refused(value):
    engine = Engine([rule("r", [asks(">", 6)])])
    with pytest.raises(EngineError, match=r"reading ph: .* is not a finite number, text, true or"):
        engine.run([Fact("reading", "ph", value)])
    with pytest.raises(EngineError, match=r"rule r: branch 0: reading ph: .* is not a finite"):
        Engine([rule("r", [asks("==", value)])])
    with pytest.raises(EngineError, match=r"rule r: derived fact: .* is not a finite"):
        Engine([rule("r", [asks("==", 1)], derives=Fact("k", "n", value))])
    with pytest.raises(EngineError, match="not a finite"):
        engine.run([], lambda firings: [Fact("reading", "ph", value)])


@pytest.mark.parametrize("op", ["<", "<=", ">", ">=", "~", "", "="])
@pytest.mark.parametrize("value", ["text", True])
def test_only_numbers_have_an_order(op, value):
    with pytest.raises(EngineError, match=r"rule r: branch 0: reading ph: .* cannot compare"):
        Engine([rule("r", [asks(op, value)])])


def refused(*rules):
    with pytest.raises(EngineError) as caught:
        Engine(rules)
    assert str(caught.value).splitlines() == limits_exceeded(rules)
    return limits_exceeded(rules)


def test_rules_that_cannot_be_right_are_refused_all_at_once():
    assert refused(
        rule("twice", [asks(">", 1)]),
        rule("twice", [asks(">", 1)]),
        rule("never"),
        rule("always", [asks(">", 1)], []),
        rule("mixed", [asks("==", "7"), asks("==", 7)]),
        rule("truth", [asks("==", 1), asks("!=", True)], [asks(">", False)]),
    ) == [
        "rule twice: another rule has the same id",
        "rule never: it has no branch, so it could never fire",
        "rule always: branch 1: it has no conditions, so it would always fire",
        "rule mixed: branch 0: reading ph: compared both with text and with a number",
        "rule truth: branch 0: reading ph: compared both with a number and with true or false",
        "rule truth: branch 1: reading ph: '>' cannot compare true or false, allowed: == !=",
    ]


def wide(count):
    return rule("r", [Test("k", f"n{n}", "==", n) for n in range(count)])


def test_a_branch_asks_for_no_more_facts_than_the_limit():
    facts = tuple(Fact("k", f"n{n}", n) for n in range(MAX_CONDITIONS))
    assert Engine([wide(MAX_CONDITIONS)]).run(facts) == (Firing("r", 0, facts),)
    assert refused(wide(MAX_CONDITIONS + 1)) == [
        "rule r: branch 0: 13 conditions, at most 12 are allowed; make a finding of some of them"
    ]


def test_tests_on_one_fact_are_one_condition():
    tests = [Test("k", "n", "!=", value) for value in range(40)]
    assert Engine([rule("r", tests)]).run([Fact("k", "n", 40)])
    assert not Engine([rule("r", tests)]).run([Fact("k", "n", 39)])
