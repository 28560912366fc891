"""A clock that moves when told, set at noon of an invented day."""

from __future__ import annotations

from datetime import datetime, timedelta

NOON = datetime(2026, 3, 2, 12, 0)


class Clock:
    """Called for the time, as the program calls its own."""

    def __init__(self, now: datetime = NOON) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def forward(self, hours: float = 0.0, **more: float) -> None:
        """``more``: days, minutes or seconds."""
        self.now += timedelta(hours=hours, **more)
