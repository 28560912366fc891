"""What every view needs: the desk, the door, templates, the guest of a request."""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from functools import partial, wraps
from typing import Any

from anyio.to_thread import current_default_thread_limiter
from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from advisor.ask.hours import about
from advisor.ask.standing import short
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.page.entry import Door, Guest
from advisor.page.open_cases import Desk, NoSuchCase
from advisor.wording.text import plain

_MOST_NAMED = 6
COOKIE = "advisor_room"
#: Names of this computer for itself: nobody else reads such a line.
LOCAL = ("127.0.0.1", "localhost", "::1")
#: Threads of a process: one thinks while others write or draw. The engine thinks one thought at
#: a time, so more would only wait, and each would keep memory of its own.
MOST_THREADS = 3
View = Callable[[Request], Awaitable[Response]]


@dataclass(frozen=True)
class House:
    """secure : the line is encrypted, so the cookie may say so"""

    desk: Desk
    door: Door
    secure: bool
    templates: Environment

    def guest(self, request: Request) -> Guest | None:
        return self.door.guest(request.cookies.get(COOKIE, ""))

    def page(
        self, request: Request, name: str, *, status: int = 200, **values: Any
    ) -> HTMLResponse:
        """A page made of a template."""
        guest = self.guest(request)
        text = self.templates.get_template(name).render(
            guest=guest,
            address=request.url.path,
            token="" if guest is None else self.door.token(guest),
            once=secrets.token_hex(8),
            made=self.desk.now(),
            open_line=not self.secure and request.url.hostname not in LOCAL,
            **values,
        )
        return HTMLResponse(text, status)


def make_templates() -> Environment:
    """Every text is cleaned of control codes and escaped."""
    made = Environment(
        loader=PackageLoader("advisor.page"),
        autoescape=True,
        auto_reload=False,
        undefined=StrictUndefined,
        finalize=lambda value: plain(value) if type(value) is str else value,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["called"] = called
    made.filters["order"] = short
    made.filters["begun"] = lambda text: text[:1].upper() + text[1:]
    return made


def called(case: Case) -> str:
    """A delivery by its title, or by its fish until it has one."""
    lots = ", ".join(about(lot) for lot in case.lot[:_MOST_NAMED])
    return case.delivery.title or lots or "Fish that look wrong"


def to(path: str) -> RedirectResponse:
    return RedirectResponse(path, 303)


def known(house: House, work: Callable[[House, Request, Guest], Response]) -> View:
    """A page for those who have come in. ``work`` runs on a thread: it may think."""

    @wraps(work)
    async def view(request: Request) -> Response:
        guest = house.guest(request)
        if guest is None:
            return to("/enter")
        return await _on_a_thread(house, request, partial(work, house, request, guest))

    return view


def sent(house: House, work: Callable[[House, Request, Guest, FormData], Response]) -> View:
    """A form of those who have come in, with its token."""

    @wraps(work)
    async def view(request: Request) -> Response:
        guest = house.guest(request)
        if guest is None:
            return house.page(request, "refused.html.j2", status=403, said="Come in again first.")
        async with request.form(max_files=1, max_fields=400, max_part_size=64 * 1024) as form:
            if not house.door.is_token(str(form.get("token", "")), guest):
                said = "This form is not one of yours; nothing was taken from it."
                return house.page(request, "refused.html.j2", status=403, said=said)
            run = partial(work, house, request, guest, form)
            answer = await _on_a_thread(house, request, run)
            if answer.status_code == 303 and request.headers.get("x-kept"):
                # the script goes there itself; following here would draw the page twice
                return Response(answer.headers["location"], media_type="text/plain")
            return answer

    return view


async def _on_a_thread(house: House, request: Request, work: Callable[[], Response]) -> Response:
    current_default_thread_limiter().total_tokens = MOST_THREADS  # of the loop that runs now
    return await run_in_threadpool(_sheltered, house, request, work)


def _sheltered(house: House, request: Request, work: Callable[[], Response]) -> Response:
    """A fault meant for a person is a page, not a trace."""
    try:
        return work()
    except NoSuchCase as fault:
        return house.page(request, "refused.html.j2", status=404, said=str(fault))
    except AdvisorError as fault:
        return house.page(request, "refused.html.j2", status=422, said=str(fault))
