"""Sessions played in memory: what shows, when, and what the case holds after it."""

from __future__ import annotations

import re

import pytest

from advisor.case import load_case, loads_case
from tests.ask.conftest import Play
from tests.clock import Clock
from tests.said import joined, shown

# -- emergencies ----------------------------------------------------------------


def test_an_emergency_shows_after_the_answer_that_makes_it_certain(play: Play) -> None:
    screen = play(["3", "1"]).screen
    order = shown(screen, "2. How do they breathe", "!! DO NOW: Air the tank hard", "3. Which fish")
    assert order == sorted(order)


def test_it_stays_until_done_and_done_is_kept(play: Play) -> None:
    played = play(["3", "1", "40 guppies", "d", "0", "0"])
    before, after = joined(played.screen).split("Done and noted")
    assert before.count("Still to do now: Air the tank hard") == 2
    assert "Still to do now: Air the tank hard" not in after.split("DO NOW: Air")[0]
    assert any("air_tank" in look.done for look in played.case.observation)


def test_nothing_seen_is_no_alarm(play: Play) -> None:
    assert "!!" not in joined(play(["3", "12", "5 guppies", "0"]).screen).split("More: ")[0]


def test_every_answer_ranks_anew(play: Play) -> None:
    screen = play(["3", "1", "40 guppies", "0", "0", "20 min", "2"]).screen
    lines = [line for line in screen.splitlines() if line.startswith("So far")]
    assert len(lines) >= 2


# -- answers ----------------------------------------------------------------------


def test_heads_told_for_the_kind_are_no_kind_of_fish(play: Play) -> None:
    played = play(["", "", "2 dead 5 down", "40 guppies"])
    (lot,) = played.case.lot
    assert (lot.species, lot.count) == ("guppies", 40)


def test_fewer_fish_than_were_counted_are_asked_for_again(play: Play) -> None:
    played = play(["3", "gasping, 2 dead 5 down", "4 guppies", "40 guppies"])
    assert "That cannot be: 7 fish are" in joined(played.screen)
    (lot,) = played.case.lot
    assert lot.count == 40


def test_a_place_half_told_is_asked_back_in_its_own_words(play: Play) -> None:
    screen = joined(play(["still in bags. no tank ready", "shut"]).screen)
    assert "Are the bags still shut, or opened?" in screen
    assert "is none of these" not in screen


@pytest.mark.parametrize(
    "line, label",
    [
        ("bags still taped up", "in the shut bags"),
        ("in a bucket", "in a tub or bucket of clean water"),
    ],
)
def test_a_place_told_in_words_is_shown_back(play: Play, line: str, label: str) -> None:
    assert f"Taken as: {label}." in joined(play([line]).screen)


def test_lines_left_out_count_as_not_seen_and_u_leaves_them_open(play: Play) -> None:
    (look,) = play(["3", "1"]).case.observation
    assert look.seen == ("gasping_at_surface",)
    assert len(look.not_seen) == 11
    (look,) = play(["3", "1 u", ""]).case.observation
    assert look.not_seen == ()


def test_own_words_are_taken_for_what_they_say_shown_back_and_kept(play: Play) -> None:
    played = play(["3", "gulping air"])
    shown(played.screen, "Seen: gasping at surface. b mends it.")
    (look,) = played.case.observation
    assert look.seen == ("gasping_at_surface",)
    assert look.words == ("gulping air",)
    assert look.not_seen == ()  # nothing was said of the others


def test_one_key_mends_what_was_taken(play: Play) -> None:
    played = play(["3", "gulping air", "b", "9"])
    assert played.case.observation[0].seen == ("darting",)


def test_what_a_line_tells_besides_is_taken_and_shown(play: Play) -> None:
    played = play(["3", "gasping, 2 dead, box was cold"])
    shown(played.screen, "Also noted:")
    assert played.case.observation[0].counts.dead == 2
    assert played.case.history == {"box_arrived_cold": True}


def test_what_was_not_said_of_the_heads_is_not_none(play: Play) -> None:
    played = play(["3", "1", "40 guppies", "2 dead and a few down", ""])
    shown(played.screen, "How many are down, as a number?", "2 dead, down not known.")
    counts = [look.counts for look in played.case.observation if look.counts.dead is not None]
    assert [(c.dead, c.down) for c in counts] == [(2, None)]


