"""What an audit says, in the published form."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.errors import AdvisorError
from advisor.explain import Audit, Study, study, why

CASES = Path(__file__).parent / "cases"


@pytest.fixture(scope="module")
def opening(reasoner: Reasoner) -> Study:
    return study(load_case(CASES / "opening.toml"), reasoner)


@pytest.fixture(scope="module")
def nothing(reasoner: Reasoner) -> Study:
    return study(load_case(CASES / "nothing.toml"), reasoner)


def test_without_an_id_it_tells_the_first_cause_and_the_first_action(opening: Study) -> None:
    told = why(opening)
    assert [(s.kind, s.id) for s in told.statements] == [
        ("cause", opening.result.causes[0].id),
        ("action", opening.result.actions[0].id),
    ]


def test_the_published_form_reads_back_the_same(opening: Study) -> None:
    told = why(opening, ["ammonia_bag", "air_tank", "no-untreated-tap", "tank_ph"])
    assert Audit.model_validate_json(told.model_dump_json()) == told


def test_the_published_form_is_its_json_schema(opening: Study) -> None:
    import jsonschema

    told = why(opening, ["ammonia_bag", "nitrite", "air_tank", "tank_chlorine_mg_l"])
    jsonschema.validate(json.loads(told.model_dump_json()), Audit.model_json_schema())


def test_a_worked_out_value_carries_formula_numbers_inputs_and_what_was_typed(
    opening: Study,
) -> None:
    """Emerson et al. 1975: pKa = 0.09018 + 2729.92 / T; the figures are put in by hand here."""
    facts = why(opening, ["bag_nh3_n_at_tank_ph_mg_l"]).facts
    trace = facts["computed:bag_nh3_n_at_tank_ph_mg_l"]
    pka = 0.09018 + 2729.92 / (
        opening.reasoned.sheet.records["reading", "tank_temperature_c"].number + 273.15
    )
    by_hand = 6.0 / (1 + 10 ** (pka - 8.1))
    assert trace.fact.value == pytest.approx(by_hand, rel=1e-9)
    assert trace.fact.working is not None and f"{by_hand:.4g}" in trace.fact.working
    assert "8.1" in trace.fact.working
    assert "Emerson" in (trace.fact.source or "")
    assert trace.rests_on == (
        "reading:bag_tan_mg_l",
        "reading:tank_ph",
        "reading:tank_temperature_c",
    )
    assert facts["reading:bag_tan_mg_l"].fact.entered == "8 ppm NH4"
    assert facts["reading:bag_tan_mg_l"].fact.where == ("observation 1, bag.tan_mg_l",)


def test_a_cause_that_did_not_come_up_tells_what_failed_and_by_how_much(nothing: Study) -> None:
    told = why(nothing, ["ammonia_tank"])
    cause = told.statements[0]
    assert cause.verdict == "silent" and cause.missing
    assert any(piece.counts for piece in cause.evidence_against)
    short = [c for piece in cause.missing for c in piece.compared if c.short_by]
    assert short, "some rule missed by a number"
    limits = nothing.base.limits
    for each in short:
        assert each.holds is False and isinstance(each.found, (int, float))
        assert each.short_by == pytest.approx(abs(float(each.asked) - float(each.found)))
        if each.limit:
            assert limits[each.limit].value == each.asked
    open_ones = [c for piece in cause.missing for c in piece.compared if c.holds is None]
    assert all((c.found is None and c.key is None) or c.kind == "finding" for c in open_ones)


def test_rules_that_did_not_fire_come_nearest_first(nothing: Study) -> None:
    missing = why(nothing, ["nitrite"]).statements[0].missing
    failed = [sum(c.holds is False for c in piece.compared) for piece in missing]
    assert failed == sorted(failed)


def test_an_action_nobody_called_for_tells_how_far_its_causes_were(nothing: Study) -> None:
    told = why(nothing, ["change_water_for_nitrite"])
    action = told.statements[0]
    assert action.verdict == "silent"
    ways = (action.grounds[0].compared, *action.grounds[0].also)
    standings = [c for way in ways for c in way if c.kind == "standing"]
    nitrite = next(c for c in standings if c.name == "nitrite")
    found = next(c for c in nothing.result.causes if c.id == "nitrite")
    assert nitrite.holds is False
    assert nitrite.short_by == pytest.approx(
        nothing.base.settings.standing["likely"] - found.decibans
    )


def test_what_is_held_back_tells_its_bar_and_what_tripped_it(nothing: Study) -> None:
    held = next(w for w in nothing.result.withheld if w.by == "forbidden")
    statement = why(nothing, [held.action]).statements[0]
    assert statement.verdict == "held_back"
    forbidding = [bar for bar in statement.bars if bar.entry.startswith("forbid:")]
    assert forbidding and forbidding[0].because == held.because and forbidding[0].sources
    assert all(c.holds for c in forbidding[0].compared)


def test_what_needs_an_answer_first_tells_which(reasoner: Reasoner) -> None:
    shipped = CASES.parents[2] / "cases" / "constructed" / "platies-brown-gills-good-oxygen.toml"
    case = load_case(shipped)
    about = study(case, reasoner, lot=case.lot[0].id)
    held = [w for w in about.result.withheld if w.by == "requires"]
    assert held
    for each in held:
        bars = why(about, [f"action:{each.action}"]).statements[0].bars
        needed = next(bar for bar in bars if bar.entry.startswith("require:"))
        assert any(c.holds is not True for c in needed.compared)


def test_a_gentle_step_rests_on_there_not_being_enough_to_tell(reasoner: Reasoner) -> None:
    bare = study(load_case(CASES / "bare.toml"), reasoner)
    assert bare.result.not_enough
    gentle = [a for a in bare.result.actions if any(f.kind == "not_enough" for f in a.facts)]
    assert gentle
    told = why(bare, [f"action:{gentle[0].id}"])
    assert any(c.kind == "not_enough" for c in told.statements[0].grounds[0].compared)
    assert told.not_enough


def test_a_reading_not_taken_tells_which_rules_wait_for_it(nothing: Study) -> None:
    fact = why(nothing, ["tank_chlorine_mg_l"]).statements[0]
    assert fact.verdict == "open" and fact.missing
    assert all(piece.holds is None for piece in fact.missing)
    weights = [abs(piece.decibans) for piece in fact.missing]
    assert weights == sorted(weights, reverse=True)


def test_every_weight_and_sum_is_that_of_the_assessment(opening: Study) -> None:
    for cause in opening.result.causes[:5]:
        told = why(opening, [f"cause:{cause.id}"]).statements[0]
        assert told.balance is not None
        counted = [p.decibans for p in (*told.evidence_for, *told.evidence_against) if p.counts]
        assert told.balance.prior + math.fsum(counted) == pytest.approx(cause.decibans)
        assert told.balance.total == cause.decibans


def test_its_sentences_are_the_rule_bases_own(opening: Study) -> None:
    base = opening.base
    told = why(opening, [f"cause:{c.id}" for c in opening.result.causes[:3]])
    for statement in told.statements:
        assert statement.text == base.causes[statement.id].name
        assert statement.because == base.causes[statement.id].summary
        for piece in (*statement.evidence_for, *statement.evidence_against, *statement.missing):
            assert piece.because == base.rules[piece.rule].because


@pytest.mark.parametrize(
    "text, kind, name",
    [
        ("nitrite", "cause", "nitrite"),
        ("NITRITE", "cause", "nitrite"),
        ("action:air_tank", "action", "air_tank"),
        ("air tank", "action", "air_tank"),
        ("want of oxygen", "cause", "low_oxygen"),
        ("no untreated tap", "caution", "no-untreated-tap"),
        ("tank pH", "fact", "reading:tank_ph"),
        ("gasping at surface", "fact", "sign:gasping_at_surface"),
        ("breathing_distress", "finding", "breathing_distress"),
        ("nitrite-none", "rule", "nitrite-none"),
        ("lights down", "action", "dim_and_quiet"),
    ],
)
def test_ids_and_words_are_understood(opening: Study, text: str, kind: str, name: str) -> None:
    statement = why(opening, [text]).statements[0]
    assert (statement.kind, statement.id) == (kind, name)


@pytest.mark.parametrize("text, near", [("nitrit", "nitrite"), ("air_tnak", "air_tank")])
def test_a_near_miss_is_told_the_nearest_names(opening: Study, text: str, near: str) -> None:
    with pytest.raises(AdvisorError, match=near):
        why(opening, [text])


def test_words_that_fit_several_things_are_told_them(opening: Study) -> None:
    with pytest.raises(AdvisorError, match="several things"):
        why(opening, ["water"])


def test_a_lot_the_case_does_not_have_is_told_the_nearest(reasoner: Reasoner) -> None:
    case = load_case(CASES / "two_lots.toml")
    with pytest.raises(AdvisorError, match="tetras"):
        study(case, reasoner, lot="tetra")


def test_each_lot_is_told_by_itself(reasoner: Reasoner) -> None:
    case = load_case(CASES / "two_lots.toml")
    places = {
        place
        for trace in why(study(case, reasoner, lot="danios"), ["low_oxygen"]).facts.values()
        for place in trace.fact.where
    }
    assert not any(place.startswith("observation") for place in places), (
        "those looks are not theirs"
    )


def test_only_looks_up_to_the_hour_count(reasoner: Reasoner) -> None:
    case = load_case(CASES / "two_lots.toml")
    early = study(case, reasoner, lot="tetras", until_hours=1)
    assert why(early, ["tank_ph"]).facts["reading:tank_ph"].fact.value == 7.4
    assert (
        why(study(case, reasoner, lot="tetras"), ["tank_ph"]).facts["reading:tank_ph"].fact.value
        == 7.5
    )
