"""Instrument logs: read with nothing taken by default, then put into a case."""

from __future__ import annotations

from advisor.case.logs.asking import LogAsks, LogQuestion, LogRefused, told_from
from advisor.case.logs.read import Log, LogRow, Understood, read_log

__all__ = [
    "Log",
    "LogAsks",
    "LogQuestion",
    "LogRefused",
    "LogRow",
    "Understood",
    "read_log",
    "told_from",
]
