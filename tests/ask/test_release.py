"""The walk through the shut bags: how they went over is asked once for all that went alike."""

from __future__ import annotations

import io
from contextlib import suppress
from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.apply import with_field
from advisor.ask.answers.parts import Place
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import NoMoreLines, Sitting, Talking
from advisor.ask.release import open_bags, out_of_bag, taken_out
from advisor.case import ABSENT, Case, load_case, loads_case
from advisor.screens.session.keep import Keeper
from advisor.screens.session.run import Reader
from advisor.screens.session.talk import Talk, TalkEnded
from tests.ask.conftest import told
from tests.clock import Clock
from tests.said import joined

FOUR = Path(__file__).parents[2] / "cases/demo/four-lots-bags-still-sealed.toml"


class Answerer(Talk):
    """Gives to each prompt the line that its kind asks for, and counts the prompts."""

    def __init__(self, by_text: dict[str, list[str]]) -> None:
        super().__init__(io.StringIO(), [], width=500)
        self.by_text, self.prompts = by_text, 0

    def ask(self, name: str = "", prompt: str = "> ") -> str:
        assert isinstance(self.out, io.StringIO)
        self.prompts += 1
        if self.prompts > 200:
            raise TalkEnded("end")
        lately = self.out.getvalue().rsplit(">>", 1)[-1]
        given = next((lines for text, lines in self.by_text.items() if text in lately), [])
        line = given.pop(0) if given else ""
        self.out.write(f">>{line}\n")
        return line


def walked(reasoner: Reasoner, folder: Path, **lines: list[str]) -> tuple[Case, str, int]:
    case, clock = load_case(FOUR), Clock()
    at = Inquiry(case, reasoner, clock)
    at.thoughts = at.think()
    talk = Answerer(
        {
            "out of the bag. Taken as": lines.get("out", []),
            "How?": lines.get("how", []),
            "all netted": lines.get("rest", []),
        }
    )
    keeper = Keeper(talk, folder, clock, stamp=ABSENT)

    def steps() -> Talking[Sitting]:
        yield from open_bags(at)
        yield from at.out()
        return Sitting(at.case, "done")

    Reader(talk, keeper)._through(steps())
    return at.case, joined(told(keeper)), talk.prompts


def ways(case: Case) -> list[str | None]:
    return [lot.release_method for lot in case.lot]


def test_alike_is_said_once_for_all_bags(reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen, prompts = walked(reasoner, tmp_path, how=["1"], rest=["1"])
    assert ways(case) == ["netted"] * 4
    assert screen.count("How?") == 1
    assert all(lot.opened_at_hours is not None for lot in case.lot)
    each = walked(reasoner, tmp_path, how=["1"] * 4, rest=["2"])
    assert ways(each[0]) == ["netted"] * 4 and each[1].count("How?") == 4
    assert prompts == each[2] - 3


def test_one_bag_that_went_another_way_is_taken_so(reasoner: Reasoner, tmp_path: Path) -> None:
    case, _, _ = walked(reasoner, tmp_path, how=["1"], rest=["1"], out=["", "poured"])
    assert sorted(map(str, ways(case))) == ["netted", "netted", "netted", "poured"]


@pytest.mark.parametrize("rest", ["2", ""])
def test_enter_takes_no_way_for_bags_nobody_spoke_of(
    rest: str, reasoner: Reasoner, tmp_path: Path
) -> None:
    case, screen, _ = walked(reasoner, tmp_path, how=["1"], rest=[rest])
    assert sorted(map(str, ways(case))) == ["netted", "unknown", "unknown", "unknown"]
    assert screen.count("How?") == 4


FAILING = """
[transit]
hours_sealed = 30
[[lot]]
id = "guppies"
species = "guppy"
count = 20
sealed = "yes"
[[observation]]
at_hours = 0.0
seen = ["gasping_at_surface", "lying_on_side"]
"""


@pytest.mark.parametrize(
    ("way", "place"), [("netted", "tank"), ("unknown", "tank"), ("tub", "tub")]
)
def test_what_the_clock_stamps_after_the_last_look_has_moved_them(
    way: str, place: str, reasoner: Reasoner
) -> None:
    """Out of the bag, by netting, in a way nobody said, or into a tub: no bag step is left."""
    case = loads_case(FAILING)
    where = Place("guppies", 0.3)
    fields = {"sealed": "no", "opened_at_hours": 0.3}
    for field, value in fields.items():
        case = with_field(case, f"lot.{field}", value, where)
    (opened,) = assess(case, reasoner).lots
    assert opened.place == "open_bag"
    for field, value in taken_out(way, 0.4).items():
        case = with_field(case, f"lot.{field}", value, where)
    (lot,) = assess(case, reasoner).lots
    assert lot.place == place
    texts = " ".join(action.text for action in lot.actions if action.emergency)
    assert "bag" not in texts.replace("not the bag", "")
    assert "help_in_the_tub" not in {action.id for action in lot.actions}, "seen in the bag"
    if place == "tank":
        assert not [action for action in lot.actions if "Before anyone goes in" in action.text]


# -- what is typed at a step of the clock -------------------------------------------
#
# As a foreman met it: "1.5 ppm" and "29.5", meant as readings, were taken as "they are out", and
# the readings were gone; e at "How?" left fish in the open bag and said nothing of them.

TWO_BAGS = """
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "discus"
species = "discus"
count = 6
sealed = "yes"
[[lot]]
id = "neons"
species = "neon tetra"
count = 40
sealed = "yes"
"""
#: The first bag opened, and its water not read.
OPEN = ["", "u", "u"]


def clocked(reasoner: Reasoner, folder: Path, lines: list[str]) -> tuple[Case, str]:
    """The walk through two shut bags on these lines; the end of the lines ends it."""
    case, clock = loads_case(TWO_BAGS), Clock()
    at = Inquiry(case, reasoner, clock)
    talk = Talk(io.StringIO(), lines, width=500)
    keeper = Keeper(talk, folder, clock, stamp=ABSENT)

    def steps() -> Talking[Sitting]:
        with suppress(NoMoreLines):
            yield from open_bags(at)
        yield from at.out()
        return Sitting(at.case, "done")

    Reader(talk, keeper)._through(steps())
    return at.case, joined(told(keeper))


def lots_out(case: Case) -> list[str]:
    return [lot.id for lot in case.lot if out_of_bag(lot)]


@pytest.mark.parametrize(
    ("line", "reading"),
    [("29.5", 29.5), ("bag 29.5 c", 29.5), ("85 F", 29.44)],
)
def test_a_reading_typed_where_they_are_to_be_out_is_a_reading(
    line: str, reading: float, reasoner: Reasoner, tmp_path: Path
) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, line])
    assert lots_out(case) == [] and "How?" not in screen
    (taken,) = [look.bag.temperature_c for look in case.observation if look.bag.temperature_c]
    assert taken.value == pytest.approx(reading, abs=0.01)
    after = clocked(reasoner, tmp_path, [*OPEN, line, "", "netted"])[0]
    assert len(lots_out(after)) == 1, "the step waited on"


