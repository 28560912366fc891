"""Playing a delivery: what is shown when, what it costs, how it is scored and kept."""

from __future__ import annotations

import csv
import json
import os
import signal
import sys
from pathlib import Path

import pexpect
import pytest

from advisor.advice.assess import lot_result, reason
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import LotResult
from advisor.case import dumps_case, load_case, loads_case
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import judged_lot
from advisor.explain.replay.lesson import Lesson, named
from advisor.explain.replay.offers import offers
from advisor.explain.replay.progress import kept, progress_file
from advisor.explain.replay.reasons import why_not_here
from advisor.explain.replay.score import (
    Decision,
    alike,
    difficulty,
    harmful,
    named_steps,
    right_actions,
    right_causes,
    score,
)
from advisor.explain.replay.teaching import Wanted, lesson_of
from tests.commands.running import run
from tests.replay.conftest import BURNED, CASES, KOI, ROOT
from tests.said import Terminal, joined

PLAY = """\
bag ph
bag ammonia
w
d
ammonia bag, settling
net out of open bag
leave alone
"""


def result_of(path: Path, reasoner: Reasoner) -> LotResult:
    case = load_case(path)
    return lot_result(reason(case, judged_lot(case), reasoner), reasoner)


def test_readings_cost_their_seconds_and_later_ones_come_later(reasoner: Reasoner) -> None:
    lesson = Lesson(load_case(BURNED), reasoner.base)
    lesson.next_looks()
    ph = reasoner.base.quantities["bag_ph"]
    found = lesson.measure(ph)
    assert "6.25" in found.told[0].words  # of 0.4 h; 8.0 stands at 1 h
    assert lesson.clock == ph.cost_seconds == found.seconds
    assert lesson.wait() and lesson.hours == pytest.approx(1.0)
    assert "8" in lesson.measure(ph).told[0].words.split()
    lesson.next_looks()
    assert not lesson.wait()


def test_what_the_record_does_not_hold_costs_nothing(reasoner: Reasoner) -> None:
    lesson = Lesson(load_case(BURNED), reasoner.base)
    found = lesson.measure(reasoner.base.quantities["tank_copper_mg_l"])
    assert (found.told, lesson.clock, lesson.asked) == ((), 0.0, 0)


def test_a_glance_shows_nothing_that_takes_a_closer_look(reasoner: Reasoner) -> None:
    lesson = Lesson(load_case(KOI), reasoner.base)
    shown = [name for look in lesson.next_looks() for name in lesson.glance(look)[0]]
    assert "gasping at surface" in shown
    assert "white gill patches" not in shown
    gills = next(q for q in lesson.questions() if "white_gill_patches" in q.signs)
    assert "white gill patches" in [told.words for told in lesson.ask(gills).told]


def test_everything_in_the_record_can_be_found_out(reasoner: Reasoner) -> None:
    left = set()
    for path in (BURNED, KOI):
        lesson = Lesson(load_case(path), reasoner.base)
        while lesson.wait() or lesson.shown < len(lesson.looks):
            for look in lesson.next_looks():
                lesson.glance(look)
        for question in lesson.questions():
            lesson.ask(question)
        for quantity in lesson.readings():
            lesson.measure(quantity)
        left |= {told.item for told in lesson.not_asked()}
    assert {kind for kind, _ in left} <= {"history"}, left


def test_words_find_names() -> None:
    names = {"air_tank": "Air the tank hard.", "air_more": "More air.", "leave_alone": "Leave."}
    assert named("air tank", names) == ["air_tank"]
    assert set(named("air", names)) == {"air_tank", "air_more"}
    assert named("leave alnoe", names) == ["leave_alone"]
    assert named("xyzzy", names) == []


