"""Signals that end a session: told from the person's own leaving, and kept from half a save."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import Any

_ENDING = ("SIGTERM", "SIGHUP")


class Ended(BaseException):
    """The system asks the program to end, or the terminal is gone."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


def status_of(stop: BaseException) -> int:
    """The exit status for what ended the session."""
    return 128 + stop.number if isinstance(stop, Ended) else 130


@contextmanager
def ending_signals() -> Iterator[None]:
    """SIGTERM and a closed terminal end the session like Ctrl-C does, with their own status."""

    def end(number: int, frame: FrameType | None) -> None:
        raise Ended(number)

    before = _set(_ENDING, end)
    try:
        yield
    finally:
        _put_back(before)


@contextmanager
def unbroken() -> Iterator[None]:
    """What ends a session waits until this is done; asked a second time, it waits no longer."""
    came: list[tuple[int, FrameType | None]] = []

    def later(number: int, frame: FrameType | None) -> None:
        came.append((number, frame))
        if len(came) > 1:
            _raise(before[number], number, frame)

    before: dict[int, Any] = {}
    before |= _set(("SIGINT", *_ENDING), later)
    try:
        yield
    finally:
        _put_back(before)
    if came:
        number, frame = came[0]
        _raise(before[number], number, frame)


def _raise(handler: Any, number: int, frame: FrameType | None) -> None:
    """Do what the handler would have done; one that is not Python's is left to the system."""
    if callable(handler):
        handler(number, frame)
    elif handler is not signal.SIG_IGN:
        signal.raise_signal(number)


def _set(names: tuple[str, ...], handler: Any) -> dict[int, Any]:
    """Handlers as they were before; none where there is no such signal or no main thread."""
    before: dict[int, Any] = {}
    for name in names:
        number = getattr(signal, name, None)
        if number is not None:
            with suppress(ValueError):  # not on the main thread
                before[number] = signal.signal(number, handler)
    return before


def _put_back(before: dict[int, Any]) -> None:
    for number, handler in before.items():
        signal.signal(number, signal.SIG_DFL if handler is None else handler)
