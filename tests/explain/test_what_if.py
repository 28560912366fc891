"""Changed answers: read, put into the case, and what they move."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.advice.reasoner import Reasoner
from advisor.case import Reading, load_case, loads_case
from advisor.errors import AdvisorError
from advisor.explain import Study, study
from advisor.explain.change import Change, Scope, changed_study, read_change
from advisor.explain.what_if import differ, what_if

CASES = Path(__file__).parent / "cases"


@pytest.fixture(scope="module")
def opening(reasoner: Reasoner) -> Study:
    return study(load_case(CASES / "opening.toml"), reasoner)


@pytest.mark.parametrize(
    "text, key",
    [
        ("ph=7.2", "tank_ph"),
        ("tank.ph = 7.2", "tank_ph"),
        ("tank_ph=7.2", "tank_ph"),
        ("bag.ph=6.8", "bag_ph"),
        ("tap.chlorine=0.5", "tap_chlorine_mg_l"),
        ("temp=78 F", "tank_temperature_c"),
        ("kh=5 dKH", "tank_alkalinity_mg_l_caco3"),
        ("bag.total_ammonia=0", "bag_tan_mg_l"),
        ("bag total ammonia=0", "bag_tan_mg_l"),
        ("dissolved oxygen=6", "tank_do_mg_l"),
        ("tap.total_chlorine=0", "tap_chlorine_mg_l"),
        ("sign:gasping at surface=no", "sign:gasping_at_surface"),
        ("sign:gasping_at_surface=unknown", "sign:gasping_at_surface"),
        ("history:filter_state=new", "history:filter_state"),
        ("history:state of the filter=new", "history:filter_state"),
        ("lot.count=12", "lot.count"),
        ("transit.hours_sealed=2 days", "transit.hours_sealed"),
        ("receiving.volume_l=25 gal", "receiving.volume_l"),
    ],
)
def test_keys_are_understood(opening: Study, text: str, key: str) -> None:
    assert read_change(text, opening).key == key


def test_values_may_carry_units(opening: Study) -> None:
    """78 °F = (78 - 32) / 1.8 °C; 2 days = 48 h; 25 US gallons = 94.6 L (NIST SP 811)."""
    assert read_change("temp=78 F", opening).value.value == pytest.approx(46 / 1.8)
    assert read_change("transit.hours_sealed=2 days", opening).value == 48.0
    gallons = read_change("receiving.volume_l=25 US gal", opening).value
    assert gallons == pytest.approx(25 * 3.785411784)


@pytest.mark.parametrize(
    "text, says",
    [
        ("ph", "key=value"),
        ("phh=7", 'did you mean "ph"'),
        ("ph=purple", "ph"),
        ("ph=19", "2 to 12.5"),
        ("sign:gasping=maybe", "gasping"),
        ("sign:gasping at surface=maybe", "yes, no or unknown"),
        ("history:filter_state=old", "mature"),
        ("history:filtre=new", "history"),
        ("lot.colour=red", "colour"),
        ("ph_step=2", "worked out"),
    ],
)
def test_what_cannot_be_understood_is_told_in_a_sentence(
    opening: Study, text: str, says: str
) -> None:
    with pytest.raises(AdvisorError, match=says):
        read_change(text, opening)


def test_a_value_the_case_cannot_hold_is_refused(opening: Study) -> None:
    with pytest.raises(AdvisorError):
        changed_study(opening, [Change("lot.dead_on_arrival", 61)])  # of 60


def test_unknown_takes_a_reading_away(opening: Study) -> None:
    after = changed_study(opening, [read_change("ph=unknown", opening)])
    assert ("reading", "tank_ph") not in after.reasoned.sheet.records


def test_only_differences_are_told(opening: Study) -> None:
    same = what_if(opening, ["ph=8.1"]).difference
    assert same.nothing
    other = what_if(opening, ["ph=7.0"]).difference
    assert {v.name for v in other.values} >= {"ph_step", "bag_nh3_n_at_tank_ph_mg_l"}
    assert all(move.before != move.after or move.gained or move.lost for move in other.causes)


def test_there_and_back_again_is_no_difference(opening: Study) -> None:
    there = changed_study(opening, [read_change("bag.ph=7.5", opening)])
    reading = opening.case.observation[0].bag.ph
    back = changed_study(there, [Change("bag_ph", reading)])
    assert differ(opening.result, back.result).nothing


def test_a_later_look_counts_for_the_tank_the_first_for_the_bag(reasoner: Reasoner) -> None:
    case = loads_case(
        'format = "arrival-case-1"\n[[lot]]\nid = "a"\n'
        "[[observation]]\nat_hours = 0\nbag.ph = 6.5\ntank.ph = 7\n"
        "[[observation]]\nat_hours = 2\nbag.ph = 6.9\ntank.ph = 7.4\n"
    )
    about = study(case, reasoner)
    for name in ("bag_ph", "tank_ph"):
        after = changed_study(about, [Change(name, Reading(value=8.0))])
        assert after.reasoned.sheet.records["reading", name].value == 8.0


def test_another_lots_look_stays_as_it_was(reasoner: Reasoner) -> None:
    case = load_case(CASES / "two_lots.toml")
    danios = study(case, reasoner, lot="danios")
    changed = Change("sign:gasping_at_surface", True).apply(
        case, Scope(danios.lot, danios.until_hours), danios.base
    )
    assert changed.observation[: len(case.observation)] == case.observation
    after = study(changed, reasoner, lot="danios")
    assert after.reasoned.sheet.records["sign", "gasping_at_surface"].value is True


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_a_changed_answer_is_the_fact_that_counts(data: st.DataObject, opening: Study) -> None:
    """Whatever single answer is set, that is what the reasoning then sees."""
    base = opening.base
    if data.draw(st.booleans()):
        sign = data.draw(st.sampled_from(sorted(base.signs)))
        value = data.draw(st.sampled_from([True, False, None]))
        change, key = Change(f"sign:{sign}", value), ("sign", sign)
    else:
        items = sorted(i.id for i in base.history.values() if not i.number)
        item = data.draw(st.sampled_from(items))
        value = data.draw(st.sampled_from([*base.history[item].answers, None]))
        change, key = Change(f"history:{item}", value), ("history", item)
    after = changed_study(opening, [change]).reasoned.sheet.records.get(key)
    if key == ("history", "bags_sealed") and value is None:
        return  # a bag opened at some hour is known to be open
    assert (None if after is None else after.value) == value


KEYS = ["ph", "bag.ph", "sign:", "history:", "lot.", "transit.", "receiving.", "lot.count", ""]


@settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(key=st.sampled_from(KEYS), rest=st.text(max_size=12), value=st.text(max_size=12))
def test_whatever_is_typed_is_read_or_told_in_a_sentence(
    key: str, rest: str, value: str, opening: Study
) -> None:
    try:
        read_change(f"{key}{rest}={value}", opening)
    except AdvisorError as fault:
        assert str(fault)


@pytest.mark.parametrize(
    "text",
    [
        "lot.sealed=perhaps",
        "lot.count=abc",
        "lot.bags=2.5",
        "lot.count=-4",
        "transit.box=paper",
        "transit.hours_sealed=999 h",
        "receiving.volume_l=0",
        "receiving.aerated=often",
    ],
)
def test_values_no_case_may_hold_end_in_a_sentence(opening: Study, text: str) -> None:
    with pytest.raises(AdvisorError) as fault:
        what_if(opening, [text])
    assert text.partition("=")[0].rpartition(".")[2] in str(fault.value)
