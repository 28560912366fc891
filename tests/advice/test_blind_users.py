"""What two blind users met in the room: heat, recovered fish, water made good, dead lots, order.

Expectations are those of their reports of 28 November 2026, not read from the rules. Works are
named where a figure stands; the rest is common practice, no source.
"""

from __future__ import annotations

import pytest

from advisor.advice.assess import assess, reason
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.results import Assessment, LotResult
from advisor.case import Case, loads_case


@pytest.fixture(scope="module")
def reasoner() -> Reasoner:
    return default_reasoner()


def result(text: str, reasoner: Reasoner) -> Assessment:
    return assess(loads_case(text), reasoner)


def first(text: str, reasoner: Reasoner) -> LotResult:
    return result(text, reasoner).lots[0]


def ids(lot: LotResult) -> list[str]:
    return [action.id for action in lot.actions]


def standing(lot: LotResult, cause: str) -> int:
    return [each.id for each in lot.causes].index(cause)


# -- a bag at 34 °C -----------------------------------------------------------------
# Water of 34 to 35.5 °C is critical for most warm-water fishes (Southeastern Association of Fish
# and Wildlife Agencies 1962, abstract); half of cardinal tetras died at 33.3 °C (Oliveira et al.
# 2008, abstract); tropical fish are adapted to 22 to 30 °C (Froese 1998, abstract).

BAG = """
[transit]
hours_sealed = 6
[[lot]]
id = "a"
species = "{kind}"
count = 20
sealed = "{sealed}"
{opened}
[[observation]]
at_hours = 0
{seen}
bag.temperature_c = {{ value = {bag}, low = {low}, high = {high} }}
tank.temperature_c = {{ value = 25, low = 24.5, high = 25.5 }}
"""
QUIET = 'not_seen = ["gasping_at_surface", "rapid_gill_movement", "lying_on_side"]'
LYING = 'seen = ["lying_on_side"]\ncounts.down = 10'
HEAT_STEPS = ("out_of_the_heat", "out_of_hot_bag")


def hot(kind: str, bag: float, seen: str, reasoner: Reasoner, *, opened: bool = False) -> LotResult:
    text = BAG.format(
        kind=kind, bag=bag, low=bag - 0.5, high=bag + 0.5, seen=seen,
        sealed="no" if opened else "yes", opened="opened_at_hours = 0" if opened else "",
    )  # fmt: skip
    return first(text, reasoner)


@pytest.mark.parametrize("kind", ["guppy", "mollies", "platies", "cardinal tetra", "neon tetra"])
@pytest.mark.parametrize("seen", [QUIET, LYING])
@pytest.mark.parametrize("opened", [False, True])
def test_fish_in_a_bag_of_34_degrees_are_cooled_first(
    kind: str, seen: str, opened: bool, reasoner: Reasoner
) -> None:
    lot = hot(kind, 34.0, seen, reasoner, opened=opened)
    assert lot.actions[0].id in HEAT_STEPS
    assert not any("as warm as they are" in action.text for action in lot.actions)
    assert not any("its warmth" in action.text for action in lot.actions[:1])


@pytest.mark.parametrize("kind", ["guppy", "mollies"])
def test_those_that_lie_in_it_leave_the_bag_and_heat_leads_cold(
    kind: str, reasoner: Reasoner
) -> None:
    lot = hot(kind, 34.0, LYING, reasoner)
    assert lot.actions[0].id == "out_of_hot_bag" and "few degrees cooler" in lot.actions[0].text
    assert standing(lot, "heat") < standing(lot, "cold")


@pytest.mark.parametrize("bag", [25.0, 28.0, 30.0])
def test_a_warm_bag_of_kinds_that_bear_it_is_left_as_it_is(bag: float, reasoner: Reasoner) -> None:
    assert not {*HEAT_STEPS} & {*ids(hot("guppy", bag, QUIET, reasoner))}


# -- a reading of yesterday's bag -----------------------------------------------------

TANK = """
[[lot]]
id = "a"
species = "discus"
count = 6
sealed = "no"
released_at_hours = {out}
release_method = "netted"
history.fish_are_in = "tub"
[[observation]]
at_hours = 0
seen = ["lying_on_side", "slow_gill_movement"]
counts = {{ down = 4, dead = 0 }}
bag.temperature_c = 17
[[observation]]
at_hours = 0.1
done = ["tub_while_tank_unread"]
[[observation]]
at_hours = {look}
seen = [{seen}]
counts = {{ down = {down}, dead = 2 }}
"""
OUT_OF_COLD = {"out_of_cold_tank", "rewarm_in_tub", "rewarm_in_tank", "rewarm_slowly"}
WELL = '"swimming_normally", "eating"'


