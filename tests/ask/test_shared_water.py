"""One reading of a water that all lots share is asked for once; each kit by what it is for."""

from __future__ import annotations

from advisor.ask.records import Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.case import loads_case
from advisor.screens.session.run import Reader
from tests.ask.conftest import Begin, Bench
from tests.said import joined

TWO = """
format = "arrival-case-1"
[[lot]]
id = "a"
species = "guppy"
sealed = "no"
[[lot]]
id = "b"
species = "neon tetra"
sealed = "no"
"""


def _both(begin: Begin, lines: list[str], question: str, undo: bool = False) -> Bench:
    bench = begin(lines)
    bench.at.case = loads_case(TWO)
    bench.at.thoughts = bench.at.think()
    asked = bench.at.reasoner.base.questions[question]

    def steps() -> Talking[Sitting]:
        yield from ask_one(bench.at, asked, "a")
        if undo:
            yield from bench.at.undo()
            yield from ask_one(bench.at, asked, "a")
        yield from ask_one(bench.at, asked, "b")
        yield from bench.at.out()
        return Sitting(bench.at.case, "done")

    Reader(bench.keeper.talk, bench.keeper)._through(steps())
    return bench


def test_a_tank_reading_of_one_lot_is_not_asked_of_the_next(begin: Begin) -> None:
    for first in ("25 C", ""):  # read, or not to be had
        bench = _both(begin, [first, "22 C", "21 C"], "thermometer")
        screen = joined(bench.screen)
        assert screen.count("tank temperature (like") == 1
        assert screen.count("bag temperature (like") == 2
        bags = [look.bag.temperature_c for look in bench.at.case.observation]
        assert [each.value for each in bags if each is not None] == [22.0, 21.0]


def test_what_was_taken_back_is_asked_again(begin: Begin) -> None:
    bench = _both(begin, ["", "", "25 C", "22 C", "21 C"], "thermometer", undo=True)
    assert joined(bench.screen).count("tank temperature (like") == 2
    tanks = [look.tank.temperature_c for look in bench.at.case.observation]
    assert [each.value for each in tanks if each is not None] == [25.0]


def test_each_kit_is_asked_once_and_named(begin: Begin) -> None:
    bench = begin(["7.0", "1", "7.2", "0.5 ppm NH3-N", "1", "0.1 mg/L N"])
    bench.put("ph")
    bench.put("ammonia_nitrite")
    screen = joined(bench.screen)
    assert screen.count("What kind of kit for pH?") == 1
    assert screen.count("What kind of kit for ammonia and the like?") == 1
