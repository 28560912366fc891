"""Lines as people type them: numbers, words, near misses, counts, lots, hours."""

from __future__ import annotations

import pytest

from advisor.ask.answers.choosing import NotUnderstood, pick
from advisor.ask.answers.field_numbers import read_number, values_of, whole_number
from advisor.ask.answers.lots import lot_ids, read_lots
from advisor.ask.answers.replies import Draft
from advisor.ask.answers.typed_reading import as_reading, kit_in, may_be_top_mark
from advisor.errors import AdvisorError
from advisor.units import parse
from tests.ask.conftest import Begin, told

LINES = {"netted": "netted over", "poured": "poured in", "dripped": "dripped", "none": "not moved"}


@pytest.mark.parametrize(
    "text, keys",
    [
        ("1 4", ("netted", "none")),
        ("4,1", ("netted", "none")),
        ("1-3", ("netted", "poured", "dripped")),
        ("1 and 2", ("netted", "poured")),
        ("dripped", ("dripped",)),
        ("poured", ("poured",)),
        ("2; dripped", ("poured", "dripped")),
        ("driped", ("dripped",)),
    ],
)
def test_numbers_and_words_pick_lines_in_the_order_shown(text: str, keys: tuple[str, ...]) -> None:
    assert pick(text, LINES, several=True).keys == keys


def test_a_typo_is_taken_for_the_nearest_line_and_said() -> None:
    assert pick("netetd over", LINES, several=False).taken == (("netetd over", "netted over"),)


def test_u_at_the_end_leaves_the_rest_open() -> None:
    picked = pick("1 4 u", LINES, several=True)
    assert picked.keys == ("netted", "none")
    assert picked.rest_unknown


@pytest.mark.parametrize("text", ["5", "0 9", "1-7"])
def test_a_number_out_of_range_is_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(NotUnderstood, match="from 1 to 4"):
        pick(text, LINES, several=True)


@pytest.mark.parametrize("text", ["1 2", "xyzzy", "1 xyzzy"])
def test_one_line_means_one(text: str) -> None:
    with pytest.raises(NotUnderstood):
        pick(text, LINES, several=False)


@pytest.mark.parametrize("text, key", [("y", "yes"), ("No", "no"), ("yep", "yes"), ("2", "no")])
def test_yes_and_no_in_their_common_forms(text: str, key: str) -> None:
    assert pick(text, {"yes": "yes", "no": "no"}, several=False).keys == (key,)


@pytest.mark.parametrize(
    "text, drafts",
    [
        ("40 guppies", (Draft("guppies", 40),)),
        (
            "40 guppies, 12 neon tetras in 2 bags",
            (Draft("guppies", 40), Draft("neon tetras", 12, 2)),
        ),
        ("guppies x 40; neons (12)", (Draft("guppies", 40), Draft("neons", 12))),
        ("a betta", (Draft("betta", 1),)),
        ("twelve cardinals and 3 plecos", (Draft("cardinals", 12), Draft("plecos", 3))),
        ("40", (Draft(None, 40),)),
        ("Corydoras panda", (Draft("Corydoras panda", None),)),
    ],
)
def test_lots(text: str, drafts: tuple[Draft, ...]) -> None:
    assert read_lots(text) == drafts


def test_lot_ids_are_short_and_never_alike() -> None:
    drafts = [
        Draft("Neon tetra"),
        Draft("neon tetra"),
        Draft("all"),
        Draft(None, 3),
        Draft("ネオン"),
    ]
    assert lot_ids(drafts) == ("neon-tetra", "neon-tetra-2", "lot-3", "lot-4", "lot-5")


