"""What would change the advice: what is foreseen is what a real run gives."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from advisor.advice.assess import Reasoner
from advisor.advice.facts.sheet import lots_of
from advisor.case import load_case
from advisor.explain import Study, study
from advisor.explain.candidates import choices, numbers
from advisor.explain.flip import flip
from advisor.explain.outcome import Runs
from advisor.explain.what_if import Change, changed_study
from tests.explain.conftest import OWN, SHIPPED

CASES = Path(__file__).parent / "cases"


def begins_with(about: Study) -> tuple[str, str]:
    """First cause and first action of the published result."""
    result = about.result
    return result.causes[0].id, result.actions[0].id if result.actions else ""


@pytest.mark.parametrize("path", OWN, ids=lambda p: p.stem)
def test_what_is_foreseen_is_what_a_whole_assessment_gives(path: Path, reasoner: Reasoner) -> None:
    agree(path, reasoner, draws=25)


@pytest.mark.slow
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_foreseen_and_real_agree_on_every_shipped_case(path: Path, reasoner: Reasoner) -> None:
    agree(path, reasoner, draws=60)


def agree(path: Path, reasoner: Reasoner, draws: int) -> None:
    """Single answers and pairs drawn at random, foreseen and assessed in full."""
    case = load_case(path)
    dice = random.Random(path.stem)
    for lot in lots_of(case):
        about = study(case, reasoner, lot=lot.id if case.lot else None)
        runs = Runs(about)
        words = [choice.change for choice in choices(about)]
        figures = [n.change(step) for n in numbers(about) for step in n.steps]
        for _ in range(draws):
            changes = dice.sample(words, k=dice.choice([1, 1, 2]))
            if dice.random() < 0.3:
                changes = [dice.choice(figures)]
            if len({change.key for change in changes}) < len(changes):
                continue
            foreseen = runs.foresee(changes)
            assert tuple(foreseen) == begins_with(changed_study(about, changes)), changes


@pytest.mark.parametrize(
    "name",
    ["nothing", *(pytest.param(each, marks=pytest.mark.slow) for each in ("opening", "bare"))],
)
def test_every_flip_told_is_confirmed(name: str, reasoner: Reasoner) -> None:
    about = study(load_case(CASES / f"{name}.toml"), reasoner)
    told = flip(about)
    assert told.disagreed == 0 and told.ran > 0
    assert (told.first_cause, told.first_action) == begins_with(about)
    assert all(each.verified for each in (*told.singles, *told.pairs))
    for each in told.singles[:4]:
        again = changed_study(about, [_change(a.key, a.becomes) for a in each.answers])
        cause, action = begins_with(again)
        assert cause == (each.first_cause[1] if each.first_cause else told.first_cause)
        assert action == (each.first_action[1] if each.first_action else told.first_action)


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
    value = edge.at / 0.9 * 0.98  # the low end of the band is what must pass the limit
    card = Reading(value=value, low=value * 0.9, high=value * 1.1)
    near = study(set_reading(case, scope, "tank_nitrite_mg_l", card), reasoner)
    span = next(s for s in flip(near).holds if s.name == "tank_nitrite_mg_l")
    assert span.within_band
