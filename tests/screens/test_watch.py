"""The clocks of the lots: each rings once, at its time, one after the other."""

from __future__ import annotations

import io
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from advisor.advice.assess import assess, default_reasoner
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.screens.show_watch import BELL, alarms, watch

CASE = Path(__file__).parents[2] / "cases/demo/four-lots-one-burned-on-opening.toml"


def test_each_lot_rings_once_at_its_time() -> None:
    case = load_case(CASE)
    result = assess(case, default_reasoner(None))
    received = datetime.fromisoformat(case.delivery.received or "")
    last = max(look.at_hours for look in case.observation)
    now = [received + timedelta(hours=last, minutes=1)]
    rung: list[tuple[str, datetime]] = []

    class Screen(io.StringIO):
        def write(self, text: str) -> int:
            rung.extend((text, now[0]) for _ in range(text.count(BELL)))
            return super().write(text)

    def wait(seconds: float) -> None:
        now[0] += timedelta(seconds=seconds)

    due = alarms(case, result, now[0])
    assert len(due) == len(result.lots)
    watch(case, result, out=Screen(), clock=lambda: now[0], wait=wait)
    assert len(rung) == len(result.lots)
    for alarm, (text, at) in zip(due, rung, strict=True):
        assert alarm.lot in text
        assert alarm.at <= at <= alarm.at + timedelta(seconds=30)


def test_a_case_without_looks_says_so() -> None:
    case = Case()
    with pytest.raises(AdvisorError, match="no look is due"):
        watch(case, assess(case, default_reasoner(None)), once=True, out=io.StringIO())
