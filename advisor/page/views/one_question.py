"""The session, one question a page; all answers; the plan; why."""

from __future__ import annotations

from typing import Any, cast
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.advice.facts.sheet import lots_of
from advisor.ask.again import may_change
from advisor.ask.answers.looks import with_done
from advisor.ask.done_steps import done_steps, taken_back
from advisor.case import Case, ChangedOnDisk
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, hours_told, known, sent, to
from advisor.page.open_cases import Given, NoSuchCase
from advisor.page.plans import plan_of
from advisor.page.questions import (
    asked_before,
    buttons,
    heading,
    helped,
    hint,
    line_of,
    paragraphs,
)
from advisor.page.seat import Seat, To, asked_of
from advisor.wording.text import one_line

_MOST_SAID = 300
WAYS = ("ask", "look", "close")
NOTES = {
    "empty": "Nothing was chosen. Choose or write something, or say that it is not known.",
    "moved": "Meanwhile something else is asked; your answer was not used. This is asked now.",
    "stale": "That page had stood open for hours, and much may have changed since. Nothing was "
    "taken from it; this is asked now.",
    "photo": "The picture is kept with this delivery.",
    "changed": "The file was changed from elsewhere; please answer once more.",
}


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/answers", known(house, answers)),
        Route("/d/{mark}/settle", sent(house, settle), methods=["POST"]),
        Route("/d/{mark}/plan", known(house, plan)),
        Route("/d/{mark}/done", sent(house, done), methods=["POST"]),
        Route("/d/{mark}/undone", sent(house, undone), methods=["POST"]),
        Route("/d/{mark}/why", known(house, why)),
        Route("/d/{mark}/again/{key:path}", known(house, question)),
        Route("/d/{mark}/again/{key:path}", sent(house, reply), methods=["POST"]),
        Route("/d/{mark}/{way:str}", known(house, question)),
        Route("/d/{mark}/{way:str}", sent(house, reply), methods=["POST"]),
    ]


def _where(house: House, request: Request) -> tuple[str, To, str]:
    """(mark, way, key of the one question). Raises NoSuchCase for a way that is none."""
    mark = request.path_params["mark"]
    way, key = request.path_params.get("way", "ask"), request.path_params.get("key", "")
    if way not in WAYS:
        raise NoSuchCase("There is no such page.")
    if key:
        case = house.desk.case(mark)
        if key not in case.session.answered or not may_change(key, house.desk.reasoner.base):
            raise NoSuchCase("That question cannot be put again here.")
    return mark, cast(To, way), key


def question(house: House, request: Request, guest: Guest) -> Response:
    mark, way, key = _where(house, request)
    with house.desk.at(mark):
        seat = house.desk.seat(mark, guest.name, way, key)
        if seat.ended is not None and "ended" not in request.query_params:
            seat.begin()  # what has ended is shown once; coming back begins another sitting
        return _draw(house, request, mark, seat)


def _draw(house: House, request: Request, mark: str, seat: Seat) -> Response:
    desk = house.desk
    common: dict[str, Any] = {
        "mark": mark,
        "case": seat.case,
        "said": paragraphs(seat.blocks, waiting=bool(seat.ask and seat.ask.waiting)),
        "unsaved": seat.unsaved,
        "note": _note(request),
        "clashes": desk.log(mark).clashes(),
        "here": request.url.path,
    }
    ask = seat.ask
    if ask is None:
        how = "" if seat.ended is None else seat.ended.how
        return house.page(
            request, "ended.html.j2", how=how, plan=plan_of(desk, mark), way=seat.to, **common
        )
    base = desk.reasoner.base
    entry = base.questions.get(ask.question)
    return house.page(
        request,
        "question.html.j2",
        ask=ask,
        asked=asked_of(ask),
        title=heading(ask),
        hint=hint(ask),
        buttons=buttons(ask),
        because="" if entry is None else entry.because,
        help="" if entry is None else helped(entry.help, ask),
        several_lots=len(seat.case.lot) > 1 and "/" in ask.key,
        lot_before=any(
            key.startswith(f"{ask.question}/") and key != ask.key
            for key in seat.case.session.answered
        ),
        **common,
    )