@pytest.mark.parametrize("line", ["1.5 ppm", "7", "2 jumped", "hold on", "not yet", "still in"])
def test_nothing_else_means_out(line: str, reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, line])
    assert lots_out(case) == [] and "How?" not in screen
    assert "not taken" in screen or "It waits" in screen


@pytest.mark.parametrize("line", ["", "yes", "out", "all out", "they are out now"])
def test_enter_yes_and_out_mean_out(line: str, reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, line, "1"])
    assert len(lots_out(case)) == 1 and "How?" in screen
    way = clocked(reasoner, tmp_path, [*OPEN, "netted them"])
    assert len(lots_out(way[0])) == 1 and "How?" not in way[1]


def test_words_at_the_first_step_open_no_bag(reasoner: Reasoner, tmp_path: Path) -> None:
    for line in ("tank 25", "hang on", "n", "no"):
        case, _ = clocked(reasoner, tmp_path, [line])
        assert all(lot.opened_at_hours is None for lot in case.lot), line
    case, _ = clocked(
        reasoner, tmp_path, [*OPEN, "", "1", "bag 24"]
    )  # at "Enter as you open the bag"
    assert sum(lot.opened_at_hours is not None for lot in case.lot) == 1


def test_e_at_how_keeps_them_out_and_says_what_is_left(reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, "", "e"])
    (first,) = lots_out(case)
    assert next(lot for lot in case.lot if lot.id == first).release_method == "unknown"
    left = screen.partition("The release is left here.")[2]
    assert "still shut" in left and left.count("still shut") == 1


def test_e_before_they_are_out_names_the_open_bag(reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, "e"])
    assert lots_out(case) == []
    left = screen.partition("The release is left here.")[2]
    assert "not out." in left and "still shut" in left
    (opened,) = [lot for lot in case.lot if lot.opened_at_hours is not None]
    place = assess(case, reasoner).lots[case.lot.index(opened)].actions[0].text
    assert place.split(".")[0] in left, "the step out of the open bag stands with it"


def test_b_at_how_means_not_out(reasoner: Reasoner, tmp_path: Path) -> None:
    case, screen = clocked(reasoner, tmp_path, [*OPEN, "", "b"])
    assert lots_out(case) == [] and "Not out, then." in screen
    again, _ = clocked(reasoner, tmp_path, [*OPEN, "", "b", "", "1"])
    assert len(lots_out(again)) == 1


def test_b_at_a_step_passes_over_no_bag(reasoner: Reasoner, tmp_path: Path) -> None:
    """The fish of the bag that is open are asked about before the next bag is."""
    case, screen = clocked(reasoner, tmp_path, [*OPEN, "b"])
    assert "cannot be taken back" in screen and "Next:" not in screen
    assert sum(lot.opened_at_hours is not None for lot in case.lot) == 1
