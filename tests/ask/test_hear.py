"""What typed lines are taken to mean: single lines, read by hand."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest

import advisor
from advisor.case import loads_case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from tests.ask.hearing import facts, hear


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("still in bags. no tank ready", None),
        ("opened a bag of 30 guppies, gasping at the top, power is out", "open_bag"),
        ("tank is at 24", None),
        ("opened. they cant go in the tank, ammonia in it", "open_bag"),
        ("going into the tank tomorrow, bags tied", "closed_bag"),
        ("i put them in the tank", "tank"),
        ("all going crazy in the tank", "tank"),
    ],
)
def test_a_tank_that_is_wanted_or_wanting_holds_no_fish(said: str, place: str | None) -> None:
    """What the words say of where they are, read by hand."""
    heard = hear("where_are_they", said)
    assert heard.get("place") == place
    assert place is not None or heard["ask_back"]


@pytest.mark.parametrize(
    ("question", "said", "item", "answer"),
    [
        ("breathing_and_posture", "power cut since noon, I am alone", "power_out", "yes"),
        ("breathing_and_posture", "power cut since noon, I am alone", "alone_here", "yes"),
        ("hours_sealed", "30 h, no dechlorinator in the house", "no_dechlorinator", "yes"),
        ("hours_sealed", "18h, i have no tank ready", "tank_at_hand", "no"),
        ("kinds", "6 discus in 6 bags and no spare tub", "no_other_tank", "yes"),
        ("breathing_and_posture", "gasping, the power was off but is back", "power_out", None),
        ("breathing_and_posture", "if the power is off they gasp", "power_out", None),
        ("breathing_and_posture", "the filter has no power", "power_out", None),
        ("behaviour", "one sits alone in the corner", "alone_here", None),
        ("counts", "5 down after a change with tap, no dechlor", "no_dechlorinator", None),
        ("who_is_ill", "no other tank ill", "no_other_tank", None),
    ],
)
def test_what_is_wanting_is_heard_at_any_question_and_only_where_it_is_so(
    question: str, said: str, item: str, answer: str | None
) -> None:
    """What the words say of the house, read by hand."""
    assert hear(question, said).get("history", {}).get(item) == answer


# -- what a person saw go wrong: each of these was taken wrongly without a word -------------


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("arrived", "3 days ago", {"at_hours": 72}),
        ("hours_sealed", "2 days ago", {"hours_sealed": 48}),
        ("arrived", "17:00 yesterday", {"at_hours": 22}),
        ("arrived", "since yesterday 5 pm", {"at_hours": 22}),
        ("arrived", "day and half", {"at_hours": 36}),
        ("counts", "2 doa", {"counts": {"dead": 2}}),
        ("counts", "dead 3 down 10", {"counts": {"dead": 3, "down": 10}}),
        ("breathing_and_posture", "panting", {"signs_seen": ["rapid_gill_movement"]}),
        ("breathing_and_posture", "on their sides", {"signs_seen": ["lying_on_side"]}),
        ("breathing_and_posture", "sitting on bottom", {"signs_seen": ["lying_on_bottom_upright"]}),
        ("breathing_and_posture", "no gasping", {"signs_not_seen": ["gasping_at_surface"]}),
        ("breathing_and_posture", "twitching", {"signs_seen": ["spinning_convulsions"]}),
        ("breathing_and_posture", "they gulp for air and some lie on their side",
         {"signs_seen": ["gasping_at_surface", "lying_on_side"]}),
    ],
)  # fmt: skip
def test_what_was_taken_wrongly_is_heard_right(
    question: str, text: str, means: dict[str, Any]
) -> None:
    heard = hear(question, text)
    told = {
        k: v for k, v in heard.items() if k not in ("format", "question", "text", "not_understood")
    }
    assert told == means


def test_what_was_not_said_stays_unknown_and_is_asked() -> None:
    few = hear("counts", "2 dead and a few down")
    assert few["counts"] == {"dead": 2} and few["ask_back"]
    most = hear("counts", "none dead, most are on their side")
    assert most["counts"] == {"dead": 0} and most["ask_back"]
    assert "counts" not in hear("counts", "500 dead", 100)
    assert hear("counts", "5/100 dead", 100)["counts"] == {"dead": 5}
    assert hear("counts", "all dead", 40)["counts"] == {"dead": 40}
    assert hear("counts", "half are down", 40)["counts"] == {"down": 20}
    assert "counts" not in hear("counts", "all dead")


def test_the_belly_is_not_down_when_it_is_up() -> None:
    assert "lying_on_bottom_upright" not in hear("breathing_and_posture", "belly up")["signs_seen"]


@pytest.mark.parametrize(
    "text, lots",
    [
        ("platys, about 60", [("platy", 60)]),
        ("12 koi, 8-10 inch", [("koi", 12)]),
        ("200 neons 50 corys 20 plecos", [("neon tetra", 200), ("corydoras", 50), ("pleco", 20)]),
        ("cardinals 300 in 3 bgs", [("cardinal tetra", 300)]),
        ("L46 x 4", [("zebra pleco", 4)]),
        ("P. denisonii 10", [("denison barb", 10)]),
    ],
)
def test_lots_in_a_line(text: str, lots: list[tuple[str, int]], base: RuleBase) -> None:
    heard = hear("kinds", text)
    found = [(str(lot["species"]).removeprefix("southern "), lot["count"]) for lot in heard["lots"]]
    assert [count for _, count in found] == [count for _, count in lots]
    for (species, _), (wanted, _) in zip(found, lots, strict=True):
        assert advisor.rulebase.species.find_species(species, base) is (
            advisor.rulebase.species.find_species(wanted, base)
        )


def test_a_bag_reading_does_not_land_in_the_tank() -> None:
    (one,) = hear("ph", "bag 6.4")["readings"]
    assert (one["water"], one["parameter"], one["value"]) == ("bag", "ph", 6.4)
    both = hear("thermometer", "bag 22 tank 26")["readings"]
    assert {(r["water"], r["value"]) for r in both} == {("bag", 22), ("tank", 26)}


@pytest.mark.parametrize(
    "question, text, item, answer",
    [
        ("other_tub", "yes", "no_other_tank", "no"),
        ("other_tub", "no", "no_other_tank", "yes"),
        ("other_tub", "nope all full", "no_other_tank", "yes"),
        ("dechlorinator_in_the_house", "yes", "no_dechlorinator", "no"),
        ("dechlorinator_in_the_house", "no, shop is shut", "no_dechlorinator", "yes"),
        ("rewarmed", "not yet", "rewarmed", "no"),
    ],
)
def test_yes_is_the_line_that_says_yes(question: str, text: str, item: str, answer: str) -> None:
    """Items named for what is missing are not turned round: "yes, there is" is no lack."""
    assert hear(question, text)["history"] == {item: answer}


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("counts", "20 dead.. no wait 12 not 20", {"counts": {"dead": 12}}),
        ("counts", "3 dead, sorry 4", {"counts": {"dead": 4}}),
        ("arrived", "about 20 mins no wait more like 40", {"at_hours": 0.6667}),
        ("counts", "55 dead, about to lose another 20", {"counts": {"dead": 55}}),
        ("where_are_they", "about to open", {"place": "closed_bag"}),
        ("where_are_they", "floating in the tank, still tied", {"place": "closed_bag"}),
        ("hours_sealed", "36h on the airway bill plus 3 in customs", {"hours_sealed": 39}),
        ("hours_sealed", "bagged 0400 mon, landed 1900 tue, opened 2130", {"hours_sealed": 41.5}),
        ("hours_sealed", "sealed 04:30 UTC, opened 06:30 UTC next day", {"hours_sealed": 26}),
        ("hours_sealed", "packed 0600 opened 0800 the following day", {"hours_sealed": 26}),
        ("changed_last_day", "no power cut", None),
        ("oxygen", "plenty, 2 airstones", None),
        ("salinity", "1 tbsp per 5 gal", None),
        ("hours_sealed", "30 gallons", None),
    ],
)
def test_second_thoughts_sums_and_what_is_not_yet(
    question: str, text: str, means: dict[str, Any] | None
) -> None:
    heard = hear(question, text)
    if means is not None:
        assert {k: heard[k] for k in means} == means
        return
    assert "readings" not in heard and "hours_sealed" not in heard
    assert "yes" not in heard.get("history", {}).values() or question == "oxygen"


# -- what was taken wrongly of new lines, by their class: tried by hand, not from any list -----


@pytest.mark.parametrize(
    "text, count, counts",
    [
        ("all of them bar two are dead", 20, {"dead": 18}),
        ("every last one is dead", 20, {"dead": 20}),
        ("not a single one lost", 20, {"dead": 0}),
        ("8 dead of which 3 doa", 40, {"dead": 8}),
        ("Total mortality: 3. Recumbent: 1.", 20, {"dead": 3, "down": 1}),
        ("1/3 on their sides", 24, {"down": 8}),
        ("it was 4 dead at noon, now it is 7", 40, {"dead": 7}),
        ("3d 4 down", 40, {"dead": 3, "down": 4}),
        ("no dead ones, but two that can't stay upright", 20, {"dead": 0, "down": 2}),
    ],
)
def test_heads_in_other_words(text: str, count: int, counts: dict[str, int]) -> None:
    assert hear("counts", text, count)["counts"] == counts


def test_both_of_many_are_asked_back() -> None:
    both = hear("counts", "both dead", 40)
    assert "counts" not in both and both["ask_back"]


@pytest.mark.parametrize(
    "text, lots",
    [
        ("20 cory cats, pandas not peppered", [("panda corydoras", 20)]),
        ("Panzerwelse 15, the bronze ones", [("bronze corydoras", 15)]),
        ("6 flame angel 2 emperor juv", [("flame angelfish", 6), ("emperor angelfish", 2)]),
        ("no sturgeon this time, just two green tench", [("tench", 2)]),
        ("2000 P. innesi, 500 H. amandae", [("neon tetra", 2000), ("ember tetra", 500)]),
        ("10 each of cardinals and neons", [("cardinal tetra", 10), ("neon tetra", 10)]),
        ("8 angelfish (4 koi, 4 silver)", [("angelfish", 8)]),
        ("1 male betta 5 females", [("siamese fighting fish", 6)]),
        ("RTBS & rainbow shark, 25 ea", [("red-tailed black shark", 25), ("rainbow shark", 25)]),
        ("30 guppies, 78 F", [("guppy", 30)]),
        ("12 neons at 24 degrees", [("neon tetra", 12)]),
        ("40 guppies, bag ph 6.8, tank 25 C", [("guppy", 40)]),
        ("6 C. auratus", [("goldfish", 6)]),
    ],
)
def test_one_lot_told_in_pieces(text: str, lots: list[tuple[str, int]]) -> None:
    heard = hear("kinds", text)
    assert [(lot["species"], lot["count"]) for lot in heard["lots"]] == lots
    assert "ask_back" not in heard and "hours_sealed" not in heard


@pytest.mark.parametrize(
    "question, text, readings",
    [
        ("thermometer", "water 24.5, box 20", {("tank", 24.5), ("bag", 20)}),
        ("ph", "tank is seven, bag is six and a half", {("tank", 7), ("bag", 6.5)}),
        ("thermometer", "bag 21, going into 24", {("bag", 21), ("tank", 24)}),
        ("ammonia_nitrite", "TAN 0.3 mg/L", {("tank", 0.3)}),  # TAN is counted as nitrogen
    ],
)
def test_a_number_takes_the_water_of_its_clause(
    question: str, text: str, readings: set[tuple[str, float]]
) -> None:
    assert {(r["water"], r["value"]) for r in hear(question, text)["readings"]} == readings


@pytest.mark.parametrize(
    "question, text",
    [
        ("where_are_they", "netted 2 of the bags, 3rd is still closed"),
        ("where_are_they", "half in, half out"),
        ("hours_sealed", "tied 7am singapore time, opened 5pm here"),
        ("hours_sealed", "tied at 4, opened at 9 next morning"),
        ("tap", "7.4, KH 8"),
        ("skin", "i think its ich"),
        ("changed_last_day", "There was a power cut the day before yesterday."),
        ("tank_age", "since one month it run, but without any fish"),
    ],
)
def test_what_may_be_taken_two_ways_is_asked(question: str, text: str) -> None:
    heard = hear(question, text)
    assert heard["ask_back"]
    assert not {"place", "hours_sealed", "signs_seen", "age_days"} & set(heard)
    assert "history" not in heard or not heard["history"]


@pytest.mark.parametrize("text", ["haven't fed em yet", "not offered", "holding off feeding"])
def test_food_not_given_is_no_food_refused(text: str) -> None:
    assert not facts(hear("food", text))


# -- at the door ----------------------------------------------------------------------------


def test_a_question_nobody_knows_is_one_sentence() -> None:
    with pytest.raises(AdvisorError, match="counts"):
        hear("count", "2 dead")


def test_the_command_says_it_in_words_and_as_data() -> None:
    words = [sys.executable, "-m", "advisor", "ask", "--hear", "counts", "2 dead and a few down"]
    said = subprocess.run(words, capture_output=True, text=True, check=False)
    assert said.returncode == 1 and "2 dead" in said.stdout and "?" in said.stdout
    data = subprocess.run([*words, "--json"], capture_output=True, text=True, check=False)
    assert json.loads(data.stdout)["counts"] == {"dead": 2}


def test_where_they_are_is_listed_with_the_answers(base: RuleBase) -> None:
    """ "still in an opened bag" is an answer like others, though its item says no."""
    from advisor.ask.answered import answers

    case = loads_case(
        'format = "arrival-case-1"\n[[lot]]\nid = "a"\nsealed = "no"\n'
        '[session]\nanswered = ["where_are_they/a"]\n'
    )
    (one,) = answers(case, base)
    assert one.kept == "still in an opened bag or box"
