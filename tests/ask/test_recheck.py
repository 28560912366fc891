"""Later looks: when, what changed, better or worse and why, and closing."""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.between import change
from advisor.ask.rechecks import next_look, open_reasons
from advisor.ask.session import session
from advisor.case import Case, load_case, loads_case, save_case
from advisor.screens.session.keep import Keeper
from advisor.screens.session.talk import Talk
from tests.ask.conftest import Played, read
from tests.clock import Clock
from tests.said import joined

HEAD = """
format = "arrival-case-1"
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "a"
species = "guppy"
count = 40
sealed = "no"
released_at_hours = 0
release_method = "netted"
"""


def look(hours: float, seen: str = "[]", absent: str = "[]", more: str = "") -> str:
    return f"[[observation]]\nat_hours={hours}\nseen={seen}\nnot_seen={absent}\n{more}\n"


def case_of(*looks: str) -> Case:
    return loads_case(HEAD + "\n".join(looks))


# -- when ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "hours, due",
    [
        ([0], 0.25),
        ([0, 0.25], 1),
        ([0, 0.3, 1.2], 6),
        ([0, 7], 24),
        ([0, 25], 48),
        ([0, 50], 96),
        ([0, 100], 168),
        ([0, 300], 336),
        ([60], 60.25),
        ([60, 61.5], 66),
    ],
)
def test_the_looks_follow_15_min_1_6_24_48_hours_then_quarantine(
    hours: list[float], due: float
) -> None:
    found = next_look(case_of(*(look(h) for h in hours)))
    assert found is not None and found.at_hours == due


def test_an_emergency_brings_the_next_look_near() -> None:
    found = next_look(case_of(look(0), look(30)), urgent=True)
    assert found is not None and found.at_hours == 30.25


def test_after_day_14_no_look_is_due() -> None:
    assert next_look(case_of(look(0), look(340))) is None


def test_looks_into_the_shut_bag_do_not_start_the_series() -> None:
    case = loads_case(
        HEAD.replace("released_at_hours = 0", "released_at_hours = 3") + look(0) + look(3)
    )
    found = next_look(case)
    assert found is not None and found.at_hours == 3.25


# -- better, same, worse --------------------------------------------------------------


GASP, NONE = '["gasping_at_surface", "rapid_gill_movement"]', "[]"
CALM = '["swimming_normally", "breathing_settling"]'


@pytest.mark.parametrize(
    "before, after, verdict",
    [
        (look(0, GASP), look(1, CALM, GASP), "better"),
        (look(0, NONE, GASP), look(1, GASP), "worse"),
        (look(0, GASP), look(1, GASP), "same"),
        (look(0, '["hiding"]'), look(1, '["hiding"]'), "same"),
        (look(0, '["swimming_normally"]'), look(1, NONE, '["swimming_normally"]'), "worse"),
        # a death outweighs any number of signs gone
        (
            look(0, GASP, more="counts={dead=0}"),
            look(1, CALM, GASP, more="counts={dead=2}"),
            "worse",
        ),
        # fewer down outweighs a new mark
        (
            look(0, '["hiding"]', more="counts={dead=1, down=8}"),
            look(1, '["hiding", "clamped_fins"]', more="counts={dead=1, down=2}"),
            "better",
        ),
    ],
)
def test_the_verdict_and_its_reasons(
    before: str, after: str, verdict: str, reasoner: Reasoner
) -> None:
    case = case_of(before, after)
    found = change(case, case.lot[0], 0, 1, reasoner)
    assert found.verdict == verdict
    assert found.reasons


# What two blind users met on 28 November 2026: the verdict is of the fish, not of the plan.


def test_a_step_newly_called_for_makes_no_worse(reasoner: Reasoner) -> None:
    """Corydoras, 6 down and then 2, none died: better, whatever the plan asks for now."""
    heads = "counts={dead=0, down=6}"
    case = case_of(
        look(0, '["lying_on_side"]', more=heads),
        look(1, '["lying_on_side"]', more="counts={dead=0, down=2}\ntank={chlorine_mg_l=1.5}"),
    )
    found = change(case, case.lot[0], 0, 1, reasoner)
    assert found.verdict == "better"
    assert any("called for" in words for words in found.called)
    assert not any("called for" in words for words in found.reasons)


def test_water_alone_is_no_verdict(reasoner: Reasoner) -> None:
    case = case_of(look(0, '["hiding"]'), look(1, '["hiding"]', more="tank={chlorine_mg_l=1.5}"))
    assert change(case, case.lot[0], 0, 1, reasoner).verdict == "same"


