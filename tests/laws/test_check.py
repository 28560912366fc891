"""The checker itself: breaches are found and told, and no answer is a breach too."""

from __future__ import annotations

from typing import Any

import pytest

from tests.laws import check
from tests.laws.plan import written
from tests.laws.samples import fish

CALM = "swimming_normally answers_a_hand"


def test_a_broken_law_is_named() -> None:
    opened = fish("guppy", "open", CALM)
    assert check.broken(opened, written("Float the bag.")) == ["no_floating_of_an_open_bag"]
    assert check.broken(opened, written("Net them straight over.")) == []


def test_of_the_dead_nothing_is_asked() -> None:
    dead = fish("guppy", "open", "lying_on_side", counts=(0, 0, 5), lot={"count": 5})
    assert check.broken(dead, written("Float the bag.")) == []


def test_no_answer_is_a_breach_and_not_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(case: Any) -> None:
        raise ValueError("a number is out of range")

    monkeypatch.setattr(check, "assess", lambda: fails)
    case, _ = check.drawn("natural", 1)
    tally = check.check(case, "natural 1")
    assert [b.law for b in tally.breaches] == [check.NO_ANSWER]
    assert "out of range" in tally.breaches[0].shown[0]


def test_counts_add_up() -> None:
    one, other = check.run("natural", range(1, 4)), check.run("natural", range(4, 6))
    both = check.run_many("natural", range(1, 6))
    assert one.lots + other.lots == both.lots == 5
    assert len(one.breaches) + len(other.breaches) == len(both.breaches)
    assert sum(both.truths.values()) == 5
