"""The page as one ASGI application."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from advisor.advice.reasoner import Reasoner
from advisor.page.entry import Door, secret_in
from advisor.page.guard import Guard
from advisor.page.house import LOCAL, House, make_templates
from advisor.page.open_cases import Desk
from advisor.page.processes import Processes
from advisor.page.views import (
    bags,
    boxes,
    coming_in,
    deliveries,
    one_look,
    one_question,
    papers,
    photos,
    train,
    watch,
)

HERE = Path(__file__).parent
REFUSED = {404: "There is no such page.", 413: "This is larger than what is taken here."}


def make_app(
    folder: Path,
    reasoner: Reasoner,
    *,
    hosts: Iterable[str] = LOCAL,
    secure: bool = False,
    clock: Callable[[], datetime] = datetime.now,
    processes: int = 0,
) -> ASGIApp:
    """The page over the cases of a folder.

    hosts  : names and addresses under which it may be asked for
    secure : it is served over an encrypted line
    processes : so many think at once, each with its share of the deliveries; 0: this one
    """
    desk = Desk(folder, reasoner, clock)
    door = Door(secret_in(desk.beside), clock)
    house = House(desk, door, secure, make_templates())
    views = (
        coming_in,
        deliveries,
        bags,
        boxes,
        one_look,
        watch,
        papers,
        photos,
        train,
        one_question,
    )

    async def refused(request: Request, fault: Exception) -> Response:
        status = fault.status_code if isinstance(fault, HTTPException) else 500
        said = REFUSED.get(status, "This could not be done.")
        return house.page(request, "refused.html.j2", status=status, said=said)

    app = Starlette(
        routes=[
            *(route for view in views for route in view.routes(house)),
            Mount("/static", StaticFiles(directory=HERE / "static"), name="static"),
        ],
        exception_handlers={HTTPException: refused, Exception: refused},
    )
    if processes > 1:
        desk.make_ready()  # once, for all of them
        return Guard(Processes(app, processes), hosts, door)
    return Guard(app, hosts, door)


def door_of(app: ASGIApp) -> Door:
    """The door of an application made here: whoever starts it tells people today's code."""
    assert isinstance(app, Guard)
    return app.door
