"""Signs, yes and no, and what is said besides: what each typed line means, read by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import advisor
from advisor.ask.hear.said import in_words
from advisor.ask.hear.speech import real, settled
from advisor.case import loads_case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from tests.ask.hearing import hear
from tests.ask.utterances import NOW

BREATH = "breathing_and_posture"
GASP, SIDE, FAST = "gasping_at_surface", "lying_on_side", "rapid_gill_movement"
BOTTOM, CLAMPED, SPOTS = "lying_on_bottom_upright", "clamped_fins", "white_spots"


@pytest.mark.parametrize(
    "question, text, seen, absent",
    [
        (BREATH, "gasping and lying on their side", {GASP, SIDE}, set()),
        (BREATH, "gasping but not on their side", {GASP}, {SIDE}),
        (BREATH, "not gasping, just breathing fast", {FAST}, {GASP}),
        (BREATH, "no gasping no clamped fins", set(), {GASP, CLAMPED}),
        (BREATH, "neither gasping nor lying on their side", set(), {GASP, SIDE}),
        (BREATH, "never gasping", set(), {GASP}),
        (BREATH, "none gasping", set(), {GASP}),
        (BREATH, "gasping, stopped now", set(), {GASP}),
        (BREATH, "gasping gone", set(), {GASP}),
        (BREATH, "without gasping", set(), {GASP}),
        (BREATH, "one gasping", {GASP}, set()),
        (BREATH, "they dont gasp", set(), {GASP}),
        (BREATH, "not one of them is gasping", set(), {GASP}),
        (BREATH, "gasping and spinning in circles", {GASP, "spinning_convulsions"}, set()),
        (BREATH, "some gasping, others swimming normally", {GASP}, set()),
        (BREATH, "fins clamped", {CLAMPED}, set()),
        (BREATH, "clamped their fins", {CLAMPED}, set()),
        (BREATH, "on the bottom", {BOTTOM}, set()),
        ("skin", "white spots", {SPOTS}, set()), ("skin", "no white spots", set(), {SPOTS}),
        ("skin", "spots, white ones", {SPOTS}, set()),
        ("skin", "white spots on the fins only", {SPOTS}, set()),
        ("gills", "gills are brown", {"brown_gills"}, set()),
        ("gills", "brown", {"brown_gills"}, set()),
        ("gills", "gills not brown", set(), {"brown_gills"}),
        ("gills", "pale", {"pale_gills"}, set()),
        ("gills", "red and brown", {"brown_gills", "bright_red_gills"}, set()),
        ("behaviour", "rubbing on the gravel and jumping", {"flashing_rubbing", "jumping"}, set()),
        ("behaviour", "hiding", {"hiding"}, set()), ("behaviour", "not hiding", set(), {"hiding"}),
        ("food", "eating", {"eating"}, set()), ("food", "refuse food", {"refusing_food"}, set()),
        ("water_look", "smells of rotten eggs", {"rotten_egg_smell"}, set()),
        ("water_look", "no smell of chlorine", set(), {"chlorine_smell"}),
        ("eyes_shape_droppings", "eyes cloudy", {"cloudy_eyes"}, set()),
        ("eyes_shape_droppings", "pop eye", {"popeye"}, set()),
        ("hand_test", "nothing", {"unresponsive"}, set()),
        ("hand_test", "they dart off", {"answers_a_hand"}, set()),
        # a part of the fish that is well has none of its signs
        ("water_look", "no smell", set(), {"rotten_egg_smell", "chlorine_smell"}),
        ("eyes_shape_droppings", "eyes ok", set(), {"popeye", "sunken_eyes", "cloudy_eyes"}),
        # deaths are told by a word for them; how long ago or how quick the fish breathe is none
        (BREATH, "in the tank 2 hours, gasping", {GASP}, set()),
        (BREATH, "suddenly gasping, all at once", {GASP}, set()),
        (BREATH, "gasping within an hour", {GASP}, set()),
        (BREATH, "3 dead, in the bags for 30 hours, gasping", {GASP}, set()),
        (BREATH, "10 died suddenly", {"sudden_deaths"}, set()),
        ("deaths", "sudden", {"sudden_deaths"}, set()),
        ("deaths", "within the hour", {"sudden_deaths"}, set()),
        # numbers of the lines
        (BREATH, "1 6", {GASP, SIDE}, set()), (BREATH, "1, 6", {GASP, SIDE}, set()),
        (BREATH, "1", {GASP}, set()),
        # by the way, at another question
        ("hours_sealed", "30 h, gasping", {GASP}, set()),
        ("kinds", "20 neons, gasping", {GASP}, set()),
        # guesses and doubts are no sightings
        (BREATH, "not sure if gasping", set(), set()), (BREATH, "i think its ich", set(), set()),
        (BREATH, "maybe gasping?", None, set()),
    ],
)  # fmt: skip
def test_signs(question: str, text: str, seen: set[str] | None, absent: set[str]) -> None:
    """None: it may be taken or asked about."""
    heard = hear(question, text)
    got = set(heard.get("signs_seen", ()))
    assert got == seen if seen is not None else got <= {GASP}, heard
    assert set(heard.get("signs_not_seen", ())) == absent, heard


SIGNS = {
    "gasping": GASP, "lying on their side": SIDE, "clamped fins": CLAMPED, "white spots": SPOTS,
    "spinning in circles": "spinning_convulsions", "breathing fast": FAST,
}  # fmt: skip


@given(
    said=st.lists(st.tuples(st.sampled_from(sorted(SIGNS)), st.booleans()), min_size=1, max_size=4,
                  unique_by=lambda pair: pair[0]),
    deny=st.sampled_from(["no {}", "not {}", "none are {}", "never {}", "without {}"]),
    joined=st.sampled_from([", ", "; ",
    ". "]), shape=st.sampled_from([str.upper, str.lower, str.title]),
    more=st.sampled_from(["", "sir ", "please help ", "hi ", "well "]),
)  # fmt: skip
@settings(max_examples=120)
def test_a_no_is_a_no_whatever_stands_beside_it(
    said: list[tuple[str, bool]], deny: str, joined: str, shape: Any, more: str
) -> None:
    """Capitals, order and a word of courtesy turn nothing round."""
    parts = [name if seen else deny.format(name) for name, seen in said]
    heard = hear(BREATH, shape(more + joined.join(parts)))
    yes = {SIGNS[name] for name, seen in said if seen}
    no = {SIGNS[name] for name, seen in said if not seen}
    assert set(heard.get("signs_seen", ())) <= yes, heard
    assert set(heard.get("signs_not_seen", ())) <= no, heard
    if not more:
        assert (
            set(heard.get("signs_seen", ())) == yes and set(heard.get("signs_not_seen", ())) == no
        )


# -- yes, no, none, not known -----------------------------------------------------------


@pytest.mark.parametrize(
    "question, text, history",
    [
        ("rewarmed", "yes", "yes"), ("rewarmed", "no", "no"), ("rewarmed", "Yes!", "yes"),
        ("rewarmed", "y", "yes"),
        ("rewarmed", "n", "no"), ("rewarmed", "yep, all of them", "yes"),
        ("rewarmed", "no we dont have one", "no"),
        ("rewarmed", "no, not at all", "no"), ("rewarmed", "not yet", "no"),
        ("rewarmed", "none", "no"),
        ("rewarmed", "nothing", "no"), ("rewarmed", "dont know", None),
        ("rewarmed", "no idea", None),
        ("rewarmed", "yes but only half", None), ("rewarmed", "yes and no", None),
        ("rewarmed", "", None),
        ("rewarmed", "?", None), ("rewarmed", "no problem", None), ("rewarmed", "maybe", None),
        ("rewarmed", "ja", "yes"), ("rewarmed", "nein", "no"), ("rewarmed", "oui", "yes"),
    ],
)  # fmt: skip
def test_yes_and_no(question: str, text: str, history: str | None) -> None:
    heard = hear(question, text)
    assert heard.get("history", {}).get("rewarmed") == history
    assert history is not None or {"unknown", "ask_back", "nothing"} & set(heard)


@pytest.mark.parametrize(
    "question, text",
    [
        (BREATH, "none"), (BREATH, "0"), (BREATH, "nothing"), ("skin", "nothing on the skin"),
        ("skin", "nothing that i can see"), ("behaviour", "nothing unusual"),
        ("changed_last_day", "nothing"),
        ("changed_last_day", "nothing i know of"), ("skin", "not a mark"),
        ("skin", "no visible signs"),
    ],
)  # fmt: skip
def test_none_of_the_lines(question: str, text: str) -> None:
    heard = hear(question, text)
    assert heard.get("nothing") and not {"signs_seen", "history", "unknown", "ask_back"} & set(
        heard
    )


@pytest.mark.parametrize(
    "question", [BREATH, "skin", "counts", "arrived", "ph", "kinds", "rewarmed"]
)
@pytest.mark.parametrize(
    "text", ["dont know", "no idea", "u", "?", "havent looked", "couldn't tell", "not my shift",
    "dunno mate"]
)  # fmt: skip
def test_not_known_is_not_known_everywhere(question: str, text: str) -> None:
    heard = hear(question, text)
    assert heard.get("unknown") and "ask_back" not in heard
    assert not {
        "signs_seen",
        "signs_not_seen",
        "history",
        "counts",
        "nothing",
        "place",
        "lots",
    } & set(heard)


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("where_are_they", "1", {"place": "closed_bag"}),
        ("where_are_they", "2", {"place": "open_bag"}),
        ("where_are_they", "3", {"place": "tank", "history": {"release_method": "netted"}}),
        ("where_are_they", "7", {"place": "tank"}),
        ("where_are_they", "8", {"place": "tub"}),
        ("changed_last_day", "1 4",
         {"history": {"water_changed_last_day": "yes", "filter_stopped": "yes"}}),
        ("rewarmed", "1", {"history": {"rewarmed": "yes"}}),
    ],
)  # fmt: skip
def test_lines_by_their_number(question: str, text: str, means: dict[str, Any]) -> None:
    """In the order in which rules/questions.toml lists them."""
    heard = hear(question, text)
    got = {k: v for k, v in heard.items() if k not in ("format", "question", "text")}
    if question == "where_are_they":
        got.get("history", {}).pop("release_method", None) if text == "7" else None
    assert {k: v for k, v in got.items() if v} == means


@pytest.mark.parametrize(
    "question, text",
    [("where_are_they", "9"), ("where_are_they", "1 3"), ("where_are_they", "55"), (BREATH, "55")],
)
def test_a_number_that_is_no_line_or_no_one_place_is_asked(question: str, text: str) -> None:
    heard = hear(question, text)
    assert heard["ask_back"] and not {"place", "signs_seen"} & set(heard)


@pytest.mark.parametrize(
    "question, text, said",
    [
        ("counts", "3 dead 2 down", "3 dead, 2 down."),
        ("where_are_they", "in the tank", "in the tank"),
        (BREATH, "gasping, no white spots", "Seen: gasping at surface. Not seen: white spots."),
        ("hours_sealed", "30 h", "Sealed 30 h."), ("arrived", "2 h ago", "Out of the bag for 2 h."),
        ("kinds", "100 neons in 4 bags, 3 cm", '100 neon tetra ("neons") 4 bags, 3 cm.'),
        ("kinds", "20 guppies", "20 guppy"), ("kinds", "20", "20 fish."),
        ("thermometer", "bag 21", "bag temperature: 21.0 °C."),
        ("ammonia_nitrite", "nitrite over 5 mg/l as N", "or more."), ("rewarmed", "no", ": no."),
        ("ammonia_nitrite", "nitrite under 1 mg/l as N", "or less."),
        ("counts", "dont know", "Not known."),
        (BREATH, "none", "None of these."), ("tank_volume", "200 l", "200 L."),
        ("tank_age", "6 weeks", "42 days."),
        ("air_on_the_way", "5 to 20 C", "Air down to 5 °c. Air up to 20 °c."),
    ],
)  # fmt: skip
def test_what_was_heard_is_said_back(question: str, text: str, said: str, base: RuleBase) -> None:
    """Every fact taken stands in the line, with its number and unit."""
    words = " ".join(in_words(hear(question, text), base))
    assert said.casefold() in words.casefold()


# -- said besides -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "question, text, means",
    [
        (BREATH, "100 neons, 3 bags, 30 h, gasping", {"hours_sealed": 30, "lots": [(100, 3)]}),
        (BREATH, "100 neons, 20 guppies, 3 bags, gasping", {"lots": [(100, None), (20, None)]}),
        (BREATH, "2 neons gasping", {}), (BREATH, "3 h, gasping", {}),
        (BREATH, "5 neons, gasping", {"lots": [(5, None)]}),
        (BREATH, "4 neons, gasping", {}), (BREATH, "4 neons, 2 bags, gasping", {"lots": [(4, 2)]}),
        (BREATH, "30 h sealed, gasping", {"hours_sealed": 30}),
        (BREATH, "sealed for 30 h, gasping", {"hours_sealed": 30}),
        (BREATH, "gasping, 3 dead", {"counts": {"dead": 3}}),
        (BREATH, "all gasping, none dead", {"counts": {"dead": 0}}),
        (BREATH, "released 2 hours ago, gasping", {"at_hours": 2}),
        (BREATH, "in the tank since 2 h, gasping", {"at_hours": 2}),
        (BREATH, "gasping, in the bag for 2 hours", {}),
        (BREATH, "gasping 3 hours after arrival", {"at_hours": 3}),
        (BREATH, "fasted 24 h, gasping", {"fasted_hours": 24}),
        (BREATH, "2 days fasted, gasping", {"fasted_hours": 48}),
        ("hours_sealed", "30 h, fasted for 2 days", {"hours_sealed": 30, "fasted_hours": 48}),
        ("hours_sealed", "30 h, opened 2 h ago", {"hours_sealed": 30, "at_hours": 2}),
        ("kinds", "100 neons, 30 h", {"hours_sealed": 30, "lots": [(100, None)]}),
        ("kinds", "100 neons, 3 dead", {"counts": {"dead": 3}, "lots": [(100, None)]}),
        ("kinds", "100 neons 5 h", {"lots": [(100, None)]}),
        ("kinds", "100 neons 6 h", {"lots": [(100, None)], "hours_sealed": 6}),
        ("where_are_they", "in the tank, 30 h", {"place": "tank"}),
        ("where_are_they", "in shut bags, 30 h", {"place": "closed_bag", "hours_sealed": 30}),
        ("thermometer", "tank 24, 3 dead", {}),
    ],
)  # fmt: skip
def test_what_is_said_besides(question: str, text: str, means: dict[str, Any]) -> None:
    heard = hear(question, text, 200 if question == "counts" else None)
    if "lots" in heard:
        heard["lots"] = [(lot.get("count"), lot.get("bags")) for lot in heard["lots"]]
    named = ("lots", "hours_sealed", "at_hours", "fasted_hours", "counts", "place")
    got = {k: v for k, v in heard.items() if k in named}
    if "place" not in means:
        got.pop("place", None)
    assert got == means


def test_a_kind_that_is_known_already_is_not_told_anew() -> None:
    case = loads_case(
        'format = "arrival-case-1"\n[[lot]]\nid = "a"\nspecies = "guppy"\ncount = 40\n'
        '[[lot]]\nid = "b"\ncount = 4\n'
    )
    assert "lots" not in advisor.hear(BREATH, "100 neons, 3 bags, gasping", case, now=NOW)


@pytest.mark.parametrize(
    "text, sign",
    [
        ("just the neons", "single_species_only_affected"),
        ("only my guppies are ill", "single_species_only_affected"),
        ("only the bettas", "single_species_only_affected"),
        ("3 out of 50", "one_or_few_fish_affected"), ("1 of 3", "one_or_few_fish_affected"),
        ("2 or 3 of 50", "one_or_few_fish_affected"),
        ("16 out of 50", "one_or_few_fish_affected"), ("17 out of 50", None),
        ("20 out of 50", None),
        ("the red ones", None),
    ],
)  # fmt: skip
def test_who_is_ill(text: str, sign: str | None) -> None:
    """A few of many are at most a third of them (judgement)."""
    assert hear("who_is_ill", text).get("signs_seen", []) == ([] if sign is None else [sign])


@pytest.mark.parametrize(
    "text, seen, absent",
    [
        ("all", {GASP, CLAMPED}, set()), ("all gone", set(), {GASP, CLAMPED}),
        ("none", set(), {GASP, CLAMPED}),
        ("only the gasping", {GASP}, {CLAMPED}), ("everything but the gasping", {CLAMPED}, {GASP}),
        ("both", {GASP, CLAMPED}, set()), ("1", {GASP}, set()), ("gasping", {GASP}, set()),
        ("no more gasping", set(), {GASP}), ("unchanged", {GASP, CLAMPED}, set()),
    ],
)  # fmt: skip
def test_what_is_still_there(text: str, seen: set[str], absent: set[str]) -> None:
    case = loads_case(
        'format = "arrival-case-1"\n[[observation]]\nat_hours = 0\n'
        f'seen = ["{GASP}", "{CLAMPED}"]\n'
    )
    heard = advisor.hear("still_there", text, case, now=NOW)
    assert set(heard.get("signs_seen", ())) == seen, heard
    assert set(heard.get("signs_not_seen", ())) == absent


# -- second thoughts and what has not happened -----------------------------------------


@pytest.mark.parametrize(
    "said, meant",
    [
        ("3 dead, no wait 4", "4 dead"), ("3 dead no 4", "4 dead"),
        ("3 dead, 2 down, sorry 4 down", "3 dead, 4 down"),
        ("20 neons - correction, 25", "25 neons"), ("no wait", ""), ("3 dead", "3 dead"),
        ("2 dead, 3 down. no wait, none dead", "3 down, none dead"),
        ("30 h, scratch that, 26 h", "26 h"),
        ("bag 20, i mean tank 20", "tank 20"), ("tank 24 bag 20, sorry, tank 25", "tank 25 bag 20"),
        ("ph 7, kh 4, sorry ph 6", "ph 6, kh 4"),
        ("about 20 min, no wait about 40", "about 40 min"), ("3 dead wait", "3 dead wait"),
        ("no, wait, 3 dead", "3 dead"),
        ("4 days, make that 5", "5 days"),
    ],
)  # fmt: skip
def test_second_thoughts(said: str, meant: str) -> None:
    assert " ".join(settled(said).split()) == meant


@pytest.mark.parametrize(
    "said, is_so",
    [
        ("3 dead, about to lose 2", "3 dead,"), ("will open them, still shut", "still shut"),
        ("gasping, might die", "gasping,"), ("going to open", "going to open"),
        ("earlier gasping but now fine", "now fine"), ("looked like ich but is dust", "is dust"),
        ("gasping but swimming", "gasping but swimming"), ("any dead? no, 3 down", "3 down"),
        ("used to gasp though now fine", "now fine"), ("3 dead", "3 dead"),
        ("if it rains they gasp, 3 dead", "3 dead"),
        ("20 neons, not the usual cardinals", "20 neons"),
    ],
)  # fmt: skip
def test_what_is_not_yet_or_no_more_is_left_out(said: str, is_so: str) -> None:
    assert " ".join(real(said).split()) == is_so


def test_a_question_written_wrong_is_told_with_the_near_one() -> None:
    with pytest.raises(AdvisorError, match=r'"count".*"counts"'):
        hear("count", "3")
    with pytest.raises(AdvisorError, match=r'"zzzz": there is none of that id\.'):
        hear("zzzz", "3")


@pytest.mark.parametrize(
    "text, history",
    [
        ("water change this morning", {"water_changed_last_day": "yes"}),
        ("no water change", {"water_changed_last_day": "no"}),
        ("water change 3 days ago", {}), ("water change last week", {}),
        ("filter rinsed last week", {"filter_rinsed_or_replaced": "yes"}),
        ("filter stopped and heater failed", {"filter_stopped": "yes", "heater_fault": "yes"}),
        ("filter rinsed last week, water change last week", {"filter_rinsed_or_replaced": "yes"}),
    ],
)  # fmt: skip
def test_what_was_done_longer_ago_is_asked(text: str, history: dict[str, str]) -> None:
    """Of the filter the last week is asked, of all else the last day."""
    heard = hear("changed_last_day", text)
    assert heard.get("history", {}) == history, heard
    assert ("ask_back" in heard) == ("ago" in text or "change last week" in text)


def test_what_means_nothing_here_is_named() -> None:
    heard = hear(BREATH, "gasping wibblewobble")
    assert heard["not_understood"] == ["wibblewobble"]
    assert heard["format"] == "advisor-heard-1" and heard["text"] == "gasping wibblewobble"
