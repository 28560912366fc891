"""How fish lie, said where kinds are asked for; no time sealed; fish that rest."""

from __future__ import annotations

import pytest

import advisor
from tests.ask.conftest import Begin
from tests.ask.utterances import NOW
from tests.said import joined


@pytest.mark.parametrize(
    "line, down",
    [
        ("5 on there sides", 5), ("3 on thier side", 3), ("two on its side", 2),
        ("4 upside down", 4), ("2 on there backs", 2), ("5 lying on sides", 5),
        ("7 laying on there sides, 1 dead", 7), ("some on there sides", None),
        ("half of them on there sides", None), ("6 at the top", None),
        ("a few on the bottum", None), ("3 with there fins clampd", None),
        ("4 gulping at surfis", None),
    ],
)  # fmt: skip
def test_how_they_lie_is_no_kind(line: str, down: int | None) -> None:
    heard = advisor.hear("kinds", line, now=NOW)
    assert "lots" not in heard
    assert heard.get("counts", {}).get("down") == down
    assert "no list of kinds" not in str(heard.get("ask_back"))


@pytest.mark.parametrize(
    "line, said, count",
    [
        ("30 neons, 5 on there sides", "neons", 30),
        ("10 guppies 2 on there sides", "guppies", 10),
        ("4 upside down catfish", "upside down catfish", 4),
        ("12 sidthimunki", "sidthimunki", 12),
    ],
)
def test_kinds_beside_it_stay(line: str, said: str, count: int) -> None:
    (lot,) = advisor.hear("kinds", line, now=NOW)["lots"]
    assert (lot["said"], lot["count"]) == (said, count)


def test_signs_at_the_kinds_are_noted_and_the_kinds_asked_once(begin: Begin) -> None:
    bench = begin(["some on there sides", "40 guppies"])
    bench.put("kinds")
    screen = joined(bench.screen)
    assert "Noted, but no kind is told" in screen
    assert "How many sides" not in screen and "Type the fish once more" not in screen
    assert bench.case.lot[0].species == "guppies"
    assert "lying_on_side" in {sign for look in bench.case.observation for sign in look.seen}


@pytest.mark.parametrize("line", ["0 h", "0 hours", "0 min", "0 days", "0.0 h"])
def test_no_time_sealed_is_asked_back(line: str) -> None:
    heard = advisor.hear("hours_sealed", line, now=NOW)
    assert "hours_sealed" not in heard and heard["ask_back"]


@pytest.mark.parametrize("line", ["0", "0 h", "0 min"])
def test_no_time_sealed_stands_only_when_it_is_meant(line: str, begin: Begin) -> None:
    bench = begin([line, "30 h"])
    bench.put("hours_sealed")
    assert "no time at all" in joined(bench.screen)
    assert bench.case.transit.hours_sealed == 30


@pytest.mark.parametrize(
    "line, seen",
    [
        ("resting, gills fast", {"lying_on_bottom_upright", "rapid_gill_movement"}),
        ("gills fast, resting", {"lying_on_bottom_upright", "rapid_gill_movement"}),
        ("rests a lot, gills pumping", {"lying_on_bottom_upright", "rapid_gill_movement"}),
        ("not resting, gills fast", {"rapid_gill_movement"}),
        ("they rested, now swimming", {"swimming_normally"}),
        ("2 dead, rest ok", set()),
    ],
)
def test_fish_that_rest(line: str, seen: set[str]) -> None:
    heard = advisor.hear("breathing_and_posture", line, now=NOW)
    assert set(heard.get("signs_seen", ())) == seen
