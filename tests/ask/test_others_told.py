"""A line at one lot's question that names another lot goes to that lot, or is said.

Typed by a foreman who had not seen the program: every one of these was kept on the wrong fish.
"""

from __future__ import annotations

import pytest

from advisor.ask.records import Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.case import Case, loads_case
from advisor.screens.session.run import Reader
from tests.ask.conftest import Begin
from tests.said import joined

FRESH = """
format = "arrival-case-1"
[[lot]]
id = "neons"
species = "neon tetra"
count = 12
sealed = "yes"
[[lot]]
id = "corys"
species = "corydoras"
count = 6
"""
MARINE = """
format = "arrival-case-1"
[[lot]]
id = "chromis"
species = "green chromis"
count = 20
[[lot]]
id = "shrimp"
species = "cleaner shrimp"
count = 6
[[lot]]
id = "damsels"
species = "blue damsel"
count = 3
"""


def _asked(begin: Begin, case: str, question: str, lines: list[str]) -> tuple[Case, str]:
    bench = begin(lines)
    at = bench.at
    at.case = loads_case(case)
    at.thoughts = at.think()

    def steps() -> Talking[Sitting]:
        yield from ask_one(at, at.reasoner.base.questions[question], at.case.lot[0].id)
        yield from at.out()
        return Sitting(at.case, "done")

    Reader(bench.keeper.talk, bench.keeper)._through(steps())
    return at.case, joined(bench.screen)


def _seen(case: Case, lot: str) -> set[str]:
    return {sign for look in case.observation if look.lot == lot for sign in look.seen}


def _dead(case: Case, lot: str) -> set[int | None]:
    return {look.counts.dead for look in case.observation if look.lot == lot} - {None}


def test_gasping_corys_told_at_the_neons_are_the_corys(begin: Begin) -> None:
    line = "corys in open bag since 10 min, gasping"
    case, screen = _asked(begin, FRESH, "counts", [line, "0"])
    assert _seen(case, "corys") == {"gasping_at_surface"} and not _seen(case, "neons")
    assert [lot.sealed for lot in case.lot] == ["yes", "no"]
    assert _dead(case, "neons") == {0} and not _dead(case, "corys")
    assert "DO NOW (corys): Out of that bag now" in screen
    assert "Bag open for" in screen and case.lot[1].opened_at_hours is not None
    assert "And 12 neon tetra?" in screen, "the question stays open"


def test_what_is_not_taken_of_another_lot_is_said(begin: Begin) -> None:
    line = "corys gasping, 26 C in their bag"
    case, screen = _asked(begin, FRESH, "counts", [line, "0"])
    assert _seen(case, "corys") == {"gasping_at_surface"}
    assert "its times and figures were not taken" in screen


def test_signs_of_two_other_lots_are_not_the_one_asked(begin: Begin) -> None:
    line = "shrimp moving slow, one damsel on side"
    case, _ = _asked(begin, MARINE, "breathing_and_posture", [line, "0"])
    assert not _seen(case, "chromis")
    assert _seen(case, "shrimp") == {"weak_response"}
    assert _seen(case, "damsels") == {"lying_on_side"}


def test_each_lot_its_own_dead(begin: Begin) -> None:
    case, _ = _asked(begin, FRESH, "counts", ["2 dead 0 down, corys 1 dead"])
    assert (_dead(case, "neons"), _dead(case, "corys")) == ({2}, {1})


def test_a_question_of_the_delivery_keeps_its_answer(begin: Begin) -> None:
    case, _ = _asked(begin, FRESH, "hours_sealed", ["12 hours, corys gasping, 1 dead"])
    assert case.transit.hours_sealed == 12
    assert _seen(case, "corys") == {"gasping_at_surface"} and not _seen(case, "neons")
    assert (_dead(case, "neons"), _dead(case, "corys")) == (set(), {1})


@pytest.mark.parametrize("line", ["shut, corys open", "corys open, neons shut"])
def test_where_two_lots_are_in_one_line(line: str, begin: Begin) -> None:
    blank = FRESH.replace('sealed = "yes"\n', "")
    case, _ = _asked(begin, blank, "where_are_they", [line])
    assert [lot.sealed for lot in case.lot] == ["yes", "no"]


def test_what_is_on_file_of_where_a_lot_is_stays_and_that_is_said(begin: Begin) -> None:
    shut = FRESH.rstrip() + '\nsealed = "yes"\n'
    case, screen = _asked(begin, shut, "counts", ["0; corys in open bag, gasping"])
    assert [lot.sealed for lot in case.lot] == ["yes", "yes"]
    assert "Where 6 corydoras are stays as told before" in screen


def test_a_line_that_names_no_other_lot_is_heard_as_before(begin: Begin) -> None:
    case, screen = _asked(begin, FRESH, "breathing_and_posture", ["neons gasping and on side"])
    assert {"gasping_at_surface", "lying_on_side"} <= _seen(case, "neons")
    assert not _seen(case, "corys") and "another lot" not in screen
