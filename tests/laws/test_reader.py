"""The reader of plans, on sentences of its own: orders, prohibitions, conditions, plain talk."""

from __future__ import annotations

import pytest

from tests.laws.plan import Line, written
from tests.laws.verbs import verbs

ORDERS = [
    ("warm", "Warm them slowly, 1 to 2 °C an hour."),
    ("warm", "Now warm the bag."),
    ("warm", "Raise the tub to 24 °C over two hours."),
    ("warm_tank", "Raise the tank to 24 °C, one degree an hour."),
    ("warm_tank", "Turn the heater up."),
    ("cool", "Cool them by a degree an hour."),
    ("cool_tank", "Cool the tank: lid off, a fan across it."),
    ("release", "Net them straight into rack 2."),
    ("release", "Net or cup the fish straight into the aired, matched tank."),
    ("release", "Open it and net them straight over."),
    ("release", "Let the smallest and shyest go first."),
    ("release", "Move the guppies to the tank."),
    ("release", "You must move them into the tank now."),
    ("other_tank", "Move them into another tank."),
    ("other_tank", "Move the lot to the quarantine tank."),
    ("other_tank", "Ready a vat of their own, aired, as warm as the bag."),
    ("tub", "Get them out of that bag into an aired tub of clean water."),
    ("tub", "Out of the bag into a tub at 18 °C."),
    ("tub", "Pour these into a tub with their bag water."),
    ("clean_water", "Lift them out into sea water of 34 g/kg."),
    ("clean_water", "Take the newcomers out."),
    ("open_bag", "Open one bag, empty it, then the next."),
    ("open_bag", "Cut the bag and look."),
    ("keep_shut", "Keep it shut: it has five hours."),
    ("keep_shut", "The bags stay sealed."),
    ("float", "Float the bags closed for twenty minutes."),
    ("drip", "Drip tank water in over two hours."),
    ("salt", "Dissolve plain salt in a jug and pour it in."),
    ("salt", "Add 1 g/L of plain salt."),
    ("dechlorinate", "Dose dechlorinator for the whole tank."),
    ("dechlorinate", "Dechlorinate the tank now."),
    ("bind_chlorine", "Dissolve plain vitamin C in a jug of tank water and pour it in."),
    ("air_tank", "No mains: a battery air pump in the fullest tank first."),
    ("air_tank", "Lift water in a clean jug and pour it back from a height."),
    ("feed", "Feed a little tonight."),
    ("feed", "One small meal in the evening."),
    ("no_food", "Hold the food until tomorrow."),
    ("change_water", "Change half the water, dechlorinated and matched."),
    ("change_water", "Change 30 % of the water."),
    ("air_tank", "Air the tank hard - not the bag."),
    ("air_tank", "Break the surface all over."),
    ("air_bag", "Hang an air stone in the bag."),
    ("leave_alone", "Leave them alone."),
    ("leave_alone", "Dim the light, walk away."),
    ("lift_cover", "Lift the cover."),
    ("cover", "Cover the tank, every gap."),
    ("raise_ph", "Dissolve sodium bicarbonate in a jug."),
    ("raise_ph", "Raise the pH slowly."),
    ("bind", "Add an ammonia binder by its label."),
    ("hold_temperature", "Leave the temperature where it is."),
    ("read_again", "Read the thermometer again with a second one."),
    ("bag_water_in", "Pour the bag into the tank."),
    ("pour_away", "Throw the bag water away."),
    ("net", "Net them."),
    ("cup", "Use a cup or tub for these."),
    ("cut_power", "Switch off at the wall."),
    ("unplug_heater", "Unplug the heater now."),
    ("authority", "Telephone the fish health authority."),
    ("vet", "Call a vet now."),
    ("kill", "Kill those that cannot be saved."),
    ("paper", "Count dead and weak per bag and photograph them."),
    ("stop_co2", "Shut the carbon dioxide off."),
    ("stop_hose", "Take the hose out of the water."),
    ("stop_chaser", "Slide a divider between them."),
    ("splash", "Air the tank with a coarse splash."),
    ("minerals", "Mix dechlorinated tap water into this pure water."),
]
NOT_ORDERS = [
    ("warm", "Each into a vessel of its own, in water as warm as its bag."),
    ("warm", "Do not warm or cool these fish to help them."),
    ("warm", "Keep the bags warm."),
    ("warm", "Take them to the vet, kept warm."),
    ("warm", "Float them until bag and tank are warm."),
    ("warm", "Warm the tank first."),
    ("warm", "Warm-water kinds need more oxygen."),
    ("cool", "Do not warm or cool these fish."),
    ("release", "Put a thermometer in the tank."),
    ("release", "Bag water never goes into the tank."),
    ("release", "Move them into another tank."),
    ("release", "Before you net them into the tank, read it."),
    ("tub", "Bag water stays out. Pour it into a bucket."),
    ("clean_water", "Take the hose out of the water."),
    ("clean_water", "Bag water stays out of the tank."),
    ("open_bag", "Do not open the bag."),
    ("open_bag", "Before you cut a bag: tank aired."),
    ("open_bag", "Under water, cut the mesh from the spines."),
    ("drip", "Do not drip into this bag. A long drip only keeps the fish in it."),
    ("drip", "Net them out instead of drip."),
    ("salt", "No salt."),
    ("salt", "Ask what went in: conditioner, binder, salt, any remedy."),
    ("salt", "Water of their own temperature and salt."),
    ("bind", "Ask what went in: conditioner, ammonia binder, salt."),
    ("feed", "Give no food."),
    ("feed", "No food today. A healthy fish loses nothing by it."),
    ("air_bag", "No air stone in the bag, no dripping."),
    ("air_bag", "Air the tank hard - not the bag."),
    ("net", "Nobody taps, nets or moves anything."),
    ("net", "Net and chase nobody."),
    ("net", "Do not net, chase or lift them."),
    ("net", "From now on this tank has its own net."),
    ("raise_ph", "Leave the pH where it is. No buffer, no coral, no acid."),
    ("kill", "Keep sick fish alive for the sampler."),
    ("leave_alone", "Leave them where they are and air the tank."),
    ("stop_source", "Have a tub at hand, close in pH, hardness and salt."),
    ("stop_filter", "Leave the filter running and unwashed."),
    ("change_water", "Before you change any water fill a clean bottle."),
    ("bag_water_in", "Never pour bag water into the tank."),
    ("float", "Float closed bottles of warm water in the tank."),
    ("test", "Dissolve the salt and spread it over six hours."),
    ("float", "Is there time to float them?"),
]
CONDITIONAL = [
    ("feed", "When they swim level and look for food: one small meal."),
    ("open_bag", "If they gasp, open the bag."),
    ("open_bag", "Open the bags once the tank reads 22 °C."),
    ("leave_alone", "Unless they roll, leave them alone."),
    ("change_water", "Once the source is out, change half the water."),
]
FORBIDDEN = [
    ("drip", "Do not drip into this bag."),
    ("net", "Nobody taps, nets or moves anything."),
    ("net", "Pour it in gently; chase nobody."),
    ("warm", "Do not warm or cool these fish."),
    ("cool", "Do not warm or cool these fish."),
    ("open_bag", "Do not open it."),
    ("air_bag", "No airstone in the bag."),
    ("bag_water_in", "Never pour the bag into the tank."),
]


