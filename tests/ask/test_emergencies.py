"""What is called an emergency during a session: what is sure, never a guess."""

from __future__ import annotations

from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import Read, Seen
from advisor.ask.emergency import certain_emergencies
from advisor.ask.trouble import signs_of_trouble
from advisor.case import Case, Reading, loads_case
from tests.ask.thinking import SITUATION, think


def test_knowing_nothing_is_no_emergency(reasoner: Reasoner) -> None:
    assert certain_emergencies(*think(Case(), reasoner)) == ()


def test_gasping_is_one(reasoner: Reasoner) -> None:
    case = apply(
        Case(), reasoner.base.questions["breathing_and_posture"], Seen(("gasping_at_surface",)),
        Place("fish", 0.0), reasoner.base,
    )  # fmt: skip
    assert [a.id for a in certain_emergencies(*think(case, reasoner))] == ["air_tank"]


def test_resting_is_no_trouble_and_rolling_is(reasoner: Reasoner) -> None:
    trouble = signs_of_trouble(reasoner)
    assert "loss_of_equilibrium" in trouble
    assert not trouble & {"lying_on_bottom_upright", "hiding", "swimming_normally", "eating"}


def test_a_measured_band_not_a_guess_decides(reasoner: Reasoner) -> None:
    """Ammonia that only may harm brings no emergency of its own; one that surely kills does."""
    base = loads_case(SITUATION.replace('"gasping_at_surface"', '"hiding"'))
    for reading, wanted in (
        (Reading(value=0.3, low=0.05, high=0.6), False),
        (Reading(value=8.0, low=5.0, high=11.0), True),
    ):
        case = apply(
            base, reasoner.base.questions["ammonia_nitrite"], Read({"tank_tan_mg_l": reading}),
            Place("a", 0.5), reasoner.base,
        )  # fmt: skip
        shown = [a.id for a in certain_emergencies(*think(case, reasoner))]
        assert ("change_water_for_ammonia" in shown) is wanted