def test_a_line_that_names_no_sign_is_not_none_of_these(play: Play) -> None:
    played = play(["3", "12 swordtails in 2 bags, sealed 30 h"])
    assert "No sign taken from that" in joined(played.screen)
    assert "none of these. b mends" not in joined(played.screen)
    assert not any(look.not_seen for look in played.case.observation)


def test_a_verdict_is_never_taken_for_a_sign(play: Play) -> None:
    played = play(["3", "ammonia burn", "in shock", "stressed", "9"])
    assert played.screen.count("is not something seen") == 3
    assert played.case.observation[0].seen == ("darting",)


def test_back_takes_the_last_answer_away(play: Play) -> None:
    played = play(["3", "1", "b", "9", "40 guppies"])
    assert played.case.observation[0].seen == ("darting",)
    assert played.case.lot[0].count == 40


def test_back_at_the_first_question_says_so(play: Play) -> None:
    shown(play(["b", "3"]).screen, "This is the first question.")


@pytest.mark.parametrize("said, hours", [("1", 1 / 3), ("2", 20), ("days", 480), ("20 min", 1 / 3)])
def test_how_long_ago_without_a_unit_is_asked(said: str, hours: float, play: Play) -> None:
    """Twenty minutes taken for twenty hours would bring another day's causes."""
    played = play(["3", "1", "40 guppies", "0", "0", "20", said])
    shown(played.screen, "20 what: 1 minutes, 2 hours, 3 days?")
    assert max(look.at_hours for look in played.case.observation) == pytest.approx(hours, abs=0.01)


def test_how_it_began_is_heard_in_own_words(play: Play) -> None:
    lines = ["3", "1", "40 guppies", "0", "0", "20 min", "after a water change"]
    (look,) = play(lines).case.observation
    assert "signs_within_hours_of_water_change" in look.seen


def test_unknown_is_an_answer_everywhere(play: Play) -> None:
    played = play([""] * 60)
    assert played.status == 0
    assert played.case.lot == ()
    assert not any(look.seen or look.not_seen for look in played.case.observation)
    assert len(played.case.session.unknown) == len(played.case.session.answered)
    shown(played.screen, "not enough to tell")


# -- several lots -------------------------------------------------------------------


LOTS = ["3", "1", "40 guppies, 12 neon tetras", "1", "0", "0", "20 min"]


def test_transit_and_tank_are_asked_once_and_signs_for_each_lot(play: Play) -> None:
    screen = play([*LOTS, *[""] * 6, "e", *[""] * 4, "e"]).screen
    flat = joined(screen)
    assert flat.count("How long ago did they come out") == 1
    assert len(re.findall(r"\d+\. 12 neon tetras: How do they breathe", flat)) == 1
    assert flat.count("What happened to the tank or near it") == 1


def test_one_key_copies_the_last_lot(play: Play) -> None:
    played = play([*LOTS, "2", "25", "24", "", "=", *[""] * 8, "e", "e"])
    looks = {look.lot: look for look in played.case.observation if look.seen}
    assert looks["neon-tetras"].seen == looks["guppies"].seen


def test_heads_are_counted_lot_by_lot(play: Play) -> None:
    lines = ["3", "12", "40 guppies, 12 neon tetras", "", "2 dead"]
    played = play([*lines, *[""] * 3, "e", "="])
    shown(played.screen, "Numbers are not copied from lot to lot")
    assert "guppies was not asked this" not in joined(played.screen)


def test_lots_that_share_their_plan_end_in_one(play: Play) -> None:
    screen = play([*LOTS, *[""] * 6, "e", *[""] * 4, "e"]).screen
    last = joined(screen).split("More: ")[0]
    assert last.count("DO NOW: guppies:") + last.count("DO NOW: guppies, neon-tetras:") >= 1


# -- shut bags ----------------------------------------------------------------------


SHUT = [
    "1", "0", "30 h", "40 guppies, 60 neon tetra in 2 bags", "", "0", "25", "22",
    "4 L", "1", "0.3 g", "1", "12 to 18 C", "1 3", "7.6 meter", "4 dKH drops",
    "0", "", "3 L", "0.2 g", "1",
]  # fmt: skip