def test_scores_by_hand(reasoner: Reasoner) -> None:
    case, result = load_case(BURNED), result_of(BURNED, reasoner)
    harm = harmful(case, result)
    assert case.expected is not None and set(case.expected.never) <= set(harm)
    good = Decision(("ammonia_bag",), "net_out_of_open_bag", ("leave_alone",))
    found = score(good, case, result, reasoner.base, asked=2, seconds=90)
    assert (found.first, found.in_three, found.action, found.harm_avoided) == (True,) * 4
    assert (found.named, found.wrongly) == (("leave_alone",), ())
    bad = Decision(("cold", "settling", "ammonia_bag"), "leave_alone", ("net_out_of_open_bag",))
    found = score(bad, case, result, reasoner.base, asked=0, seconds=0)
    assert (found.first, found.in_three, found.action, found.harm_avoided) == (
        *(False, True, False, False),
    )
    assert found.wrongly == ("net_out_of_open_bag",)


def test_difficulty_follows_margin_and_look_alikes(reasoner: Reasoner) -> None:
    result = result_of(BURNED, reasoner)
    first = result.causes[0].model_copy(update={"decibans": 20.0})

    def with_others(*balances: float) -> LotResult:
        others = [
            result.causes[1].model_copy(update={"decibans": each, "standing": "possible"})
            for each in balances
        ]
        return result.model_copy(update={"causes": (first, *others), "not_enough": False})

    assert difficulty(with_others(5)) == "easy"
    assert difficulty(with_others(13)) == "middling"
    assert difficulty(with_others(18)) == "hard"
    assert difficulty(with_others(14, 13, 13, 12)) == "hard"
    assert difficulty(with_others(5).model_copy(update={"not_enough": True})) == "hard"


