"""Which question next: everything reachable, nothing asked twice, worth from the rules."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice import worth
from advisor.advice.assess import reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.ranking import Ranking
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.settled_by import APART, NEVER, choices_of, items_of, settings, several, single
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import UNKNOWN, Read, Settled
from advisor.ask.answers.typed_reading import BOXES, as_reading, kits_of
from advisor.ask.chance import answered_by
from advisor.ask.next_question import (
    ALWAYS_FIRST,
    LEAST,
    askable,
    next_question,
    question_worths,
)
from advisor.ask.pushes import pushes
from advisor.ask.replies_tried import limits_on, possible_replies
from advisor.case import Case, load_case, loads_case
from advisor.case.model import Session
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import leaves
from advisor.units import parse
from tests.ask.thinking import SITUATION, think

#: History that no question asks for: a word in place of a number settles it, or it is only heard.
BY_WORDS = {
    *("tested_fine_without_number", "called_cycled_without_number"),
    *("neighbours_notifiable", "neighbours_catching"),
    "alone_here",
}
CASES = Path(__file__).parents[2] / "cases"
OUT = 'sealed = "no"\nreleased_at_hours = 0\nrelease_method = "netted"'


# -- the questions themselves -------------------------------------------------


def test_every_sign_can_be_asked_for(base: RuleBase) -> None:
    offered = {sign for question in base.questions.values() for sign in question.signs}
    assert set(base.signs) <= offered


def test_every_history_item_can_be_asked_for(base: RuleBase) -> None:
    asked = {
        name
        for question in base.questions.values()
        for kind, name in items_of(question, base)
        if kind == "history"
    }
    assert set(base.history) - asked == BY_WORDS


def test_every_reading_that_a_rule_uses_can_be_asked_for(reasoner: Reasoner) -> None:
    base = reasoner.base
    used = {
        leaf.name
        for node in reasoner.compiled.nodes.values()
        for leaf in leaves(node)
        if leaf.name in base.quantities and base.quantities[leaf.name].kind == "reading"
    }
    asked = {name for question in base.questions.values() for name in question.reading}
    assert used <= asked


def test_every_line_of_a_choice_settles_items_the_rule_base_has(base: RuleBase) -> None:
    for question in base.questions.values():
        if question.kind != "choice":
            continue
        if question.history is not None:
            answers = set(base.history[question.history].answers)
            assert set(question.choices) in (set(), answers), question.id
            continue
        for key in question.choices:
            for item, answer in (settings(key) if "=" in key else {key: "yes"}).items():
                if item != "released":
                    allowed = {*base.history[item].answers, "unknown"}
                    assert answer in allowed, (question.id, key)


def test_a_choice_is_of_one_shape(base: RuleBase) -> None:
    for question in base.questions.values():
        if question.kind == "choice":
            shapes = [question.history is not None, single(question), several(question)]
            assert shapes.count(True) == 1, question.id


def test_questions_ask_and_help_in_few_words(base: RuleBase) -> None:
    for question in base.questions.values():
        assert len(question.text) <= 120, question.id
        assert len(choices_of(question, base)) <= 13 or question.id == NEVER, question.id


def test_the_first_three_settle_bag_breath_and_hours(base: RuleBase) -> None:
    first = sorted((q.opening, q.id) for q in base.questions.values() if q.opening is not None)[:3]
    assert [name for _, name in first] == [
        "where_are_they",
        "breathing_and_posture",
        "hours_sealed",
    ]


# -- the choice ---------------------------------------------------------------


def test_a_new_case_starts_with_the_first_questions_in_order(reasoner: Reasoner) -> None:
    case, asked = Case(), []
    for _ in range(4):
        reasoned, _ = think(case, reasoner)
        asking = next_question(case, lots_of(case)[0], reasoned, reasoner)
        assert asking is not None
        asked.append(asking.question.opening)
        case = apply(case, asking.question, UNKNOWN, Place("fish", 0.0), reasoner.base)
    assert asked == sorted(asked)
    assert asked[0] == 1 and all(place <= ALWAYS_FIRST for place in asked)


def test_no_question_is_put_twice_whatever_the_answers(reasoner: Reasoner) -> None:
    case, asked = Case(), []
    for _ in range(80):
        lot = lots_of(case)[0]
        reasoned, plan = think(case, reasoner)
        asking = next_question(case, lot, reasoned, reasoner, [a.id for a in plan.actions])
        if asking is None:
            break
        asked.append(asking.question.id)
        case = apply(case, asking.question, UNKNOWN, Place(lot.id, 0.0), reasoner.base)
    assert len(asked) == len(set(asked))
    assert 8 <= len(asked) < 45
    assert not set(asked) & APART


def test_the_same_case_always_gets_the_same_question(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION)
    found = set()
    for _ in range(3):
        reasoned, plan = think(case, reasoner)
        asking = next_question(case, case.lot[0], reasoned, reasoner, [a.id for a in plan.actions])
        assert asking is not None
        found.add(asking.question.id)
    assert len(found) == 1


def test_what_the_case_holds_is_not_asked(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION)
    reasoned, _ = think(case, reasoner)
    may = {question.id for question in askable(case, case.lot[0], reasoned, reasoner)}
    assert not may & {"where_are_they", "hours_sealed", "kinds", "arrived"}
    assert {"breathing_and_posture", "ph", "ammonia_nitrite"} <= may  # something of each is open


def test_a_shut_bag_is_not_dipped_into(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION.replace(OUT, 'sealed = "yes"'))
    reasoned, _ = think(case, reasoner)
    may = {question.id for question in askable(case, case.lot[0], reasoned, reasoner)}
    assert not may & {"bag_ammonia", "bag_hardness", "arrived", "out_of_the_bag"}
    assert {"bag_water", "gas_in_bag", "thermometer"} <= may


def test_a_question_behind_a_door_waits_for_it(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION)
    reasoned, _ = think(case, reasoner)
    assert "scrape_parasite" not in _may(case, reasoned, reasoner)
    case = apply(
        case, reasoner.base.questions["scrape"], Settled({"scrape_done": "parasite_found"}),
        Place("a", 0.5), reasoner.base,
    )  # fmt: skip
    reasoned, _ = think(case, reasoner)
    assert "scrape_parasite" in _may(case, reasoned, reasoner)


def test_a_door_is_worth_part_of_what_lies_behind_it(reasoner: Reasoner) -> None:
    """ "Was a scrape looked at?" moves no cause by itself; which parasite was found does."""
    found = _worths(loads_case(SITUATION), reasoner)
    assert found["scrape"].beyond > 0
    assert "scrape_parasite" not in found
    assert found["gills"].beyond == 0


@pytest.mark.parametrize("name", ["OVERTAKES", "CROSSES"])
def test_what_may_change_the_first_cause_or_the_plan_is_worth_more(
    name: str, reasoner: Reasoner, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = loads_case(SITUATION)
    more = _worths(case, reasoner)
    monkeypatch.setattr(worth, name, 0.0)
    less = _worths(case, reasoner)
    assert sum(w.evidence for w in more.values()) > sum(w.evidence for w in less.values())
    assert all(more[name].evidence >= each.evidence for name, each in less.items())
    assert more["tank_volume"].evidence == less["tank_volume"].evidence == 0


@pytest.mark.parametrize("strong", [False, True])
def test_little_moves_a_settled_cause(
    strong: bool, reasoner: Reasoner, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same rules are worth less once their causes are certain or out of the question."""
    monkeypatch.setattr(worth, "OVERTAKES", 0.0)
    monkeypatch.setattr(worth, "CROSSES", 0.0)
    case = loads_case(SITUATION)
    reasoned, _ = think(case, reasoner)
    far = 45.0 if strong else -45.0
    told = reasoned.ranking
    causes = tuple(cause.model_copy(update={"decibans": far}) for cause in told.causes)
    ranking = Ranking(causes, told.not_enough, told.because)
    settled = Reasoned(reasoned.sheet, reasoned.facts, reasoned.firings, ranking)
    may = askable(case, case.lot[0], reasoned, reasoner)
    open_now = question_worths(case, case.lot[0], may, reasoned, reasoner)
    closed = question_worths(case, case.lot[0], may, settled, reasoner)
    weighty = [name for name, each in open_now.items() if each.evidence > 1]
    assert len(weighty) >= 5
    assert all(closed[name].evidence < 0.1 * open_now[name].evidence for name in weighty)


