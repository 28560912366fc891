"""Instrument logs: read with nothing taken by default, then put into a case."""

from __future__ import annotations

from advisor.case.logs.asking import LogAsks, LogRefused, Question, told_from
from advisor.case.logs.read import Log, Row, Understood, read_log

__all__ = ["Log", "LogAsks", "LogRefused", "Question", "Row", "Understood", "read_log", "told_from"]