def reply(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark, way, key = _where(house, request)
    here = request.url.path
    desk = house.desk
    asked = str(form.get("asked", ""))[:200]
    with desk.at(mark):
        ask = desk.seat(mark, guest.name, way, key).ask
        if asked_of(ask) != asked:  # a late answer is read by the question that it answers
            ask = asked_before(asked, desk.reasoner.base)
        filled = None if ask is None else line_of(form, ask)
        if filled is None:
            said = str(form.get("words", "")).strip()[:_MOST_SAID]
            return to(f"{here}?{urlencode({'note': 'empty' if ask else 'moved', 'said': said})}")
        line, shown = filled
        given = Given(
            line, shown, asked, str(form.get("made", "")), str(form.get("once", "")), guest.name
        )
        try:
            fault = desk.reply(mark, given, way, key)
        except ChangedOnDisk:
            fault = "changed"
        seat = desk.seat(mark, guest.name, way, key)
    if fault == "clash":
        return to(f"/d/{mark}/answers?note=moved")
    if fault:
        return to(f"{here}?{urlencode({'note': fault, 'said': shown[:_MOST_SAID]})}")
    if seat.ended is not None and key:
        desk.leave(mark, guest.name, key)
        return to(f"/d/{mark}/answers")
    return to(here if seat.ended is None else f"{here}?ended=1")


def _note(request: Request) -> str:
    """What has to be said first; an answer that was not taken is shown, so that it is not lost."""
    note = NOTES.get(request.query_params.get("note", ""), "")
    said = one_line(request.query_params.get("said", ""))[:_MOST_SAID].strip()
    return f"{note} Your answer was: {said}" if note and said else note


def answers(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    return house.page(
        request,
        "answers.html.j2",
        mark=mark,
        case=house.desk.case(mark),
        rows=list(house.desk.answers(mark)),
        clashes=house.desk.log(mark).clashes(),
        note=NOTES.get(request.query_params.get("note", ""), ""),
    )


def settle(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    house.desk.settle(mark, str(form.get("key", "")), guest.name)
    return to(f"/d/{mark}/answers")


def plan(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    case, _ = house.desk.result(mark)
    return house.page(request, "plan.html.j2", mark=mark, case=case, plan=plan_of(house.desk, mark))


def done(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    """A step is ticked: noted at the present look, for the lots it was shown for.

    Of a step on one bag the session asks first of which lot that bag was.
    """
    mark, action = request.path_params["mark"], str(form.get("action", ""))
    desk = house.desk
    if action not in desk.reasoner.base.actions:
        raise AdvisorError("There is no such step.")
    back = str(form.get("back", ""))
    if desk.reasoner.base.actions[action].one_bag:
        way = cast(To, back if back in WAYS else "ask")
        with desk.at(mark):
            if desk.seat(mark, guest.name, way).tick(action):
                return to(f"/d/{mark}/{way}")
    shown = set(map(str, form.getlist("lot")))
    case, result = desk.result(mark)
    lots = [
        lot.id
        for lot, found in zip(lots_of(case), result.lots, strict=True)
        if lot.id in shown or (not shown and action in {each.id for each in found.actions})
    ]
    if not lots:
        raise AdvisorError("No lot is advised that step now; the plan says what is.")
    desk.change_once(
        mark, str(form.get("once", "")), guest.name, action,
        lambda case: with_done(case, action, lots, hours_told(case, desk.clock(), form)),
    )  # fmt: skip
    return to(f"/d/{mark}/{back if back in ('ask', 'look', 'bags') else 'plan'}")


def undone(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    """A tick is taken back: that very one, so that a form sent twice takes back no other."""
    mark, action, at = request.path_params["mark"], str(form.get("action", "")), form.get("at", "")
    desk = house.desk

    def change(case: Case) -> Case:
        for step in done_steps(case, desk.reasoner.base):
            if step.action == action and str(step.at_hours) == at:
                return taken_back(case, step)
        return case

    desk.change_once(mark, str(form.get("once", "")), guest.name, f"not done: {action}", change)
    return to(f"/d/{mark}/plan")


def why(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    case, result = house.desk.result(mark)
    return house.page(
        request, "why.html.j2", mark=mark, case=case, result=result,
        works=house.desk.reasoner.base.sources,
    )  # fmt: skip
