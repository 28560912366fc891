"""Twenty phones answering the page at once: how long an answer takes, and what memory does.

    python -m tests.benchmarks.page_load [phones] [rounds]

Every phone is at a delivery of its own and in each round all of them send an answer in the
same moment; measured is from sending until the next question is there, as the script of the
page asks for it. The clients run in the same machine and take their share of it.
"""

from __future__ import annotations

import os
import re
import statistics
import sys
import tempfile
import threading
import time
from html import unescape
from pathlib import Path
from typing import NamedTuple

import httpx

from tests.page.serving import Server


class Load(NamedTuple):
    """Seconds of each answer in order of length; processor seconds of the server for one;
    MB resident after each round."""

    taken: list[float]
    cpu_s: float
    sizes: list[float]


def main(phones: int = 20, rounds: int = 12) -> None:
    load = measured(phones, rounds)
    print(f"{len(load.taken)} answers of {phones} phones at once")
    median, worst = statistics.median(load.taken), load.taken[-1]
    print(f"median {median * 1000:.0f} ms, worst {worst * 1000:.0f} ms")
    print(f"{load.cpu_s * 1000:.0f} ms of the server's processors for each")
    fifths = [load.sizes[len(load.sizes) * at // 5] for at in range(5)] + load.sizes[-1:]
    print(f"resident, a fifth of the way each: {', '.join(f'{mb:.0f} MB' for mb in fifths)}")


def measured(phones: int, rounds: int) -> Load:
    """So many phones at a server of its own over loopback."""
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder))
        try:
            return _measure(server, phones, rounds)
        finally:
            server.kill()


def _measure(server: Server, phones: int, rounds: int) -> Load:
    taken: list[float] = []
    begun = 0.0
    together = threading.Barrier(phones + 1)
    threads = [
        threading.Thread(
            target=_phone, args=(server.url, server.code, f"p{at}", rounds, together, taken)
        )
        for at in range(phones)
    ]
    for thread in threads:
        thread.start()
    sizes, pid = [], server.process.pid
    for _ in range(rounds):
        together.wait()
        sizes.append(_resident_mb(pid))
        begun = begun or _cpu_s(pid)
    for thread in threads:
        thread.join()
    sizes.append(_resident_mb(pid))
    return Load(sorted(taken), (_cpu_s(pid) - begun) / len(taken), sizes)


def _phone(
    url: str, code: str, name: str, rounds: int, together: threading.Barrier, taken: list[float]
) -> None:
    with httpx.Client(base_url=url, follow_redirects=True, timeout=60) as client:
        client.post("/enter", data={"code": code, "name": name})
        page = _begin(client)
        for _ in range(rounds):
            together.wait()
            if not _value(page.text, "asked"):
                page = _begin(client)
            form = {name: _value(page.text, name) for name in ("token", "once", "made", "asked")}
            form["tap"] = "unknown" if 'value="unknown"' in page.text else "line:"
            at = page.url.path
            start = time.perf_counter()
            reply = client.post(at, data=form, headers={"x-kept": "1"})
            page = client.get(reply.text)  # as the script of the page does
            taken.append(time.perf_counter() - start)
            assert page.status_code == 200


def _begin(client: httpx.Client) -> httpx.Response:
    token = _value(client.get("/").text, "token")
    return client.post("/start", data={"token": token})


def _value(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    return unescape(found.group(1)) if found else ""


def _resident_mb(pid: int) -> float:
    """Of the server and the processes it has split off; what they share counts once."""
    found = 0.0
    for sizes in _told(pid, "smaps_rollup"):
        kilobytes = re.search(r"^Pss:\s+(\d+)", sizes, re.MULTILINE)
        found += int(kilobytes.group(1)) / 1024 if kilobytes else 0.0
    return found


def _cpu_s(pid: int) -> float:
    """Processor time of the same so far."""
    fields = (stat.rpartition(")")[2].split() for stat in _told(pid, "stat"))
    return sum(int(each[11]) + int(each[12]) for each in fields) / os.sysconf("SC_CLK_TCK")


def _told(pid: int, what: str) -> list[str]:
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text("ascii").split()
    return [Path(f"/proc/{each}/{what}").read_text() for each in (pid, *children)]


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
