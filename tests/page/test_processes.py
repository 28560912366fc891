"""Several processes behind one door: each delivery in one of them, none of them indispensable."""

from __future__ import annotations

import os
import re
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from tests.page.serving import Server

pytestmark = pytest.mark.slow


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path / "cases")
    yield server
    server.kill()


def children(server: Server) -> list[int]:
    pid = server.process.pid
    return list(map(int, Path(f"/proc/{pid}/task/{pid}/children").read_text().split()))


def come_in(server: Server) -> httpx.Client:
    client = httpx.Client(base_url=server.url, follow_redirects=True, timeout=60)
    client.post("/enter", data={"code": server.code, "name": "Ana"})
    return client


def value(page: httpx.Response, name: str) -> str:
    return re.findall(rf'name="{name}" value="([^"]*)"', page.text)[-1]


def answer(client: httpx.Client, page: httpx.Response) -> httpx.Response:
    form = {name: value(page, name) for name in ("token", "once", "made", "asked")}
    return client.post(page.url.path, data={**form, "tap": "unknown"})


@pytest.mark.skipif(len(os.sched_getaffinity(0)) < 2, reason="one core, one process")
def test_a_process_that_dies_is_begun_again_and_no_answer_is_lost(server: Server) -> None:
    client = come_in(server)
    page = client.post("/start", data={"token": value(client.get("/"), "token")})
    page = answer(client, page)
    kept = server.case
    assert len(children(server)) > 1
    for child in children(server):
        os.kill(child, signal.SIGKILL)
    time.sleep(0.5)
    again = client.get(page.url.path)
    assert value(again, "asked") == value(page, "asked") and server.case == kept
    answer(client, again)
    assert len(server.case.session.answered) == 2


def test_no_process_outlives_the_server(server: Server) -> None:
    come_in(server)
    for child in children(server):  # those begun later hold ends of the others' lines
        os.kill(child, signal.SIGKILL)
    time.sleep(0.5)
    left = children(server)
    server.kill()
    for _ in range(100):
        if not any(Path(f"/proc/{child}").exists() for child in left):
            return
        time.sleep(0.05)
    raise AssertionError("processes are left behind")


def test_two_deliveries_at_once_are_each_their_own(server: Server) -> None:
    client = come_in(server)
    token = value(client.get("/"), "token")
    pages = [client.post("/start", data={"token": token}) for _ in range(4)]
    for _ in range(3):
        pages = [answer(client, page) for page in pages]
    assert len({page.url.path for page in pages}) == 4
    assert len({value(page, "asked") for page in pages}) == 1
