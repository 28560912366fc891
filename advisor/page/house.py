"""What every view needs: the desk, the door, templates, the guest of a request."""

from __future__ import annotations

import re
import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial, wraps
from typing import Any
from urllib.parse import urlencode

from anyio.to_thread import current_default_thread_limiter
from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from advisor.ask.hours import about, hours_since
from advisor.ask.standing import short
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.page.entry import Door, Guest
from advisor.page.entry import called as named
from advisor.page.open_cases import Desk, NoSuchCase
from advisor.wording.text import plain

_MOST_NAMED = 6
#: Longest form that goes along to the door [characters]; addresses that forms are sent to.
MOST_CARRIED = 20_000
_FORMS = re.compile(r"/(receive|start|train/\d+|d/[0-9a-f]{16}/[\w/.-]{1,200})")
#: A tap comes within seconds, or waited for the network [s].
_AT_ONCE_S, _MOST_WAITED_S = 5.0, 48 * 3600.0
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
        self,
        request: Request,
        name: str,
        *,
        status: int = 200,
        guest: Guest | None = None,
        **values: Any,
    ) -> HTMLResponse:
        """A page made of a template; ``guest``: who has come in with this very request."""
        guest = guest or self.guest(request)
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
            return await _come_in_first(house, request)
        async with request.form(max_files=1, max_fields=400, max_part_size=64 * 1024) as form:
            if not house.door.is_token(str(form.get("token", "")), guest):
                said = "This form is not one of yours; nothing was taken from it."
                return house.page(request, "refused.html.j2", status=403, said=said)
            if by := named(str(form.get("by", ""))):  # who had it when it was kept on the device
                guest = Guest(by, guest.mark)
            run = partial(work, house, request, guest, form)
            answer = await _on_a_thread(house, request, run)
            if answer.status_code == 303 and request.headers.get("x-kept"):
                # the script goes there itself; following here would draw the page twice
                return Response(answer.headers["location"], media_type="text/plain")
            return answer

    return view


async def _come_in_first(house: House, request: Request) -> Response:
    """What was written on a page whose day is over goes along to the door, and is sent after it."""
    if request.headers.get("x-kept"):  # the device keeps it
        return house.page(request, "refused.html.j2", status=403, said="Come in again first.")
    async with request.form(max_files=1, max_fields=400, max_part_size=64 * 1024) as form:
        pairs = [(name, value) for name, value in form.multi_items() if isinstance(value, str)]
    then, kept = request.url.path, urlencode([pair for pair in pairs if pair[0] != "token"])
    said = "Come in again first. What you had written waits, and is sent after that."
    if len(kept) > MOST_CARRIED or not can_be_sent(then):
        then, kept, said = "", "", "Come in again first."
    return house.page(
        request,
        "enter.html.j2",
        status=403,
        code="",
        typed_name="",
        then=then,
        kept=kept,
        said=said,
    )


def can_be_sent(path: str) -> bool:
    """Whether forms of this page go there, so that one may be sent on from the door."""
    return _FORMS.fullmatch(path) is not None and not path.endswith("/photo")


def hours_told(case: Case, now: datetime, form: FormData) -> float:
    """The hour after receipt at which a button was touched.

    A device without network keeps the tap, and says with it for how long [s].
    """
    try:
        waited = float(str(form.get("waited", "0")))
    except ValueError:
        waited = 0.0
    waited = min(max(0.0, waited), _MOST_WAITED_S) if waited > _AT_ONCE_S else 0.0
    return max(0.0, round(hours_since(case, now) - waited / 3600, 3))


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
