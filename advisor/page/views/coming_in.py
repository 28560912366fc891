"""Coming in with the code of the day."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.page.entry import TooMany
from advisor.page.house import COOKIE, House, to

WRONG = "That is not today's code. It stands in the terminal where the page was started."
WAIT = "Too many wrong codes from this address. Wait a minute, then try again."


def routes(house: House) -> list[Route]:
    async def ask(request: Request) -> Response:
        code = request.query_params.get("code", "")[:20]
        return house.page(request, "enter.html.j2", code=code, said="")

    async def come_in(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=10, max_part_size=2048) as form:
            code, name = str(form.get("code", ""))[:40], str(form.get("name", ""))[:200]
        address = request.client.host if request.client else ""
        try:
            right = house.door.admits(code, address)
        except TooMany:
            return house.page(request, "enter.html.j2", status=429, code="", said=WAIT)
        if not right:
            return house.page(request, "enter.html.j2", status=403, code="", said=WRONG)
        answer = to("/")
        answer.set_cookie(
            COOKIE, house.door.cookie(name), max_age=24 * 3600, httponly=True,
            samesite="strict", secure=house.secure, path="/",
        )  # fmt: skip
        return answer

    return [Route("/enter", ask), Route("/enter", come_in, methods=["POST"])]
