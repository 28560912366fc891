"""Makes the three logs that are too big to keep, and says what is expected of each.

Values follow whole-number steps, so that first and last can be worked on paper. Each function
writes one invented log and returns its expectation, with the keys of the `.expect.toml` files.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

HEADINGS = "Time,Temp (°C),O2 (mg/L)\n"


def _row(number: int, start: datetime, step_s: int) -> str:
    """Row `number` from 0: temperature swings 22.00 to 28.00, oxygen climbs 6.00 to 7.99."""
    time = start + timedelta(seconds=step_s * number)
    temperature = 2200 + abs(number % 1200 - 600)
    oxygen = 600 + number * 7 % 200
    return f"{time:%Y-%m-%d %H:%M:%S},{temperature / 100:.2f},{oxygen / 100:.2f}\n"


def long_run(path: Path) -> dict[str, Any]:
    """Three weeks at ten-second steps, 200,000 rows, 6.2 MB.

    Last row 199,999: temperature step 799, so 22.00 + 1.99; oxygen step 1,399,993, so 6.00 + 1.93;
    1,999,990 s are 23 days 3 h 33 min 10 s.
    """
    start = datetime(2026, 1, 5)
    with path.open("w", encoding="utf-8", newline="\n") as log:
        log.write(HEADINGS)
        log.writelines(_row(number, start, 10) for number in range(200_000))
    return {
        "file": path.name,
        "outcome": "taken",
        "also_right": ["refused"],
        "why": "Nothing is wrong with it; refused only if a limit of size is said in the sentence.",
        "rows": 200_000,
        "skipped": 0,
        "first_time": "2026-01-05T00:00:00",
        "last_time": "2026-01-28T03:33:10",
        "columns": [
            {
                "header": "Temp (°C)",
                "parameter": "temperature_c",
                "unit_written": "°C",
                "first": 28.00,
                "last": 23.99,
            },
            {
                "header": "O2 (mg/L)",
                "parameter": "do_mg_l",
                "unit_written": "mg/L",
                "first": 6.00,
                "last": 7.93,
            },
        ],
    }


def one_giant_line(path: Path, megabytes: int = 49) -> dict[str, Any]:
    """Three good rows, then one line of `megabytes` without an end: refused within seconds."""
    start = datetime(2026, 1, 5)
    with path.open("w", encoding="utf-8", newline="\n") as log:
        log.write(HEADINGS)
        log.writelines(_row(number, start, 10) for number in range(3))
        for _ in range(megabytes):
            log.write("7.1," * 250_000)
    return {
        "file": path.name,
        "outcome": "refused",
        "why": "A line of many megabytes is no row of an instrument.",
        "reason": "a line is longer than any log's",
        "line": 5,
        "rows": 0,
        "within_seconds": 10,
        "within_megabytes": 200,
    }


def fault_near_the_end(path: Path) -> dict[str, Any]:
    """60,000 rows; in the row on line 59,992 oxygen reads 96.4 mg/L: nothing at all is stored."""
    start = datetime(2026, 1, 5)
    with path.open("w", encoding="utf-8", newline="\n") as log:
        log.write(HEADINGS)
        for number in range(60_000):
            row = _row(number, start, 10)
            if number == 59_990:  # headings are line 1, row 0 is line 2
                row = row.rsplit(",", 1)[0] + ",96.4\n"
            log.write(row)
    return {
        "file": path.name,
        "outcome": "refused",
        "why": "96.4 mg/L is more than water holds under pure oxygen; the rows before it do not "
        "make it believable.",
        "reason": "oxygen of 96.4 mg/L cannot be; is it percent saturation?",
        "line": 59_992,
        "value": "96.4",
        "rows": 0,
    }


LARGE = (long_run, one_giant_line, fault_near_the_end)
