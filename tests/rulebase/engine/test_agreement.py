"""The engine against plain Python on random rule bases; a million on demand."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.rulebase.engine import CompiledRule, Engine, Fact, Test

from . import agree, draws, plain


@pytest.mark.slow
def test_thousands_of_random_rule_bases_agree():
    tally = agree.Tally()
    for base in range(800):
        agree.compare(f"ci-{base}", tally)
    assert tally.disagreements == []
    assert tally.draws == 4000
    assert tally.fired > 1400  # the draws are not all silence
    assert tally.chained > 350


NAMES = st.sampled_from([("reading", "ph"), ("reading", "sid"), ("sign", "ph"), ("derived", "a")])
NUMBERS = st.one_of(
    st.sampled_from(draws.NUMBERS),
    st.integers(),
    st.floats(allow_nan=False, allow_infinity=False),
)
VALUES = st.one_of(NUMBERS, st.booleans(), st.text(max_size=3), st.sampled_from(draws.TEXTS))


@st.composite
def some_tests(draw, name):
    if draw(st.booleans()):
        asked = st.tuples(st.sampled_from(["==", "!=", "<", "<=", ">", ">="]), NUMBERS)
    elif draw(st.booleans()):
        asked = st.tuples(st.sampled_from(["==", "!="]), st.booleans())
    else:
        asked = st.tuples(st.sampled_from(["==", "!="]), st.text(max_size=2))
    pairs = draw(st.lists(asked, min_size=1, max_size=3))
    return [Test(*name, op, value) for op, value in pairs]


@st.composite
def rule_bases(draw):
    facts = st.builds(lambda name, value: Fact(*name, value), NAMES, VALUES)
    rules = []
    for number in range(draw(st.integers(1, 6))):
        branches = []
        for names in draw(st.lists(st.sets(NAMES, min_size=1), min_size=1, max_size=2)):
            branches.append(tuple(test for name in names for test in draw(some_tests(name))))
        made = st.builds(Fact, st.just("derived"), st.sampled_from("abc"), st.just(True))
        rules.append(CompiledRule(f"r{number}", tuple(branches), draw(st.none() | made)))
    given_facts = draw(st.lists(facts, max_size=6))
    for number in draw(st.sets(st.integers(0, len(rules) - 1), max_size=3)):
        given_facts += [Fact(t.kind, t.name, t.value) for t in rules[number].branches[0]]
    return rules, list({fact[:2]: fact for fact in given_facts if fact.kind != "derived"}.values())


@pytest.mark.slow
@settings(max_examples=250)
@given(rule_bases())
def test_any_rule_base_agrees(case):
    rules, facts = case
    engine = Engine(rules)
    assert agree.same(engine.run(facts), plain.run(rules, facts))
    engine.close()


@settings(max_examples=50)
@given(rule_bases(), st.randoms(use_true_random=False))
def test_the_order_of_rules_and_facts_changes_nothing(case, rng: random.Random):
    rules, facts = case
    expected = Engine(rules).run(facts)
    rng.shuffle(rules)
    rng.shuffle(facts)
    assert Engine(rules).run(facts) == expected
