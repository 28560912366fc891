"""Ranking and plan over a rule base worked out by hand.

The arithmetic checked is Good's (1950, Probability and the Weighing of
Evidence, ch. 6): weights of evidence in decibans add to the starting odds,
10 log10 of odds; 10 decibans are odds of 10 to 1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import Assessment, LotResult
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.rulebase import load_rulebase
from tests.tiny import RULES, SETTINGS, write_tiny

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture(scope="module")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Reasoner:
    return Reasoner.of(load_rulebase(write_tiny(tmp_path_factory.mktemp("tiny"))))


def lot_of(tiny: Reasoner, **case: Any) -> LotResult:
    look = {"at_hours": 1.0, **case.pop("look", {})}
    return assess(Case.model_validate({"observation": [look], **case}), tiny).lots[0]


def decibans(lot: LotResult) -> dict[str, float]:
    return {cause.id: cause.decibans for cause in lot.causes}


def ids(lot: LotResult) -> list[str]:
    return [action.id for action in lot.actions]


def test_weights_add_to_the_starting_odds(tiny: Reasoner) -> None:
    lot = lot_of(tiny, look={"seen": ["gasping"]})
    assert decibans(lot) == {"short_of_air": -10 + 6, "resting": -3 - 10}


def test_of_a_group_only_the_strongest_counts(tiny: Reasoner) -> None:
    lot = lot_of(tiny, look={"seen": ["gasping"], "tank": {"do_mg_l": 2.0}})
    assert decibans(lot)["short_of_air"] == -10 + 20
    (first, *_) = lot.causes
    counted = {piece.rule: piece.counts for piece in first.evidence_for}
    assert counted == {"air-gasping-in-low-oxygen": True, "air-gasping": False}
    assert first.standing == "very_likely"


def test_starting_odds_follow_the_day(tiny: Reasoner) -> None:
    day_three = lot_of(tiny, look={"at_hours": 50.0, "seen": ["gasping"]})
    assert day_three.phase == "day_2_4"
    assert decibans(day_three)["short_of_air"] == -15 + 6


def test_absence_looked_for_counts_and_absence_not_looked_for_does_not(tiny: Reasoner) -> None:
    unlooked = lot_of(tiny, look={"seen": ["calm"]})
    looked = lot_of(tiny, look={"seen": ["calm"], "not_seen": ["gasping"]})
    assert decibans(unlooked) == decibans(looked) == {"resting": 7, "short_of_air": -10}
    gone = lot_of(tiny, look={"seen": [], "not_seen": ["calm"]})
    assert decibans(gone)["resting"] == -3


def test_a_band_that_only_may_pass_a_limit_does_not_surely_pass_it(tiny: Reasoner) -> None:
    sure = lot_of(tiny, look={"tank": {"do_mg_l": 6.5}})
    unsure = lot_of(tiny, look={"tank": {"do_mg_l": {"value": 6.5, "low": 5.5, "high": 7.5}}})
    assert decibans(sure)["short_of_air"] == -20
    assert decibans(unsure)["short_of_air"] == -10


def test_forbidden_beats_ranking_and_unknown_is_not_no(tiny: Reasoner) -> None:
    sick = {"look": {"seen": ["gasping"], "tank": {"do_mg_l": 2.0}}}
    allowed = lot_of(tiny, **sick, receiving={"invertebrates": "no"})
    barred = lot_of(tiny, **sick, receiving={"invertebrates": "yes"})
    unknown = lot_of(tiny, **sick)
    said_unknown = lot_of(tiny, **sick, receiving={"invertebrates": "unknown"})
    assert "copper" in ids(allowed)
    assert "copper" not in ids(barred)
    assert barred.withheld[0].because == "It kills them."
    for lot in (unknown, said_unknown):
        assert "copper" not in ids(lot)
        assert lot.withheld[0].because.startswith("Find out first")


def test_thin_evidence_leaves_gentle_steps_only(tiny: Reasoner) -> None:
    lot = lot_of(tiny)
    assert lot.not_enough
    assert ids(lot) == ["air"]
    assert lot.headline == "Air the tank."


def test_two_steps_that_undo_each_other_never_stand_together(tiny: Reasoner) -> None:
    both = lot_of(tiny, look={"seen": ["gasping", "calm"], "tank": {"do_mg_l": 1.0}})
    assert not {"air", "wait"} <= set(ids(both))


def test_the_measurement_that_decides_comes_up(tiny: Reasoner) -> None:
    lot = lot_of(tiny, look={"seen": ["gasping"]})
    assert [measure.name for measure in lot.measure_next] == ["tank_do_mg_l"]
    assert lot.measure_next[0].tells_apart == ("short_of_air",)


def test_a_reading_that_brings_little_or_cannot_be_had_is_not_proposed(tmp_path: Path) -> None:
    def proposed(settings: str = SETTINGS, rules: str = RULES, at_hours: float = 1.0) -> list[str]:
        write_tiny(tmp_path)
        (tmp_path / "rulebase.toml").write_text(settings)
        (tmp_path / "rules.toml").write_text(rules)
        reasoner = Reasoner.of(load_rulebase(tmp_path))
        look = {"seen": ["gasping"], "at_hours": at_hours}
        return [measure.name for measure in lot_of(reasoner, look=look).measure_next]

    assert proposed() == ["tank_do_mg_l"]
    assert proposed("worth_measuring = 1000\n" + SETTINGS) == []
    on_arrival = RULES.replace(
        'parameter = "do_mg_l"', 'parameter = "do_mg_l"\nphases = ["arrival"]'
    )
    assert on_arrival != RULES
    assert proposed(rules=on_arrival) == ["tank_do_mg_l"]
    assert proposed(rules=on_arrival, at_hours=60.0) == []


def test_unknown_words_of_a_case_are_named_together(tiny: Reasoner) -> None:
    with pytest.raises(AdvisorError) as caught:
        lot_of(tiny, look={"seen": ["gaspng"], "not_seen": ["kalm"]})
    assert 'did you mean "gasping"?' in str(caught.value)
    assert 'did you mean "calm"?' in str(caught.value)


def test_one_id_twice_and_names_that_lead_nowhere_are_refused(tmp_path: Path) -> None:
    folder = write_tiny(
        tmp_path,
        """
