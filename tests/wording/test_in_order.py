"""An order in words: what nothing tells apart is said to be in any order."""

from advisor.wording.in_order import in_order


def test_those_alike_stand_in_one_part() -> None:
    assert in_order(["a", "b"], [False, False]) == ("a", "b")
    parts = in_order(["a", "b", "c"], [False, False, True])
    assert parts[0] == "a" and len(parts) == 2
    assert "b and c in any order" in parts[1] and "nothing known" in parts[1]
    assert len(in_order(["a", "b", "c"], [False, True, True])) == 1
