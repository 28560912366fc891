"""What is ticked as done counts for the lots it was advised for, and for no other."""

from __future__ import annotations

from io import StringIO

import pytest
from rich.console import Console

from advisor.advice.assess import assess
from advisor.advice.facts.sheet import lots_of, place_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.standing import StepsStanding, announce
from advisor.case import Case, loads_case
from advisor.screens.show_plan import show_plan
from tests.ask.conftest import Play
from tests.said import joined

#: As a foreman met it: angels down in their shut bag, neons well in theirs.
TWO = """
[transit]
hours_sealed = 30
[[lot]]
id = "angels"
species = "angelfish"
count = 6
bags = 1
sealed = "yes"
[[lot]]
id = "neons"
species = "neon tetra"
count = 60
bags = 1
sealed = "yes"
[[observation]]
at_hours = 0.0
lot = "angels"
seen = ["gasping_at_surface", "lying_on_side"]
[[observation]]
at_hours = 0.0
lot = "neons"
not_seen = ["gasping_at_surface", "lying_on_side"]
"""
THIRD = """
[[lot]]
id = "corys"
species = "bronze cory"
count = 8
bags = 1
sealed = "yes"
[[observation]]
at_hours = 0.0
lot = "corys"
not_seen = ["gasping_at_surface", "lying_on_side"]
"""


def _places(case: Case, reasoner: Reasoner) -> dict[str, str]:
    return {lot.id: place_of(case, lot, reasoner.base).place for lot in lots_of(case)}


@pytest.mark.parametrize("text", [TWO, TWO + THIRD])
def test_d_for_one_lot_moves_no_other(text: str, play: Play, reasoner: Reasoner) -> None:
    """Whoever opens the angels' bag has left the others shut: the step itself says so."""
    case = loads_case(text)
    played = play(["none dead, 3 down", "d 1", "s"], case)
    assert "DO NOW (angels): Open the bag" in joined(played.screen)
    done = {look.lot for look in played.case.observation if look.done}
    assert done == {"angels"}
    places = _places(played.case, reasoner)
    assert places.pop("angels") == "tub"
    assert set(places.values()) == {"closed_bag"}
    neons = next(lot for lot in assess(played.case, reasoner).lots if lot.lot == "neons")
    assert any(action.text.startswith("Keep the bags shut") for action in neons.actions)


def test_a_done_step_that_names_no_lot_moves_none_whose_bag_is_told_shut(
    reasoner: Reasoner,
) -> None:
    """Files written before: a move of "all" proves nothing against a bag told shut."""
    for step in (step for step in reasoner.base.actions.values() if step.puts is not None):
        look = f'[[observation]]\nat_hours = 0.2\ndone = ["{step.id}"]\n'
        assert set(_places(loads_case(TWO + look), reasoner).values()) == {"closed_bag"}
        opened = loads_case((TWO + look).replace('sealed = "yes"', 'sealed = "no"'))
        assert set(_places(opened, reasoner).values()) == {step.puts}
        one = loads_case(TWO.replace('"neons"', '"angels"').split("[[observation]]")[0]
                         .split('[[lot]]\nid = "angels"\nspecies = "neon')[0] + look)  # fmt: skip
        assert _places(one, reasoner) == {"angels": step.puts}, "the only lot there is"


def test_a_step_done_for_one_lot_is_announced_for_the_next(reasoner: Reasoner) -> None:
    """Hours later the neons fail as the angels did: their step was never done."""
    result = assess(loads_case(TWO), reasoner)
    step = next(step for step in result.lots[0].actions if step.emergency)
    standing = StepsStanding()
    first = list(announce(standing, [("angels", step)], {"angels": (), "neons": ()}))
    assert any("DO NOW (angels)" in said.text for said in first)
    standing.done(step.id, standing.lots_of(step.id))
    assert standing.open() == []
    both = [("angels", step), ("neons", step)]
    second = list(announce(standing, both, {"angels": (step.id,), "neons": ()}))
    assert any("DO NOW (neons)" in said.text for said in second)
    assert [each.lots for each in standing.waiting()] == [("neons",)]


def test_one_plan_shared_by_all_lots_is_done_for_all(play: Play, reasoner: Reasoner) -> None:
    """Where the step stood for both and is told to be done for both, both are named."""
    case = loads_case(TWO.replace("not_seen", "seen").replace("", ""))
    played = play(["none dead, 3 down", "d 1", "1 2", "s"], case)
    assert "DO NOW: " in joined(played.screen)
    assert {look.lot for look in played.case.observation if look.done} == {"angels", "neons"}


def test_what_was_done_stays_when_an_answer_is_taken_back(play: Play) -> None:
    """b takes an answer back; the fish are out of the bag all the same."""
    played = play(["2", "1", "d 1", "b", "s"])
    assert any(look.done for look in played.case.observation)