def test_it_does_not_end_while_a_question_of_worth_remains(reasoner: Reasoner) -> None:
    case, asked = loads_case(SITUATION), 0
    while True:
        reasoned, plan = think(case, reasoner)
        shown = [action.id for action in plan.actions]
        asking = next_question(case, case.lot[0], reasoned, reasoner, shown)
        if asking is None:
            break
        case = apply(case, asking.question, UNKNOWN, Place("a", 0.5), reasoner.base)
        asked += 1
    may = askable(case, case.lot[0], reasoned, reasoner)
    left = question_worths(case, case.lot[0], may, reasoned, reasoner, shown)
    assert asked > 10
    assert left  # not because there is nothing left to ask
    questions = reasoner.base.questions
    chance = {name: answered_by(questions[name], case, reasoner.base) for name in left}
    assert max(each.total * chance[name] for name, each in left.items()) < LEAST


def _worths(case: Case, reasoner: Reasoner) -> dict[str, worth.QuestionWorth]:
    reasoned, _ = think(case, reasoner)
    may = askable(case, case.lot[0], reasoned, reasoner)
    return question_worths(case, case.lot[0], may, reasoned, reasoner)


def _may(case: Case, reasoned: Reasoned, reasoner: Reasoner) -> set[str]:
    return {question.id for question in askable(case, case.lot[0], reasoned, reasoner)}