def test_shut_bags_are_forecast_ordered_and_walked_through_by_the_clock(play: Play) -> None:
    clock = Clock()
    first = ["", "", "", "", "1"]  # opened, temperature, pH, out, netted
    played = play([*SHUT, *first, "", "", "", "netted", "12", "12"], clock=clock)
    order = shown(
        played.screen,
        "ORDER OF OPENING",
        "In the shut bag now: pH",
        "HAVE READY, AND THEN",
        "12:00",
        "All out.",
    )
    assert order == sorted(order)
    for lot in played.case.lot:
        assert lot.sealed == "no"
        assert lot.opened_at_hours is not None and lot.released_at_hours is not None
        assert lot.release_method == "netted"


def test_too_little_known_for_a_forecast_is_said(play: Play) -> None:
    screen = play(["1", "0", "", "40 guppies", *[""] * 16, "e"]).screen
    shown(screen, "not forecast (give hours sealed")


def test_trouble_in_a_shut_bag_was_there_before_opening(play: Play) -> None:
    played = play(["1", "6 7"])
    assert "signs_before_bag_opened" in played.case.observation[0].seen
    shown(played.screen, "Open the bag with the weakest fish")
    assert "signs_before_bag_opened" not in play(["1", "8"]).case.observation[0].seen


def test_a_bag_left_open_in_the_last_sitting_is_asked_about(play: Play) -> None:
    case = loads_case(
        'format="arrival-case-1"\n[delivery]\nreceived="2026-03-02T11:00:00"\n'
        '[[lot]]\nid="a"\nspecies="guppy"\nsealed="no"\nopened_at_hours=0.5\n'
        "[[observation]]\nat_hours=0.0\nnot_seen=['darting']\n"
    )
    played = play(["", "1", "12"], case)
    shown(played.screen, "opened 30 min ago, not noted as out")
    assert played.case.lot[0].released_at_hours == 1.0


# -- help, plan, leaving -----------------------------------------------------------


def test_why_names_causes_and_pushes(play: Play) -> None:
    screen = play(["3", "?", "1"]).screen
    shown(screen, "Why: Breath, balance", "It tells apart:", "gasping at surface:")


def test_the_plan_so_far_can_be_seen_any_time(play: Play) -> None:
    screen = play(["3", "1", "p", "40 guppies"]).screen
    order = shown(screen, "DO NOW", "Look again", "More: advisor assess")
    assert order == sorted(order)


def test_saving_and_leaving_says_where_and_how_to_go_on(play: Play) -> None:
    played = play(["3", "1", "s"])
    shown(played.screen, "Everything up to your last answer is kept", "advisor ask --resume")
    assert played.keeper.path is not None
    assert load_case(played.keeper.path) == played.case


def test_enough_ends_the_questions_and_shows_the_plan(play: Play) -> None:
    screen = play(["3", "1", "40 guppies", "e"]).screen
    shown(screen, "Look again", "More: advisor assess")


def test_going_on_asks_nothing_twice(play: Play) -> None:
    first = play(["1", "1", "30 h", "s"])
    second = play(["40 guppies", "s"], first.case)
    assert "Where are the fish" not in joined(second.screen)
    assert "How long were the bags" not in joined(second.screen)
    assert second.case.lot[0].species == "guppies"


def test_the_end_notes_what_was_concluded(play: Play) -> None:
    case = play(["3", "1", "40 guppies", "e"]).case
    assert case.assessment[0].actions[0]
    assert case.delivery.title == "40 guppies"


def test_answers_by_name_need_no_order(play: Play) -> None:
    played = play(["kinds: 40 guppies", "where_are_they: 3", "hours_sealed: 30 h",
                   "thermometer: 79 F | 75 F"])  # fmt: skip
    assert played.status == 0
    assert played.case.lot[0].count == 40
    assert played.case.transit.hours_sealed == 30
    given = {**played.case.observation[0].tank.given(), **played.case.observation[0].bag.given()}
    assert set(given) == {"temperature_c"}


def test_a_named_answer_that_fits_nothing_ends_with_status_2(play: Play) -> None:
    assert play(["where_are_they: on the moon"]).status == 2


def test_sixty_columns_are_enough(play: Play) -> None:
    screen = play([*SHUT, "n", *[""] * 12, "e", "e"], width=60).screen
    assert max(len(line) for line in screen.splitlines() if "/" not in line) <= 60


def test_no_control_codes_reach_the_screen(play: Play) -> None:
    screen = play(["3", "\x1b[31mred\x1b[0m", "1", "30 h", "40 \x07bell\u202efish", ""]).screen
    assert not re.search(r"[\x00-\x08\x0b-\x1f\u202e]", screen)
