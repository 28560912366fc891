"""Requests without sense: none may end in a fault of the program or show a path of this computer.

python -m tests.page.fuzz [requests] [seed]            to ``advisor serve`` over loopback
python -m tests.page.fuzz [requests] [seed] memory     to the application in this process
"""

from __future__ import annotations

import argparse
import asyncio
import random
import re
import sys
import tempfile
from collections import Counter
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

import httpx

from advisor.advice.reasoner import default_reasoner
from advisor.page.application import door_of, make_app
from tests.page.serving import Server

WAYS = ("ask", "look", "close", "plan", "answers", "bags", "why", "photo", "trend", "trend.svg",
        "settle", "done", "claim", "photo/1", "photo/99999999999", "paper/vet", "paper/log",
        "paper/supplier", "paper/labels", "paper/x", "quick/fish", "quick/guppy", "changed/fish",
        "again/hours_sealed", "again/kinds/fish", "again/../../etc")  # fmt: skip
PLACES = ("/", "/watch", "/receive", "/start", "/enter", "/train", "/train/any", "/train/3",
          "/train/0", "/train/-1", "/static/page.css", "/static/../entry.py", "/none")  # fmt: skip
FIELDS = ("tap", "words", "choice", "rest", "asked", "made", "once", "lot", "step", "way", "want",
          "key", "action", "back", "kind", "count", "bags", "tank", "supplier", "dead", "cause",
          "never", "code", "name", "note", "picture", "token")  # fmt: skip
WORDS = (
    "", "0", "u", "=", "e", "s", "b", "q", "?", "p", "a 1", "a 99", "d 1", "7.2", "-1", "1e309",
    "nan", "99999999999999999999", "30 h", "2 dead", "30 neon tetra", "guppy", "fish", "unknown",
    "none", "go", "opened", "out", "take:new", "line:", "line:y", "take:", "{{7*7}}", "%00",
    "<script>alert(1)</script>", "../../../etc/passwd", "\x00", "\u202e", "\U0001f600", "a" * 3000,
    "2026-03-02T12:00:00", "where_are_they/fish||", "hours_sealed||", "||", "\r\nset-cookie: x=1",
)  # fmt: skip


def words(rng: random.Random) -> str:
    if rng.random() < 0.15:
        span = rng.choice(((32, 127), (160, 0x3000)))
        return "".join(chr(rng.randrange(*span)) for _ in range(9))
    return rng.choice(WORDS)


@asynccontextmanager
async def reached(folder: Path, served: bool) -> AsyncIterator[tuple[httpx.AsyncClient, str]]:
    """A client of the page, and the code of the day: a process of its own, or this one."""
    if not served:
        app = make_app(folder, default_reasoner())
        wire = httpx.ASGITransport(app=app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=wire, base_url="http://127.0.0.1") as client:
            yield client, door_of(app).code()
        return
    server = Server(folder)
    try:
        async with httpx.AsyncClient(base_url=server.url, timeout=60) as client:
            yield client, server.code
        assert server.process.poll() is None, "the page's process has ended"
    finally:
        server.kill()


async def run(number: int, seed: int, served: bool) -> Counter[int]:
    """Statuses counted; under -1 faults, and answers that never came."""
    rng = random.Random(seed)
    found: Counter[int] = Counter()
    with tempfile.TemporaryDirectory(prefix="fuzzed-folder-") as folder:
        leak = re.compile(
            re.escape(folder) + r"|Traceback|site-packages|\.py\b|/home/|/root|root:x", re.ASCII
        )
        async with reached(Path(folder), served) as (client, code):
            await client.post("/enter", data={"code": code, "name": "Ana"})
            marks: list[str] = []
            page = (await client.get("/")).text
            for at in range(number):
                if at % 500 == 0 and len(marks) < 12:
                    begun = await client.post("/start", data={"token": token(page)})
                    marks += re.findall(r"/d/([0-9a-f]{16})/", begun.headers.get("location", ""))
                if at % 500 == 0:
                    print(f"{at} sent: {dict(found)}", file=sys.stderr, flush=True)
                try:
                    answer = await one(client, rng, marks, page)
                except httpx.HTTPError as error:
                    print(f"no answer to request {at}: {type(error).__name__}: {error}")
                    found[-1] += 1
                    continue
                found[answer.status_code] += 1
                text = answer.text
                if "html" in answer.headers.get("content-type", "") and token(text):
                    page = text
                hit = leak.search(text) or leak.search(str(answer.headers))
                if answer.status_code >= 500 or hit:
                    sent = answer.request
                    print(answer.status_code, hit, sent.method, sent.url, sent.content[:300])
                    found[-1] += 1
    return found


def token(page: str) -> str:
    got = re.findall(r'name="token" value="([0-9a-f]+)"', page)
    return got[-1] if got else ""


async def one(
    client: httpx.AsyncClient, rng: random.Random, marks: list[str], page: str
) -> httpx.Response:
    mark = rng.choice(marks) if marks and rng.random() < 0.9 else words(rng)[:40]
    place = f"/d/{mark}/{rng.choice(WAYS)}" if rng.random() < 0.75 else rng.choice(PLACES)
    wild = quote(words(rng)[:50], errors="replace") if rng.random() < 0.05 else ""
    path = quote(place, errors="replace") + wild
    if rng.random() < 0.35:
        return await client.get(path, params={"asked": words(rng)} if rng.random() < 0.2 else None)
    form: dict[str, Any] = {name: words(rng) for name in rng.sample(FIELDS, rng.randint(0, 6))}
    if rng.random() < 0.9:
        form["token"] = token(page)
    if rng.random() < 0.5:  # the form as it stands, filled in any way
        form |= dict(re.findall(r'name="(once|made|asked)" value="([^"]*)"', page))
        form.setdefault("tap", rng.choice(("unknown", "none", "go", "line:")))
    if rng.random() < 0.05:
        raw = rng.randbytes(rng.randint(0, 300))
        return await client.post(path, data={"token": token(page)}, files={"picture": ("a", raw)})
    if rng.random() < 0.03:
        kind = rng.choice(("multipart/form-data; boundary=x", "application/json", "text/plain"))
        return await client.post(path, content=rng.randbytes(200), headers={"content-type": kind})
    return await client.post(path, data=form)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("requests", type=int, nargs="?", default=20_000)
    parser.add_argument("seed", type=int, nargs="?", default=0)
    parser.add_argument("how", nargs="?", choices=("served", "memory"), default="served")
    asked = parser.parse_args()
    found = asyncio.run(run(asked.requests, asked.seed, asked.how == "served"))
    faults = found.pop(-1, 0)
    print(f"{asked.requests} requests, {faults} faults; by status: {dict(sorted(found.items()))}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
