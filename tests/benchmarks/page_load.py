"""Twenty phones answering the page at once: how long an answer takes, and what memory does.

    python -m tests.benchmarks.page_load [phones] [rounds]

Every phone is at a delivery of its own and in each round all of them send an answer in the
same moment; measured is from sending until the next question is there, as the script of the
page asks for it. The clients run in the same machine and take their share of it.
"""

from __future__ import annotations

import os
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from html import unescape
from pathlib import Path

import httpx


def main(phones: int = 20, rounds: int = 12) -> None:
    with tempfile.TemporaryDirectory() as folder, socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
        free.close()
        command = [sys.executable, "-m", "advisor", "serve", "--port", str(port)]
        server = subprocess.Popen([*command, "--cases", folder], stdout=subprocess.PIPE, text=True)
        try:
            _measure(server, f"http://127.0.0.1:{port}", phones, rounds)
        finally:
            server.kill()


def _measure(server: subprocess.Popen[str], url: str, phones: int, rounds: int) -> None:
    assert server.stdout is not None
    code = next(line for line in server.stdout if line.startswith("Code")).split(": ")[1].strip()
    time.sleep(1.5)
    taken: list[float] = []
    begun = 0.0
    together = threading.Barrier(phones + 1)
    threads = [
        threading.Thread(target=_phone, args=(url, code, f"p{at}", rounds, together, taken))
        for at in range(phones)
    ]
    for thread in threads:
        thread.start()
    sizes = []
    for _ in range(rounds):
        together.wait()
        sizes.append(_resident_mb(server.pid))
        begun = begun or _cpu_s(server.pid)
    for thread in threads:
        thread.join()
    taken.sort()
    print(f"{len(taken)} answers of {phones} phones at once")
    print(f"median {statistics.median(taken) * 1000:.0f} ms, worst {taken[-1] * 1000:.0f} ms")
    cpu = (_cpu_s(server.pid) - begun) / len(taken)
    print(f"{cpu * 1000:.0f} ms of the server's processors for each")
    sizes.append(_resident_mb(server.pid))
    fifths = [sizes[len(sizes) * at // 5] for at in range(5)] + sizes[-1:]
    print(f"resident, a fifth of the way each: {', '.join(f'{mb:.0f} MB' for mb in fifths)}")


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
