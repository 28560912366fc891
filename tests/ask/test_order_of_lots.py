"""The lot told to be worst is asked about first, and stands first wherever steps are shown.

As a foreman met it: gasping fish in an opened bag were asked about last, after two shut lots.
"""

from __future__ import annotations

import re
from pathlib import Path

from advisor.advice.reasoner import Reasoner
from advisor.case import loads_case
from tests.ask.conftest import Play
from tests.ask.test_done import ASIDE, TWO_STEPS
from tests.ask.test_recheck import sitting
from tests.said import joined

THREE = ["9", "u", "12 neons, 8 guppies, 6 corys", "1"]


def _asked(screen: str) -> list[str]:
    """The lots that were asked about, in order, each as often as it was come to."""
    found = re.findall(r"\d+\. (\d+ [a-z ]+): [A-Z]", joined(screen))
    return [name for at, name in enumerate(found) if at == 0 or found[at - 1] != name]


def test_a_lot_told_to_gasp_is_asked_about_before_those_typed_before_it(play: Play) -> None:
    played = play([*THREE, "1", "corys in open bag since 10 min, gasping", "u"])
    assert _asked(played.screen) == ["12 neons", "6 corys"]
    screen = joined(played.screen)
    assert "DO NOW (corys): Out of that bag now" in screen
    assert screen.index("Next lot: 6 corys") > screen.index("DO NOW (corys)")


def test_the_others_follow_in_typed_order(play: Play) -> None:
    played = play(
        [*THREE, "1", "corys gasping", "12", "2", "0 dead 0 down", "6", "e", "0", "1", "0", "0"]
    )
    assert _asked(played.screen)[:3] == ["12 neons", "6 corys", "12 neons"]


def test_kinds_told_with_where_they_are(play: Play) -> None:
    """The opened and gasping ones first, as the line tells it."""
    line = "12 neons shut, 8 guppies shut, 6 corys open and gasping"
    played = play(["9", "u", line, "1", "0"])
    assert _asked(played.screen)[0] == "6 corys"


def test_what_waits_begins_with_the_worst_lot(play: Play) -> None:
    """The numbers stay as announced; what the worst lot waits for is said first, and in p."""
    played = play(["2 dead 4 down", "e", "p", "s"], loads_case(TWO_STEPS))
    before, waiting = joined(played.screen).split("> 2 dead 4 down")
    assert "Still to do now: 1 Air the tank hard" in before
    assert "Still to do now: 2 Out of that bag now" in waiting
    assert waiting.split("> p ")[1].startswith("DO NOW: corys: ")


def test_a_later_look_begins_with_the_lot_that_was_worst(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = loads_case('[delivery]\nreceived = "2026-03-02T12:00:00"\n' + ASIDE)
    later = sitting("look", case, ["0", "12", "0", "0", "12", "0"], reasoner, tmp_path, 1.0)
    assert _asked(later.screen)[:2] == ["8 bronze cory", "60 neon tetra"]
    screen = joined(later.screen)
    assert screen.index("DO NOW (corys): Air the tank hard") < screen.index("1. 8 bronze cory")


def test_the_same_as_the_lot_before_is_the_one_asked_before(play: Play) -> None:
    """Asked corys, then neons: = at the neons copies the corys, as the line above it says."""
    case = loads_case(
        ASIDE.split("[[observation]]")[0]
        + """
[[observation]]
lot = "corys"
seen = ["gasping_at_surface"]
"""
    )
    screen = joined(play(["e", "=", "s"], case).screen)
    assert "= the same as corys" in screen