def test_fewer_dead_is_a_count_set_right(reasoner: Reasoner) -> None:
    seen = '["hiding"]'
    case = case_of(look(0, seen, more="counts={dead=3}"), look(1, seen, more="counts={dead=2}"))
    found = change(case, case.lot[0], 0, 1, reasoner)
    assert found.verdict == "same"
    assert any("set right" in words and "3" in words and "2" in words for words in found.reasons)


def test_down_for_the_first_time_is_worse(reasoner: Reasoner) -> None:
    """Cardinals seen swimming, and at the next look three are down."""
    case = case_of(
        look(0, '["swimming_normally"]', more="counts={dead=0}"),
        look(1, '["swimming_normally"]', more="counts={dead=0, down=3}"),
    )
    assert change(case, case.lot[0], 0, 1, reasoner).verdict == "worse"


def test_swimming_again_is_gone_not_still_there(reasoner: Reasoner) -> None:
    case = case_of(
        look(0, '["lying_on_side"]', more="counts={dead=0, down=4}"),
        look(1, '["swimming_normally", "eating"]', more="counts={dead=0, down=0}"),
    )
    found = change(case, case.lot[0], 0, 1, reasoner)
    assert found.verdict == "better" and found.still == ()


def test_a_lot_wholly_dead_is_asked_nothing_of_the_living(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(0, '["gasping_at_surface"]', more="counts={dead=38}"))
    played = sitting("look", case, ["40 dead", "", ""], reasoner, tmp_path, 1.0)
    screen = joined(played.screen)
    assert "40" in screen
    asked = {key.partition("/")[0] for key in played.case.session.answered}
    assert not asked & {"breathing_and_posture", "mending", "still_there"}


def test_signs_gone_new_and_still_there(reasoner: Reasoner) -> None:
    case = case_of(
        look(0, '["gasping_at_surface", "hiding"]'),
        look(1, '["clamped_fins"]', '["gasping_at_surface"]'),
    )
    found = change(case, case.lot[0], 0, 1, reasoner)
    names = {s.id: s.name for s in reasoner.base.signs.values()}
    assert found.gone == (names["gasping_at_surface"],)
    assert found.new == (names["clamped_fins"],)
    assert found.still == (names["hiding"],)


def test_how_it_began_is_no_sign_that_can_go(reasoner: Reasoner) -> None:
    case = case_of(look(0, '["signs_before_bag_opened"]'), look(1))
    found = change(case, case.lot[0], 0, 1, reasoner)
    assert (found.gone, found.still) == ((), ())


def test_causes_that_moved_are_named(reasoner: Reasoner) -> None:
    case = case_of(look(0, GASP), look(1, CALM, GASP))
    moved = {name for name, _, _ in change(case, case.lot[0], 0, 1, reasoner).causes}
    assert reasoner.base.causes["settling"].name in moved


# -- closing ----------------------------------------------------------------------------


def test_a_case_stays_open_for_its_reasons() -> None:
    case = case_of(look(0), look(50))
    assert open_reasons(case, [], [], 50) == []
    assert open_reasons(case, ["Air the tank"], [], 50)
    assert "48 hours" in open_reasons(case, [], [], 20)[0]
    assert "day 14" in open_reasons(case, [], ["white spot"], 50)[0]
    assert open_reasons(case, [], ["white spot"], 340) == []
    died = case_of(look(0, more="counts={dead=0}"), look(50, more="counts={dead=1}"))
    assert open_reasons(died, [], [], 50) == ["fish died since the look before"]


def sitting(
    to: str, case: Case, lines: list[str], reasoner: Reasoner, folder: Path, hours: float
) -> Played:
    clock = Clock(datetime(2026, 3, 2, 12))
    clock.forward(hours)
    path = folder / "case.toml"
    stamp = save_case(case, path)
    talk = Talk(io.StringIO(), lines, width=60)
    keeper = Keeper(talk, folder, clock, path=path, stamp=stamp, case=case)
    steps = session(case, reasoner, clock, to=to)  # type: ignore[arg-type]
    return read(steps, keeper)


