"""Said short: the card before anything is cut, many boxes, answers changed, done, settled."""

from __future__ import annotations

import re

import pytest

from advisor.advice.assess import assess, plan_of, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.standing import short
from advisor.case import loads_case
from tests.ask.conftest import Play
from tests.clock import Clock
from tests.said import joined

KINDS = (
    "40 guppies, 30 neon tetras, 20 platies, 10 angelfish, 12 rummy-nose tetras, 15 cherry barbs, "
    "8 dwarf gouramis, 25 harlequin rasboras, 6 clown loaches, 30 cardinal tetras, "
    "10 swordtails, 20 zebra danios"
)


def test_shut_bags_get_their_card_after_the_first_answer(play: Play) -> None:
    screen = joined(play(["1"]).screen)
    card = screen.split("2. How do they breathe")[0]
    assert "DO NOT CUT YET: What could kill in the tank" in card
    assert "1. Keep the bags shut" in card


def test_the_card_is_not_said_twice(play: Play) -> None:
    screen = joined(play(["1", "0", "30 h", "40 guppies"]).screen)
    assert screen.count("DO NOT CUT YET") == 1


def test_twelve_boxes_in_at_most_twenty_answers(play: Play) -> None:
    lines = ["1", "11", "30 h", KINDS, "1", "lines"]
    lines += ["2 dead, gasping", "", "on their side", *[""] * 8]
    played = play(lines)
    assert len(lines) <= 20
    assert len(played.case.lot) == 12
    looks = {look.lot: look for look in played.case.observation}
    assert set(looks) == {lot.id for lot in played.case.lot}
    assert looks["neon-tetras"].counts.dead == 2
    assert "gasping_at_surface" in looks["platies"].seen  # Enter: as the one before
    assert "lying_on_side" in looks["zebra-danios"].seen


def test_boxes_packed_alike_take_one_answer(play: Play) -> None:
    three = "40 guppies, 30 neon tetras, 20 platies"
    played = play(["3", "1", three, "1", "alike"])
    seen = {look.lot for look in played.case.observation if "gasping_at_surface" in look.seen}
    assert seen == {"guppies", "neon-tetras", "platies"}


def test_answers_of_an_earlier_sitting_are_listed_and_changed(play: Play) -> None:
    first = play(["3", "1", "40 guppies", "s"])
    second = play(["a", "a 2", "9", "s"], first.case)
    flat = joined(second.screen)
    assert "a 1 Where are the fish now?" in flat and "gasping at surface" in flat
    (look,) = second.case.observation
    assert look.seen == ("darting",) and "gasping_at_surface" in look.not_seen
    third = play(["a 3", "30 guppies", "s"], second.case)
    assert third.case.lot[0].count == 30
    assert "Left as it was." in play(["a 3", "", "s"], third.case).screen


def test_a_ticked_step_leaves_the_plan_and_keeps_its_time(play: Play, reasoner: Reasoner) -> None:
    """What is done once (rules say which) is not advised again; air goes on and stays."""
    clock = Clock()
    case = play(["2", "1", "40 guppies", "d 1"], clock=clock).case
    ((hours, done),) = [(look.at_hours, look.done) for look in case.observation if look.done]
    assert hours == pytest.approx(0.0, abs=0.01) and len(done) == 1, "seconds after the look"
    before = play(["2", "1", "40 guppies"]).case
    first = reason(before, lots_of(before)[0], reasoner)
    assert done[0] in {action.id for action in plan_of(first, reasoner).actions}
    reasoned = reason(case, lots_of(case)[0], reasoner)
    assert not set(done) & {action.id for action in plan_of(reasoned, reasoner).actions}


def test_it_says_when_it_is_settled(play: Play) -> None:
    screen = joined(play([""] * 80).screen)
    assert "Settled: nothing you could still tell would change the plan." in screen


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Air it hard - not the bag. A pump.", "Air it hard - not the bag"),
        ("Leave the old lamp, pump or heater out until it was seen to by an electrician there.",
         "Leave the old lamp, pump or heater out until it was seen ..."),
        ("Ask what has gone in: a binder, salt, a remedy, and how much of each in all it was.",
         "Ask what has gone in"),
        ("If none can be had at once: carry them over in a covered vessel of their own water.",
         "If none can be had at once: carry them over in a covered vessel ..."),
    ],
)  # fmt: skip
def test_a_short_order_is_never_another_order(text: str, said: str) -> None:
    """No condition without its act, no list cut to its first word, no joint at the end."""
    assert short(text) == said


def test_no_short_order_of_the_rules_hangs(reasoner: Reasoner) -> None:
    for action in reasoner.base.actions.values():
        said = short(action.text)
        joint = re.search(r" (?:and|or|the|a|of|at|in|on|to|by|with|is) \.\.\.$", said)
        assert not joint, said
        assert action.text.startswith(said.removesuffix(" ..."))


def test_a_card_says_once_what_to_do_and_where_to(play: Play) -> None:
    """An opened bag beside a tank nobody has read: out of it, into a tub, and no other way."""
    screen = joined(play(["2"]).screen).split("2. How do they breathe")[0]
    assert screen.count("OPENED BAG") == 1 and "into an aired tub" in screen
    assert "straight over" not in screen.lower()


def test_numbers_typed_come_back_as_they_were(play: Play) -> None:
    screen = joined(play(["3", "1", "40 guppies", "0", "0", "20 min", "", "77F", "", "28h"]).screen)
    assert "28 h." in screen and "28.0" not in screen
    assert "25.0 °C (77 °F), could be 24.5 to 25.5 °C." in screen


def test_what_is_asked_days_later_speaks_of_no_bag(play: Play) -> None:
    screen = joined(play(["7", "1", "40 guppies", "0", "0", "3 days", *[""] * 40]).screen)
    late = screen.split("72 h.")[1]
    assert "What does a thermometer in the tank read?" in late
    assert not re.search(r"bag temperature|bag at once|bag as it is opened|bag water if", late)


def test_how_many_are_left_goes_down(play: Play) -> None:
    screen = joined(play(["3", "1", "40 guppies", "0", "0", "20 min", *[""] * 40]).screen)
    left = [int(n) for n in re.findall(r"\(about (\d+) left\)", screen)]
    assert left and left[-1] <= left[0]


@pytest.mark.parametrize(
    "text",
    [
        '[[lot]]\nid="a"\nspecies="guppy"\ncount=40\nsealed="yes"\n'
        '[[lot]]\nid="b"\nspecies="neon tetra"\ncount=20\nsealed="yes"\n'
        "[transit]\nhours_sealed=40\n"
    ],
)
def test_session_and_assessment_open_the_same_bag_first(
    text: str, play: Play, reasoner: Reasoner
) -> None:
    case = loads_case('format = "arrival-case-1"\n' + text)
    order = [place.lot for place in assess(case, reasoner).opening_order]
    screen = joined(play([""] * 60, case).screen).split("ORDER OF OPENING")[1]
    names = {"a": "1. 40 guppy", "b": "1. 20 neon tetra"}
    assert names[order[0]] in screen
