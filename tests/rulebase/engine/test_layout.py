"""How rules are laid out: no rule set is visited for nothing, and a kept layout is as good as new.

A needless visit to a rule set does no harm but takes time, and to save it is what
the layout is for. A visit is a session, so it is counted where sessions are deleted.
"""

from __future__ import annotations

import itertools
import json
import random

import pytest

from advisor.rulebase.engine import CompiledRule, Engine, EngineError, Fact, Layout, Test, layout

from . import draws, plain
from .counting import counting


def asks(name):
    return Test("k", name, "==", True)


def tells(*names):
    return [Fact("k", name, True) for name in names]


def rule(rule_id, *branches, derives=None):
    """A branch is a text of the names it asks for."""
    tests = tuple(tuple(map(asks, branch.split())) for branch in branches)
    return CompiledRule(rule_id, tests, tells(derives)[0] if derives else None)


def visits(monkeypatch, conditions_per_set, rules, facts):
    """How often a rule set is visited in one run, which must agree with plain Python."""
    monkeypatch.setattr(layout, "CONDITIONS_PER_SET", conditions_per_set)
    core = counting(monkeypatch)
    assert Engine(rules).run(facts) == plain.run(rules, facts)
    return core.calls["delete_state"]


@pytest.mark.parametrize("order", list(itertools.permutations(range(4))))
def test_rules_that_need_what_others_derive_come_after_them_in_any_order(monkeypatch, order):
    # Each can fire at once by its second branch, so one that came too early is visited again.
    rules = [
        rule("first", "s given", "early0", derives="a"),
        rule("second", "s a", "early1", derives="b"),
        rule("third", "s b", "early2", derives="c"),
        rule("fourth", "a c", "early3", derives="d"),  # of what it needs, the last counts
    ]
    facts = tells("s", "given", "early0", "early1", "early2", "early3")
    assert visits(monkeypatch, 3, [rules[n] for n in order], facts) == 4


def test_rules_that_derive_come_before_those_that_only_fire(monkeypatch):
    rules = [rule("fires", "a", "early"), rule("derives", "given", derives="a")]
    assert visits(monkeypatch, 2, rules, tells("given", "early")) == 2


def test_a_join_counts_as_deriving_when_one_of_its_branches_does(monkeypatch):
    rules = [
        rule("fires", "given"),
        rule("next", "a", "early", derives="b"),
        rule("derives", "given", derives="a"),
    ]
    assert visits(monkeypatch, 2, rules, tells("given", "early")) == 2


def test_a_rule_set_that_feeds_itself_is_visited_once(monkeypatch):
    rules = [rule("r", "given", derives="a"), rule("s", "a", derives="b"), rule("t", "a b")]
    assert visits(monkeypatch, 4, rules, tells("given")) == 2  # of two rule sets


def test_joins_that_ask_for_the_same_rare_name_stand_together(monkeypatch):
    rules = [rule(f"r{n}", f"s n{n % 10} m{n // 10}") for n in range(80)]
    # 80 ask for s, 10 for each m, 8 for each n: those 8 ask 24 times and fill one rule set.
    facts = tells("s", "n3", *[f"m{n}" for n in range(8)])
    assert visits(monkeypatch, 24, rules, facts) == 1


def test_rules_may_come_from_an_iterator():
    rules = [rule("r", "given", derives="a"), rule("s", "a")]
    assert Engine(iter(rules)).run(tells("given")) == plain.run(rules, tells("given"))
    with pytest.raises(EngineError, match="another rule has the same id"):
        Engine(iter([rules[0], rules[0]]))


# Kept as JSON


def kept(laid_out):
    return Layout.of_plain(json.loads(json.dumps(laid_out.plain())))


def test_a_kept_layout_runs_as_a_new_one():
    rng, fired = random.Random("kept"), 0
    for _ in range(60):
        rules, words = draws.rule_base(rng)
        facts = list({fact[:2]: fact for fact in draws.facts(rng, words, rules)}.values())
        found = Engine(kept(Layout.of(rules))).run(facts)
        assert repr(found) == repr(Engine(rules).run(facts))
        fired += bool(found)
    assert fired > 20


def test_a_layout_may_be_kept_again_and_again():
    rules, _ = draws.rule_base(random.Random(3))
    new = Layout.of(rules)
    assert json.dumps(kept(kept(new)).plain()) == json.dumps(new.plain())


@pytest.mark.parametrize("keep", [kept, lambda laid_out: laid_out])
def test_values_that_miss_one_test_of_several_do_not_multiply(keep):
    """Ten of thirteen values meet the tests: three names make 1,000 ways, which is allowed."""
    tests = [
        Test("k", name, op, value)
        for name in "abc"
        for op, value in ((">=", 1), ("<=", 11), ("!=", 6))
    ]
    rules = [CompiledRule("r", (tuple(tests),))]
    facts = [Fact("k", name, value) for name in "abc" for value in range(13)]
    engine = Engine(keep(Layout.of(rules)))
    assert engine.run(facts) == plain.run(rules, facts)
    with pytest.raises(EngineError, match="rule r: over 1000 ways to meet branch 0"):
        engine.run([*facts, Fact("k", "a", 6.5)])
