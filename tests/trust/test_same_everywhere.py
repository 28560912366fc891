"""A few surroundings of ``same_everywhere.py``, and that it would notice a difference."""

from __future__ import annotations

import sys

import pytest

from tests.trust.same_everywhere import ROOT, Said, apart, differing, there_is


def test_any_difference_is_noticed() -> None:
    said = {"a": Said(0, "1", "1"), "b": Said(0, "2", None)}
    assert differing(said, dict(said)) == []
    assert differing(said, {**said, "a": Said(0, "9", "9")}) == ["a"]
    assert differing(said, {**said, "a": Said(0, "1", "9")}) == ["a"], "other bytes, same content"
    assert differing(said, {**said, "a": Said(0, "1", None)}) == [], "no UTF-8 to compare"
    assert differing(said, {**said, "b": Said(2, "2", None)}) == ["b"]
    assert differing(said, {"a": said["a"]}) == ["b"]


@pytest.mark.slow
def test_hash_seed_and_locale_change_nothing() -> None:
    demos = ROOT / "cases" / "demo"
    first = apart(sys.executable, "0", "C.UTF-8", demos)
    assert len(first) == 2 * len(list(demos.glob("*.toml"))) > 0
    assert not any(said.status for said in first.values())
    places = [place for place in ("C", "de_DE.UTF-8", "tr_TR.UTF-8") if there_is(place)]
    assert "C" in places
    for place in places:
        assert differing(first, apart(sys.executable, "random", place, demos)) == []
