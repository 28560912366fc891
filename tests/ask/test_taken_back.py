"""An answer taken back is shown and kept by Enter; a box that is told of is no place."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

import advisor
from advisor.advice.reasoner import Reasoner
from advisor.ask.again import again
from advisor.ask.records import Ask, Say, Show
from tests.ask.conftest import Begin, Bench, Play
from tests.ask.test_recheck import case_of, look, sitting
from tests.ask.utterances import NOW
from tests.said import joined


@pytest.mark.parametrize(
    "line",
    ["box felt cold", "the box was wet", "heat pack in the box", "bags were cold",
     "box was crushed", "bag water smelled", "36 hours, box felt cold",
     "bags wrapped in newspaper", "two days, styro box",
     "one box, 6 bags, 30 h", "box leaked on the van", "the lid of the box was off",
     "2 bags burst in the box", "box was taped badly"],
)  # fmt: skip
def test_what_a_box_or_bag_was_like_is_no_place(line: str) -> None:
    assert "place" not in advisor.hear("where_are_they", line, now=NOW)


@pytest.mark.parametrize(
    "line, place",
    [
        ("still in the box, bags shut", "closed_bag"), ("fish still in box", "closed_bag"),
        ("all in the box", "closed_bag"), ("opened box, bags still shut", "closed_bag"),
        ("box open, bags closed, 20 h", "closed_bag"), ("bags open, floating", "open_bag"),
        ("the bag smelled of ammonia when I cut it", "open_bag"),
        ("netted into the tank, box was cold", "tank"), ("tipped into a tub", "tub"),
    ],
)  # fmt: skip
def test_words_that_say_where_they_are(line: str, place: str) -> None:
    assert advisor.hear("where_are_they", line, now=NOW)["place"] == place


def test_enter_keeps_what_was_taken_back_and_u_does_not(play: Play) -> None:
    start = ["2", "1", "2 h", "40 guppies", "20 min"]
    kept = play([*start, "2 dead 5 down", "b", "", "s"])
    assert "Your answer was: 5 down, 2 dead. Enter keeps it" in joined(kept.screen)
    (counts,) = [each.counts for each in kept.case.observation if each.counts.dead is not None]
    assert (counts.dead, counts.down) == (2, 5)
    gone = play([*start, "2 dead 5 down", "b", "u", "s"])
    assert all(each.counts.dead is None for each in gone.case.observation)
    anew = play([*start, "2 dead 5 down", "b", "3 dead 5 down", "s"])
    assert [e.counts.dead for e in anew.case.observation if e.counts.dead is not None] == [3]


def test_several_answers_back_each_kept_by_enter(play: Play) -> None:
    lines = ["2", "1", "30 h", "40 guppies", "20 min", "0"]
    plain = play([*lines, "s"])
    back = play([*lines, "b", "b", "b", "", "", "", "s"])
    assert back.case.lot == plain.case.lot
    assert back.case.transit == plain.case.transit
    assert back.case.observation == plain.case.observation


def test_what_a_line_told_besides_is_kept_too(play: Play) -> None:
    lines = ["cut open in the bag, 36 hours, gasping"]
    plain = play([*lines, "s"])
    back = play([*lines, "b", "", "s"])
    assert plain.case.transit.hours_sealed == 36
    assert back.case.transit == plain.case.transit
    assert back.case.observation == plain.case.observation


def test_readings_taken_back_are_kept_one_by_one(begin: Begin) -> None:
    bench = begin(["7.0 meter", "8.1 meter", "", "8.3 meter"])
    bench.put("ph")
    assert _ph(bench) == [7.0, 8.1]
    for _ in bench.at.undo():
        pass
    assert _ph(bench) == []
    bench.put("ph")
    assert _ph(bench) == [7.0, 8.3]


def _ph(bench: Bench) -> list[float]:
    waters = [water for look in bench.at.case.observation for water in (look.bag, look.tank)]
    return sorted(water.ph.value for water in waters if water.ph is not None)


@pytest.mark.parametrize("line", ["36 hours, box felt cold", "heat pack in the box"])
def test_no_weak_word_shuts_a_bag_again(line: str, play: Play) -> None:
    played = play(["2", "b", line, "", "s"])
    assert played.case.lot[0].sealed == "no"
    assert "still in an opened bag" in joined(played.screen)


@pytest.mark.parametrize("line", ["bags still shut", "1", "sorry, they are still sealed"])
def test_shut_again_is_asked(line: str, play: Play, reasoner: Reasoner, tmp_path: Path) -> None:
    for answer, sealed in (("1", "yes"), ("2", "no"), ("", "no")):
        played = play(["2", "b", line, answer, "s"])
        assert "Are these bags still shut, then?" in joined(played.screen)
        assert played.case.lot[0].sealed == sealed
    case = case_of(look(0, '["gasping_at_surface"]'))
    bare = case.model_copy(
        update={"lot": (case.lot[0].model_copy(update={"released_at_hours": None}),)}
    )
    later = sitting("look", bare, [line, "2", "0"], reasoner, tmp_path, 3.0)
    assert later.case.lot[0].sealed == "no"


def test_on_the_page_an_answer_put_again_is_shown_and_may_be_kept(reasoner: Reasoner) -> None:
    case = case_of(look(1, more="counts={dead=2, down=5}"))
    case = case.model_copy(
        update={"session": case.session.model_copy(update={"answered": ("counts/a",)})}
    )
    steps = again(case, reasoner, lambda: datetime(2026, 3, 2, 15), "counts/a")
    shown = next(steps)
    assert isinstance(shown, Show)
    assert any(
        isinstance(b, Say) and "Your answer was: 5 down, 2 dead." in b.text for b in shown.blocks
    )
    ask = steps.send(None)
    assert isinstance(ask, Ask) and ask.kept == "5 down, 2 dead"
    with pytest.raises(StopIteration) as end:
        steps.send("")
    assert end.value.value.case == case


def test_the_whole_answer_is_shown_and_what_goes_with_it_is_said(begin: Begin) -> None:
    def played(*lines: str) -> Bench:
        bench = begin(["36h, box arrived cold", *lines])
        bench.put("hours_sealed")
        for _ in bench.at.undo():
            pass
        bench.put("hours_sealed")
        return bench

    again = played("36h")
    told = joined(again.screen).split("With it you told: ")[1].split(". ")[0]
    assert f"Gone with your answer before: {told}" in joined(again.screen)
    kept, same = played(""), played("36h, box arrived cold")
    assert "Gone with" not in joined(kept.screen) + joined(same.screen)
    assert kept.case.transit.hours_sealed == again.case.transit.hours_sealed == 36
    assert kept.case == same.case != again.case