@pytest.mark.parametrize(("verb", "text"), ORDERS)
def test_an_order_is_read(verb: str, text: str) -> None:
    assert Line(0, text).orders(verb)


@pytest.mark.parametrize(("verb", "text"), NOT_ORDERS)
def test_what_is_no_order_is_not_taken_for_one(verb: str, text: str) -> None:
    assert not Line(0, text).orders(verb, conditional=True)


@pytest.mark.parametrize(("verb", "text"), CONDITIONAL)
def test_a_condition_is_told_from_an_order(verb: str, text: str) -> None:
    assert not Line(0, text).orders(verb)
    assert Line(0, text).orders(verb, conditional=True)


@pytest.mark.parametrize(("verb", "text"), FORBIDDEN)
def test_a_prohibition_is_read(verb: str, text: str) -> None:
    assert Line(0, text).forbids(verb)
    assert not Line(0, text).orders(verb)


def test_a_list_of_things_forbids_no_act() -> None:
    assert not Line(0, "Nothing leaves: no fish, plants, nets or boxes.").forbids("net")


def test_no_food_stands_as_it_is_said() -> None:
    assert Line(0, "No food today.").stands("no_food")
    assert not Line(0, "One small meal.").stands("no_food")


def test_every_verb_is_read_somewhere() -> None:
    tried = {verb for verb, _ in ORDERS}
    untried = set(verbs()) - tried
    # These are only looked for to tell helpful lines from idle ones, or serve one law with samples.
    assert untried <= {
        "empty_bag", "lower_ph", "zeolite", "test", "look_again", "dim", "siphon", "scrape",
        "ready", "remove_dead", "carbon", "dip", "stop_movement", "stop_heater", "stop_filter",
        "stop_gas", "stop_source", "stop_zeolite",
    }  # fmt: skip


def test_held_steps_order_nothing() -> None:
    plan = written("Air the tank.", held=["Net them straight over."])
    assert not plan.orders("release")
    assert plan.holds("release")


def test_the_place_of_an_order_and_the_first_lines() -> None:
    plan = written("Air the tank.", "Count them.", "!Net them straight over.")
    assert plan.place_of("release", "tub") == 2
    assert not plan.orders("release", first=2)
    assert plan.emergency and plan.lines[2].text == "Net them straight over."
