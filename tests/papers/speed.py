"""Time of taking in a long log, and of each paper: ``python -m tests.papers.speed [ROWS]``."""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from advisor.advice.reasoner import default_reasoner
from advisor.case import load_with_stamp, save_case
from advisor.case.logs import read_log
from advisor.case.logs.into_case import add_log
from advisor.papers.html import to_html
from advisor.papers.one_paper import PURPOSES, make_paper

DELIVERY = Path(__file__).parent / "delivery.toml"


def log_text(rows: int) -> str:
    """A long log: three readings a time, temperatures in °F, one row in a hundred without value."""
    kinds = (("temperature", "76.{}", "°F"), ("pH", "7.{}", ""), ("DO", "7.{}", "mg/L"))
    lines = ["time,parameter,value,unit"]
    for at in range(rows):
        name, value, unit = kinds[at % 3]
        minute = at // 3 * 5
        day, rest = divmod(minute, 1440)
        stamp = f"2027-{3 + day // 28:02}-{1 + day % 28:02} {rest // 60:02}:{rest % 60:02}:00"
        number = "" if at % 100 == 7 else value.format(f"{at * 37 % 90 + 10}")
        lines.append(f"{stamp},{name},{number},{unit}")
    return "\n".join(lines)


def timed(name: str, work: Callable[[], object]) -> object:
    wall, cpu = time.perf_counter(), time.process_time()
    result = work()
    spent = time.perf_counter() - wall, time.process_time() - cpu
    print(f"{name:32} {spent[0]:6.2f} s, {spent[1]:6.2f} s of processor")
    return result


def main() -> None:
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    raw = log_text(rows).encode()
    with tempfile.TemporaryDirectory() as folder:
        path = shutil.copy(DELIVERY, folder)
        case, stamp = load_with_stamp(path)
        log = timed(
            f"read a log of {rows:,} rows",
            lambda: read_log(raw, "x", {("start", None): "receipt"}),
        )
        done = timed(
            "put it into the case",
            lambda: add_log(case, log, lot="all", water="tank", kit="meter"),  # type: ignore[arg-type]
        )
        timed("save the case", lambda: save_case(done.case, path, expected_stamp=stamp))  # type: ignore[attr-defined]
        print(f"{done.looks} looks, {Path(path).stat().st_size:,} bytes")  # type: ignore[attr-defined]
    reasoner = default_reasoner()
    for purpose in PURPOSES:
        timed(f"paper, {purpose}", lambda p=purpose: to_html(make_paper(case, p, reasoner)))  # type: ignore[misc]


if __name__ == "__main__":
    main()