def test_who_has_no_kits_is_asked_for_fewer(base: RuleBase) -> None:
    asked = ("ph", "oxygen", "chlorine", "skin")
    case = Case(session=Session(answered=asked, unknown=asked[:3]))
    more = {name: answered_by(base.questions[name], case, base) for name in base.questions}
    fewer = Case(session=Session(answered=asked[:2], unknown=asked[:2]))
    assert more["sulfide"] < answered_by(base.questions["sulfide"], fewer, base) < 1
    assert more["gills"] == more["already_added"] == 1


def test_a_kit_that_is_not_there_is_never_asked_for(reasoner: Reasoner) -> None:
    base = reasoner.base
    case = loads_case(SITUATION)
    none = Settled(dict.fromkeys(base.questions["kits_at_hand"].choices, "no"))
    case = apply(case, base.questions["kits_at_hand"], none, Place("a", 0.5), base)
    reasoned, _ = think(case, reasoner)
    left = [q for q in askable(case, case.lot[0], reasoned, reasoner) if q.kind == "reading"]
    assert {q.id for q in left} <= {"thermometer", "tap"}  # both have a thermometer's part
    assert all(base.quantities[name].kit for name in base.quantities
               if base.quantities[name].kind == "reading"
               and base.quantities[name].parameter != "temperature_c")  # fmt: skip


def test_what_can_be_measured_is_asked_before_the_first_kit(reasoner: Reasoner) -> None:
    case, asked = loads_case(SITUATION), []
    for _ in range(60):
        lot = case.lot[0]
        reasoned, plan = think(case, reasoner)
        asking = next_question(case, lot, reasoned, reasoner, [a.id for a in plan.actions])
        if asking is None:
            break
        asked.append(asking.question)
        case = apply(case, asking.question, UNKNOWN, Place(lot.id, 0.5), reasoner.base)
    names = [q.id for q in asked]
    kits = [q.id for q in asked if q.kind == "reading" and q.id != "thermometer"]
    assert kits and names.index("kits_at_hand") < names.index(kits[0])