def test_recovered_fish_are_not_ordered_out_of_the_cold_of_yesterday(reasoner: Reasoner) -> None:
    lot = first(TANK.format(out=25.0, look=25.1, seen=WELL, down=0), reasoner)
    assert not OUT_OF_COLD & {*ids(lot)}
    assert not any("tub" in a.text and a.emergency for a in lot.actions)


def test_fish_netted_out_of_the_tub_are_in_the_tank(reasoner: Reasoner) -> None:
    lot = first(TANK.format(out=25.0, look=25.1, seen=WELL, down=0), reasoner)
    assert lot.place == "tank"
    assert not any("water of the tub" in action.text for action in lot.actions)


def signs(text: str, reasoner: Reasoner) -> dict[str, object]:
    case: Case = loads_case(text)
    records = reason(case, case.lot[0], reasoner).sheet.records.values()
    return {each.name: each.value for each in records if each.kind == "sign"}


@pytest.mark.parametrize(("seen", "down", "lies"), [
    (WELL, 0, False),  # all swim: nobody lies
    (WELL, 2, True),  # some are counted down still
    ('"eating"', 0, True),  # fish that eat may lie between
])  # fmt: skip
def test_a_good_word_ends_the_posture_of_the_look_before(
    seen: str, down: int, lies: bool, reasoner: Reasoner
) -> None:
    told = signs(TANK.format(out=25.0, look=25.1, seen=seen, down=down), reasoner)
    assert told["lying_on_side"] is lies


def test_lying_down_later_ends_the_good_word(reasoner: Reasoner) -> None:
    text = TANK.format(out=25.0, look=25.1, seen=WELL, down=0)
    text += '[[observation]]\nat_hours = 27\nseen = ["lying_on_side"]\n'
    told = signs(text, reasoner)
    assert told["lying_on_side"] is True and "swimming_normally" not in told


# -- water made good ------------------------------------------------------------------
# Any amount of chlorine that can be measured counts as extremely harmful (WikiVet, read).

CHLORINE = """
[history]
water_changed_last_day = true
[[lot]]
id = "a"
species = "cardinal tetra"
count = 30
sealed = "no"
released_at_hours = 0
release_method = "netted"
[[observation]]
at_hours = 8
seen = ["gasping_at_surface", "bright_red_gills", "signs_within_hours_of_water_change"]
counts = {{ dead = 3, down = 4 }}
tank.chlorine_mg_l = {{ value = {chlorine}, low = {chlorine}, high = {chlorine} }}
tap.chlorine_mg_l = 0
[[observation]]
at_hours = 9
seen = ["swimming_normally", "answers_a_hand", "breathing_settling"]
not_seen = ["gasping_at_surface", "rapid_gill_movement", "lying_on_side"]
counts = {{ dead = {dead}, down = 0 }}
tank.chlorine_mg_l = 0
"""


def test_what_they_met_an_hour_ago_outweighs_settling(reasoner: Reasoner) -> None:
    lot = first(CHLORINE.format(chlorine=1.5, dead=6), reasoner)
    assert "leave_alone" not in ids(lot)
    assert standing(lot, "chlorine") < standing(lot, "settling")


def test_deaths_since_the_look_before_are_no_rest(reasoner: Reasoner) -> None:
    assert "leave_alone" not in ids(first(CHLORINE.format(chlorine=0, dead=6), reasoner))


# -- the call to the vet ----------------------------------------------------------------


def calls(lot: LotResult) -> set[str]:
    return {note.id for note in lot.vet if note.urgency == "now"}


def test_so_many_are_down_ends_when_none_is(reasoner: Reasoner) -> None:
    lot = first(TANK.format(out=0.2, look=25.1, seen='"lying_on_side"', down=4), reasoner)
    assert calls(lot)
    text = TANK.format(out=0.2, look=25.1, seen=WELL, down=0)
    text += f"[[observation]]\nat_hours = 26\nseen = [{WELL}]\ncounts = {{ down = 0, dead = 2 }}\n"
    assert not calls(first(text, reasoner)) & {"call-now-many-down", "losses-go-on"}


# -- a lot wholly dead ------------------------------------------------------------------

