"""Several processes think at once: each delivery has its own, so that its session is in one place.

The engine thinks one thought at a time. Requests are given by the delivery's mark to one of a
few processes, each with the whole page in it; everything without a mark goes to the first.
"""

from __future__ import annotations

import asyncio
import gc
import multiprocessing
import os
import re
import threading
import time
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from itertools import count
from multiprocessing.connection import Connection
from typing import Any

from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST = 4
#: How often a process looks whether its parent is still there [s].
_HEED_S = 0.5
_MARK = re.compile(r"/d/([0-9a-f]{16})/")
#: Of a request, what the page needs to know.
_KEPT = ("type", "method", "path", "raw_path", "query_string", "headers", "scheme", "client",
         "server", "http_version", "root_path")  # fmt: skip
Answer = tuple[int, list[tuple[bytes, bytes]], bytes]


def worth_having() -> int:
    """So many processes as there are cores for them, at most four."""
    if not hasattr(os, "sched_getaffinity"):
        return 1  # not on Linux, where a process cannot be split off safely
    return min(MOST, len(os.sched_getaffinity(0)))


class Processes:
    """Passes requests on to the processes. Make it before any thread is begun.

    inner : the page itself, as each process has it
    """

    def __init__(self, inner: ASGIApp, number: int) -> None:
        self._each = [_Process(inner) for _ in range(number)]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        found = _MARK.match(scope["path"])
        at = int(found.group(1), 16) % len(self._each) if found else 0
        body = b""
        try:
            while True:
                message = await receive()
                body += message.get("body", b"")
                if not message.get("more_body"):
                    break
            answer = await asyncio.wrap_future(self._each[at].ask(scope, body))
        except HTTPException as fault:
            await PlainTextResponse("This is too large.", fault.status_code)(scope, receive, send)
            return
        except ConnectionError:
            said = "Busy for a moment; please send it again."
            await PlainTextResponse(said, 503)(scope, receive, send)
            return
        status, headers, content = answer
        await send({"type": "http.response.start", "status": status, "headers": headers})
        await send({"type": "http.response.body", "body": content})


class _Process:
    """One process, begun again when it should ever end."""

    def __init__(self, inner: ASGIApp) -> None:
        self._inner = inner
        self._waiting: dict[int, Future[Answer]] = {}
        self._numbers = count()
        self._lock = threading.Lock()
        self._begin()

    def _begin(self) -> None:
        ours, theirs = multiprocessing.Pipe()
        gc.freeze()  # what all processes share is not gone through again and again in each
        work = multiprocessing.get_context("fork").Process(
            target=_work, args=(theirs, ours, self._inner), daemon=True
        )
        work.start()
        theirs.close()
        self._line = ours
        self._listening: threading.Thread | None = None

    def ask(self, scope: Scope, body: bytes) -> Future[Answer]:
        answer: Future[Answer] = Future()
        with self._lock:
            if self._listening is None:  # not before the last fork: threads do not survive one
                self._listening = threading.Thread(target=self._listen, daemon=True)
                self._listening.start()
            number = next(self._numbers)
            self._waiting[number] = answer
            self._line.send((number, {key: scope.get(key) for key in _KEPT}, body))
        return answer

    def _listen(self) -> None:
        line = self._line
        while True:
            try:
                number, answer = line.recv()
            except (EOFError, OSError):
                break
            self._waiting.pop(number).set_result(answer)
        with self._lock:
            lost, self._waiting = self._waiting, {}
            self._begin()
        for each in lost.values():
            each.set_exception(ConnectionError())


# -- in the process ---------------------------------------------------------------


def _work(line: Connection, others: Connection, inner: ASGIApp) -> None:
    """Answer requests until the one that listens is gone, however it went."""
    import signal

    others.close()
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one that listens
    asyncio.run(_answering(line, inner))


def _end_with(parent: int) -> None:
    """End when the parent has. The line alone does not tell: later forks hold its ends too."""
    while os.getppid() == parent:
        time.sleep(_HEED_S)
    os._exit(0)


async def _answering(line: Connection, inner: ASGIApp) -> None:
    loop = asyncio.get_running_loop()
    hearing = ThreadPoolExecutor(1)
    sending = threading.Lock()
    tasks: set[asyncio.Task[None]] = set()

    async def one(number: int, scope: dict[str, Any], body: bytes) -> None:
        answer = await _answered(inner, scope, body)
        with sending, suppress(BrokenPipeError):  # nobody is there any more to be answered
            line.send((number, answer))

    while True:
        try:
            number, scope, body = await loop.run_in_executor(hearing, line.recv)
        except (EOFError, OSError):
            return
        task = asyncio.ensure_future(one(number, scope, body))
        tasks.add(task)
        task.add_done_callback(tasks.discard)


async def _answered(inner: ASGIApp, scope: dict[str, Any], body: bytes) -> Answer:
    """Run the page on one request that is whole, to an answer that is whole."""
    status, headers, parts = 500, [], []
    told = False

    async def receive() -> Message:
        nonlocal told
        if told:
            await asyncio.sleep(3600)
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Message) -> None:
        nonlocal status, headers
        if message["type"] == "http.response.start":
            status, headers = message["status"], list(message["headers"])
        elif message["type"] == "http.response.body":
            parts.append(message.get("body", b""))

    try:
        await inner({**scope, "asgi": {"version": "3.0"}, "extensions": {}}, receive, send)
    except Exception:  # its page was already sent by the handler of faults
        status = status if parts else 500
    return status, headers, b"".join(parts)
