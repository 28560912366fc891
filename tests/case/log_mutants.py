"""Logs written in every way and then damaged, checked for meaning: what is stored stands there.

A true table is written in a random style (separator, decimal sign, units, dates, marks, order),
whose text a person can read in one way only; then, in two of three logs, a few letters, lines or
bytes are lost, doubled or changed. An undamaged log must come out as the true table, or be asked
about or refused. Of a damaged one every stored value must be one that its own line allows.

``python -m tests.case.log_mutants 40000`` runs as many and prints what became of them.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from advisor.case.logs import Log, LogAsks, LogRefused, read_log
from tests.trials import tally

FORMS = {
    "%Y-%m-%d %H:%M": "iso", "%d.%m.%Y %H:%M": "points", "%d/%m/%Y %H:%M": "slashes",
    "%m/%d/%Y %I:%M %p": "us", "%d %b %Y %H:%M": "named", "%Y-%m-%dT%H:%M:%SZ": "utc",
}  # fmt: skip


@dataclass(frozen=True)
class Written:
    """A log as text, and the table it was written from: (minute of the run, °C, pH, mg/L)."""

    raw: bytes
    start: datetime
    rows: list[tuple[int, float, float, float]]
    fahrenheit: bool
    has_zone: bool


def write(rng: random.Random) -> Written:
    """An undamaged log in a random style."""
    # day 13 to 28, so that no order of day and month is open
    start = datetime(2026, rng.randint(1, 12), rng.randint(13, 28), rng.randint(0, 23), 10)
    rows = [
        (10 * n, round(rng.uniform(15, 30), 1), round(rng.uniform(6.5, 8.4), 2),
         round(rng.uniform(3, 9), 1))
        for n in range(rng.randint(3, 12))
    ]  # fmt: skip
    sign = rng.choice(",;\t|")
    comma = sign != "," and rng.random() < 0.4
    fahrenheit = rng.random() < 0.3
    form = rng.choice(list(FORMS))
    unit = rng.choice(["°F", "F", "degF"] if fahrenheit else ["°C", "C", "deg C"])
    apart = rng.random() < 0.2
    names = ["Time", "Temp", "pH", "DO"] if apart else ["Time", f"Temp ({unit})", "pH", "DO [mg/L]"]
    lines = (
        ["Logger (invented)", "", sign.join(names)] if rng.random() < 0.3 else [sign.join(names)]
    )
    if apart:
        lines.append(sign.join(["", unit, "", "mg/L"]))
    body = []
    for minute, warm, ph, oxygen in rows:
        shown = round(warm * 1.8 + 32, 2) if fahrenheit else warm
        cells = [f"{shown:.2f}", f"{ph:.2f}", f"{oxygen:.1f}"]
        cells = [cell.replace(".", ",") if comma else cell for cell in cells]
        body.append(sign.join([(start + timedelta(minutes=minute)).strftime(form), *cells]))
    if rng.random() < 0.15:
        body.reverse()
    if rng.random() < 0.1:
        body.insert(rng.randrange(len(body)), body[rng.randrange(len(body))])  # a row twice
    end = rng.choice(["\n", "\r\n"])
    text = end.join([*lines, *body]) + end
    encoding = rng.choice(["utf-8", "utf-8-sig", "utf-16", "cp1252"])
    return Written(text.encode(encoding), start, rows, fahrenheit, form.endswith("Z"))


def damage(raw: bytes, rng: random.Random) -> bytes:
    """A few letters, cells or lines lost, doubled, swapped or changed."""
    data = bytearray(raw)
    for _ in range(rng.randint(1, 3)):
        if not data:
            break
        at = rng.randrange(len(data))
        match rng.randrange(7):
            case 0:
                del data[at]
            case 1:
                data[at] = rng.choice(b"0123456789.,;:\"'- %FC\t\n")
            case 2:
                data.insert(at, rng.choice(b"0123456789.,;\"' -\n"))
            case 3:
                del data[at:]
            case 4:
                lines = bytes(data).split(b"\n")
                lines.insert(rng.randrange(len(lines)), rng.choice(lines))
                data = bytearray(b"\n".join(lines))
            case 5:
                lines = bytes(data).split(b"\n")
                del lines[rng.randrange(len(lines))]
                data = bytearray(b"\n".join(lines))
            case _:
                data = data.replace(rng.choice([b"C", b"mg/L", b"Time", b"."]), b"", 1)
    return bytes(data)


def wrong(log: Log, written: Written) -> str:
    """How an undamaged log was taken otherwise than it was meant; empty when rightly."""
    if len(log.rows) != len(written.rows):
        return f"{len(log.rows)} rows of {len(written.rows)}"
    for row, (minute, warm, ph, oxygen) in zip(log.rows, written.rows, strict=True):
        if not isinstance(row.at, datetime) or bool(row.at.tzinfo) != written.has_zone:
            return f"time {row.at}"
        if row.at.replace(tzinfo=None) != written.start + timedelta(minutes=minute):
            return f"time {row.at}"
        for key, true in (("temperature_c", warm), ("ph", ph), ("do_mg_l", oxygen)):
            if key not in row.values or abs(row.values[key].value - true) > 0.004:
                return f"{key} {row.values.get(key)} for {true}"
    return ""


def not_there(log: Log, raw: bytes) -> str:
    """A stored value that its own line does not hold in any unit or form; empty when all do."""
    text = _text(raw)
    lines = re.split(r"\r\n|\n|\r", text)
    for row in log.rows:
        near = lines[row.line - 1] if row.line <= len(lines) else ""
        if fault := _time_not_there(row.at, near):
            return f"line {row.line} {fault}: {near}"
        allowed = set(_numbers(near))
        for key, quantity in row.values.items():
            value = quantity.value
            if not any(abs(value - each) < 1e-3 * max(1, abs(each)) for each in allowed):
                return f"line {row.line} {key} {value}: {near}"
    return ""


def _time_not_there(at: object, line: str) -> str:
    """A part of the time taken that no figure or month of the line says."""
    if not isinstance(at, datetime):
        return ""
    figures = {int(text) for text in re.findall(r"\d+", line)}
    by_name = f"{at:%b}".lower() in line.lower()
    run_on = f"{at:%H%M}" in line  # 2026-11-16 2320
    said = {
        "year": {at.year, at.year % 100} & figures,
        "month": by_name or at.month in figures,
        "day": at.day in figures,
        "hour": run_on or {at.hour, (at.hour - 1) % 12 + 1} & figures,
        "minute": run_on or at.minute in figures or at.minute == 0,
    }
    return ", ".join(f"{part} of {at}" for part, there in said.items() if not there)


def _numbers(line: str) -> Iterator[float]:
    forms = (r"[-−]?\d[\d.,']*", r"[-−]?\d*\.\d+", r"[-−]?\d*,\d+", r"[-−]?\d+")
    tokens = [token for form in forms for token in re.findall(form, line)]
    for text in tokens:
        plain = text.replace("−", "-").replace("'", "").rstrip(".,")
        for form in (
            plain,
            plain.replace(",", "."),
            plain.replace(",", ""),
            plain.replace(".", ""),
        ):
            try:
                number = float(form.replace(",", "."))
            except ValueError:
                continue
            yield number
            yield (number - 32) / 1.8


def _text(raw: bytes) -> str:
    for mark, name in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be")):
        if raw.startswith(mark):
            return raw[2:].decode(name, "replace")
    head = raw[:2000]
    if b"\0" in head:
        return raw.decode(
            "utf-16-le" if head[1::2].count(0) > head[::2].count(0) else "utf-16-be", "replace"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    return raw.decode("cp1252", "replace")


def trial(number: int) -> tuple[str, str]:
    """(what became of log ``number``, what is wrong with that; empty when nothing)."""
    rng = random.Random(number)
    written = write(rng)
    whole = number % 3 == 0
    raw = written.raw if whole else damage(written.raw, rng)
    kind = "whole" if whole else "damaged"
    try:
        log = read_log(raw, "log.csv")
    except LogAsks:
        return f"{kind}, asked", ""
    except LogRefused:
        return f"{kind}, refused", ""
    return f"{kind}, taken", wrong(log, written) if whole else not_there(log, raw)


if __name__ == "__main__":
    tally(__doc__, trial, 4000)