SEA = """
[receiving]
volume_l = 400
aerated = "yes"
{residents}
[history]
ammonia_binder_in_water = false
[[lot]]
id = "angels"
species = "flame angel"
count = 3
sealed = "no"
released_at_hours = 0
[[lot]]
id = "tangs"
species = "yellow tang"
count = 2
sealed = "no"
released_at_hours = 0
[[observation]]
at_hours = 1
seen = ["gasping_at_surface", "lying_on_side", "signs_within_an_hour_of_opening_bag"]
tank.temperature_c = 25
tank.ph = {{ value = 8.1, low = 7.6, high = 8.6 }}
tank.tan_mg_l = {{ value = 1, low = 0.9, high = 1.1 }}
[[observation]]
at_hours = 1
lot = "tangs"
counts.dead = {dead}
"""
FOR_THE_LIVING = {"rescue", "comfort", "treatment"}


@pytest.mark.parametrize("residents", ["", 'residents = "yes"'])
def test_the_dead_get_no_steps_of_the_living(residents: str, reasoner: Reasoner) -> None:
    lots = result(SEA.format(dead=2, residents=residents), reasoner).lots
    angels, tangs = lots
    assert not [a.id for a in tangs.actions if a.step in FOR_THE_LIVING and a.id != "cut_power"]
    assert any(a.step in FOR_THE_LIVING for a in angels.actions)


def test_water_is_changed_before_a_binder_goes_in_and_alike_for_both(reasoner: Reasoner) -> None:
    lots = result(SEA.format(dead=0, residents=""), reasoner).lots
    orders = [ids(lot) for lot in lots]
    for order in orders:
        assert order.index("change_water_for_ammonia") < order.index("bind_ammonia_at_once")
    wanted = {"change_water_for_ammonia", "bind_ammonia_at_once", "clean_tub_if_no_change"}
    assert [i for i in orders[0] if i in wanted] == [i for i in orders[1] if i in wanted]


# -- words ------------------------------------------------------------------------------


def test_no_step_held_back_says_that_it_is_for_now(reasoner: Reasoner) -> None:
    base = reasoner.base
    for action in (base.actions[name] for name in base.actions):
        for forbid in action.forbidden:
            if forbid.proof != "moot":
                assert "is for now" not in forbid.because, action.id


GOLDFISH = """
[[lot]]
id = "ryukin"
species = "goldfish"
count = 8
sealed = "no"
released_at_hours = 0
[[lot]]
id = "comets"
species = "goldfish"
count = 15
sealed = "no"
released_at_hours = 0
[[observation]]
at_hours = 240
seen = ["ulcers", "red_streaks", "lying_on_bottom_upright", "signs_after_first_day"]
tank.temperature_c = 12
[[observation]]
at_hours = 240
lot = "ryukin"
counts = { dead = 1, down = 0 }
"""
TICKED = '[[observation]]\nat_hours = 240.1\nlot = "ryukin"\ndone = ["stop_movement"]\n'
AFTER = '[[observation]]\nat_hours = 240.2\nlot = "ryukin"\nseen = ["ulcers"]\n'


def test_what_stops_the_house_is_asked_once_for_all_lots(reasoner: Reasoner) -> None:
    before = result(GOLDFISH, reasoner).lots
    assert "stop_movement" in ids(before[0])
    for lot in result(GOLDFISH + TICKED + AFTER, reasoner).lots:
        assert "stop_movement" not in ids(lot)


def test_no_sample_is_asked_before_a_dose_that_was_given(reasoner: Reasoner) -> None:
    """The bottle goes with the dose: once that is ticked, none is asked 'before anything'."""
    text = CHLORINE.format(chlorine=1.5, dead=6)
    text += '[[observation]]\nat_hours = 8.1\nlot = "a"\ndone = ["dechlorinate_now"]\n'
    assert "keep_water_sample" not in ids(first(text, reasoner))


# -- the order of opening ---------------------------------------------------------------

LOTS = """
[[lot]]
id = "{name}"
species = "{kind}"
count = 10
sealed = "yes"
"""


def test_an_order_that_nothing_tells_is_said_to_be_none(reasoner: Reasoner) -> None:
    alike = "".join(LOTS.format(name=name, kind="neon tetra") for name in ("b", "a", "c"))
    places = result(alike, reasoner).opening_order
    assert [place.tied for place in places] == [False, True, True]


def test_a_bag_with_hours_told_is_not_tied_to_one_that_fails(reasoner: Reasoner) -> None:
    text = LOTS.format(name="a", kind="neon tetra") + LOTS.format(name="b", kind="neon tetra")
    text += '[[observation]]\nat_hours = 0\nlot = "b"\nseen = ["lying_on_side"]\ncounts.down = 8\n'
    places = result(text, reasoner).opening_order
    assert [(place.lot, place.tied) for place in places] == [("b", False), ("a", False)]
