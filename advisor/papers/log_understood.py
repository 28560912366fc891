"""What was understood of a log, in lines a person checks before it is stored."""

from __future__ import annotations

from datetime import datetime

from advisor.case.logs import Log
from advisor.case.logs.into_case import Imported
from advisor.units import PARAMETERS
from advisor.wording.numbers import exact, grouped
from advisor.wording.times import after_receipt, span


def understood_lines(log: Log) -> list[str]:
    """Every column with its unit, first and last value and span; what is left out, and why."""
    first, last = log.rows[0].at, log.rows[-1].at
    say = [f"{log.name}: {grouped(len(log.rows))} rows, {_time(first)} to {_time(last)}"]
    say[0] += f" ({_apart(first, last)}), times from {log.time_column}."
    for column in log.columns:
        parameter = PARAMETERS[column.parameter]
        unit = f" in {column.unit}" if column.unit else ""
        written = f'"{column.first_written}" to "{column.last_written}"'
        stored = f"{exact(column.first, 4)} to {exact(column.last, 4)} {parameter.unit}".rstrip()
        missing = f"; no value in {grouped(column.missing)}" if column.missing else ""
        say.append(
            f'  "{column.title}": {parameter.name}{unit}, {written}, kept as {stored}, '
            f"{grouped(column.count)} values{missing}"
        )
    for left in log.left_out:
        say.append(f'  "{left.title}" is left out: it {left.why}')
    for why, lines in sorted(log.skipped.items(), key=lambda pair: -len(pair[1])):
        say.append(f"  {grouped(len(lines))} rows left out: {why} ({_lines(lines)})")
    return say + [f"  note: {remark}" for remark in log.remarks]


def kept_lines(done: Imported) -> list[str]:
    """What becomes of it in the case."""
    kept = "row by row" if done.step_h is None else f"one for every {span(done.step_h)}"
    say = [f"Gives {done.looks} looks, {kept}."]
    if done.known:
        say.append(f"{grouped(done.known)} rows are in the case already.")
    if done.replaced:
        say.append(f"{done.replaced} looks of an earlier import give way.")
    if done.far:
        say.append(f"{grouped(done.far)} rows lie months from the receipt and are left out.")
    return say


def _time(at: datetime | float) -> str:
    if isinstance(at, (int, float)):
        return after_receipt(at)
    zone = f" {at:%z}" if at.tzinfo else ""
    return f"{at:%Y-%m-%d %H:%M}{zone}"


def _apart(first: datetime | float, last: datetime | float) -> str:
    if isinstance(first, (int, float)) or isinstance(last, (int, float)):
        return span(float(last) - float(first))  # type: ignore[arg-type]
    return span((last - first).total_seconds() / 3600)


def _lines(lines: list[int], most: int = 5) -> str:
    shown = ", ".join(str(line) for line in lines[:most])
    return f"line{'s' if len(lines) > 1 else ''} {shown}{' ...' if len(lines) > most else ''}"
