"""A line that names several boxes goes to each of them; what goes to none is said."""

from __future__ import annotations

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.boxes_named import shared_out
from advisor.ask.inquiry import Inquiry
from advisor.ask.many import _a_line_each
from advisor.ask.records import Sitting, Talking
from advisor.case import Case, Lot, loads_case
from advisor.screens.session.run import Reader
from tests.ask.conftest import Begin
from tests.said import joined

LOTS = """
format = "arrival-case-1"
[[lot]]
id = "danios"
species = "zebra danio"
count = 20
sealed = "no"
[[lot]]
id = "neons"
species = "neon tetra"
count = 100
[[lot]]
id = "gouramis"
species = "dwarf gourami"
count = 10
[[lot]]
id = "corys"
species = "corydoras"
count = 12
"""
SEVERAL = loads_case(LOTS)


@pytest.mark.parametrize(
    "line, said, nobody",
    [
        ("gouramis gasping, 3 on side; neons gasping; corys fine",
         {"gouramis": ["gouramis gasping", "3 on side"], "neons": ["neons gasping"],
          "corys": ["corys fine"]}, []),
        ("neons fine, gouramis gasping",
         {"neons": ["neons fine"], "gouramis": ["gouramis gasping"]}, []),
        ("gouramis 2 dead, corys 1 dead",
         {"gouramis": ["gouramis 2 dead"], "corys": ["corys 1 dead"]}, []),
        ("all gasping", {"neons": ["all gasping"]}, []),
        ("corys on their side", {"corys": ["corys on their side"]}, []),
        ("2 dead, 1 gasping; gouramis fine",
         {"neons": ["2 dead", "1 gasping"], "gouramis": ["gouramis fine"]}, []),
        ("neons: clamped, pale. corys: breathing fast",
         {"neons": ["neons  clamped", "pale"], "corys": ["corys  breathing fast"]}, []),
        ("the gouramis hang at the surface and the neons are clamped",
         {"gouramis": ["the gouramis hang at the surface"],
          "neons": ["the neons are clamped"]}, []),
        ("neons and corys gasping", {"neons": ["corys gasping"], "corys": ["corys gasping"]}, []),
        ("gasping, same for the corys", {"neons": ["gasping"], "corys": ["gasping"]}, []),
        ("guppies gasping", {}, ["guppies gasping"]),
        ("neons and corys gasping, 3 dead",
         {"neons": ["corys gasping"], "corys": ["corys gasping"]}, ["3 dead"]),
        ("danios flashing, white spots", {"danios": ["danios flashing", "white spots"]}, []),
        ("gasping, clamped, 3 on their sides",
         {"neons": ["gasping", "clamped", "3 on their sides"]}, []),
    ],
)  # fmt: skip
def test_each_part_goes_to_the_lot_it_names(
    line: str, said: dict[str, list[str]], nobody: list[str], reasoner: Reasoner
) -> None:
    found = shared_out(line, SEVERAL.lot, "neons", reasoner.base)
    assert found.said == said
    assert found.nobody == nobody


def _boxes(begin: Begin, lines: list[str]) -> tuple[Case, str, Inquiry]:
    bench = begin(lines)
    bench.at.case = SEVERAL
    bench.at.thoughts = bench.at.think()
    first, *others = SEVERAL.lot

    def steps() -> Talking[Sitting]:
        yield from _a_line_each(bench.at, first, tuple(others))
        yield from bench.at.out()
        return Sitting(bench.at.case, "done")

    Reader(bench.keeper.talk, bench.keeper)._through(steps())
    return bench.at.case, joined(bench.screen), bench.at


def _of(case: Case, lot: str) -> tuple[set[str], int | None, int | None]:
    looks = [look for look in case.observation if look.lot == lot]
    seen = {sign for look in looks for sign in look.seen}
    return seen, *(
        max((getattr(each.counts, s) or 0 for each in looks), default=None)
        for s in ("dead", "down")
    )


def test_one_line_for_three_boxes_is_kept_for_each(begin: Begin) -> None:
    case, screen, at = _boxes(begin, ["gouramis gasping, 3 on side; neons gasping; corys fine"])
    assert _of(case, "gouramis")[0] == {"gasping_at_surface", "lying_on_side"}
    assert _of(case, "gouramis")[2] == 3
    assert _of(case, "neons")[0] == {"gasping_at_surface"}
    assert "gasping_at_surface" not in _of(case, "corys")[0]
    assert "10 dwarf gourami: Seen: " in screen
    assert at.left_out == {"neons", "gouramis", "corys"}


def test_a_box_that_is_not_named_is_asked_again_and_what_goes_to_none_is_said(begin: Begin) -> None:
    case, screen, _ = _boxes(begin, ["gouramis gasping; guppies fine", "clamped", "u"])
    assert '"guppies fine" is told of no one lot here' in screen
    assert "Nothing was taken of 100 neon tetra" in screen
    assert _of(case, "neons")[0] == {"clamped_fins"}
    assert _of(case, "corys")[0] == set(), "not known is not like the one before"
    assert screen.count("100 neon tetra?") == 2 and "10 dwarf gourami?" not in screen


def test_enter_still_takes_the_one_before(begin: Begin) -> None:
    case, _, _ = _boxes(begin, ["gasping", "", ""])
    assert _of(case, "gouramis")[0] == _of(case, "corys")[0] == {"gasping_at_surface"}


def test_heads_of_two_kinds_at_once_are_no_heads_of_each(begin: Begin) -> None:
    case, screen, _ = _boxes(begin, ["neons and gouramis gasping, 4 dead", "u"])
    assert all(not look.counts.dead for look in case.observation)
    assert '"4 dead" is told of no one lot' in screen


def test_two_lots_of_a_family_are_both_meant_by_its_name(reasoner: Reasoner) -> None:
    lots = (Lot(id="a", species="panda corydoras"), Lot(id="b", species="bronze corydoras"),
            Lot(id="c", species="guppy"))  # fmt: skip
    assert set(shared_out("corys gasping", lots, "c", reasoner.base).said) == {"a", "b"}
    assert set(shared_out("pandas gasping", lots, "c", reasoner.base).said) == {"a"}