[[rule]]
id = "rest-calm"
supports = "restin"
strength = "strong"
because = "x"
when = { sign = "calmm" }
source = [{ ref = "nowhere", basis = "read" }]
""",
    )
    with pytest.raises(AdvisorError, match="used twice"):
        load_rulebase(folder)
    text = (folder / "rules.toml").read_text(encoding="utf-8")
    twin = 'id = "rest-calm"\nsupports = "restin"'
    (folder / "rules.toml").write_text(text.replace(twin, twin.replace("rest-calm", "other")))
    with pytest.raises(AdvisorError) as caught:
        load_rulebase(folder)
    said = str(caught.value)
    assert 'no source "nowhere"' in said
    assert 'no cause "restin"; did you mean "resting"?' in said
    assert 'no sign "calmm"; did you mean "calm"?' in said


def test_findings_that_rest_on_themselves_are_refused(tmp_path: Path) -> None:
    entry = """
[[finding]]
id = "{0}"
name = "{0}"
because = "x"
when = {{ finding = "{1}" }}
source = [{{ ref = "judgement", basis = "judgement" }}]
"""
    folder = write_tiny(tmp_path, entry.format("one", "two") + entry.format("two", "one"))
    with pytest.raises(AdvisorError, match="rests on itself"):
        load_rulebase(folder)


@pytest.mark.parametrize(
    "folder",
    ["demo", *(pytest.param(each, marks=pytest.mark.slow) for each in ("field", "published"))],
)
def test_results_made_unchecked_would_pass_every_check(folder: str) -> None:
    """Published form: JSON Schema 2020-12 as pydantic checks it, strictly, part by part."""
    for path in sorted((CASES / folder).glob("*.toml")):
        result = assess(load_case(path))
        assert Assessment.model_validate(result.model_dump(), strict=True) == result, path.name
        assert Assessment.model_validate_json(result.model_dump_json()) == result, path.name
