"""Cases against what is expected of them: each expectation can be met and missed."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from advisor.advice.assess import lot_result, reason
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.case.model import Expected
from advisor.errors import AdvisorError
from advisor.explain.replay.against import compare
from advisor.explain.replay.archive import case_files, judged_lot, shipped_cases
from advisor.explain.replay.check_cases import (
    CheckTable,
    by_odds,
    judge,
    judge_all,
    met_by,
)
from advisor.explain.replay.crowd import over
from tests.commands.running import run
from tests.replay.conftest import BURNED, CASES, KOI, ROOT
from tests.replay.votes import vote
from tests.said import joined

SOME = [BURNED, KOI, *sorted((CASES / "constructed").glob("b*.toml"))]


def expected(**given: tuple[str, ...]) -> Expected:
    return Expected(kind="constructed", source="this test", **given)


def test_each_question_is_met_missed_or_left_open() -> None:
    wanted = expected(
        first_cause=("a",), in_first_three=("c",), first_action=("x",), never=("z",),
        measure_next=("ph",),
    )  # fmt: skip
    good = met_by(wanted, ("a", "b", "c"), ("x", "y"), ("tan", "ph"))
    assert good == dict.fromkeys(good, True) and len(good) == 5
    bad = met_by(wanted, ("b", "a", "d", "c"), ("y", "x", "z"), ("tan",))
    assert bad == dict.fromkeys(good, False)
    assert met_by(expected(), ("a",), ("x",), ("ph",)) == {}
    assert set(met_by(wanted, ("a",))) == {"first_cause", "in_first_three"}


def test_a_case_is_judged_on_the_lot_it_names(reasoner: Reasoner) -> None:
    (judged,) = judge_all([str(BURNED)], (reasoner,))
    assert judged.lot == "swordtails"
    assert judged.causes[0] == "ammonia_bag"
    assert judged.met["never"]


def test_a_forbidden_action_is_found(reasoner: Reasoner) -> None:
    case = load_case(BURNED)
    result = lot_result(reason(case, judged_lot(case), reasoner), reasoner)
    assert case.expected is not None
    given = result.actions[1].id
    strict = case.model_copy(
        update={"expected": case.expected.model_copy(update={"never": (given,)})}
    )
    judged = judge(strict, result, reasoner.base)
    assert judged.given == (given,)
    assert "never" in judged.failed
    assert not CheckTable.of([judged]).holds


def test_starting_odds_order_causes_by_their_prior(reasoner: Reasoner) -> None:
    order = by_odds(reasoner.base, "arrival")
    priors = [reasoner.base.causes[name].prior["arrival"] for name in order]
    assert priors == sorted(priors, reverse=True)
    assert set(order) == set(reasoner.base.causes)


def test_the_vote_counts_the_table() -> None:
    # the rows of tests/reference/signs_votes.toml, counted by eye: brown gills are typical
    # of nitrite alone and ruled out by none
    causes = ("nitrite", "settling", "cold")
    assert vote(["brown_gills"], causes)[0] == "nitrite"
    assert vote([], causes) == ("cold", "nitrite", "settling")


def test_files_that_cannot_be_read_fail_the_check(tmp_path: Path, reasoner: Reasoner) -> None:
    (tmp_path / "broken.toml").write_text("format = ")
    table = CheckTable.of(judge_all([str(path) for path in case_files(tmp_path)], (reasoner,)))
    assert len(table.unreadable) == 1 and not table.holds


def test_a_folder_without_cases_says_so(tmp_path: Path) -> None:
    with pytest.raises(AdvisorError, match="holds no case"):
        case_files(tmp_path)
    with pytest.raises(AdvisorError, match="no such"):
        case_files(tmp_path / "missing")


def test_the_shipped_cases_are_found() -> None:
    assert shipped_cases() == CASES
    assert BURNED in case_files()


def test_two_processes_say_what_one_says() -> None:
    alone = list(over(map(str, SOME), judge_all))
    assert list(over(map(str, SOME), judge_all, jobs=2)) == alone
    assert len(alone) == len(SOME)


def test_the_command_ends_with_one_when_something_fails(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    shutil.copy(BURNED, tmp_path / "good.toml")
    ran = run(capsys, "replay", "--check", str(tmp_path), "--json")
    told = json.loads(ran.out)
    text = BURNED.read_text()
    text = text.replace('first_cause = ["ammonia_bag"]', 'first_cause = ["cold"]')
    (tmp_path / "bad.toml").write_text(text)
    failed = run(capsys, "replay", "--check", str(tmp_path))
    assert failed.status == 1
    screen = joined(failed.out)
    assert "wanted cold" in screen and "first cause: ammonia_bag" in screen
    assert (ran.status == 0) == told["holds"]
    assert told["sets"][0]["advisor"]["first_cause"] == {"met": 1, "asked": 1}


def test_the_table_fits_sixty_columns(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    ran = run(capsys, "replay", "--check", str(KOI))
    assert max(len(line) for line in ran.out.splitlines()) <= 60


def test_moved_cases_name_what_moved_them(tmp_path: Path, reasoner: Reasoner) -> None:
    old = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", old)
    file = old / "causes" / "ammonia.toml"
    prior = reasoner.base.causes["ammonia_bag"].prior["arrival"]
    text = file.read_text(encoding="utf-8")
    assert f"arrival = {prior:g}" in text
    file.write_text(text.replace(f"arrival = {prior:g}", "arrival = -60"), encoding="utf-8")
    older = Reasoner.load(old)
    moved = compare(str(BURNED), (older, reasoner))
    assert "first cause" in moved.changed
    assert ("starting odds", "ammonia_bag", -60.0, prior) in moved.rules
    assert moved.verdict == "better"
    assert compare(str(BURNED), (reasoner, older)).verdict == "worse"
    assert compare(str(BURNED), (reasoner, reasoner)).changed == ()
