"""Numbers in a typed line: heads, amounts, words for numbers. What each means, read by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.ask.hear.line import with_numbers
from tests.ask.hearing import hear

ASKED: dict[str, int] = {}


@pytest.mark.parametrize(
    "text, came, counts",
    [
        # as people say it
        ("3 dead", 40, {"dead": 3}), ("3 dead 2 down", 40, {"dead": 3, "down": 2}),
        ("three dead, two on their side", 40, {"dead": 3, "down": 2}),
        ("lost 3", 40, {"dead": 3}), ("took out 3 dead", 40, {"dead": 3}),
        ("none dead", 40, {"dead": 0}), ("no deaths, 2 down", 40, {"dead": 0, "down": 2}),
        ("none dead or down", 40, {"dead": 0, "down": 0}), ("none", 40, {"dead": 0, "down": 0}),
        ("0", 40, {"dead": 0, "down": 0}), ("nobody dead", 40, {"dead": 0}),
        ("not one dead", 40, {"dead": 0}), ("dead: 3, down: 2", 40, {"dead": 3, "down": 2}),
        ("dead 3, down 2", 40, {"dead": 3, "down": 2}),
        ("3 are dead and 2 are down", 40, {"dead": 3, "down": 2}),
        ("2 down, 3 dead", 40, {"dead": 3, "down": 2}),
        ("3 d.o.a., 2 down", 40, {"dead": 3, "down": 2}),
        # all, both, all but, shares
        ("all dead", 12, {"dead": 12}), ("all of them are dead", 12, {"dead": 12}),
        ("all dead", None, None), ("both dead", 2, {"dead": 2}), ("both dead", 12, None),
        ("all but 2 dead", 12, {"dead": 10}), ("all alive but 2", 12, {"dead": 2}),
        ("all dead except 3", 12, {"dead": 9}),
        ("half dead", 12, {"dead": 6}), ("half dead", None, None),
        ("a third are down", 12, {"down": 4}),
        ("a quarter dead", 40, {"dead": 10}), ("2 thirds dead", 12, {"dead": 8}),
        ("3/4 dead", 40, {"dead": 30}), ("10% dead", 40, {"dead": 4}),
        ("50 percent down", 40, {"down": 20}),
        ("a fifth dead", 40, {"dead": 8}), ("a tenth down", 40, {"down": 4}),
        ("5 of 40 dead", 40, {"dead": 5}), ("5 out of 40 dead", None, {"dead": 5}),
        ("50 of 40 dead", 40, None), ("100% dead", 40, {"dead": 40}),
        # the rest
        ("3 dead, rest fine", 40, {"dead": 3, "down": 0}),
        ("3 dead, the rest down", 40, {"dead": 3, "down": 37}),
        ("2 down, others ok", 40, {"dead": 0, "down": 2}), ("3 dead, tub 4 fine", 40, {"dead": 3}),
        ("all fine", 40, {"dead": 0, "down": 0}), ("all alive", 40, {"dead": 0}),
        ("37 left", 40, {"dead": 3}), ("37 alive of 40", 40, {"dead": 3}),
        ("30 survived", 40, {"dead": 10}),
        # a sum, more of them, a correction
        ("3 dead, 2 more since", 40, {"dead": 5}), ("3 dead, another 2 dead", 40, {"dead": 5}),
        ("3 dead then 2 more, makes 5", 40, {"dead": 5}), ("it was 3 dead, now 5", 40, {"dead": 5}),
        ("bag 1: 2 dead, bag 2: 3 dead", 40, {"dead": 5}), ("3 dead no 4", 40, {"dead": 4}),
        ("2 dead in bag 1 and 3 in bag 2", 40, {"dead": 5}),
        ("8 dead (3 doa, 5 since)", 40, {"dead": 8}),
        ("2 dead, 1 down, 37 fine", 40, {"dead": 2, "down": 1, "normal": 37}),
        # a single fish
        ("dead", 1, {"dead": 1}), ("he is on his side", 1, {"down": 1}),
        ("still alive", 1, {"dead": 0}),
        ("dead", 40, None), ("the big one is dead", 40, {"dead": 1}),
        # numbers of something else are no heads
        ("3 dead after 2 hours", 40, {"dead": 3}), ("3 dead at 10:30", 40, {"dead": 3}),
        ("3 dead, tank 5", 40, {"dead": 3}), ("3 dead, about to lose 2", 40, {"dead": 3}),
        ("5 gasping, 3 dead", 40, {"dead": 3}), ("40 came, 3 dead", 40, {"dead": 3}),
        # it has to be asked
        ("3", 40, None), ("3 2", 40, None), ("3/2", 40, None), ("a few dead", 40, None),
        ("2 or 3 dead", 40, None),
        ("2-3 dead", 40, None), ("some dead", 40, None), ("1 in 10 dead", 40, None),
        ("2.5 dead", 40, None),
        ("nearly lost 3", 40, None), ("5 dead or dying", 40, None), ("41 dead", 40, None),
        ("dont know", 40, None),
    ],
)  # fmt: skip
def test_heads(text: str, came: int | None, counts: dict[str, int] | None) -> None:
    """None: nothing is taken, and it is asked or not known."""
    heard = hear("counts", text, came)
    assert heard.get("counts", ASKED) == (ASKED if counts is None else counts), heard
    assert (counts is None) == bool(heard.get("ask_back") or heard.get("unknown")), heard


@pytest.mark.parametrize(
    "text, counts, on_arrival",
    [
        ("8 dead of which 3 doa", {"dead": 8}, 3), ("3 doa, 2 more since", {"dead": 5}, 3),
        ("3 doa and 2 dead", {"dead": 5}, 3), ("8 dead including 3 on arrival", {"dead": 8}, 3),
        ("3 dead in the bag, 2 dead since", {"dead": 5}, 3),
        ("3 dead on arrival", {"dead": 3}, None),
        ("5 belly up and dead", {"dead": 5}, None), ("4 doa, makes 6 now", {"dead": 6}, 4),
        ("3 dead, 37 swimming", {"dead": 3}, None), ("2 dead, 30 fine", {"dead": 2}, None),
        ("3 dead and 1 dead", {"dead": 4}, None),
        ("20 down of 40, 2 dead", {"dead": 2, "down": 20}, None),
    ],
)  # fmt: skip
def test_dead_in_the_bags_are_some_of_the_dead(
    text: str, counts: dict[str, int], on_arrival: int | None
) -> None:
    """Told apart only where they are not all of them."""
    heard = hear("counts", text, 40)
    assert heard["counts"] == counts and heard.get("dead_on_arrival") == on_arrival, heard
    assert "ask_back" not in heard


@pytest.mark.parametrize(
    "text, counts",
    [
        ("none alive", {}), ("not all alive", {}), ("30 fine", {"normal": 30}),
        ("not all dead", {}), ("not everyone is alive", {}),
        ("3 dead, all the others down or dying", {"dead": 3}), ("41 alive", {}),
        ("3 dead, 4", {"dead": 3}), ("half of them", {}), ("most dead", {}),
        ("3 dead, a few down", {"dead": 3}),
        ("3 dead and some more", {"dead": 3}), ("every second one dead", {}),
        ("nearly all dead", {}),
    ],
)  # fmt: skip
def test_what_is_no_number_is_asked(text: str, counts: dict[str, int]) -> None:
    heard = hear("counts", text, 40)
    assert {k: v for k, v in heard.get("counts", {}).items() if v} == counts, heard
    assert heard["ask_back"]


def test_the_rest_of_a_number_nobody_told_is_asked() -> None:
    heard = hear("counts", "3 dead, the rest down")
    assert heard["counts"] == {"dead": 3} and heard["ask_back"]


@given(
    came=st.integers(4, 500), dead=st.integers(0, 500), down=st.integers(0, 500),
    way=st.sampled_from(
        ["{dead} dead, {down} down", "{down} down and {dead} dead", "dead {dead} down {down}",
         "{dead} dead. {down} lying on their side", "{dead} d {down} dn",
         "lost {dead}, {down} down"]
    ),
    shape=st.sampled_from([str.upper, str.lower, str.title]),
)  # fmt: skip
@settings(max_examples=80)
def test_what_is_told_of_heads_is_taken_or_is_more_than_came(
    came: int, dead: int, down: int, way: str, shape: Any
) -> None:
    heard = hear("counts", shape(way.format(dead=dead, down=down)), came)
    if max(dead, down) > came:
        assert "counts" not in heard and heard["ask_back"]
    else:
        assert heard["counts"] == {"dead": dead, "down": down}


@given(came=st.integers(4, 500), data=st.data(), state=st.sampled_from(["dead", "down"]))
@settings(max_examples=60)
def test_counts_told_add_up(came: int, data: st.DataObject, state: str) -> None:
    some = data.draw(st.integers(1, came - 1))
    more = data.draw(st.integers(0, came - some))
    assert hear("counts", f"all but {some} {state}", came)["counts"] == {state: came - some}
    rest = hear("counts", f"{some} dead, the rest down", came)["counts"]
    assert rest == {"dead": some, "down": came - some}
    assert hear("counts", f"{some} dead, the rest are fine", came)["counts"] == {
        "dead": some,
        "down": 0,
    }
    assert hear("counts", f"{came - some} left", came)["counts"] == {"dead": some}
    if more:
        assert hear("counts", f"{some} dead, {more} more since", came)["counts"] == {
            "dead": some + more
        }
        bags = hear("counts", f"bag 1: {some} {state}, bag 2: {more} {state}", came)["counts"]
        assert bags == {state: some + more}


# -- numbers in words -----------------------------------------------------------------

ONES = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int, joined: str, hyphen: str) -> str:
    """A number below a hundred thousand as it is said."""
    if number < 20:
        return ONES[number]
    if number < 100:
        ten, one = divmod(number, 10)
        return TENS[ten - 2] + (hyphen + ONES[one] if one else "")
    size, word = (1000, "thousand") if number >= 1000 else (100, "hundred")
    whole, rest = divmod(number, size)
    return f"{in_words(whole, joined, hyphen)} {word}" + (
        joined + in_words(rest, joined, hyphen) if rest else ""
    )


@given(
    number=st.integers(0, 99_999),
    joined=st.sampled_from([" ", " and "]),
    hyphen=st.sampled_from(["-", " "]),
)
@settings(max_examples=150)
def test_numbers_in_words_are_numbers(number: int, joined: str, hyphen: str) -> None:
    assert with_numbers(in_words(number, joined, hyphen)) == str(number)
    if 0 < number < 1000:
        assert with_numbers(f"{in_words(number, joined, hyphen)} thousand") == f"{number * 1000}"
        assert (
            with_numbers(f"we have {in_words(number, joined, hyphen)}, dead")
            == f"we have {number}, dead"
        )


@pytest.mark.parametrize(
    "text, figures",
    [
        ("a dozen", "12"), ("two dozen", "24"), ("3 doz", "36"), ("half a dozen", "6"),
        ("a couple of", "2"),
        ("a hundred", "100"), ("hundred", "100"), ("a thousand", "1000"),
        ("a hundred and five", "105"),
        ("8 point 2", "8.2"), ("eight point two", "8.2"), ("seven komma five", "7.5"),
        ("zwei", "2"), ("dreißig", "30"), ("dos", "2"), ("twenty twenty", "20 20"),
        ("five six", "5 6"), ("five twenty", "5 20"), ("no one", "nobody"),
        ("every one", "everyone"),
        ("one hundred twenty", "120"), ("two and three", "2 and 3"),
        ("twenty and five", "20 and 5"),
        ("a pair", "2"), ("3 pair", "3 pair"), ("fifty.", "50."), ("(ten)", "10)"),
        ("fourty-two", "42"), ("1 hundred", "100"), ("100 and fifteen", "100 and 15"),
    ],
)  # fmt: skip
def test_figures_for_words(text: str, figures: str) -> None:
    assert with_numbers(text) == figures


# -- other amounts --------------------------------------------------------------------


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("tank_volume", "200 litres", {"volume_l": 200}), ("tank_volume", "200", {"volume_l": 200}),
        ("tank_volume", "50 gallons", {"volume_l": 189.27}),
        ("tank_volume", "2,800 l", {"volume_l": 2800}),
        ("tank_volume", "50 uk gallons", {"volume_l": 227.3}),
        ("tank_volume", "1.5 m3", {"volume_l": 1500}),
        ("tank_volume", "half a ton", {"volume_l": 500}), ("tank_volume", "1.000 l", None),
        ("tank_volume", "3 tanks of 100 l", {"volume_l": 300}),
        ("tank_volume", "4 vats, 250 l each", {"volume_l": 1000}),
        ("tank_volume", "100-120 l", {"volume_l": 110}), ("tank_volume", "big", None),
        ("bag_water", "2 litres", {"bag_water_l": 2}),
        ("bag_water", "half a litre", {"bag_water_l": 0.5}),
        ("bag_water", "500 ml", {"bag_water_l": 0.5}),
        ("bag_water", "1.5 kg", {"bag_water_l": 1.5}),
        ("bag_water", "a third of a 6 litre bag", {"bag_water_l": 2}),
        ("bag_water", "20 litre bag half full", {"bag_water_l": 10}),
        ("bag_water", "2 l water, 4 l oxygen", {"bag_water_l": 2}),
        ("bag_water", "between 2 and 3 l", {"bag_water_l": 2.5}),
        ("bag_water", "a pint", None),  # of 473 or 568 ml
        ("bag_water", "half of a 20 litre bag", {"bag_water_l": 10}),
        ("bag_water", "10 kg box", None),
        ("bag_water", "1/4 l", {"bag_water_l": 0.25}),
        ("bag_water", "one and a half litres", {"bag_water_l": 1.5}),
    ],
)  # fmt: skip
def test_amounts_of_water(question: str, text: str, means: dict[str, float] | None) -> None:
    heard = hear(question, text)
    got = {k: v for k, v in heard.items() if k in ("volume_l", "bag_water_l")}
    if means is None:
        assert not got and heard["ask_back"]
    else:
        assert got == pytest.approx(means, rel=0.01) and "ask_back" not in heard


@pytest.mark.parametrize(
    "question, text, means",
    [
        ("tank_age", "6 weeks", {"age_days": 42}), ("tank_age", "10", {"age_days": 10}),
        ("tank_age", "2 years", {"age_days": 730}), ("tank_age", "yesterday", {"age_days": 1}),
        ("tank_age", "set up today", {"age_days": 0}),
        ("tank_age", "a fortnight", {"age_days": 14}),
        ("tank_age", "6 weeks without fish", None), ("tank_age", "old", None),
        ("fasted", "24", {"fasted_hours": 24}), ("fasted", "2 days", {"fasted_hours": 48}),
        ("fasted", "none", {"fasted_hours": 0}), ("fasted", "not fasted", {"fasted_hours": 0}),
        ("fasted", "overnight", None), ("fasted", "about 12", {"fasted_hours": 12}),
        ("air_on_the_way", "5 to 20 C", {"air_low_c": 5, "air_high_c": 20}),
        ("air_on_the_way", "between 41 and 68 F", {"air_low_c": 5, "air_high_c": 20}),
        ("air_on_the_way", "-5 to 10", {"air_low_c": -5, "air_high_c": 10}),
        ("air_on_the_way", "minus 5 to 10", {"air_low_c": -5, "air_high_c": 10}),
        ("air_on_the_way", "30 for 2 hours, then 15", {"air_low_c": 15, "air_high_c": 30}),
        ("air_on_the_way", "freezing to 12", {"air_low_c": 0, "air_high_c": 12}),
        ("air_on_the_way", "90", {"air_low_c": 32.2, "air_high_c": 32.2}),  # none lives at 90 °C
        ("air_on_the_way", "over 30", None), ("air_on_the_way", "cold", None),
        ("air_on_the_way", "never below 10 nor above 25", {"air_low_c": 10, "air_high_c": 25}),
        ("bags", "4", {"bags": 4}), ("bags", "4 bags", {"bags": 4}),
        ("bags", "2 boxes of 4 bags", {"bags": 8}),
        ("bags", "2 boxes", None), ("bags", "3 or 4", None), ("bags", "3-4 bags", None),
        ("bags", "2 boxes, 6 bags each", {"bags": 12}), ("bags", "singly bagged", {"bags": 40}),
        ("bags", "4 bags with 10 fish each", {"bags": 4}),
        ("bags", "6 bags, 3 litres each", {"bags": 6, "bag_water_l": 3}), ("bags", "0", None),
        ("dead_on_arrival", "3", {"dead_on_arrival": 3}),
        ("dead_on_arrival", "none", {"dead_on_arrival": 0}),
        ("dead_on_arrival", "3 of 40", {"dead_on_arrival": 3}), ("dead_on_arrival", "41", None),
        ("dead_on_arrival", "all", {"dead_on_arrival": 40}),
        ("dead_on_arrival", "half", {"dead_on_arrival": 20}),
        ("dead_on_arrival", "2 dead in the bags", {"dead_on_arrival": 2}),
        ("dead_on_arrival", "5, one per bag", {"dead_on_arrival": 5}),
        ("dead_on_arrival", "4 across 3 bags", {"dead_on_arrival": 4}),
        ("dead_on_arrival", "a few", None), ("dead_on_arrival", "40", {"dead_on_arrival": 40}),
        ("fish_mass", "5 g", {"mass_g": 5}), ("fish_mass", "0.5 kg", {"mass_g": 500}),
        ("fish_mass", "20 weigh 100 g", {"mass_g": 5}), ("fish_mass", "1-2 g", {"mass_g": 1.5}),
        ("fish_mass", "half a pound", {"mass_g": 226.8}), ("fish_mass", "heavy", None),
        ("fish_mass", "2 oz", {"mass_g": 56.7}),
    ],
)  # fmt: skip
def test_other_numbers(question: str, text: str, means: dict[str, float] | None) -> None:
    heard = hear(question, text, 40)
    named = ("age_days", "fasted_hours", "air_low_c", "air_high_c", "bags", "bag_water_l",
             "dead_on_arrival", "mass_g")  # fmt: skip
    got = {k: v for k, v in heard.items() if k in named}
    if means is None:
        assert not got and (heard.get("ask_back") or heard.get("unknown")), heard
    else:
        assert got == pytest.approx(means, rel=0.005), heard
        assert "ask_back" not in heard