# -- why ----------------------------------------------------------------------


@pytest.mark.parametrize("name", ["gills", "ph", "where_are_they", "already_added", "counts"])
def test_each_push_is_what_the_rules_really_do(name: str, reasoner: Reasoner) -> None:
    """Every shift shown equals the difference of two full runs of the rules."""
    case = loads_case(SITUATION)
    lot, question = case.lot[0], reasoner.base.questions[name]
    reasoned, _ = think(case, reasoner)
    shown = pushes(case, lot, question, reasoned, reasoner, 0.5)
    replies = list(possible_replies(case, lot, question, reasoned, reasoner))
    assert [push.reply for push in shown] == [words for words, _ in replies]
    before = {cause.id: cause.decibans for cause in reasoned.ranking.causes}
    for push, (_, reply) in zip(shown, replies, strict=True):
        after = apply(case, question, reply, Place(lot.id, 0.5), reasoner.base)
        ranking = reason(after, after.lot[0], reasoner).ranking
        now = {cause.id: cause.decibans for cause in ranking.causes}
        for cause, shift, _ in push.shifts:
            assert now[cause] - before[cause] == pytest.approx(shift)


def test_brown_gills_push_nitrite_up(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION)
    reasoned, _ = think(case, reasoner)
    gills = reasoner.base.questions["gills"]
    found = {
        push.reply: {cause: shift for cause, shift, _ in push.shifts}
        for push in pushes(case, case.lot[0], gills, reasoned, reasoner, 0.5)
    }
    assert found[reasoner.base.signs["brown_gills"].name]["nitrite"] > 0


def test_a_reading_is_tried_on_both_sides_of_every_limit(reasoner: Reasoner) -> None:
    case = loads_case(SITUATION)
    reasoned, _ = think(case, reasoner)
    question = reasoner.base.questions["oxygen"]
    tried = [r for _, r in possible_replies(case, case.lot[0], question, reasoned, reasoner)]
    values = [each.value for r in tried if isinstance(r, Read) for each in r.readings.values()]
    marks = limits_on("tank_do_mg_l", reasoner)
    assert min(values) < min(marks) and max(values) > max(marks)


@pytest.mark.parametrize("name", ["thermometer", "ph", "oxygen", "ammonia_nitrite", "nitrate"])
@pytest.mark.parametrize("place", range(0, 120, 15))
def test_what_is_said_of_a_reading_is_what_it_does(
    name: str, place: int, reasoner: Reasoner
) -> None:
    """The words shown, typed as a person types them, bring each cause to the standing shown."""
    case = load_case(sorted(CASES.rglob("*.toml"))[place])
    lot, question, base = lots_of(case)[0], reasoner.base.questions[name], reasoner.base
    hour = max((look.at_hours for look in case.observation), default=0.0)
    reasoned = reason(case, lot, reasoner)
    was = {each.id: each.decibans for each in reasoned.ranking.causes}
    for push in pushes(case, lot, question, reasoned, reasoner, hour):
        typed = push.reply.replace(" (kind of kit not told)", "")
        quantity = max(
            (base.quantities[each] for each in question.reading
             if typed.startswith(base.quantities[each].name)),
            key=lambda each: len(each.name),
        )  # fmt: skip
        parameter = quantity.parameter or quantity.id
        read = parse(typed.removeprefix(quantity.name), parameter)
        kit = None if typed != push.reply else kits_of(case).get(BOXES.get(parameter, "tubes"))
        reply = Read({quantity.id: as_reading(read, parameter, kit)})
        after = apply(case, question, reply, Place(lot.id, hour), base)
        mine = next(each for each in lots_of(after) if each.id == lot.id)
        now = {each.id: each for each in reason(after, mine, reasoner).ranking.causes}
        for cause, shift, standing in push.shifts:
            assert now[cause].standing == standing, typed
            assert now[cause].decibans - was[cause] == pytest.approx(shift), typed
