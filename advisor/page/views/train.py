"""Training: a saved delivery unfolds, one commits to a cause and a first step, then sees.

What is told, what there is to choose from and how it is judged is ``explain.replay``'s.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import cache
from pathlib import Path
from random import choice
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.advice.assess import lot_result, reason
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.results import LotResult
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import case_files, judged_lot
from advisor.explain.replay.choices import causes_to_choose, steps_to_choose
from advisor.explain.replay.lesson import Lesson
from advisor.explain.replay.progress import keep, line_of, progress_file
from advisor.explain.replay.reasons import why_not_here
from advisor.explain.replay.score import (
    Decision,
    difficulty,
    harmful,
    named_steps,
    right_causes,
    score,
)
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent, to
from advisor.page.open_cases import NoSuchCase
from advisor.rulebase import RuleBase
from advisor.wording.times import after_receipt

WAIT = "wait"
MOST_ASKED = 60


def routes(house: House) -> list[Route]:
    return [
        Route("/train", known(house, choose)),
        Route("/train/any", known(house, any_one)),
        Route("/train/{number:int}", known(house, unfold)),
        Route("/train/{number:int}", sent(house, reveal), methods=["POST"]),
    ]


@cache
def _shipped() -> tuple[str, ...]:
    """Files of shipped cases that can be played; their names would give the answer away."""
    return tuple(str(path) for path in case_files() if _can_be_played(str(path)))


def _can_be_played(file: str) -> bool:
    try:
        case = load_case(file)
    except AdvisorError:
        return False
    return bool(case.observation and right_causes(case))


def _lessons(house: House) -> list[str]:
    """Shipped cases, then closed deliveries of this room that say what it was."""
    own = (str(path) for path in house.desk.paths().values())
    return [*_shipped(), *(file for file in own if _can_be_played(file))]


def _case(house: House, request: Request) -> tuple[Case, str]:
    files = _lessons(house)
    number = request.path_params["number"]
    if not 1 <= number <= len(files):
        raise NoSuchCase("There is no such exercise.")
    case = load_case(files[number - 1])
    check_vocabulary(case, house.desk.reasoner.base, "exercise")
    return case, files[number - 1]


def _result(house: House, case: Case) -> LotResult:
    with house.desk.thinking:
        reasoner = house.desk.reasoner
        return lot_result(reason(case, judged_lot(case), reasoner), reasoner)


def choose(house: House, request: Request, guest: Guest) -> Response:
    return house.page(request, "train.html.j2", number=len(_lessons(house)))


def any_one(house: House, request: Request, guest: Guest) -> Response:
    return to(f"/train/{choice(range(len(_lessons(house)))) + 1}")


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


def _looks(lesson: Lesson) -> Iterator[tuple[str, str]]:
    for hours, _, seen, absent in lesson.come_due():
        words = ", ".join(seen) or "nothing that a glance shows"
        missing = f"; not seen: {', '.join(absent)}" if absent else ""
        yield f"A look, {after_receipt(hours)}", words + missing


def unfold(house: House, request: Request, guest: Guest) -> Response:
    asked = request.query_params.getlist("asked")[:MOST_ASKED]
    case, _ = _case(house, request)
    lesson, told = _played(case, asked, house)
    base, result = house.desk.reasoner.base, _result(house, case)
    return house.page(
        request,
        "lesson.html.j2",
        number=request.path_params["number"],
        lesson=lesson,
        told=told,
        asked=asked,
        questions=[each for each in lesson.questions() if each.id not in asked],
        causes=causes_to_choose(case, result, base),
        actions=steps_to_choose(case, result, base),
        cause=request.query_params.get("cause", ""),
        action=request.query_params.get("action", ""),
        never=request.query_params.getlist("never"),
    )


def reveal(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    if ask := str(form.get("ask", "")):  # one more question: what was chosen so far stays chosen
        chosen = [
            (name, str(value))
            for name, value in form.multi_items()
            if name in ("asked", "cause", "action", "never")
        ]
        return to(f"{request.url.path}?{urlencode([*chosen, ('asked', ask)])}")
    case, file = _case(house, request)
    base, result = house.desk.reasoner.base, _result(house, case)
    lesson, _ = _played(case, [str(each) for each in form.getlist("asked")], house)
    cause, action = str(form.get("cause", "")), str(form.get("action", ""))
    never = tuple(str(each) for each in form.getlist("never"))
    decision = Decision((cause,) if cause else (), action, never)
    points = score(decision, case, result, base, asked=lesson.asked, seconds=lesson.clock)
    if house.desk.first_time(str(form.get("once", "")), guest.name, "exercise"):
        line = line_of(points, Path(file).stem, difficulty(result), house.desk.now())
        keep(progress_file(guest.name), line)
    best, more = named_steps(case, result, base)
    return house.page(
        request,
        "reveal.html.j2",
        number=request.path_params["number"],
        case=case,
        result=result,
        points=points,
        difficulty=difficulty(result),
        cause=base.causes[cause].name if cause in base.causes else "none",
        action=base.actions[action].text if action in base.actions else "none",
        right=[base.causes[each].name for each in right_causes(case) if each in base.causes],
        first=_texts(best, base),
        also=more,
        harm=list(_harm(case, result, never, base)),
        wrongly=_texts(points.wrongly, base),
        missed=[each.words for each in lesson.not_asked()],
    )


def _texts(actions: Iterable[str], base: RuleBase) -> list[str]:
    return [base.actions[each].text for each in actions if each in base.actions]


def _harm(
    case: Case, result: LotResult, never: Collection[str], base: RuleBase
) -> Iterator[tuple[str, str, bool]]:
    """(what must not be done, why, whether it was named)."""
    for name in harmful(case, result):
        if name in base.actions:
            yield base.actions[name].text, why_not_here(name, result, base), name in never
