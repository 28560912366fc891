"""The plan over a small rule base: what proposes, holds back, orders and accompanies a step."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.plan import by_id, choose
from advisor.advice.ranking import Ranking, rank
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import LotResult, MatchedFact
from advisor.case import Case
from advisor.rulebase import load_rulebase
from advisor.rulebase.engine import Fact, Firing
from tests.tiny import write_tiny

JUDGED = "source = [{ ref = 'judgement', basis = 'judgement' }]\n"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def entry(of: str, **given: str) -> str:
    return f"\n[[{of}]]\n" + "".join(f"{k} = {v}\n" for k, v in given.items()) + JUDGED


def action(name: str, **given: str) -> str:
    lines = {"id": f"'{name}'", "text": f"'Do {name}.'", "because": "'x'", "time": "'now'"}
    return entry("action", **(lines | given))


def reasoner(folder: Path, extra: str) -> Reasoner:
    return Reasoner.of(load_rulebase(write_tiny(folder, extra)))


def lot_of(ready: Reasoner, **look: Any) -> LotResult:
    case = Case.model_validate({"observation": [{"at_hours": 1.0, **look}]})
    return assess(case, ready).lots[0]


def steps(lot: LotResult) -> list[str]:
    return [each.id for each in lot.actions]


def held(lot: LotResult) -> dict[str, str]:
    return {each.action: each.by for each in lot.withheld}


GASPING = {"seen": ["gasping"], "tank": {"do_mg_l": 1.0}}  # very likely short of air
UNCLEAR: dict[str, Any] = {"seen": ["gasping"], "not_seen": ["calm"]}  # no cause stands out


def test_a_step_that_rests_on_a_ranking_waits_while_there_is_not_enough_to_tell(
    tmp_path: Path,
) -> None:
    ready = reasoner(
        tmp_path,
        action("ranked", needed_for="['short_of_air']", at_standing="'unlikely'",
               step="'treatment'")
        + action("undone", needed_for="['short_of_air']", at_standing="'unlikely'")
        + action("seen", when="{ sign = 'gasping' }")
        + action("either", when="{ sign = 'gasping' }", needed_for="['short_of_air']",
                 at_standing="'unlikely'")
        + action("joint", when="{ all = [{ sign = 'gasping' }, { standing = 'short_of_air', "
                 "at_least = 'unlikely' }] }")
        + action("mild", needed_for="['short_of_air']", at_standing="'unlikely'", gentle="true"),
    )  # fmt: skip
    lot = lot_of(ready, **UNCLEAR)
    assert lot.not_enough
    assert held(lot)["ranked"] == "not_enough"
    (fact,) = next(each for each in lot.withheld if each.action == "ranked").facts
    assert fact == MatchedFact(kind="not_enough", name="not_enough", value=True)
    # what was seen itself asks for these, whatever the ranking says
    assert {"seen", "either", "joint"} <= set(steps(lot))
    assert "undone" in steps(lot)  # what can be undone never waits
    assert "ranked" in steps(lot_of(ready, **GASPING))


def test_steps_stand_by_time_then_urgency_then_order_then_cause(tmp_path: Path) -> None:
    when = "{ sign = 'gasping' }"
    ready = reasoner(
        tmp_path,
        action("late", when=when, time="'today'", order="1", emergency="true")
        + action("second", when=when, order="60")
        + action("first", when=when, order="10")
        + action("urgent", when=when, order="90", emergency="true")
        + action("b_same", when=when, order="60")
        + action("for_the_likelier", needed_for="['short_of_air']", order="60")
        + action("soon", when=when, time="'within_hour'", order="1"),
    )
    assert steps(lot_of(ready, **GASPING)) == [
        *("urgent", "first", "air", "for_the_likelier", "b_same", "second", "soon", "late")
    ]


def test_the_likeliest_of_its_causes_places_a_step(tmp_path: Path) -> None:
    ready = reasoner(
        tmp_path,
        action("only_first", needed_for="['short_of_air']", order="1")
        + action("a_both", needed_for="['resting', 'short_of_air']", order="1",
                 at_standing="'unlikely'")
        + action("a_last", needed_for="['resting']", order="1", at_standing="'unlikely'"),
    )  # fmt: skip
    lot = lot_of(ready, **GASPING)
    assert [c.id for c in lot.causes] == ["short_of_air", "resting"]
    assert steps(lot)[:3] == ["a_both", "only_first", "a_last"]
    both = next(each for each in lot.actions if each.id == "a_both")
    assert sorted(both.causes) == ["resting", "short_of_air"]


@pytest.mark.parametrize(
    ("early", "late"), [("undoes = ['b']\n", ""), ("", "undoes = ['a']\n")], ids=["early", "late"]
)
def test_of_two_steps_that_undo_each_other_the_earlier_stays_whoever_says_so(
    tmp_path: Path, early: str, late: str
) -> None:
    when = "{ sign = 'gasping' }"
    first = action("a", when=when, order="1").replace(JUDGED, early + JUDGED)
    second = action("b", when=when, order="2").replace(JUDGED, late + JUDGED)
    lot = lot_of(reasoner(tmp_path, first + second), **GASPING)
    assert "a" in steps(lot) and "b" not in steps(lot)
    (dropped,) = (each for each in lot.withheld if each.action == "b")
    assert (dropped.by, dropped.rival) == ("undoes", "a")
    assert dropped.because == 'It would undo a step that comes first: "Do a."'


def test_of_steps_of_now_into_a_tub_the_first_stays(tmp_path: Path) -> None:
    """Handled once: WOAH Aquatic Animal Health Code 7.2, unloading with the least stress."""
    tub = {"when": "{ sign = 'gasping' }", "step": "'rescue'", "puts": "'tub'"}
    ready = reasoner(
        tmp_path,
        action("a", order="2", **tub)
        + action("b", order="1", **tub)
        + action("later", order="1", **(tub | {"time": "'today'"})),
    )
    lot = lot_of(ready, **GASPING)
    assert "b" in steps(lot) and "a" not in steps(lot) and "later" in steps(lot)
    (dropped,) = (each for each in lot.withheld if each.action == "a")
    assert (dropped.rival, dropped.moot) == ("b", True)


def test_a_step_names_only_the_causes_it_was_proposed_for(tmp_path: Path) -> None:
    ready = reasoner(
        tmp_path,
        action("mixed", when="{ sign = 'gasping' }", needed_for="['short_of_air', 'resting']"),
    )
    (mixed,) = (each for each in lot_of(ready, **GASPING).actions if each.id == "mixed")
    assert mixed.causes == ("short_of_air",)
    assert {(fact.kind, fact.name) for fact in mixed.facts} == {
        ("sign", "gasping"),
        ("standing", "short_of_air"),
    }


def test_a_forbidden_step_says_by_which_fact_and_whose_word(tmp_path: Path) -> None:
    forbid = (
        "[{ when = { sign = 'calm' }, because = 'never', "
        + JUDGED.strip()
        + " }, "
        + ("{ when = { sign = 'gasping' }, because = 'not now', " + JUDGED.strip() + " }]")
    )
    ready = reasoner(tmp_path, action("a", when="{ sign = 'gasping' }", forbidden=forbid))
    (kept_back,) = (each for each in lot_of(ready, **GASPING).withheld if each.action == "a")
    assert (kept_back.by, kept_back.because) == ("forbidden", "not now")
    assert [(fact.name, fact.value) for fact in kept_back.facts] == [("gasping", True)]


def test_a_step_with_an_amount_says_how_much(tmp_path: Path) -> None:
    salt = (
        "{ formula = 'salt_g', given = { volume_l = 10.0, target_g_l = 5.0, most_g_l = 5.0, "
        "present_g_l = 0.0 } }"
    )
    ready = reasoner(
        tmp_path,
        action("salted", when="{ sign = 'gasping' }", amount=salt)
        + action("bare", when="{ sign = 'gasping' }"),
    )
    amounts = {each.id: each.amounts for each in lot_of(ready, **GASPING).actions}
    assert amounts["bare"] == ()
    (amount,) = amounts["salted"]
    assert amount.value == pytest.approx(50.0)  # 10 L to 5 g/L


def test_what_a_step_requires_must_be_known(tmp_path: Path) -> None:
    wanted = "{ sign = 'calm', is = 'absent' }"
    ready = reasoner(tmp_path, action("a", when="{ sign = 'gasping' }", requires=wanted))
    lot = lot_of(ready, **GASPING)
    assert held(lot)["a"] == "requires"
    because = next(each.because for each in lot.withheld if each.action == "a")
    assert because == "What it requires is not known yet."
    assert "a" in steps(lot_of(ready, **GASPING, not_seen=["calm"]))


def test_cautions_notes_and_notices_come_when_they_are_met(tmp_path: Path) -> None:
    ready = reasoner(
        tmp_path,
        entry("caution", id="'always'", text="'x'", always="true")
        + entry("caution", id="'met'", text="'x'", when="{ sign = 'gasping' }")
        + entry("caution", id="'unmet'", text="'x'", when="{ sign = 'calm' }")
        + entry("caution", id="'attached'", text="'x'")
        + entry("caution", id="'loose'", text="'x'")
        + action("a", when="{ sign = 'gasping' }", cautions="['attached']")
        + action("b", when="{ sign = 'calm' }", cautions="['loose']")
        + "".join(
            entry(of, id=f"'{name}'", text="'x'", because="'x'", when=f"{{ sign = '{sign}' }}",
                  **({"urgency": urgency} if of == "vet" else {}))
            for of, name, sign, urgency in (
                ("vet", "later", "gasping", "'when_convenient'"),
                ("vet", "at_once", "gasping", "'now'"),
                ("vet", "other", "calm", "'now'"),
                ("notice", "mind", "gasping", ""),
                ("notice", "never_mind", "calm", ""),
            )
        ),
    )  # fmt: skip
    lot = lot_of(ready, **GASPING)
    assert [each.id for each in lot.cautions] == ["met", "attached", "always"]
    assert [each.id for each in lot.vet] == ["at_once", "later"]
    assert [each.id for each in lot.notices] == ["mind"]
    for note in (*lot.vet, *lot.notices):
        assert [(fact.kind, fact.name, fact.value) for fact in note.facts] == [
            ("sign", "gasping", True)
        ]


def test_a_step_proposed_twice_stands_once(tmp_path: Path) -> None:
    ready = reasoner(tmp_path, action("a", needed_for="['short_of_air']", step="'treatment'"))
    ranking: Ranking = rank([], "arrival", ready.base)
    seen = Firing("action:a", 0, (Fact("sign", "gasping", True),))
    by_rank = Firing("action:a", 1, (Fact("standing", "short_of_air", 3),))
    kept, _ = choose(by_id([by_rank, seen]), ranking, ready.base)
    assert ranking.not_enough
    assert [(each.id, len(proposals)) for each, proposals in kept] == [("a", 2)]
    kept, withheld = choose(by_id([by_rank]), ranking, ready.base)
    assert kept == [] and [each.by for each in withheld] == ["not_enough"]
