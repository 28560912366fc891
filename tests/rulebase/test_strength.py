"""Strength is bounded by what carries it; the table stands in DEVELOPERS.md and is tried here."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.check_strength import by_passage, carried, strength_remarks
from advisor.rulebase.works import Passage, with_basis

REF = "noga"


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def with_rule(base: RuleBase, shows: str, basis: str, cited: str, **changed: Any) -> RuleBase:
    """The base with one passage and one rule that cites nothing else; the cause strikes any."""
    told = {"ref": REF, "at": "p. 1", "says": "x", "scope": "x", "kinds": ["any"]}
    passage = Passage.model_validate({**told, "shows": shows, "basis": basis, **_of(changed)})
    first = next(
        rule
        for rule in base.rules.values()
        if base.causes[rule.supports or rule.opposes or ""].kinds == ("any",)
    )
    fields = {**first.model_dump(exclude={"exception", "stretched_to"}), **changed}
    fields["source"] = [{"ref": REF, "at": "p. 1", "basis": cited}]
    rule = type(first).model_validate(fields)
    return replace(base, passages={passage.id: passage}, rules={rule.id: rule})


def _of(changed: dict[str, Any]) -> dict[str, Any]:
    return {"kinds": changed.pop("kinds")} if "kinds" in changed else {}


@pytest.mark.parametrize(
    ("shows", "basis", "cited", "word"),
    [
        ("measured", "read", "read", "decisive"),
        ("defined", "opening", "opening", "decisive"),
        ("measured", "abstract", "derived", "strong"),
        ("trial", "abstract", "abstract", "strong"),
        ("repeated", "read", "read", "strong"),
        ("trial", "read", "derived", "supporting"),
        ("reported", "read", "read", "supporting"),
        ("taught", "read", "read", "supporting"),
        ("measured", "second-hand", "second-hand", "weak"),
        ("measured", "memory", "memory", "weak"),
    ],
)
def test_the_table(base: RuleBase, shows: str, basis: str, cited: str, word: str) -> None:
    changed = with_rule(base, shows, basis, cited)
    assert carried(next(iter(changed.rules.values())), changed) == word


def test_two_works_that_tell_the_same_are_a_repeated_finding(base: RuleBase) -> None:
    one = with_rule(base, "taught", "read", "read")
    rule = next(iter(one.rules.values()))
    other = Passage.model_validate(
        {"ref": "oata-wq", "says": "x", "scope": "x", "kinds": ["any"], "shows": "reported",
         "basis": "opening"}
    )  # fmt: skip
    cited = {**rule.source[0].model_dump(), "ref": "oata-wq", "at": None, "basis": "opening"}
    both = rule.model_copy(update={"source": (*rule.source, type(rule.source[0])(**cited))})
    two = replace(one, passages={**one.passages, other.id: other}, rules={rule.id: both})
    assert (carried(rule, one), carried(both, two)) == ("supporting", "strong")


def faults(base: RuleBase) -> list[str]:
    return [each.text for each in strength_remarks(base) if each.severity == "fault"]


def test_a_stronger_rule_needs_an_exception_and_only_then(base: RuleBase) -> None:
    bare = with_rule(base, "taught", "read", "read", strength="strong")
    assert any("carry no more than supporting" in text for text in faults(bare))
    told = {"strength": "strong", "exception": "it says why"}
    assert not faults(with_rule(base, "taught", "read", "read", **told))
    idle = with_rule(base, "trial", "read", "read", **told)
    assert any("carry its strength" in text for text in faults(idle))


def test_a_stretch_to_other_kinds_is_said(base: RuleBase) -> None:
    narrow = {"strength": "weak", "kinds": ["guppies"]}
    silent = with_rule(base, "taught", "read", "read", **narrow)
    assert any("speak of guppies only" in text for text in faults(silent))
    said = with_rule(base, "taught", "read", "read", **narrow, stretched_to="other kinds")
    assert not faults(said)
    idle = with_rule(base, "taught", "read", "read", strength="weak", stretched_to="other kinds")
    assert any("says stretched_to" in text for text in faults(idle))


@pytest.mark.parametrize("shows", ["defined", "measured", "trial"])
def test_what_is_told_by_another_work_is_an_account(base: RuleBase, shows: str) -> None:
    """A code or a trial that nobody opened is what somebody says of it."""
    quoted = with_rule(base, shows, "second-hand", "second-hand", strength="weak")
    assert any("known by second-hand only" in text for text in faults(quoted))
    assert not faults(with_rule(base, "reported", "second-hand", "second-hand", strength="weak"))


def test_a_citation_is_not_read_further_than_its_passage(base: RuleBase) -> None:
    wrong = with_rule(base, "taught", "abstract", "read", strength="weak")
    assert any("the passage says abstract" in text for text in faults(wrong))


def test_a_citation_takes_the_basis_of_its_passage() -> None:
    read = {"a-work": "abstract", "a-work at p. 2": "read"}
    raw = {"source": [{"ref": "a-work", "at": "p. 2"}, {"ref": "a-work", "at": "p. 3"},
                      {"ref": "judgement"}, {"ref": "unknown"}]}  # fmt: skip
    got = [each.get("basis") for each in with_basis(raw, read)["source"]]
    assert got == ["read", "abstract", "judgement", None]


def test_the_shipped_rules_are_within_the_table(base: RuleBase) -> None:
    assert not faults(base)


def test_half_of_the_evidence_rests_on_something_read(base: RuleBase) -> None:
    assert by_passage(base)["rules on something read"] >= len(base.rules) / 2
