"""Training: a saved delivery unfolds, one commits to a cause and a first step, then sees."""

from __future__ import annotations

from itertools import groupby

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.advice.assess import assess
from advisor.case import Case, load_case
from advisor.explain.replay.archive import case_files
from advisor.explain.replay.lesson import Lesson
from advisor.explain.replay.score import Decision, harmful, right_causes, score
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent
from advisor.page.open_cases import NoSuchCase
from advisor.wording.times import after_receipt

WAIT = "wait"
MOST_ASKED = 60


def routes(house: House) -> list[Route]:
    return [
        Route("/train", known(house, choose)),
        Route("/train/{number:int}", known(house, unfold)),
        Route("/train/{number:int}", sent(house, reveal), methods=["POST"]),
    ]


def _lessons() -> list[str]:
    """Files of shipped cases; their names would give the answer away and are not shown."""
    return [str(path) for path in case_files()]


def _case(request: Request) -> Case:
    files = _lessons()
    number = request.path_params["number"]
    if not 1 <= number <= len(files):
        raise NoSuchCase("There is no such exercise.")
    return load_case(files[number - 1])


def choose(house: House, request: Request, guest: Guest) -> Response:
    return house.page(request, "train.html.j2", number=len(_lessons()))


def _played(case: Case, asked: list[str], house: House) -> tuple[Lesson, list[tuple[str, str]]]:
    """The lesson after these questions, and what was told so far: (head, words)."""
    lesson = Lesson(case, house.desk.reasoner.base)
    told = list(_looks(lesson))
    questions = {question.id: question for question in lesson.questions()}
    for name in asked[:MOST_ASKED]:
        if name == WAIT:
            lesson.wait()
        elif name in questions:
            found = lesson.ask(questions[name]).told
            words = "; ".join(each.words for each in found) or "the record does not say"
            told.append((questions[name].text, words))
        told += _looks(lesson)
    return lesson, told


def _looks(lesson: Lesson) -> list[tuple[str, str]]:
    found = []
    for hours, looks in groupby(lesson.next_looks(), key=lambda look: look.at_hours):
        seen: list[str] = []
        for look in looks:
            seen += lesson.glance(look)[0]
        words = ", ".join(seen) or "nothing that a glance shows"
        found.append((f"A look, {after_receipt(hours)}", words))
    return found


def unfold(house: House, request: Request, guest: Guest) -> Response:
    asked = request.query_params.getlist("asked")[:MOST_ASKED]
    lesson, told = _played(_case(request), asked, house)
    base = house.desk.reasoner.base
    return house.page(
        request,
        "lesson.html.j2",
        number=request.path_params["number"],
        lesson=lesson,
        told=told,
        asked=asked,
        questions=[each for each in lesson.questions() if each.id not in asked],
        causes=sorted((cause.name, cause.id) for cause in base.causes.values()),
        actions=sorted((action.text, action.id) for action in base.actions.values()),
    )


def reveal(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    case = _case(request)
    base = house.desk.reasoner.base
    lesson, _ = _played(case, [str(each) for each in form.getlist("asked")], house)
    cause, action = str(form.get("cause", "")), str(form.get("action", ""))
    with house.desk.thinking:
        found = assess(case, house.desk.reasoner)
    result = next(lot for lot in found.lots if lot.lot == lesson.lot.id)
    decision = Decision((cause,) if cause else (), action)
    points = score(decision, case, result, asked=lesson.asked, seconds=lesson.clock)
    return house.page(
        request,
        "reveal.html.j2",
        number=request.path_params["number"],
        case=case,
        result=result,
        points=points,
        cause=base.causes[cause].name if cause in base.causes else "none",
        action=base.actions[action].text if action in base.actions else "none",
        right=[base.causes[each].name for each in right_causes(case) if each in base.causes],
        first=[
            base.actions[each].text
            for each in (case.expected.first_action if case.expected else ())
            if each in base.actions
        ],
        harm=[base.actions[each].text for each in harmful(case, result) if each in base.actions],
        missed=[each.words for each in lesson.not_asked()],
    )
