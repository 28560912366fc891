"""kill -9 of the page's server while an answer is on its way: no answered question is lost.

    python -m tests.trust.kill_page [--count 500] [--seed 1]

Each trial answers one question in peace, which tells how long that takes just now, sends the
next answer and kills the server within 1.2 times as long, at a random moment. The server begins
again on the same folder. Then the case must load and hold every question it held before; an
answer the phone was told of must not be asked again; and the same form sent once more, as the
phone's script does, must count once.
"""

from __future__ import annotations

import argparse
import hashlib
import random
import re
import sys
import tempfile
import threading
import time
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path

import httpx

from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from tests.page.serving import Server

#: A kill comes within this many times what an answer took just before.
WITHIN = 1.2


@dataclass
class Count:
    """What the trials came to. ``cut``: answers of which the phone heard nothing."""

    kills: int = 0
    cut: int = 0
    taken: int = 0
    faults: list[str] = field(default_factory=list)


class Phone:
    """One person's browser: its cookie, and the delivery it is at."""

    def __init__(self, server: Server) -> None:
        self.server = server
        self.cookies = httpx.Cookies()
        with self.client() as client:
            client.post("/enter", data={"code": server.code, "name": "Ana"})
            self.cookies = client.cookies
        self.place = ""

    def client(self) -> httpx.Client:
        return httpx.Client(
            base_url=self.server.url, follow_redirects=True, timeout=60, cookies=self.cookies
        )

    def page(self, once: int) -> str:
        """The question that stands there now; a new delivery when none is left."""
        with self.client() as client:
            page = client.get(self.place) if self.place else None
            if page is None or not value(page.text, "asked"):
                token = value(client.get("/").text, "token")
                page = client.post("/start", data={"token": token, "once": f"{once}"})
                self.place = page.url.path
            return page.text

    def send(self, form: dict[str, str]) -> int | None:
        """Status of the answer; None when the server was gone before it."""
        try:
            with self.client() as client:
                return client.post(self.place, data=form, headers={"x-kept": "1"}).status_code
        except httpx.HTTPError:
            return None

    def case(self, folder: Path) -> Case:
        mark = self.place.split("/")[2]
        names = (p for p in folder.glob("*.toml"))
        return load_case(
            next(p for p in names if hashlib.sha256(p.stem.encode()).hexdigest()[:16] == mark)
        )


def value(page: str, name: str) -> str:
    """What a hidden field holds."""
    found = re.findall(rf'name="{name}" value="([^"]*)"', page)
    return unescape(found[-1]) if found else ""


def form_of(page: str) -> dict[str, str]:
    """The form of the page, answered with not knowing."""
    form = {name: value(page, name) for name in ("token", "once", "made", "asked")}
    return {**form, "tap": "unknown" if 'value="unknown"' in page else "line:"}


def one(server: Server, phone: Phone, rng: random.Random, count: Count) -> list[str]:
    """One kill; what is wrong with what it left behind."""
    began = time.monotonic()
    phone.send(form_of(phone.page(2 * count.kills)))
    page = phone.page(2 * count.kills + 1)
    usual_s = (time.monotonic() - began) / 2
    before = set(phone.case(server.folder).session.answered)
    form = form_of(page)
    heard: list[int | None] = []
    sending = threading.Thread(target=lambda: heard.append(phone.send(form)))
    sending.start()
    time.sleep(rng.uniform(0, WITHIN * usual_s))
    server.kill()
    sending.join()
    server.start()
    count.kills += 1
    count.cut += heard == [None]
    after = set(phone.case(server.folder).session.answered)
    count.taken += len(after - before)
    found = [f"lost {sorted(before - after)}"] if not before <= after else []
    if heard == [200] and value(phone.page(2 * count.kills), "asked") == form["asked"]:
        found.append(f"an answer told as taken is asked again: {form['asked']}")
    if (status := phone.send(form)) not in (200, 303):
        found.append(f"sent again: status {status}")
    again = set(phone.case(server.folder).session.answered)
    if not after <= again or len(again - before) > 1:
        found.append(f"sent again: {sorted(before)} became {sorted(again)}")
    return found


def run(trials: int, seed: int, say: bool = False) -> Count:
    """So many kills; every fault with the trial it came from."""
    count = Count()
    with tempfile.TemporaryDirectory(prefix="advisor-kill-page-") as name:
        server = Server(Path(name) / "cases")
        try:
            phone = Phone(server)
            for trial in range(trials):
                try:
                    found = one(server, phone, random.Random(f"{seed}/{trial}"), count)
                except (AdvisorError, StopIteration) as fault:
                    found = [f"{type(fault).__name__}: {fault}"]
                count.faults += [f"trial {trial}: {each}" for each in found]
                if say and (found or trial % 25 == 24):
                    print(trial + 1, f"kills, {count.cut} cut, {count.faults[-3:]}", flush=True)
        finally:
            server.kill()
    return count


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    count = run(asked.count, asked.seed, say=True)
    print(
        f"{count.kills} kills, {count.cut} in the middle of an answer, {count.taken} answers "
        f"in the file after the kill; {len(count.faults)} faults"
    )
    return 1 if count.faults else 0


if __name__ == "__main__":
    sys.exit(main())
