"""The first page, a new delivery box by box, and what is known of one delivery."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.ask.hours import clock_at, due_words
from advisor.ask.shelf import Shelved
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, known, sent, to
from advisor.page.intake import EMPTY, ROWS, received, rows_of, unknown_kinds
from advisor.wording.times import day_and_time

MOST_CLOSED = 30


def routes(house: House) -> list[Route]:
    return [
        Route("/", known(house, first)),
        Route("/start", sent(house, start), methods=["POST"]),
        Route("/receive", known(house, receive)),
        Route("/receive", sent(house, take_in), methods=["POST"]),
    ]


def open_cases(house: House) -> tuple[list[tuple[str, Shelved, str]], list[str]]:
    """(mark, case as it waits, when it is due) by urgency; sentences on what cannot be read."""
    now = house.desk.clock()
    rows = []
    faults = []
    for mark, each in house.desk.waiting():
        if isinstance(each, str):
            faults.append(each)
        else:
            rows.append((mark, each, due_words(each.case, each.due, now) if each.due else ""))
    return sorted(rows, key=lambda row: row[1].urgency), faults


def first(house: House, request: Request, guest: Guest) -> Response:
    rows, faults = open_cases(house)
    closed, away = house.desk.closed(), house.desk.put_aways()
    return house.page(
        request, "first.html.j2", rows=rows, faults=faults, came=came, closed=closed[:MOST_CLOSED],
        more=len(closed) - MOST_CLOSED, away=away,
    )  # fmt: skip


def came(case: Case) -> str:
    """When it came and from whom: two of the same fish are told apart by it."""
    at = clock_at(case)
    from_whom = f"from {case.delivery.supplier}" if case.delivery.supplier else ""
    return ", ".join(filter(None, (f"came {day_and_time(at)}" if at else "", from_whom)))


def start(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = house.desk.new(Case(), once=str(form.get("once", "")), who=guest.name)
    return to(f"/d/{mark}/ask")


def receive(house: House, request: Request, guest: Guest) -> Response:
    return _grid(house, request, [], [], "")


def _grid(
    house: House,
    request: Request,
    rows: list[dict[str, str]],
    said: list[str],
    supplier: str,
    status: int = 200,
) -> Response:
    """The grid of boxes with what stands in it, and what is to be mended."""
    kinds = sorted(species.name for species in house.desk.reasoner.base.species.values())
    asked = [row["kind"] for row in rows if row["kind"]]
    rows = rows + [EMPTY] * (ROWS - len(rows))
    return house.page(
        request, "receive.html.j2", status=status, rows=rows, kinds=kinds, said=said, asked=asked,
        supplier=supplier,
    )  # fmt: skip


def take_in(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    rows, base = rows_of(form), house.desk.reasoner.base
    supplier = str(form.get("supplier", ""))
    try:
        case = received(rows, supplier, base)
    except AdvisorError as fault:
        return _grid(house, request, rows, str(fault).splitlines(), supplier, 422)
    kept = [str(kind) for kind in form.getlist("asked")]
    if unsure := unknown_kinds(rows, kept, base):
        return _grid(house, request, rows, unsure, supplier, 422)
    mark = house.desk.new(case, "received", str(form.get("once", "")), guest.name)
    return to(f"/d/{mark}/bags")
