"""Papers to look at and print, labels for tanks, the picture of the watch."""

from __future__ import annotations

import base64
import hashlib
import re

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from advisor.ask.hours import about
from advisor.page.desk import NoSuchCase
from advisor.page.entry import Guest
from advisor.page.house import House, known
from advisor.page.plans import plan_of
from advisor.papers.html import to_html
from advisor.papers.papers import PURPOSES, make_paper

_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
#: Drawings carry their looks in attributes; they are made into ones that need no style rule.
_ATTRIBUTE = re.compile(r' style="([^"]*)"')


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/paper/{purpose}", known(house, paper)),
        Route("/d/{mark}/labels", known(house, labels)),
    ]


def paper(house: House, request: Request, guest: Guest) -> Response:
    """A paper as ``advisor paper`` makes it; the policy lets in its own style sheet alone."""
    mark, purpose = request.path_params["mark"], request.path_params["purpose"]
    wanted = next((each for each in PURPOSES if each == purpose), None)
    if wanted is None:
        raise NoSuchCase("There is no such paper.")
    with house.desk.lock:
        text = to_html(make_paper(house.desk.case(mark), wanted, house.desk.reasoner))
    text = _ATTRIBUTE.sub(_as_attributes, text)
    hashes = " ".join(f"'sha256-{_digest(style)}'" for style in _STYLE.findall(text))
    policy = (
        f"default-src 'none'; style-src {hashes or chr(39) + 'none' + chr(39)}; img-src data:; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )
    return HTMLResponse(text, headers={"content-security-policy": policy})


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _as_attributes(found: re.Match[str]) -> str:
    pairs = (part.split(":", 1) for part in found.group(1).split(";") if ":" in part)
    return "".join(
        f' {name.strip()}="{value.strip()}"' for name, value in pairs if name.strip() != "font"
    )


def labels(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    case, _ = house.desk.result(mark)
    return house.page(
        request, "labels.html.j2", mark=mark, case=case, plan=plan_of(house.desk, mark),
        lots=[(lot, about(lot)) for lot in case.lot],
    )  # fmt: skip