@pytest.mark.parametrize(
    "text, field, value",
    [
        ("30 h", "transit.hours_sealed", 30),
        ("2 days", "transit.hours_sealed", 48),
        ("a day and a half", "transit.hours_sealed", 36),
        ("two and a half days", "transit.hours_sealed", 60),
        ("an hour and a half", "look.at_hours", 1.5),
        ("1 h 30 min", "look.at_hours", 1.5),
        ("just now", "look.at_hours", 0),
        ("6 weeks", "receiving.age_days", 42),
        ("10", "receiving.age_days", 10),
        ("3 months", "receiving.age_days", 91.3125),
        ("a year and a half", "receiving.age_days", 547.875),
        ("4 years", "receiving.age_days", 1461),
        ("10 L", "lot.bag_water_l", 10),
        ("0.3 g", "lot.mass_g", 0.3),
        ("3 bags", "lot.bags", 3),
        ("none", "lot.dead_on_arrival", 0),
    ],
)
def test_numbers_for_fields_of_the_case(text: str, field: str, value: float) -> None:
    assert values_of(read_number(text, field), field)[field] == pytest.approx(value)


def test_air_on_the_way_may_freeze_and_fills_both_ends() -> None:
    found = values_of(read_number("-5 to 12 C", "transit.air_c"), "transit.air_c")
    assert found == {"transit.air_low_c": -5.0, "transit.air_high_c": 12.0}


@pytest.mark.parametrize("text", ["3 months", "500 h"])
def test_no_bag_was_sealed_for_longer_than_a_case_can_hold(text: str) -> None:
    with pytest.raises(AdvisorError, match="400 h"):
        read_number(text, "transit.hours_sealed")


@pytest.mark.parametrize("text", ["1.5", "a few", "12 or 13"])
def test_heads_are_whole(text: str) -> None:
    with pytest.raises(NotUnderstood):
        whole_number(text)


@pytest.mark.parametrize(
    "text, kit",
    [
        ("0.5 ppm on the card", "colour_card"),
        ("7.2 strip", "strip"),
        ("6 drops", "drops"),
        ("7.4 meter", "meter"),
        ("7.4", None),
    ],
)
def test_a_kit_named_in_the_line_is_not_asked_for(text: str, kit: str | None) -> None:
    assert kit_in(text) == kit


def test_the_top_mark_of_a_card_means_at_least() -> None:
    eight = parse("8 ppm as N", "tan_mg_l")
    assert may_be_top_mark(eight, "tan_mg_l", "colour_card")
    assert not may_be_top_mark(eight, "tan_mg_l", "meter")
    assert not may_be_top_mark(parse("0.5 ppm as N", "tan_mg_l"), "tan_mg_l", "colour_card")
    reading = as_reading(eight, "tan_mg_l", "colour_card", top_mark=True)
    assert reading.at_least
    assert reading.high == 500  # the end of what the parameter can be
    assert reading.low == reading.value


def test_over_the_top_needs_no_question() -> None:
    over = parse(">8 ppm as N", "tan_mg_l")
    assert not may_be_top_mark(over, "tan_mg_l", "colour_card")
    assert as_reading(over, "tan_mg_l", "colour_card").at_least


def test_what_was_typed_is_kept_beside_the_stored_value() -> None:
    reading = as_reading(parse("78 F", "temperature_c"), "temperature_c", None)
    assert reading.entered == "78 F"
    assert reading.value == pytest.approx(25.556, abs=0.001)
    assert reading.kit == "meter"


def test_a_delivery_told_at_the_question_of_signs_is_taken_whole(begin: Begin) -> None:
    """Lot, bags and hours, whichever question the line answers."""
    bench = begin(["100 neon tetras, 3 bags, 30 h, gasping"])
    bench.put("breathing_and_posture")
    (lot,) = bench.at.case.lot
    assert (lot.species, lot.count, lot.bags) == ("neon tetras", 100, 3)
    assert bench.at.case.transit.hours_sealed == 30
    assert bench.at.case.observation[0].seen == ("gasping_at_surface",)
    assert "means no sign" not in told(bench.keeper)


def test_fish_that_show_a_sign_are_no_delivery(begin: Begin) -> None:
    bench = begin(["gasping, 3 neons"])
    bench.put("breathing_and_posture")
    assert not any(lot.species for lot in bench.at.case.lot)
