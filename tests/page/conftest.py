"""A page in memory, with a clock that moves when told."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from html import unescape
from pathlib import Path

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

from starlette.testclient import TestClient

from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.case import Case, load_case
from advisor.page.application import door_of, make_app
from tests.clock import Clock

HERE = "http://127.0.0.1"


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()


@dataclass
class Phone:
    """One browser. ``page`` is the text of what it shows."""

    client: TestClient
    page: str = ""
    path: str = ""
    status: int = 200

    def get(self, path: str) -> str:
        answer = self.client.get(path)
        self.page, self.path, self.status = answer.text, answer.url.path, answer.status_code
        return self.page

    def hidden(self, name: str) -> str:
        found = re.findall(rf'name="{name}" value="([^"]*)"', self.page)
        return unescape(found[-1]) if found else ""

    def post(self, path: str, **fields: object) -> str:
        answer = self.client.post(path, data={"token": self.hidden("token"), **fields})
        self.page, self.path, self.status = answer.text, answer.url.path, answer.status_code
        return self.page

    def answer(self, **fields: object) -> str:
        """Send the question's form as it stands."""
        given = {name: self.hidden(name) for name in ("once", "made", "asked")}
        return self.post(self.path, **{**given, **fields})

    @property
    def title(self) -> str:
        found = re.search(r"<h1[^>]*>(.*?)</h1>", self.page, re.DOTALL)
        return unescape(re.sub(r"<[^>]+>", "", found.group(1))).strip() if found else ""

    @property
    def asked(self) -> str:
        return self.hidden("asked")


@dataclass
class Room:
    """A page over a folder; started again it is the same page."""

    folder: Path
    reasoner: Reasoner
    clock: Clock

    def __post_init__(self) -> None:
        self.restart()

    def restart(self) -> None:
        self.app = make_app(self.folder, self.reasoner, clock=self.clock)

    @property
    def code(self) -> str:
        return door_of(self.app).code()

    def client(self) -> TestClient:
        return TestClient(self.app, base_url=HERE)

    def phone(self, name: str = "Ana") -> Phone:
        phone = Phone(self.client())
        phone.client.post("/enter", data={"code": self.code, "name": name})
        phone.get("/")
        return phone


Open = Callable[[], Room]


@pytest.fixture
def room(tmp_path: Path, reasoner: Reasoner) -> Room:
    return Room(tmp_path / "cases", reasoner, Clock())


@pytest.fixture
def phone(room: Room) -> Phone:
    """Somebody who has begun to be asked."""
    phone = room.phone("Ana")
    phone.post("/start")
    return phone


def taps(phone: Phone) -> list[str]:
    return re.findall(r'name="tap" value="([^"]+)"', phone.page)


def case_of(room: Room) -> Case:
    (path,) = room.folder.glob("*.toml")
    return load_case(path)


def delivery(phone: Phone) -> str:
    return phone.path.rsplit("/", 1)[0]
