"""One rule on one sign, and what the engine makes of it."""

from __future__ import annotations

from advisor.rulebase.engine import CompiledRule, Fact, Firing, Test


def rule(rule_id, *tests, derives=None):
    return CompiledRule(rule_id, (tests,), derives)


PIPING = Test("sign", "piping", "==", True)
SEEN = Fact("sign", "piping", True)
AGREED = (Firing("r", 0, (SEEN,)),)
