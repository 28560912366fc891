"""Runs compiled rules over facts with durable-rules, kept at arm's length.

It takes plain rules (a choice of branches, each a list of tests that must all
hold) and plain facts, and says which branches fired and on which facts. What
the words mean:

- A test is met by a fact of the same kind and name whose value is of the same
  sort (number, text, true/false) and compares as asked. ``1``, ``True`` and
  ``"1"`` are three different things. Only numbers have an order.
- A branch fires when all its tests are met. Tests on one kind and name must be
  met by one and the same fact, so two bounds make a range.
- What a rule derives is a fact like any other: rules chain until nothing new
  follows.

``session`` alone touches durable-rules and tells how; ``layout`` arranges the
rules for it; ``terms`` holds what goes in and comes out.

>>> rule = CompiledRule("warm", ((Test("reading", "temperature_c", ">", 28.0),),))
>>> Engine([rule]).run([Fact("reading", "temperature_c", 30)])[0].rule_id
'warm'
"""

from advisor.rulebase.engine.layout import Layout
from advisor.rulebase.engine.session import Engine
from advisor.rulebase.engine.terms import (
    MAX_COMBINATIONS,
    MAX_CONDITIONS,
    CompiledRule,
    EngineError,
    EngineUnavailable,
    Fact,
    Firing,
    Operator,
    Test,
    Value,
    limits_exceeded,
)

__all__ = [
    "MAX_COMBINATIONS",
    "MAX_CONDITIONS",
    "CompiledRule",
    "Engine",
    "EngineError",
    "EngineUnavailable",
    "Fact",
    "Firing",
    "Layout",
    "Operator",
    "Test",
    "Value",
    "limits_exceeded",
]