def test_a_play_from_a_file_is_scored_kept_and_exported(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("COLUMNS", "60")
    (tmp_path / "play.txt").write_text(PLAY)
    words = ("replay", str(BURNED), "--as", "=Ines", "--answers", str(tmp_path / "play.txt"))
    ran = run(capsys, *words)
    assert ran.status == 0
    assert max(len(line) for line in ran.out.splitlines()) <= 60
    screen = joined(ran.out)
    assert screen.index("ammonia from the opened bag (very") > screen.index("Your decision")
    lines = kept(progress_file("=Ines"))
    assert [line["first_cause"] for line in lines] == ["yes"]
    assert lines[0]["questions_asked"] == 2
    file = progress_file("=Ines")
    file.write_text(file.read_text() + json.dumps({"case": "=1+1"}) + "\n{cut")
    out = tmp_path / "scores.csv"
    assert run(capsys, "replay", "--as", "=Ines", "--export", str(out)).status == 0
    rows = list(csv.reader(out.read_text(encoding="utf-8-sig").splitlines()))
    assert len(rows) == 3 and rows[2][1].startswith("'=")
    assert rows[0][-2] == "minutes on the clock" and rows[0][-1].startswith("[export ")


def test_leaving_early_keeps_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    (tmp_path / "play.txt").write_text("bag ph\nq\n")
    ran = run(capsys, "replay", str(BURNED), "--as", "a", "--answers", str(tmp_path / "play.txt"))
    assert ran.status == 0 and "Left" in ran.out
    assert kept(progress_file("a")) == []


def test_the_same_seed_gives_the_same_order(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "play.txt").write_text("q\n")
    words = ("replay", str(CASES / "constructed"), "--answers", str(tmp_path / "play.txt"))
    said = [run(capsys, *words, "--shuffle", "--seed", seed).out for seed in ("3", "3", "4")]
    assert said[0] == said[1] != said[2]


def test_a_cause_nobody_knows_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    ran = run(capsys, "replay", "--cause", "nitrit")
    assert ran.status == 2 and "nitrite" in ran.err


NAMES = ("Quayside", "Brackenmouth", "Lanterfin", "LX-2291", "EUR", "label says", "air stone put")


def test_a_lesson_holds_no_names_and_the_same_fish(reasoner: Reasoner) -> None:
    text = BURNED.read_text().replace('"meter" }', '"meter", entered = "NAME", note = "NAME" }')
    text += '\n[outcome]\nclosed = true\nnote = "NAME rang"\nconfirmed_by = "NAME"\n'
    text += '[[photo]]\nfile = "NAME.jpg"\n[[sample]]\nwhat = "NAME"\n'
    text += "[[observation]]\nat_hours = 1\n[observation.tub]\n"
    text += 'ph = { value = 7.1, entered = "NAME", note = "NAME" }\n'
    text += '[[observation]]\nat_hours = 2\nwords = ["NAME said"]\nnote = "NAME"\n'
    case = loads_case(text)
    made = lesson_of(
        case, Wanted(("ammonia_bag",), never=("leave_alone",)), reasoner.base, "swordtails"
    )
    written = dumps_case(made)
    assert not [name for name in (*NAMES, "NAME", "swordtails") if name in written]
    assert [lot.species for lot in made.lot] == [lot.species for lot in case.lot]
    before = reason(case, case.lot[2], reasoner).ranking.causes
    after = reason(made, made.lot[2], reasoner).ranking.causes
    assert [(c.id, c.decibans) for c in before] == [(c.id, c.decibans) for c in after]
    assert made.expected is not None and made.expected.lot == made.lot[2].id


def test_an_open_delivery_is_no_lesson(reasoner: Reasoner) -> None:
    with pytest.raises(AdvisorError, match="not closed"):
        lesson_of(load_case(BURNED), Wanted(("ammonia_bag",)), reasoner.base)
    with pytest.raises(AdvisorError, match="ammonia_bag"):
        lesson_of(load_case(KOI), Wanted(("amonia_bag",)), reasoner.base)


def test_the_command_writes_a_lesson_that_can_be_checked(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    target = tmp_path / "lesson.toml"
    words = ("--first-cause", "koi_herpesvirus", "--never", "leave_alone", "--lot", "koi")
    assert run(capsys, "replay", "--from", str(KOI), str(target), *words).status == 0
    assert run(capsys, "replay", "--check", str(target)).status == 0
    again = run(capsys, "replay", "--from", str(KOI), str(target), *words)
    assert again.status == 2 and "already" in again.err


def test_ctrl_c_leaves_cleanly(tmp_path: Path) -> None:
    env = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "COLUMNS": "60"}
    words = ["-m", "advisor", "replay", str(BURNED)]

    def listen() -> None:
        # a test run started in the background has Ctrl-C switched off, and hands that on
        signal.signal(signal.SIGINT, signal.default_int_handler)

    child = Terminal(
        sys.executable,
        words,
        env=env,
        cwd=ROOT,
        encoding="utf-8",
        timeout=60,
        preexec_fn=listen,
    )
    child.until_said("q leave")
    child.sendline("tank ph")
    child.until_said("tank pH 7.9")
    child.sendintr()
    child.until_said("Stopped")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130


def playable(reasoner: Reasoner) -> list[tuple[Path, LotResult]]:
    """Every shipped delivery that says what it was, with the advisor's result."""
    found = []
    for path in sorted(CASES.rglob("*.toml")):
        case = load_case(path)
        if right_causes(case) and case.observation:
            lot = judged_lot(case)
            found.append((path, lot_result(reason(case, lot, reasoner), reasoner)))
    return found


@pytest.mark.slow  # every shipped case
def test_no_lesson_expects_what_it_forbids(reasoner: Reasoner) -> None:
    """Over all cases: what is expected first is neither named as harm nor counted as such."""
    for path, result in playable(reasoner):
        case = load_case(path)
        expected = case.expected
        assert expected is None or not set(expected.first_action) & set(expected.never), path.name
        assert not set(right_actions(case, result)) & set(harmful(case, result)), path.name


@pytest.mark.slow  # every shipped case
def test_five_lines_hold_a_right_one_and_never_give_it_away(reasoner: Reasoner) -> None:
    places: dict[int, int] = {}
    for path, result in playable(reasoner):
        case = load_case(path)
        five = offers(case, result, reasoner.base)
        assert five == offers(case, result, reasoner.base)  # the same every time
        for lines in (five.causes, five.steps, five.never):
            assert 2 <= len(lines) == len(set(lines)) <= 5, path.name
        assert set(five.causes) & set(right_causes(case)), path.name
        base = reasoner.base
        right = set(alike(right_actions(case, result), base)) & set(base.actions)
        assert not right or set(alike(five.steps, base)) & right, path.name
        place = next(at for at, name in enumerate(five.causes) if name in right_causes(case))
        places[place] = places.get(place, 0) + 1
    assert len(places) == 5  # it does not always stand in the same place


def test_numbers_are_said_back_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], reasoner: Reasoner
) -> None:
    case = load_case(BURNED)
    result = result_of(BURNED, reasoner)
    five = offers(case, result, reasoner.base)
    answers = tmp_path / "answers"
    answers.write_text("d\n1 2\n1\ndunno\n", encoding="utf-8")
    said = joined(run(capsys, "replay", str(BURNED), "--answers", str(answers)).out)
    names = [reasoner.base.causes[name].name for name in five.causes[:2]]
    assert f"Taken: {'; '.join(names)}." in said
    assert "Taken: nothing." in said  # not known is an answer here too
    assert "Your score:" in said


