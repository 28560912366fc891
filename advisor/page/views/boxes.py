"""What was written of a delivery's boxes, put right; a delivery put away, taken out, reopened."""

from __future__ import annotations

from datetime import datetime

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.ask.answers.corrected_boxes import Box, came_at, with_boxes
from advisor.ask.answers.parts import changed
from advisor.ask.answers.tanks import tank_of
from advisor.ask.hours import clock_at
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent, to
from advisor.page.intake import EMPTY, box_numbers, rows_of

MORE_BOXES = 3


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/boxes", known(house, show)),
        Route("/d/{mark}/boxes", sent(house, put_right), methods=["POST"]),
        Route("/d/{mark}/came", sent(house, came), methods=["POST"]),
        Route("/d/{mark}/away", sent(house, away), methods=["POST"]),
        Route("/d/{mark}/out", sent(house, out), methods=["POST"]),
        Route("/d/{mark}/reopen", sent(house, reopen), methods=["POST"]),
    ]


def _row(lot: Lot) -> dict[str, str]:
    return {
        "lot": lot.id,
        "kind": lot.species or lot.group or "",
        "count": "" if lot.count is None else str(lot.count),
        "bags": "" if lot.bags is None else str(lot.bags),
        "tank": tank_of(lot),
    }


def show(house: House, request: Request, guest: Guest) -> Response:
    case = house.desk.case(request.path_params["mark"])
    return _drawn(house, request, [_row(lot) for lot in case.lot], "")


def _drawn(house: House, request: Request, rows: list[dict[str, str]], said: str) -> Response:
    mark = request.path_params["mark"]
    case = house.desk.case(mark)
    base = house.desk.reasoner.base
    received = clock_at(case)
    return house.page(
        request, "boxes.html.j2", status=422 if said else 200, mark=mark, case=case, said=said,
        rows=[*rows, *[{**EMPTY, "lot": ""}] * MORE_BOXES],
        kinds=sorted(species.name for species in base.species.values()),
        received="" if received is None else received.isoformat(timespec="minutes"),
    )  # fmt: skip


def put_right(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    rows = rows_of(form, "lot")
    rows = [row for row in rows if any(row[name] for name in EMPTY)]
    try:
        boxes = tuple(
            Box(row["lot"], row["kind"], *box_numbers(at, row), row["tank"])
            for at, row in enumerate(rows, 1)
        )
        if len({box.lot for box in boxes if box.lot}) < sum(bool(box.lot) for box in boxes):
            raise AdvisorError("A box stands here twice.")

        def change(case: Case) -> Case:
            if strange := {box.lot for box in boxes if box.lot} - {lot.id for lot in case.lot}:
                raise AdvisorError(
                    f"{strange.pop()}: the boxes were changed meanwhile; look again."
                )
            return with_boxes(case, boxes)

        house.desk.change_once(
            mark, str(form.get("once", "")), guest.name, "boxes put right", change
        )
    except AdvisorError as fault:
        shown = {row["lot"] for row in rows}
        left = [_row(lot) for lot in house.desk.case(mark).lot if lot.id not in shown]
        return _drawn(house, request, [*rows, *left], str(fault))
    return to(f"/d/{mark}/bags")


def came(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    try:
        when = datetime.fromisoformat(str(form.get("received", "")))
    except ValueError:
        raise AdvisorError("When they came: write it like 2026-03-02 14:20.") from None
    if when.replace(tzinfo=None) > house.desk.clock().replace(tzinfo=None):
        raise AdvisorError("When they came: that is still to come; give an earlier time.")
    house.desk.change_once(
        mark, str(form.get("once", "")), guest.name, "hour of receipt",
        lambda case: came_at(case, when),
    )  # fmt: skip
    return to(f"/d/{mark}/answers")


def away(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    house.desk.put_away(request.path_params["mark"])
    return to("/")


def out(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    house.desk.take_out(mark)
    return to(f"/d/{mark}/plan")


def reopen(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    house.desk.change_once(
        mark, str(form.get("once", "")), guest.name, "reopened",
        lambda case: changed(case, outcome=changed(case.outcome, closed=False)),
    )  # fmt: skip
    return to(f"/d/{mark}/plan")
