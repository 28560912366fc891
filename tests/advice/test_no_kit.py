"""What a plan asks for in a house without kits, and what stands under "do not do this now"."""

from __future__ import annotations

import io
import re

import pytest
from rich.console import Console

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.results import LotResult
from advisor.case import loads_case
from advisor.screens.show_assessment import show

SEEN = ('"white_spots", "flashing_rubbing"', '"clamped_fins"', '"darting"', '"rapid_gill_movement"')
OUT = 'sealed = "no"\nrelease_method = "netted"\nreleased_at_hours = 0.0'


@pytest.fixture(scope="module")
def reasoner() -> Reasoner:
    return default_reasoner()


def judged(reasoner: Reasoner, where: str, hours: float, seen: str, *, kits: bool) -> LotResult:
    none = [name for name in reasoner.base.history if name.startswith(("kit_", "meter_"))]
    told = "" if kits else "".join(f'history.{name} = "no"\n' for name in none)
    text = (
        f'{told}[[lot]]\nid = "a"\nspecies = "guppy"\ncount = 20\n{where}\n'
        f"[[observation]]\nat_hours = {hours}\nseen = [{seen}]\ntank.temperature_c = 25\n"
    )
    return assess(loads_case(text), reasoner).lots[0]


@pytest.mark.parametrize("seen", SEEN)
@pytest.mark.parametrize("hours", [0.0, 30.0, 336.0])
@pytest.mark.parametrize("where", [OUT, 'sealed = "no"', 'sealed = "yes"'])
def test_without_kits_no_test_is_ordered_first_and_none_is_read_next(
    where: str, hours: float, seen: str, reasoner: Reasoner
) -> None:
    lot = judged(reasoner, where, hours, seen, kits=False)
    for step in lot.actions:
        assert step.id not in ("test_water_first", "read_tank_before_release")
        if "No kit here" in step.text:
            assert "borrow" in step.text and "shop" in step.text
    assert "No kit here" in " ".join(step.text for step in lot.actions), "a way out is named"
    assert lot.actions[0].id not in ("test_water_without_kit", "read_tank_without_kit")
    for reading in lot.measure_next:
        assert reasoner.base.quantities[reading.name].kit is None, reading.label


def test_with_kits_not_spoken_of_the_test_stands(reasoner: Reasoner) -> None:
    lot = judged(reasoner, OUT, 336.0, SEEN[0], kits=True)
    assert lot.actions[0].id == "test_water_first" and lot.measure_next


@pytest.mark.parametrize("hours", [30.0, 336.0])
def test_a_look_in_15_minutes_belongs_to_fish_that_fail(hours: float, reasoner: Reasoner) -> None:
    def looks(seen: str) -> bool:
        lot = judged(reasoner, OUT, hours, seen, kits=True)
        return "look_again_15_min" in {step.id for step in lot.actions}

    assert not looks(SEEN[0]) and not looks(SEEN[1])
    assert looks('"lying_on_side"') and looks(SEEN[3]) and looks(SEEN[2])


def test_a_step_that_another_covers_is_no_harm_to_be_warned_of(reasoner: Reasoner) -> None:
    """ "Do not do this now: read the thermometer, test ammonia" was printed of a covered step."""
    text = (
        '[[lot]]\nid = "a"\nspecies = "guppy"\ncount = 20\nsealed = "no"\n'
        '[[observation]]\nseen = ["darting"]\n'
    )
    result = assess(loads_case(text), reasoner)
    out = io.StringIO()
    show(result, Console(file=out, width=250), everything=True)
    warned = re.findall(r"NOT NOW: (.+)", out.getvalue())
    covered = [held.text for held in result.lots[0].withheld if held.moot]
    assert any(text.startswith("Read the thermometer, test") for text in covered)
    assert not set(warned) & set(covered)
    assert all(text in out.getvalue() for text in covered), (
        "they are told, under a head of their own"
    )
