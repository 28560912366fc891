"""Some bags shut, some open, told in words before the fish have names, and with their names.

Typed by a foreman who had not seen the program; he was refused and found no way but the number.
"""

from __future__ import annotations

import pytest

from advisor.ask.records import Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.case import Case
from advisor.screens.session.run import Reader
from tests.ask.conftest import Begin
from tests.said import joined


def _kinds(begin: Begin, lines: list[str]) -> tuple[Case, str]:
    bench = begin(lines)
    at = bench.at

    def steps() -> Talking[Sitting]:
        for question in ("where_are_they", "kinds"):
            yield from ask_one(at, at.reasoner.base.questions[question], at.first_lot)
        yield from at.out()
        return Sitting(at.case, "done")

    Reader(bench.keeper.talk, bench.keeper)._through(steps())
    return at.case, joined(bench.screen)


@pytest.mark.parametrize(
    "line",
    [
        "2 bags shut, 1 opened n gasping",
        "neons and guppies shut, corys open n gasping",
        "12 neons n 8 guppies shut, 6 corys open",
    ],
)
def test_the_first_question_takes_that_some_are_shut(line: str, begin: Begin) -> None:
    bench = begin([line])
    bench.put("where_are_they")
    screen = joined(bench.screen)
    assert (
        "Taken as: some shut, some out" in screen and "like: 12 neons shut, 6 corys open" in screen
    )
    assert [lot.sealed for lot in bench.case.lot] == ["unknown"]
    assert not bench.case.observation, "gasping is of some, and is asked lot by lot"
    assert "Air the tank hard" not in screen


@pytest.mark.parametrize(
    ("line", "sealed"),
    [
        ("12 neons n 8 guppies shut, 6 corys open", ["yes", "yes", "no"]),
        ("12 neons and 8 guppies shut, 6 corys open", ["yes", "yes", "no"]),
        ("12 neons shut, 8 guppies, 6 corys open", ["yes", "unknown", "no"]),
        ("12 neons, 8 guppies, 6 corys", ["unknown", "unknown", "unknown"]),
    ],
)
def test_where_each_lot_is_said_with_its_name(line: str, sealed: list[str], begin: Begin) -> None:
    case, _ = _kinds(begin, ["9", line])
    assert [lot.sealed for lot in case.lot] == sealed


def test_a_lot_that_gasps_in_its_opened_bag(begin: Begin) -> None:
    case, screen = _kinds(begin, ["9", "12 neons shut, 6 corys open and gasping"])
    seen = {look.lot: set(look.seen) for look in case.observation if look.seen}
    assert list(seen.values()) == [{"gasping_at_surface"}]
    assert next(iter(seen)) == case.lot[1].id
    assert "Out of that bag now" in screen


def test_gasping_corys_among_the_kinds_are_the_corys(begin: Begin) -> None:
    case, _ = _kinds(begin, ["1", "12 neons, 6 corys gasping"])
    seen = {look.lot: set(look.seen) for look in case.observation if look.seen}
    assert set(seen) == {case.lot[1].id}
    assert "gasping_at_surface" in seen[case.lot[1].id]


def test_what_was_told_before_of_all_stays_and_is_said(begin: Begin) -> None:
    case, screen = _kinds(begin, ["1", "12 neons shut, 6 corys open"])
    assert [lot.sealed for lot in case.lot] == ["yes", "yes"]
    assert "stays as told before" in screen
