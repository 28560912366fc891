"""What every request must keep to, and what every answer of the server carries."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from advisor.page.entry import Door

#: Scripts and styles come from here alone, and none stand inside a page.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
ALWAYS = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), microphone=(), payment=(), usb=()",
    "cache-control": "no-store",
}
#: Most bytes of a form, and of one that carries a photograph.
MOST_FORM, MOST_UPLOAD = 64 * 1024, 12 * 1024 * 1024
_MOST_PATH = 300


class Guard:
    """Refuses foreign hosts, foreign origins and bodies too large; adds the headers.

    hosts : names under which this server is known, without the port
    """

    def __init__(self, app: ASGIApp, hosts: Iterable[str], door: Door) -> None:
        self._inner, self._hosts = app, frozenset(host.casefold() for host in hosts)
        self.door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return  # there is nothing to be made ready, and no other kind of talk

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(raw=message["headers"])
                for name, value in {"content-security-policy": POLICY, **ALWAYS}.items():
                    if name not in headers:
                        headers[name] = value
                message["headers"] = headers.raw
            await send(message)

        fault = self._fault(scope)
        if fault is not None:
            await PlainTextResponse(fault[1], fault[0])(scope, receive, sending)
            return
        most = MOST_UPLOAD if scope["path"].endswith("/photo") else MOST_FORM
        await self._inner(scope, _bounded(receive, most), sending)

    def _fault(self, scope: Scope) -> tuple[int, str] | None:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1 or _name_of(hosts[0]) not in self._hosts:
            return 400, "This server is not known by that name."
        if len(scope["path"]) > _MOST_PATH:
            return 414, "This address is too long."
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "Only looking and sending forms is possible here."
        if scope["method"] == "POST" and not _same_origin(headers, scope["scheme"], hosts[0]):
            return 403, "This form was sent from another page."
        most = MOST_UPLOAD if scope["path"].endswith("/photo") else MOST_FORM
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > most:
            return 413, f"This is larger than the {most // 1024} KiB that are taken here."
        return None


def _name_of(host: str) -> str:
    """The host without its port; an IPv6 address without its brackets."""
    if host.startswith("["):
        return host[1:].partition("]")[0].casefold()
    return host.partition(":")[0].casefold()


def _same_origin(headers: Headers, scheme: str, host: str) -> bool:
    """Browsers name the page a form comes from; where neither header is sent, the token decides."""
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    if site not in (None, "same-origin"):
        return False
    return origin is None or origin.casefold() == f"{scheme}://{host}".casefold()


def _bounded(receive: Receive, most: int) -> Receive:
    """Counts what really comes: the length that a request claims may be a lie or missing."""
    got = 0

    async def counted() -> Any:
        nonlocal got
        message = await receive()
        got += len(message.get("body", b""))
        if got > most:
            raise HTTPException(413)
        return message

    return counted
