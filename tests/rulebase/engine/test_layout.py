"""How rules are laid out: no rule set is visited for nothing.

A needless visit to a rule set does no harm but takes time, and to save it is what
the layout is for. A visit is a session, so it is counted where sessions are deleted.
"""

from __future__ import annotations

import pytest

from advisor.rulebase import rule_layout as layout
from advisor.rulebase.engine import CompiledRule, Engine, EngineError, Fact, Test

from . import plain
from .counting import counting


def asks(name):
    return Test("k", name, "==", True)


def tells(*names):
    return [Fact("k", name, True) for name in names]


def rule(rule_id, *branches, derives=None):
    """A branch is a text of the names it asks for."""
    tests = tuple(tuple(map(asks, branch.split())) for branch in branches)
    return CompiledRule(rule_id, tests, tells(derives)[0] if derives else None)


def visits(monkeypatch, joins_per_set, rules, facts):
    """How often a rule set is visited in one run, which must agree with plain Python."""
    monkeypatch.setattr(layout, "JOINS_PER_SET", joins_per_set)
    core = counting(monkeypatch)
    assert Engine(rules).run(facts) == plain.run(rules, facts)
    return core.calls["delete_state"]


def test_rules_that_derive_come_before_those_that_only_fire(monkeypatch):
    rules = [
        rule("fires", "a", "early"),
        rule("derives", "given", derives="a"),
        rule("derives too", "also", derives="b"),
    ]
    assert visits(monkeypatch, 2, rules, tells("given", "also", "early")) == 2


def test_a_join_counts_as_deriving_when_one_of_its_branches_does(monkeypatch):
    rules = [
        rule("fires", "given"),
        rule("derives too", "also", derives="c"),
        rule("next", "a", "early", derives="b"),
        rule("derives", "given", derives="a"),
    ]
    assert visits(monkeypatch, 2, rules, tells("given", "also", "early")) == 2


def test_a_rule_set_that_feeds_itself_is_visited_until_nothing_new_follows(monkeypatch):
    rules = [rule("r", "given", derives="a"), rule("s", "a", derives="b"), rule("t", "a b")]
    assert visits(monkeypatch, 4, rules, tells("given")) == 3


def test_a_value_that_meets_no_rule_of_a_set_is_not_told_to_it(monkeypatch):
    rules = [CompiledRule(f"r{n}", ((asks("a"), Test("k", "n", "==", n)),), None) for n in range(9)]
    assert visits(monkeypatch, 1, rules, [*tells("a"), Fact("k", "n", 4)]) == 1
    assert visits(monkeypatch, 1, rules, [*tells("a"), Fact("k", "n", 4.5)]) == 0


def test_joins_that_ask_for_the_same_rare_name_stand_together(monkeypatch):
    rules = [rule(f"r{n}", f"s n{n % 10} m{n // 10}") for n in range(80)]
    # 80 ask for s, 10 for each m, 8 for each n: those 8 fill one rule set.
    facts = tells("s", "n3", *[f"m{n}" for n in range(8)])
    assert visits(monkeypatch, 8, rules, facts) == 1


def test_rules_may_come_from_an_iterator():
    rules = [rule("r", "given", derives="a"), rule("s", "a")]
    assert Engine(iter(rules)).run(tells("given")) == plain.run(rules, tells("given"))
    with pytest.raises(EngineError, match="another rule has the same id"):
        Engine(iter([rules[0], rules[0]]))
