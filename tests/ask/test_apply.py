"""Replies written into a case: the right place, checked, nothing guessed, nothing lost."""

from __future__ import annotations

import pytest

from advisor.ask.answers.apply import apply
from advisor.ask.answers.looks import copied_from
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import UNKNOWN, Counted, Draft, Filled, Lots, Read, Seen, Settled
from advisor.case import Case, Reading, loads_case
from advisor.case.model import Counts
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase

HERE = Place("fish", 0.0)


def answer(case: Case, name: str, reply: object, base: RuleBase, place: Place = HERE) -> Case:
    return apply(case, base.questions[name], reply, place, base)  # type: ignore[arg-type]


def test_where_the_fish_are_settles_bag_way_and_release(base: RuleBase) -> None:
    reply = Settled({"bags_sealed": "no", "release_method": "netted"}, released=True)
    lot = answer(Case(), "where_are_they", reply, base).lot[0]
    assert (lot.sealed, lot.release_method, lot.released_at_hours) == ("no", "netted", 0.0)


def test_some_shut_some_out_is_not_known_yet(base: RuleBase) -> None:
    case = answer(Case(), "where_are_they", Settled({"bags_sealed": "unknown"}), base)
    assert case.session.unknown == ("where_are_they/fish",)


def test_unknown_marks_the_question_and_changes_nothing_else(base: RuleBase) -> None:
    case = answer(Case(), "hours_sealed", UNKNOWN, base)
    assert case.session.answered == case.session.unknown == ("hours_sealed",)
    assert case.transit == Case().transit


def test_an_answer_after_all_takes_the_mark_away(base: RuleBase) -> None:
    case = answer(Case(), "hours_sealed", UNKNOWN, base)
    case = answer(case, "hours_sealed", Filled({"transit.hours_sealed": 30.0}), base)
    assert case.session.unknown == ()
    assert case.transit.hours_sealed == 30


def test_a_case_is_never_changed_in_place(base: RuleBase) -> None:
    before = Case()
    answer(before, "hours_sealed", Filled({"transit.hours_sealed": 30.0}), base)
    assert before == Case()


def test_history_is_kept_where_the_rule_base_says(base: RuleBase) -> None:
    case = answer(Case(), "changed_last_day", Settled({"hose_left_running": "yes"}), base)
    assert case.history == {"hose_left_running": True}
    case = answer(case, "filter_state", Settled({"filter_state": "new"}), base)
    assert case.receiving.filter == "new"
    case = answer(case, "out_of_the_bag", Settled({"netted_roughly": "yes"}), base)
    assert case.lot[0].history == {"netted_roughly": True}


def test_signs_of_one_look_add_up_and_the_later_word_counts(base: RuleBase) -> None:
    case = answer(Case(), "breathing_and_posture", Seen(("darting",), ("floating",)), base)
    case = answer(case, "behaviour", Seen(("floating",), ("jumping",)), base)
    (look,) = case.observation
    assert set(look.seen) == {"darting", "floating"}
    assert look.not_seen == ("jumping",)


def test_a_later_look_is_one_of_its_own(base: RuleBase) -> None:
    case = answer(Case(), "breathing_and_posture", Seen(("darting",)), base)
    case = answer(case, "breathing_and_posture", Seen((), ("darting",)), base, Place("fish", 1.0))
    assert [look.at_hours for look in case.observation] == [0, 1]


def test_readings_go_to_their_water(base: RuleBase) -> None:
    readings = {"tank_ph": Reading(value=7.6), "bag_ph": Reading(value=6.2)}
    (look,) = answer(Case(), "ph", Read(readings), base).observation
    assert look.tank.ph is not None and look.tank.ph.value == 7.6
    assert look.bag.ph is not None and look.bag.ph.value == 6.2


def test_fine_in_place_of_a_number_is_a_fact_and_not_a_reading(base: RuleBase) -> None:
    reply = Read({}, {"tested_fine_without_number": "yes"})
    case = answer(Case(), "ammonia_nitrite", reply, base)
    assert case.history == {"tested_fine_without_number": True}
    assert case.session.unknown == ("ammonia_nitrite",)


