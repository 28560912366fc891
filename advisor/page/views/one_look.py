"""A later look at one lot in four taps: the list, the lot, what changed, saved."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.hours import about, due_words
from advisor.ask.quick_look import looked, quick_look, since
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent, to
from advisor.page.plans import plan_of

VERDICTS = {
    "better": "BETTER than at the last look",
    "same": "THE SAME as at the last look",
    "worse": "WORSE than at the last look",
}


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/quick/{lot}", known(house, show)),
        Route("/d/{mark}/quick/{lot}", sent(house, keep), methods=["POST"]),
        Route("/d/{mark}/changed/{lot}", known(house, changed)),
    ]


def show(house: House, request: Request, guest: Guest) -> Response:
    return _drawn(house, request, "")


def _drawn(house: House, request: Request, note: str) -> Response:
    mark, lot = request.path_params["mark"], request.path_params["lot"]
    case = house.desk.case(mark)
    with house.desk.thinking:
        found = quick_look(case, lot, house.desk.reasoner)
    return house.page(
        request, "quick_look.html.j2", status=422 if note else 200, mark=mark, case=case,
        found=found, called=about(found.lot), note=note,
    )  # fmt: skip


def keep(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    """A form that a phone repeats is one look."""
    mark, lot = request.path_params["mark"], request.path_params["lot"]
    desk = house.desk
    seen = {str(sign) for sign in form.getlist("choice")}
    counted = str(form.get("dead", "")).strip()
    try:
        dead = whole_number(counted) if counted else None
    except AdvisorError as fault:
        return _drawn(house, request, f"Dead in all: {fault}")

    def change(case: Case) -> Case:
        with desk.thinking:
            return looked(case, lot, seen, dead, desk.reasoner, desk.clock())[0]

    desk.change_once(mark, str(form.get("once", "")), guest.name, f"look at {lot}", change)
    return to(f"/d/{mark}/changed/{lot}")


def changed(house: House, request: Request, guest: Guest) -> Response:
    """Better, the same or worse, why, what to do now and when to look again."""
    mark, lot = request.path_params["mark"], request.path_params["lot"]
    case = house.desk.case(mark)
    with house.desk.thinking:
        found = since(case, lot, house.desk.reasoner)
    waiting = dict(house.desk.waiting()).get(mark)
    due = None if waiting is None or isinstance(waiting, str) else waiting.due
    lot_name = next((about(each) for each in case.lot if each.id == lot), "The fish")
    return house.page(
        request, "changed.html.j2", mark=mark, case=case, called=lot_name,
        verdict=VERDICTS[found.verdict], found=found,
        due=due_words(case, due, house.desk.clock()) if due else "",
        plan=plan_of(house.desk, mark),
    )  # fmt: skip
