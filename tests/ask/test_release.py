"""The walk through the shut bags: how they went over is asked once for all that went alike."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.apply import with_field
from advisor.ask.answers.parts import Place
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import Sitting, Talking
from advisor.ask.release import open_bags, taken_out
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