def test_nothing_flows_into_a_shut_bag(play: Play, reasoner: Reasoner) -> None:
    """Not offered of shut bags; told all the same, it is fish short of breath: no rescue waits."""
    assert "hanging near inflow" not in joined(play(["1"]).screen)
    assert "hanging near inflow" in joined(play(["2"]).screen)
    shut = loads_case(TWO.replace('"gasping_at_surface", "lying_on_side"', '"hanging_near_inflow"'))
    (angels, _) = assess(shut, reasoner).lots
    assert "bag_fails_shut" in {found.id for found in angels.findings if found.holds}


#: As a foreman met it: two lots gasp in one tank, and its airing is ticked for the first.
ONE_TANK = """
[delivery]
received = "2026-03-05T10:00:00"
[[lot]]
id = "angels"
species = "angelfish"
count = 6
release_method = "netted"
released_at_hours = 0.0
[[lot]]
id = "cardinals"
species = "cardinal tetra"
count = 60
release_method = "netted"
released_at_hours = 0.0
[[observation]]
at_hours = 0.1
seen = ["gasping_at_surface", "lying_on_side"]
"""
AIRED = """
[[observation]]
at_hours = 0.5
lot = "angels"
done = ["air_tank"]
"""
LATER = """
[[observation]]
at_hours = 1.0
lot = "cardinals"
seen = ["gasping_at_surface"]
"""


def _begins(case: Case, reasoner: Reasoner) -> dict[str, list[str]]:
    return {lot.lot: [a.id for a in lot.actions] for lot in assess(case, reasoner).lots}


def test_a_ticked_step_is_not_said_again_before_the_next_look(reasoner: Reasoner) -> None:
    """The tank is one: aired for one lot it is aired for the other; it stands under done."""
    before = _begins(loads_case(ONE_TANK), reasoner)
    assert all("air_tank" in steps for steps in before.values())
    case = loads_case(ONE_TANK + AIRED)
    after = _begins(case, reasoner)
    assert after == {lot: [s for s in steps if s != "air_tank"] for lot, steps in before.items()}
    result = assess(case, reasoner)
    for lot in result.lots:
        assert [held.by for held in lot.withheld if held.action == "air_tank"] == ["done"]
    shown = _plan(case, reasoner)
    assert "Done: Air the tank hard - not the bag (10:30)" in shown
    assert "Look again 10:21 (15 min after the last look)" in shown, "a tick is no look"
    assert "DO NOW: Air the tank" not in shown and "1 Air the tank" not in shown


def test_it_comes_back_where_a_later_look_shows_the_need(reasoner: Reasoner) -> None:
    again = _begins(loads_case(ONE_TANK + AIRED + LATER), reasoner)
    assert "air_tank" in again["cardinals"] and "air_tank" not in again["angels"]
    same = loads_case(ONE_TANK + AIRED + LATER.replace("cardinals", "angels"))
    assert "air_tank" in _begins(same, reasoner)["angels"]
    assert "Again: Air the tank hard" in _plan(same, reasoner)


def test_a_tub_helped_for_one_lot_is_no_tub_helped_for_another(reasoner: Reasoner) -> None:
    """Each lot has a tub of its own; only what is done to the tank counts for all."""
    for step in reasoner.base.actions.values():
        assert not (step.whole_tank and step.puts), step.id
    tub = reasoner.base.actions["help_in_the_tub"]
    assert not tub.whole_tank


#: As a foreman met it: the neons are well, the corys gasp.
ASIDE = """
[[lot]]
id = "neons"
species = "neon tetra"
count = 60
release_method = "netted"
released_at_hours = 0.0
[[lot]]
id = "corys"
species = "bronze cory"
count = 8
release_method = "netted"
released_at_hours = 0.0
[[observation]]
lot = "neons"
not_seen = ["gasping_at_surface", "lying_on_side"]
[[observation]]
lot = "corys"
seen = ["gasping_at_surface", "lying_on_side"]
"""


#: Each lot waits for a step of its own: out of the opened bag, and air for the tank.
TWO_STEPS = ASIDE.replace(
    'species = "bronze cory"\ncount = 8\nrelease_method = "netted"\nreleased_at_hours = 0.0',
    'species = "bronze cory"\ncount = 8\nsealed = "no"',
).replace('not_seen = ["gasping_at_surface", "lying_on_side"]', 'seen = ["gasping_at_surface"]')


def test_p_shows_what_is_urgent_in_any_lot(play: Play) -> None:
    """Asked of the neons, after the corys that gasp were left out, p begins with the corys."""
    screen = joined(play(["e", "p", "s"], loads_case(ASIDE)).screen)
    asked, shown = screen.split("> p ", 1)
    assert "60 neon tetra" in asked.rpartition("corys")[2], asked
    assert shown.startswith("DO NOW: corys: "), screen
    assert "DO NOW: corys: Air the tank hard" in shown


def _plan(case: Case, reasoner: Reasoner) -> str:
    console = Console(width=80, file=StringIO(), color_system=None)
    show_plan(assess(case, reasoner), case, console)
    return joined(console.file.getvalue())  # type: ignore[attr-defined]
