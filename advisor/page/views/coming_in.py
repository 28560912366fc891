"""Coming in with the code of the day."""

from __future__ import annotations

from typing import Any
from urllib.parse import parse_qsl

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.page.entry import TooMany, called
from advisor.page.house import COOKIE, MOST_CARRIED, House, can_be_sent, to

WRONG = "That is not today's code. It stands in the terminal where the page was started."
WAIT = "Too many wrong codes from this address. Wait a minute, then try again."


#: Of a form that came along to the door, what a person wrote or chose.
_WRITTEN = ("words", "choice", "tap", "supplier", "kind", "count", "dead", "step", "action")


def routes(house: House) -> list[Route]:
    async def ask(request: Request) -> Response:
        return _door(house, request, code=request.query_params.get("code", "")[:20])

    async def come_in(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=10, max_part_size=64 * 1024) as form:
            code, name = str(form.get("code", ""))[:40], called(str(form.get("name", ""))[:200])
            then, kept = str(form.get("then", "")), str(form.get("kept", ""))
        if not can_be_sent(then) or len(kept) > MOST_CARRIED:
            then = kept = ""
        address = request.client.host if request.client else ""
        typed = {"typed_name": name, "then": then, "kept": kept}
        try:
            right = house.door.admits(code, address)
        except TooMany:
            return _door(house, request, status=429, said=WAIT, **typed)
        if not right:
            return _door(house, request, status=403, said=WRONG, **typed)
        cookie = house.door.cookie(name)
        answer = _waiting(house, request, cookie, then, kept) if then else to("/")
        answer.set_cookie(
            COOKIE, cookie, max_age=24 * 3600, httponly=True,
            samesite="strict", secure=house.secure, path="/",
        )  # fmt: skip
        return answer

    return [Route("/enter", ask), Route("/enter", come_in, methods=["POST"])]


def _door(house: House, request: Request, status: int = 200, **given: str) -> Response:
    empty = {"code": "", "typed_name": "", "then": "", "kept": "", "said": ""}
    values: dict[str, Any] = {**empty, **given}
    return house.page(request, "enter.html.j2", status=status, **values)


def _waiting(house: House, request: Request, cookie: str, then: str, kept: str) -> Response:
    """What was written before the day was over, to be sent with a tap: a form of this guest now."""
    fields = parse_qsl(kept, keep_blank_values=True, max_num_fields=400)
    written = [value for name, value in fields if name in _WRITTEN and value]
    return house.page(
        request, "waiting.html.j2", guest=house.door.guest(cookie), then=then,
        fields=[pair for pair in fields if pair[0] not in ("token", "by")],
        shown=", ".join(written).replace("_", " ") or "a button",
    )  # fmt: skip
