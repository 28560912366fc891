"""What would change the advice, held against whole assessments of the changed case."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.assess import reason, reason_all, reason_others
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.explain import Study, study
from advisor.explain.candidates import choices, numbers
from advisor.explain.change import Change, Scope, changed_case, changed_study
from advisor.explain.flip import _Search, flip
from tests.explain.conftest import OWN

CASES = Path(__file__).parent / "cases"


def begins_with(about: Study) -> tuple[str, str]:
    """First cause and first action of the published result."""
    result = about.result
    return result.causes[0].id, result.actions[0].id if result.actions else ""


@pytest.mark.parametrize("path", OWN, ids=lambda p: p.stem)
def test_every_value_tried_is_one_the_case_may_hold(path: Path, reasoner: Reasoner) -> None:
    """Only the other answers may contradict each other (a bag that is shut and let out)."""
    about = study(load_case(path), reasoner)
    for number in numbers(about):
        for step in (number.low, number.high, *number.steps):
            assert number.low <= step <= number.high
            changed_case(about, [number.change(step)])


@pytest.mark.parametrize(
    "name",
    [pytest.param(each, marks=pytest.mark.slow) for each in ("nothing", "opening", "bare")],
)
def test_every_flip_told_is_what_an_assessment_gives(name: str, reasoner: Reasoner) -> None:
    about = study(load_case(CASES / f"{name}.toml"), reasoner)
    told = flip(about)
    assert 0 < told.ran < 1000 and (told.singles or told.holds)
    assert (told.first_cause, told.first_action) == begins_with(about)
    for each in (*told.singles, *told.pairs):
        again = changed_study(about, [_change(a.key, a.becomes) for a in each.answers])
        cause, action = begins_with(again)
        assert cause == (each.first_cause[1] if each.first_cause else told.first_cause)
        assert action == (each.first_action[1] if each.first_action else told.first_action)
        assert (cause, action) != begins_with(about)


def _change(key: str, becomes: str) -> Change:
    words = {"yes": True, "no": False, "not known": None}
    if key.startswith("sign:"):
        return Change(key, words[becomes])
    return Change(key, None if becomes == "not known" else becomes.replace(" ", "_"))


@pytest.mark.slow
def test_the_advice_holds_inside_the_span_and_not_beyond(reasoner: Reasoner) -> None:
    about = study(load_case(CASES / "opening.toml"), reasoner)
    by_name = {number.key: number for number in numbers(about)}
    for span in flip(about).holds:
        if span.now is None or span.name.startswith(("bag_", "lot.")):
            continue
        number = by_name[span.name]
        for part in range(5):
            value = span.low + (span.high - span.low) * part / 4
            inside = changed_study(about, [number.change(value)])
            assert begins_with(inside) == begins_with(about), f"{span.name} = {value}"
        for edge in (span.low_edge, span.high_edge):
            if edge is not None:
                beyond = begins_with(changed_study(about, [number.change(edge.at)]))
                assert beyond == (edge.first_cause, edge.first_action) != begins_with(about)


@pytest.mark.slow
def test_a_case_that_hangs_by_a_hair_says_so(reasoner: Reasoner) -> None:
    """Nitrite just under the point at which the first step changes, read to a tenth."""
    from advisor.case import Reading
    from advisor.explain.change import Scope, set_reading

    case = load_case(CASES / "nothing.toml")
    about = study(case, reasoner)
    edge = next(s for s in flip(about).holds if s.name == "tank_nitrite_mg_l").high_edge
    assert edge is not None
    scope = Scope(about.lot, about.until_hours)
    value = edge.at * 0.98  # just under; its band reaches past
    card = Reading(value=value, low=value * 0.9, high=value * 1.1)
    near = study(set_reading(case, scope, "tank_nitrite_mg_l", card), reasoner)
    span = next(s for s in flip(near).holds if s.name == "tank_nitrite_mg_l")
    assert span.within_band


SHIPPED = Path(__file__).parents[2] / "cases"
FOUR = "demo/four-lots-one-burned-on-opening"
SEVERAL = (FOUR, "published/reef-imports-bleeding-sores-in-quarantine")


@pytest.mark.slow
def test_what_the_others_tell_is_kept_only_where_it_comes_out_the_same(reasoner: Reasoner) -> None:
    case, kept = load_case(SHIPPED / f"{FOUR}.toml"), 0
    for lot in case.lot:
        about = study(case, reasoner, lot=lot.id)
        search = _Search(about, lambda done, of: None)
        for choice in list(choices(about))[::17]:
            other = changed_case(about, [choice.change])
            if search._leaves_others(other, [choice.change]):
                mine = Scope(about.lot, about.until_hours).lot_in(other)
                anew = reason_others(other, mine, reasoner)
                assert [o.facts for o in anew] == [o.facts for o in search._others]
                kept += len(anew)
    assert kept > 5


@pytest.mark.parametrize("name", SEVERAL)
def test_one_lot_alone_comes_out_as_among_all(name: str, reasoner: Reasoner) -> None:
    case = load_case(SHIPPED / f"{name}.toml")
    for together in reason_all(case, reasoner):
        alone = reason(case, together.sheet.lot, reasoner)
        assert (alone.facts, alone.firings) == (together.facts, together.firings)
        assert alone.ranking == together.ranking