TUBBED = CASES / "constructed" / "bag-gasping-nothing-measured.toml"


def test_a_step_in_the_wording_of_its_place_is_right(reasoner: Reasoner) -> None:
    """What ``replay --check`` counts as met is right for the trainee as well."""
    case, result = load_case(TUBBED), result_of(TUBBED, reasoner)
    own = result.actions[0].id
    assert case.expected is not None and own not in case.expected.first_action
    assert reasoner.base.actions[own].variant_of in case.expected.first_action
    found = score(Decision(action=own), case, result, reasoner.base, asked=0, seconds=0)
    assert found.action is True and found.harm_avoided is True
    called = score(Decision(never=(own,)), case, result, reasoner.base, asked=0, seconds=0)
    assert called.wrongly == (own,)


def test_what_is_only_of_no_use_is_no_harm(reasoner: Reasoner) -> None:
    """Putting in a thermometer, held back because another step reads it, hurts no fish."""
    case, result = load_case(TUBBED), result_of(TUBBED, reasoner)
    idle = {held.action for held in result.withheld if held.by == "forbidden" and held.moot}
    assert "read_thermometer" in idle
    assert not idle & set(harmful(case, result))
    assert not idle & set(offers(case, result, reasoner.base).never)


def test_a_reveal_names_two_steps_and_every_harm_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], reasoner: Reasoner
) -> None:
    case, result = load_case(TUBBED), result_of(TUBBED, reasoner)
    assert case.expected is not None
    best, more = named_steps(case, result, reasoner.base)
    assert 1 <= len(best) <= 2 and best[0] == result.actions[0].id
    assert more == len(case.expected.first_action) - len(best)
    answers = tmp_path / "answers"
    answers.write_text("d\n1\n1\n\n", encoding="utf-8")
    said = joined(run(capsys, "replay", str(TUBBED), "--answers", str(answers)).out)
    assert f"also accepted: {more} more" in said
    for name in harmful(case, result):
        assert why_not_here(name, result, reasoner.base) in said


@pytest.mark.parametrize(
    ("typed", "found"),
    [("tub", ["tub"]), ("temps", ["temp"]), ("beathing", ["breath"]), ("tubes", ["tube"])],
)
def test_words_are_found_whole_in_the_plural_and_with_a_slip(typed: str, found: list[str]) -> None:
    names = {
        "tub": "Out into an aired tub.",
        "tube": "Siphon with a tube.",
        "temp": "What is the temperature?",
        "breath": "How is their breathing?",
    }
    assert named(typed, names) == found


def test_a_lesson_is_refused_before_anything_is_asked_and_hears_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "lesson.toml"
    refused = run(capsys, "replay", "--from", str(TUBBED), str(target))
    assert refused.status == 2 and "not closed" in refused.err and not refused.out
    closed_case = tmp_path / "closed.toml"
    text = TUBBED.read_text(encoding="utf-8")
    closed_case.write_text(text + "\n[outcome]\nclosed = true\n", encoding="utf-8")
    flags = ("--first-cause", "white spot", "--first-action", "leave them alone")
    done = run(capsys, "replay", "--from", str(closed_case), str(target), *flags)
    assert done.status == 0
    expected = load_case(target).expected
    assert expected is not None and expected.first_cause == ("white_spot",)
    other = run(capsys, "replay", "--from", str(closed_case), "x.toml", "--first-cause", "xyzzy")
    assert other.status == 2 and "--first-cause" in other.err and "expected." not in other.err
