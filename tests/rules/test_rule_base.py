"""What holds of the rule base as a whole."""

from __future__ import annotations

import re

from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.check import check
from advisor.rulebase.condition_text import read_condition


def test_the_checker_finds_no_fault(base: RuleBase) -> None:
    assert [r for r in check(base) if r.severity == "fault"] == []


def test_leaving_alone_is_barred_by_every_cause_that_calls_for_a_deed(base: RuleBase) -> None:
    barring = {
        leaf.name
        for forbid in base.actions["leave_alone"].forbidden
        for leaf in conditions.leaves(read_condition(forbid.when, base.names, later=True))
        if leaf.kind == "standing"
    }
    assert barring == {c.id for c in base.causes.values() if c.direction != "leave_alone"}


def test_leaving_alone_needs_a_cause_that_wants_rest_to_stand_first(base: RuleBase) -> None:
    first = {
        leaf.name
        for forbid in base.actions["leave_alone"].forbidden
        for leaf in conditions.leaves(read_condition(forbid.when, base.names, later=True))
        if leaf.kind == "first"
    }
    assert first == {c.id for c in base.causes.values() if c.direction == "leave_alone"}


def test_steps_for_fresh_water_say_so(base: RuleBase) -> None:
    """Whatever mixes or salts fresh water is forbidden for sea fish, whatever the ranking."""
    for name in (
        *("give_pure_water_minerals", "match_minerals_in_tub"),
        *("zeolite_in_filter", "salt_against_nitrite"),
    ):
        words = [
            (leaf.kind, leaf.name, leaf.value)
            for forbid in base.actions[name].forbidden
            for leaf in _leaves_with_findings(base, forbid.when)
        ]
        assert ("trait", "marine", True) in words, name


def test_what_holds_a_step_back_reads_on_after_because(base: RuleBase) -> None:
    """ "NOT NOW: ..., because they live in salt water", never "because not on the first day"."""
    no_clause = re.compile(r"(?:not|for|with no|a|an|look|leave|match|needs|no hands)\b", re.I)
    verb = re.compile(r"\b(?:is|are|has|have|must|takes|does)\b")
    for action in base.actions.values():
        held = [forbid.because for forbid in action.forbidden]
        held += [action.requires_because] if action.requires_because else []
        for because in held:
            said = because.partition(":")[0]  # "A binder is in the water" has its verb
            assert not no_clause.match(said) or verb.search(said), (action.id, because)


def _leaves_with_findings(base: RuleBase, condition: object) -> list[conditions.Leaf]:
    assert isinstance(condition, dict)
    found = []
    for leaf in conditions.leaves(read_condition(condition, base.names, later=True)):
        found.append(leaf)
        if leaf.kind == "finding":
            found += _leaves_with_findings(base, dict(base.findings[leaf.name].when))
    return found