def test_a_look_asks_again_what_was_seen_and_read(reasoner: Reasoner, tmp_path: Path) -> None:
    seen = '["gasping_at_surface", "white_spots"]'
    case = case_of(look(0, seen, more="tank={ph=7.0, temperature_c=25.0}"))
    lines = ["1 dead 2 down", "0", "3", "1", "25", "7.2 meter", "", ""]
    played = sitting("look", case, lines, reasoner, tmp_path, 1.0)
    screen = joined(played.screen)
    assert "Which of these, seen before, are still there? 1 white spots" in screen
    assert "tank temperature" in screen and "tank pH" in screen
    later = [each for each in played.case.observation if each.at_hours == 1.0]
    assert {s for each in later for s in each.seen} == {"swimming_normally", "white_spots"}
    assert any(each.tank.ph and each.tank.ph.value == 7.2 for each in later)
    assert any(each.counts.dead == 1 for each in later)
    assert "WORSE than at the last look" in screen and "not counted before, now 1" in screen
    assert "Alive: 39 of 40" in screen
    assert "tank pH: 7 at 0 h, 7.2 at 1 h" in screen


def test_where_they_are_is_asked_unless_they_are_told_to_be_in_the_tank(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    """The newest look leads: a bag that was shut at the last one may be shut no more."""
    head = HEAD.split('sealed = "no"')[0] + 'sealed = "yes"\n'
    case = loads_case(head + look(0, '["gasping_at_surface"]'))
    lines = ["netted in the tank", "1 dead 2 down", "0", "3", "", ""]
    played = sitting("look", case, lines, reasoner, tmp_path, 3.0)
    assert "1. Where are the fish now?" in joined(played.screen)
    assert played.case.lot[0].released_at_hours == 3.0
    told = sitting("look", case_of(look(0)), lines[1:], reasoner, tmp_path, 3.0)
    assert "Where are the fish now?" not in joined(told.screen)


def test_closing_asks_for_losses_and_a_confirmed_cause(reasoner: Reasoner, tmp_path: Path) -> None:
    case = case_of(look(0, more="counts={dead=1}"), look(50, more="counts={dead=3}"))
    played = sitting("close", case, ["5", "white spot", "Dr Vet"], reasoner, tmp_path, 50.0)
    assert played.status == 0
    outcome = load_case(tmp_path / "case.toml").outcome
    assert outcome.closed
    assert outcome.survivors_48h == 35
    assert [(d.lot, d.dead) for d in outcome.deaths] == [("a", 5)]
    assert outcome.confirmed_causes == ("white_spot",)
    assert outcome.confirmed_by == "Dr Vet"


def test_closing_takes_the_last_count_and_no_cause_for_enter(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(0, more="counts={dead=1}"), look(48, more="counts={dead=3}"))
    played = sitting("close", case, ["", ""], reasoner, tmp_path, 50.0)
    outcome = played.case.outcome
    assert outcome.survivors_48h == 37
    assert outcome.confirmed_causes == ()


def test_more_dead_than_came_is_asked_again(reasoner: Reasoner, tmp_path: Path) -> None:
    played = sitting("close", case_of(look(0)), ["99", "4", ""], reasoner, tmp_path, 50.0)
    assert played.case.outcome.survivors_48h == 36


def test_leaving_while_closing_leaves_it_open(reasoner: Reasoner, tmp_path: Path) -> None:
    sitting("close", case_of(look(0)), ["s"], reasoner, tmp_path, 50.0)
    assert not load_case(tmp_path / "case.toml").outcome.closed


def test_heads_never_counted_are_not_none_dead(reasoner: Reasoner) -> None:
    case = case_of(look(0), look(1, more="counts={dead=2}"))
    found = change(case, case.lot[0], 0.0, 1.0, reasoner)
    assert "dead: not counted before, now 2" in found.reasons
    counted = case_of(look(0, more="counts={dead=0}"), look(1, more="counts={dead=2}"))
    assert "dead: 0, now 2" in change(counted, counted.lot[0], 0.0, 1.0, reasoner).reasons


@pytest.mark.parametrize(
    ("hours", "said"), [(0.0, "Received just now."), (2.0, "Received 2 h ago.")]
)
def test_how_long_ago_they_came_is_said_in_words(
    hours: float, said: str, reasoner: Reasoner, tmp_path: Path
) -> None:
    played = sitting("look", case_of(look(0)), ["s"], reasoner, tmp_path, hours)
    assert said in joined(played.screen)


def test_a_step_that_is_ticked_does_not_put_the_look_off() -> None:
    """Nobody looked at a fish when a step was ticked (found by people of a fish room)."""
    look = '[[observation]]\nat_hours = 0.0\nlot = "a"\nseen = ["gasping_at_surface"]\n'
    tick = '[[observation]]\nat_hours = 0.2\nlot = "a"\ndone = ["air_tank"]\n'
    before, after = loads_case(HEAD + look), loads_case(HEAD + look + tick)
    for urgent in (True, False):
        assert next_look(after, urgent=urgent) == next_look(before, urgent=urgent)
