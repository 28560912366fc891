"""The clocks of the lots: each rings once, at its time, one after the other."""

from __future__ import annotations

import io
import os
import sys
import time
from datetime import datetime, timedelta
from pathlib import Path

import pexpect
import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import default_reasoner
from advisor.ask.alarms import Alarm, alarms
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.screens.show_watch import BELL, line, watch
from tests.said import Terminal

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


def test_the_last_minutes_are_counted_in_seconds() -> None:
    at = datetime(2026, 1, 1, 12, 0, 0)
    alarm = Alarm("danios", at, "first look")
    assert "in 40 s" in line(alarm, at - timedelta(seconds=40))
    assert "in 12 min" in line(alarm, at - timedelta(minutes=12))
    assert "now" in line(alarm, at + timedelta(seconds=1))


@pytest.mark.parametrize("columns", [40, 80])
def test_the_countdown_stays_on_its_line_and_ctrl_c_ends_it(columns: int, tmp_path: Path) -> None:
    received = datetime.now().astimezone() - timedelta(minutes=14)
    lots = "".join(
        f'[[lot]]\nid = "{name}"\ncount = 10\n[[observation]]\nat_hours = 0\nlot = "{name}"\n'
        'seen = ["gasping_at_surface"]\n'
        for name in ("danios", "swordtails")
    )
    path = tmp_path / "two.toml"
    head = f'format = "arrival-case-1"\n[delivery]\nreceived = "{received.isoformat()}"\n'
    path.write_text(head + lots, encoding="utf-8")
    child = Terminal(
        sys.executable,
        ["-m", "advisor", "watch", str(path)],
        dimensions=(24, columns),
        encoding="utf-8",
        timeout=60,
        env={name: value for name, value in os.environ.items() if name not in ("COLUMNS", "LINES")},
    )
    child.until_said("danios")
    child.expect(r"\r\d\d:\d\d")
    time.sleep(2.5)
    child.sendintr()
    child.expect_exact("Stopped.")
    drawn = [
        piece
        for piece in child.before.replace("^C", "").split("\r")
        if "in " in piece and "\n" not in piece
    ]
    assert len(drawn) >= 2 and max(map(len, drawn)) < columns
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
