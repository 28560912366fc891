"""What is lost, denied, lessened or means another thing beside others, read by hand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.ask.conftest import Begin
from tests.ask.hearing import hear

BREATH, LAST_DAY = "breathing_and_posture", "changed_last_day"
MUCUS, GASP = "excess_mucus_cloudy_skin", "gasping_at_surface"
BUBBLES = "bubbles_under_skin_fins_eyes"
HARD, ON_BOTTOM = "rapid_gill_movement", "lying_on_bottom_upright"


@pytest.mark.parametrize(
    "question, text, seen, not_taken",
    [
        # slime that is lost is no excess of it
        ("skin", "some lost their slime", set(), {MUCUS}),
        ("skin", "the slime coat is missing on one side", set(), {MUCUS}),
        ("skin", "they lack mucus", set(), {MUCUS}),
        ("skin", "losing its slime, red patches", {"red_streaks"}, {MUCUS}),
        ("skin", "mucus stripped from the flanks", set(), {MUCUS}),
        ("skin", "shedding slime", {MUCUS}, set()), ("skin", "far too much slime", {MUCUS}, set()),
        # a blister holds gas only where that is said
        ("skin", "blisters on the flank", set(), {BUBBLES}),
        ("skin", "small blisters in the fins", set(), {BUBBLES}),
        ("skin", "blisters that open as sores, no air bubbles", {"ulcers"}, {BUBBLES}),
        ("skin", "watery blisters", set(), {BUBBLES}), ("skin", "a blister", set(), {BUBBLES}),
        ("skin", "gas blisters in the tail", {BUBBLES}, set()),
        ("skin", "bubbles in the fins", {BUBBLES}, set()),
        # who is well is not ill
        ("who_is_ill", "both ok", set(), {"all_species_at_once"}),
        ("who_is_ill", "the tangs are both well", set(), {"all_species_at_once"}),
        ("who_is_ill", "everyone is healthy", set(), {"all_species_at_once"}),
        ("who_is_ill", "all are fine", set(), {"all_species_at_once"}),
        ("who_is_ill", "they all look good", set(), {"all_species_at_once"}),
        ("who_is_ill", "both kinds are sick", {"all_species_at_once"}, set()),
        ("who_is_ill", "all ill", {"all_species_at_once"}, set()),
        # eating little is no eating
        ("food", "eating little", {"refusing_food"}, {"eating"}),
        ("food", "she hardly feeds", {"refusing_food"}, {"eating"}),
        ("food", "feeds poorly", {"refusing_food"}, {"eating"}),
        ("food", "scarcely ate", {"refusing_food"}, {"eating"}),
        ("food", "weak appetite", {"refusing_food"}, {"eating"}),
        ("food", "eats next to nothing", {"refusing_food"}, {"eating"}),
        ("food", "eats a little", {"eating"}, {"refusing_food"}),
        ("food", "nibbled a bit", {"eating"}, {"refusing_food"}),
        # air is gulped at the surface only
        (BREATH, "gasping at the bottom", {HARD, ON_BOTTOM}, {GASP}),
        (BREATH, "gasping for air on the gravel", {HARD, ON_BOTTOM}, {GASP}),
        (BREATH, "on the bottom gasping", {HARD, ON_BOTTOM}, {GASP}),
        (BREATH, "gasps lying on the floor", {HARD, ON_BOTTOM}, {GASP}),
        (BREATH, "gulping on the sand", {HARD, ON_BOTTOM}, {GASP}),
        (BREATH, "some gasp at the top, some lie on the bottom", {GASP, ON_BOTTOM}, {HARD}),
        (BREATH, "on the bottom, gasping at the surface now and then", {GASP, ON_BOTTOM}, {HARD}),
        # a stink is not always that of rotten eggs
        ("water_look", "mud in the filter stinks", set(), {"rotten_egg_smell"}),
        ("water_look", "the sponge stinks", set(), {"rotten_egg_smell"}),
        ("water_look", "stinks of dead fish", set(), {"rotten_egg_smell"}),
        ("water_look", "it stinks", set(), {"rotten_egg_smell"}),
        ("water_look", "stinks a bit", set(), {"rotten_egg_smell"}),
        ("water_look", "stinks of rotten eggs", {"rotten_egg_smell"}, set()),
        ("water_look", "sulphur smell", {"rotten_egg_smell"}, set()),
        # most of them look well, and they die
        (BREATH, "look normal but keep dying", {"delayed_deaths"}, {"swimming_normally"}),
        (BREATH, "look fine, then die one by one", {"delayed_deaths"}, {"swimming_normally"}),
        (BREATH, "swim ok but still dying", {"delayed_deaths"}, {"swimming_normally"}),
        (BREATH, "most swim ok, we keep losing some", {"delayed_deaths"}, {"swimming_normally"}),
        (BREATH, "most are ok, dying off", {"delayed_deaths"}, {"swimming_normally"}),
        (BREATH, "swimming normally", {"swimming_normally"}, {"delayed_deaths"}),
        ("deaths", "lost the whole stock in one night", {"sudden_deaths"}, {"delayed_deaths"}),
        ("deaths", "entire tank wiped out", {"sudden_deaths"}, {"delayed_deaths"}),
        ("deaths", "all gone within hours", {"sudden_deaths"}, {"delayed_deaths"}),
        ("deaths", "the whole batch died overnight", {"sudden_deaths"}, {"delayed_deaths"}),
        ("deaths", "everything dead in a day", {"sudden_deaths"}, {"delayed_deaths"}),
        # strength
        (BREATH, "too weak to swim", {"weak_response"}, set()),
        (BREATH, "cannot swim by itself, no strength", {"weak_response"}, set()),
        (BREATH, "so weak", {"weak_response"}, set()),
        (BREATH, "too feeble to move on its own", {"weak_response"}, {"isolation_from_group"}),
        (BREATH, "unable to swim on their own", {"weak_response"}, {"isolation_from_group"}),
        (BREATH, "cant hold himself", {"loss_of_equilibrium"}, set()),
        ("gills", "gills are blackish", {"brown_gills"}, set()),
        ("gills", "brown black gills", {"brown_gills"}, set()),
        ("gills", "nearly black, brownish", {"brown_gills"}, set()),
        ("gills", "gills brown to black", {"brown_gills"}, set()),
        ("gills", "not blackish", set(), {"brown_gills"}),
    ],
)  # fmt: skip
def test_signs(question: str, text: str, seen: set[str], not_taken: set[str]) -> None:
    heard = hear(question, text)
    assert seen <= set(heard.get("signs_seen", ())), heard
    assert not not_taken & set(heard.get("signs_seen", ())), heard


@pytest.mark.parametrize(
    "question, text, history",
    [
        ("thermometer", "water is warm", {}), ("thermometer", "tank feels warm", {}),
        ("thermometer", "nice and warm water", {}), ("thermometer", "warm water", {}),
        ("thermometer", "the tank is warm", {}),
        ("thermometer", "the tank is far too warm", {"water_feels_hot": "yes"}),
        ("thermometer", "water feels hot", {"water_feels_hot": "yes"}),
        (LAST_DAY, "the plug was scorched", {"electric_fault_suspected": "yes"}),
        (LAST_DAY, "wiring burnt", {"electric_fault_suspected": "yes"}),
        (LAST_DAY, "short circuit", {"electric_fault_suspected": "yes"}),
        (LAST_DAY, "the breaker tripped", {"electric_fault_suspected": "yes"}),
        (LAST_DAY, "melted cable", {"electric_fault_suspected": "yes"}),
        (LAST_DAY, "lightning hit the shed",
         {"electric_fault_suspected": "yes", "storm_or_heavy_rain": "yes"}),
        (LAST_DAY, "no burnt socket", {"electric_fault_suspected": "no"}),
        (LAST_DAY, "the pumps stood for three hours", {"filter_stopped": "yes"}),
        (LAST_DAY, "filter stood still", {"filter_stopped": "yes"}),
        (LAST_DAY, "pump burnt out", {"filter_stopped": "yes"}),
        (LAST_DAY, "power was off from 2 to 5, on again",
         {"filter_stopped": "yes", "power_out": "no"}),
        (LAST_DAY, "mains went out at 3, back now", {"filter_stopped": "yes", "power_out": "no"}),
        (LAST_DAY, "electricity was out all night and is back",
         {"filter_stopped": "yes", "power_out": "no"}),
        (LAST_DAY, "the power is out", {"power_out": "yes"}),
        ("course", "some days", {"course": "days"}), ("course", "some weeks", {"course": "weeks"}),
        ("course", "some days good, some days bad", {"course": "on_and_off"}),
        ("when_it_began", "months", {"course": "weeks"}),
        ("when_it_began", "a few days ago", {"course": "days"}),
        ("when_it_began", "for several weeks", {"course": "weeks"}),
        ("when_it_began", "two hours ago", {"course": "hours"}),
        ("when_it_began", "the last three weeks", {"course": "weeks"}),
        ("scrape", "flukes and velvet", {"scrape_done": "parasite_found"}),
        ("scrape", "costia, also trichodina", {"scrape_done": "parasite_found"}),
        ("scrape", "velvet, a few flukes", {"scrape_done": "parasite_found"}),
        ("scrape", "found ich and costia", {"scrape_done": "parasite_found"}),
        ("scrape", "chilodonella on four, trichodina on two", {"scrape_done": "parasite_found"}),
    ],
)  # fmt: skip
def test_history(question: str, text: str, history: dict[str, str]) -> None:
    assert hear(question, text).get("history", {}) == history


@pytest.mark.parametrize(
    "text", ["flukes and velvet", "costia, trichodina", "velvet on ten, flukes on two",
             "worms and flagellates", "mostly ich, some costia"],
)  # fmt: skip
def test_which_of_several_parasites_leads_is_asked(text: str, begin: Begin) -> None:
    assert "scrape_parasite" not in hear("scrape_parasite", text).get("history", {})
    bench = begin([text, "u"])
    bench.put("scrape_parasite")
    assert "Only one can be kept" in " ".join(bench.screen.split())


@pytest.mark.parametrize(
    "text, place",
    [
        ("basins on the farm", "tank"), ("fish basins", "tank"), ("in concrete basins", "tank"),
        ("our net pens", "tank"), ("sea cages", "tank"), ("raceways of the hatchery", "tank"),
        ("in earthen ponds", "tank"), ("vat on a farm", "tank"), ("in a basin", "tub"),
        ("washing up basin", "tub"),
    ],
)  # fmt: skip
def test_what_holds_stock_on_a_farm(text: str, place: str) -> None:
    heard = hear("where_are_they", text)
    assert heard.get("place") == place
    assert "release_method" not in heard.get("history", {})


@pytest.mark.parametrize(
    "text, dead",
    [
        ("over 300 dead", 300), ("more than 1000 dead", 1000), ("at least 250 died", 250),
        ("40 000 dead", 40000), ("1 250 000 dead", 1250000), ("3 500 dead", 3500),
        ("not one alive", 40), ("every fish has died", 40), ("the whole batch is lost", 40),
        ("nothing left alive", 40), ("lost the entire stock", 40), ("over 10 dead", None),
        ("20 yesterday, 90 today", None), ("5 dead yesterday and 8 today", None),
        ("lost 4 yesterday and 3 today", 7),
    ],
)  # fmt: skip
def test_heads(text: str, dead: int | None) -> None:
    heard: dict[str, Any] = hear("counts", text, None if dead and dead > 40 else 40)
    assert heard.get("counts", {}).get("dead") == dead, heard
    assert dead is not None or heard["ask_back"]


def test_the_dead_of_two_days_are_asked_about() -> None:
    assert hear("counts", "20 yesterday, 90 today")["ask_back"] == [
        "How many are dead in all so far: 110, or 90?"
    ]


@pytest.mark.parametrize("question", [LAST_DAY, "already_added", "tank_has"])
@pytest.mark.parametrize(
    "text",
    ["not that i know of", "nothing that i know of", "none as far as we know", "nothing i know of",
     "as far as i know nothing", "not to my knowledge", "no, not that we know of"],
)  # fmt: skip
def test_a_list_denied_as_far_as_is_known_is_denied_and_said(
    question: str, text: str, begin: Begin
) -> None:
    assert hear(question, text).get("nothing")
    bench = begin([text, "u"])
    bench.put(question)
    assert "Taken as none of these:" in " ".join(bench.screen.split())


@pytest.mark.parametrize(
    "text",
    ["no kits here", "nothing to test with", "no test kit at all", "we have no meters",
     "i dont have any kits", "no strips, no meter", "cant measure anything"],
)  # fmt: skip
def test_nothing_to_measure_with(text: str) -> None:
    assert hear("kits_at_hand", text).get("nothing")


@pytest.mark.parametrize(
    "question, text",
    [
        ("skin", "blisters on the flank"), ("skin", "waxy feel all along"),
        ("water_look", "mud of the sponge stinks"), ("gills", "sort of zebra coloured"),
        ("behaviour", "queueing politely"),
    ],
)  # fmt: skip
def test_words_said_to_be_kept_are_in_the_case(question: str, text: str, begin: Begin) -> None:
    bench = begin([text, "u"])
    bench.put(question)
    said = "kept in your words" in " ".join(bench.screen.split())
    kept = any(text in look.words for look in bench.case.observation)
    assert said
    assert kept