def test_the_arrival_moves_the_look_and_the_hour_of_receipt(base: RuleBase) -> None:
    case = loads_case('format="arrival-case-1"\n[delivery]\nreceived="2026-03-02T12:00:00"')
    case = answer(case, "breathing_and_posture", Seen(("darting",)), base)
    case = answer(case, "arrived", Filled({"look.at_hours": 30.0}), base)
    assert case.delivery.received == "2026-03-01T06:00:00"
    assert [look.at_hours for look in case.observation] == [30]


def test_the_hour_is_kept_even_before_anything_was_seen(base: RuleBase) -> None:
    case = answer(Case(), "arrived", Filled({"look.at_hours": 200.0}), base)
    assert [look.at_hours for look in case.observation] == [200]


def test_one_lot_gets_its_name_and_keeps_what_was_said(base: RuleBase) -> None:
    case = answer(Case(), "where_are_they", Settled({"bags_sealed": "no"}), base)
    case = answer(case, "breathing_and_posture", Seen(("darting",)), base)
    case = answer(case, "kinds", Lots((Draft("guppies", 40),)), base)
    (lot,) = case.lot
    assert (lot.id, lot.species, lot.count, lot.sealed) == ("guppies", "guppies", 40, "no")
    assert case.observation[0].lot == "all"
    assert "breathing_and_posture/guppies" in case.session.answered


def test_a_look_goes_to_the_lots_it_was_at(base: RuleBase) -> None:
    case = answer(Case(), "where_are_they", Settled({"bags_sealed": "no"}), base)
    case = answer(case, "breathing_and_posture", Seen(("darting",)), base)
    case = answer(case, "ph", Read({"tank_ph": Reading(value=7.0)}), base)
    drafts = (Draft("guppies", 40), Draft("neons", 12), Draft("plecos", 3))
    case = answer(case, "kinds", Lots(drafts, looked_at=(1,)), base)
    assert [lot.sealed for lot in case.lot] == ["no", "no", "no"]
    where = {look.lot: look for look in case.observation}
    assert set(where) == {"all", "neons"}
    assert where["neons"].seen == ("darting",)
    assert where["all"].tank.ph is not None
    assert "breathing_and_posture/neons" in case.session.answered
    assert "breathing_and_posture/guppies" not in case.session.answered
    assert "where_are_they/plecos" in case.session.answered


def test_same_as_the_last_lot_copies_looks_and_answers_but_no_numbers(base: RuleBase) -> None:
    drafts = (Draft("guppies", 40), Draft("neons", 12))
    case = answer(Case(), "kinds", Lots(drafts), base)
    first = Place("guppies", 0.0)
    case = answer(case, "where_are_they", Settled({"bags_sealed": "yes"}), base, first)
    case = answer(case, "breathing_and_posture", Seen(("darting",)), base, first)
    case = answer(case, "bag_water", Filled({"lot.bag_water_l": 4.0}), base, first)
    case = copied_from(case, case.lot[0], case.lot[1], 0.0, base)
    neons = case.lot[1]
    assert (neons.sealed, neons.count, neons.bag_water_l) == ("yes", 12, None)
    assert {look.lot: look.seen for look in case.observation}["neons"] == ("darting",)
    assert "breathing_and_posture/neons" in case.session.answered
    assert "bag_water/neons" not in case.session.answered


def test_counts_belong_to_the_look(base: RuleBase) -> None:
    case = answer(Case(), "counts", Counted(Counts(dead=2, down=5)), base)
    assert case.observation[0].counts == Counts(dead=2, down=5)


@pytest.mark.parametrize(
    "field, value", [("receiving.volume_l", -3.0), ("transit.hours_sealed", 1e9)]
)
def test_a_value_no_case_can_hold_is_one_sentence(field: str, value: float, base: RuleBase) -> None:
    with pytest.raises(AdvisorError):
        answer(Case(), "tank_volume", Filled({field: value}), base)
