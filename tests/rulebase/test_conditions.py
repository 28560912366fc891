"""The condition language: Kleene's three values, negation, and the engine's form of it.

The laws are those of strong three-valued logic (Kleene 1952, Introduction to
Metamathematics, section 64): an outside rule our evaluation must obey.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.rulebase.condition_text import Names, read_condition
from advisor.rulebase.conditions import (
    NUMBERS,
    ConditionFault,
    Facts,
    Node,
    branches,
    evaluate,
    leaves,
    negate,
)

NAMES = Names(
    signs=frozenset({"gasping", "brown_gills"}),
    readings=frozenset({"tank_ph", "tank_do_mg_l"}),
    computed=frozenset({"ph_step"}),
    history={"supply": ("chlorine", "well", "rain"), "days": None},
    traits=frozenset({"scaleless"}),
    findings=frozenset({"limp"}),
    causes=frozenset({"nitrite"}),
    limits={"low_do": 2.0},
)

leaf_tables = st.one_of(
    st.builds(
        lambda s, i: {"sign": s, "is": i},
        st.sampled_from(sorted(NAMES.signs)),
        st.sampled_from(["seen", "absent"]),
    ),
    st.builds(
        lambda q, o, n: {"reading": q, o: n},
        st.sampled_from(sorted(NAMES.readings)),
        st.sampled_from(
            ["below", "at_most", "above", "at_least", "surely_above", "possibly_below"]
        ),
        st.integers(0, 4),
    ),
    st.builds(lambda w: {"history": "supply", "is": w}, st.sampled_from(["chlorine", "well"])),
    st.builds(lambda f: {"trait": "scaleless", "is": f}, st.booleans()),
    st.just({"finding": "limp"}),
)
conditions_ = st.recursive(
    leaf_tables,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3).map(lambda parts: {"all": parts}),
        st.lists(inner, min_size=1, max_size=3).map(lambda parts: {"any": parts}),
        inner.map(lambda part: {"not": part}),
    ),
    max_leaves=5,
)


@st.composite
def fact_sets(draw: Any) -> Facts:
    facts: dict[tuple[str, str], Any] = {}
    for sign in NAMES.signs:
        facts[("sign", sign)] = draw(st.sampled_from([True, False, None]))
    for name in NAMES.readings:
        value = draw(st.one_of(st.none(), st.integers(0, 4)))
        spread = draw(st.integers(0, 1))
        for kind, number in ((each, value) for each in NUMBERS):
            facts[(kind, name)] = number
        if value is not None and spread:
            facts[("low", name)], facts[("high", name)] = value - 1, value + 1
            facts[("most", name)] = value + 1
    facts[("history", "supply")] = draw(st.sampled_from(["chlorine", "well", "rain", None]))
    facts[("trait", "scaleless")] = draw(st.sampled_from([True, False, None]))
    facts[("finding", "limp")] = draw(st.sampled_from([True, False, None]))
    return {key: value for key, value in facts.items() if value is not None}


def holds(node: Node, facts: Facts) -> bool:
    return evaluate(node, facts) is True


@settings(max_examples=1500)
@given(conditions_, fact_sets())
def test_negation_is_kleenes(table: dict[str, Any], facts: Facts) -> None:
    node = read_condition(table, NAMES)
    value = evaluate(node, facts)
    expected = None if value is None else not value
    assert evaluate(negate(node), facts) is expected
    assert negate(negate(node)) == node


@settings(max_examples=1500)
@given(conditions_, fact_sets())
def test_branches_hold_exactly_when_the_condition_does(table: dict[str, Any], facts: Facts) -> None:
    node = read_condition(table, NAMES)
    try:
        alternatives = branches(node)
    except ConditionFault:
        assert not holds(node, facts)  # refused as impossible: then it must never hold
        return
    found = any(all(leaf.holds(facts) for leaf in branch) for branch in alternatives)
    assert found == holds(node, facts)


@settings(max_examples=500)
@given(conditions_, fact_sets())
def test_knowing_more_never_takes_back_what_was_decided(
    table: dict[str, Any], facts: Facts
) -> None:
    node = read_condition(table, NAMES)
    for missing in list(facts):
        fewer = {key: value for key, value in facts.items() if key != missing}
        before = evaluate(node, fewer)
        assert before is None or before is evaluate(node, facts)


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ({"reading": "tank_phh", "below": 6}, 'no reading "tank_phh"; did you mean "tank_ph"?'),
        ({"sign": "gaspin"}, 'did you mean "gasping"?'),
        ({"reading": "tank_ph", "under": 6}, 'no comparison "under"'),
        ({"reading": "tank_ph", "below": "lowdo"}, 'no limit "lowdo"; did you mean "low_do"?'),
        ({"history": "supply", "is": "chorine"}, 'did you mean "chlorine"?'),
        ({"all": []}, "must not be empty"),
        ({"standing": "nitrite", "at_least": "likely"}, "only after ranking"),
        ({"wibble": 1}, "no subject among wibble"),
        ({"reading": "tank_ph"}, "lacks a comparison"),
    ],
)
def test_faults_name_the_word_and_the_nearest(table: dict[str, Any], says: str) -> None:
    with pytest.raises(ConditionFault) as caught:
        read_condition(table, NAMES)
    assert says in str(caught.value)


def test_contradictions_are_refused() -> None:
    node = read_condition({"reading": "tank_ph", "below": 3, "above": 4}, NAMES)
    with pytest.raises(ConditionFault, match="contradict"):
        branches(node)
    touching = read_condition({"reading": "tank_ph", "at_least": 3, "at_most": 3}, NAMES)
    assert len(branches(touching)) == 1


def test_a_limit_keeps_its_name() -> None:
    node = read_condition({"reading": "tank_do_mg_l", "below": "low_do"}, NAMES)
    (leaf,) = leaves(node)
    assert (leaf.limit, leaf.value) == ("low_do", 2.0)


def test_banded_words_ask_the_right_end() -> None:
    kinds = {}
    for word in ("surely_above", "possibly_above", "surely_below", "possibly_below", "above"):
        (leaf,) = leaves(read_condition({"reading": "tank_ph", word: 7}, NAMES))
        kinds[word] = leaf.kind
    assert kinds == {
        "surely_above": "low",
        "possibly_above": "most",
        "surely_below": "high",
        "possibly_below": "low",
        "above": "value",
    }
