"""Papers to look at and print, and the picture of the watch."""

from __future__ import annotations

import base64
import hashlib
import re

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from advisor.page.entry import Guest
from advisor.page.house import House, known
from advisor.page.open_cases import NoSuchCase
from advisor.page.views.photos import kept_pictures
from advisor.papers.blocks import Picture
from advisor.papers.html import to_html
from advisor.papers.one_paper import PURPOSES, make_paper
from advisor.papers.which_pictures import watch_pictures

_EMPTY = re.compile(r"<style[^>]*/>")
_STYLE = re.compile(r"<style[^>]*>(.*?)</style>", re.DOTALL)
#: Drawings carry their looks in rules inside them; those that are attributes too become such.
_ATTRIBUTE = re.compile(r' style="([^"]*)"')
_LOOKS = re.compile(
    r"(fill|stroke|opacity|text-anchor|font-(size|family|weight|style)|stop-color)(-[a-z]+)*"
)


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/paper/{purpose}", known(house, paper)),
        Route("/d/{mark}/trend", known(house, trend)),
        Route("/d/{mark}/trend.svg", known(house, drawing)),
    ]


def paper(house: House, request: Request, guest: Guest) -> Response:
    """A paper as ``advisor paper`` makes it; the policy lets in its own style sheet alone."""
    mark, purpose = request.path_params["mark"], request.path_params["purpose"]
    wanted = next((each for each in PURPOSES if each == purpose), None)
    if wanted is None:
        raise NoSuchCase("There is no such paper.")
    full = request.query_params.get("full") == "1"
    photos = kept_pictures(house, mark) if wanted in ("vet", "supplier") else []
    with house.desk.thinking:
        made = make_paper(
            house.desk.case(mark), wanted, house.desk.reasoner, photos=photos, full=full,
            scan=f"{str(request.base_url).rstrip('/')}/d/{mark}",
        )  # fmt: skip
        text = _without_inner_looks(to_html(made))
    return HTMLResponse(text, headers={"content-security-policy": _policy(text)})


def trend(house: House, request: Request, guest: Guest) -> Response:
    """Readings and fish alive over the looks, as a picture and as a table."""
    mark = request.path_params["mark"]
    return house.page(
        request, "trend.html.j2", mark=mark, case=house.desk.case(mark),
        picture=_picture(house, mark),
    )  # fmt: skip


def drawing(house: House, request: Request, guest: Guest) -> Response:
    picture = _picture(house, request.path_params["mark"])
    if picture is None:
        raise NoSuchCase("There is nothing to draw yet.")
    text = _without_inner_looks(picture.svg)
    headers = {"content-security-policy": _policy(text)}
    return Response(text, media_type="image/svg+xml", headers=headers)


def _picture(house: House, mark: str) -> Picture | None:
    with house.desk.thinking:
        blocks = watch_pictures(house.desk.case(mark), None, house.desk.reasoner.base, "page")
    return next((block for block in blocks if isinstance(block, Picture)), None)


def _policy(text: str) -> str:
    """Nothing but these very style sheets and the pictures inside."""
    hashes = " ".join(f"'sha256-{_digest(style)}'" for style in _STYLE.findall(text))
    return (
        f"default-src 'none'; style-src {hashes or chr(39) + 'none' + chr(39)}; img-src data:; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _without_inner_looks(text: str) -> str:
    return _ATTRIBUTE.sub(_as_attributes, _EMPTY.sub("", text))


def _as_attributes(found: re.Match[str]) -> str:
    pairs = (part.split(":", 1) for part in found.group(1).split(";") if ":" in part)
    named = ((name.strip(), value.strip()) for name, value in pairs)
    return "".join(f' {name}="{value}"' for name, value in named if _LOOKS.fullmatch(name))
