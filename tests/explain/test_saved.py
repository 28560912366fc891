"""Assessments kept in a case are made again from the file, to the last character."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.case import Case, load_case, save_case
from advisor.case.model import Saved
from advisor.explain import study
from advisor.explain.saved import inputs_fingerprint, moved_since, result_fingerprint
from advisor.rulebase import load_rulebase

CASES = Path(__file__).parent / "cases"
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def still_rules(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the rules that nobody edits meanwhile."""
    copy = tmp_path_factory.mktemp("still") / "rules"
    shutil.copytree(ROOT / "rules", copy)
    return copy


def kept(case: Case, reasoner: Reasoner, until: float = float("inf")) -> Case:
    """The case with all that an entry may hold, for each lot."""
    result = assess(case, reasoner, until_hours=until)
    entries = []
    for lot in result.lots:
        last = max((look.at_hours for _, look in case.looks_at(lot.lot, until)), default=0.0)
        entries.append(
            Saved(
                made="2026-11-28T09:00:00+00:00",
                program=result.program,
                rulebase=result.rulebase.version,
                fingerprint=result.rulebase.fingerprint,
                lot=lot.lot,
                until_hours=last,
                inputs=inputs_fingerprint(case, last),
                result=result_fingerprint(lot),
                causes={cause.id: cause.decibans for cause in lot.causes},
                actions=tuple(action.id for action in lot.actions),
            )
        )
    return case.model_copy(update={"assessment": (*case.assessment, *entries)})


@pytest.mark.parametrize("name", ["opening", "nothing", "bare", "two_lots"])
def test_a_fresh_process_makes_the_same_from_the_file(
    name: str, still_rules: Path, tmp_path: Path
) -> None:
    """The forecast of the bag draws random numbers: its seed is part of the program."""
    reasoner = Reasoner.of(load_rulebase(still_rules))
    case = kept(load_case(CASES / f"{name}.toml"), reasoner)
    here = assess(case, reasoner).model_dump_json()
    path = tmp_path / "case.toml"
    save_case(case, path)
    code = (
        "import sys;"
        "from advisor import Reasoner, load_case, load_rulebase;"
        "from advisor.advice.assess import assess;"
        "reasoner = Reasoner.of(load_rulebase(sys.argv[2]));"
        "print(assess(load_case(sys.argv[1]), reasoner).model_dump_json(), end='')"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(path), str(still_rules)],
        capture_output=True,
        cwd=ROOT,
        check=True,
    )
    assert run.stdout == here.encode()


def test_it_is_found_the_same_and_says_so(reasoner: Reasoner, tmp_path: Path) -> None:
    path = tmp_path / "case.toml"
    save_case(kept(load_case(CASES / "two_lots.toml"), reasoner), path)
    case = load_case(path)
    assert len(case.assessment) == 2
    for entry in case.assessment:
        moved = moved_since(study(case, reasoner, lot=entry.lot), entry)
        assert moved.same_rules and moved.same_program and moved.same_inputs
        assert moved.reproduced is True
        assert not (moved.standings or moved.actions_new or moved.actions_gone)


def test_later_looks_do_not_count_as_its_inputs(reasoner: Reasoner) -> None:
    whole = load_case(CASES / "two_lots.toml")
    early = kept(whole, reasoner, until=1)
    entry = next(e for e in early.assessment if e.lot == "tetras")
    assert entry.until_hours == 1
    moved = moved_since(study(early, reasoner, lot="tetras"), entry)
    assert moved.same_inputs and moved.reproduced


def test_a_case_changed_since_says_so(reasoner: Reasoner) -> None:
    case = kept(load_case(CASES / "opening.toml"), reasoner)
    changed = case.model_copy(
        update={"receiving": case.receiving.model_copy(update={"volume_l": 500.0})}
    )
    moved = moved_since(study(changed, reasoner), changed.assessment[0])
    assert moved.same_inputs is False and moved.reproduced is None


def test_notes_and_names_are_no_inputs() -> None:
    case = load_case(CASES / "opening.toml")
    renamed = case.model_copy(
        update={"delivery": case.delivery.model_copy(update={"supplier": "X", "notes": "late"})}
    )
    assert inputs_fingerprint(case, 9) == inputs_fingerprint(renamed, 9)


def test_newer_rules_tell_what_moved(still_rules: Path, tmp_path: Path) -> None:
    """One strength is changed in a copy of the rules; the audit must show just that."""
    reasoner = Reasoner.of(load_rulebase(still_rules))
    case = kept(load_case(CASES / "nothing.toml"), reasoner)
    first = assess(case, reasoner).lots[0].causes[0]
    piece = next(e for e in first.evidence_for if e.counts and e.strength != "decisive")
    rule = reasoner.base.rules[piece.rule]
    newer_rules = tmp_path / "rules"
    shutil.copytree(still_rules, newer_rules)
    changed = newer_rules / rule.file
    before, at, after = changed.read_text(encoding="utf-8").partition(f'id = "{rule.id}"')
    after = after.replace(f'strength = "{rule.strength}"', 'strength = "decisive"', 1)
    changed.write_text(before + at + after, encoding="utf-8")
    newer = Reasoner.of(load_rulebase(newer_rules))
    moved = moved_since(study(case, newer), case.assessment[0])
    assert not moved.same_rules and moved.same_inputs and moved.reproduced is None
    weights = reasoner.base.settings.decibans
    standing = next(s for s in moved.standings if s.cause == first.id)
    assert standing.decibans_then == first.decibans
    assert standing.decibans_now == pytest.approx(
        first.decibans - piece.decibans + weights["decisive"]
    )
