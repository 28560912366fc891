"""The bytes of a log as lines of text, within bounds of size."""

from __future__ import annotations

import csv
import re

from advisor.case.logs.asking import Doubts
from advisor.wording.numbers import grouped

MOST_BYTES = 50_000_000
MOST_LINES = 1_000_000
#: No instrument writes a longer row.
LONGEST_LINE = 20_000


def lines_of(raw: bytes, doubts: Doubts) -> list[str]:
    """The lines of a log. Raises LogRefused for what is no text, or too much of it."""
    if len(raw) > MOST_BYTES:
        raise doubts.refuse(f"is larger than {MOST_BYTES // 10**6} MB; cut it into parts.")
    raw = _narrow(raw, doubts)
    if not raw.strip():
        raise doubts.refuse("the file is empty.")
    _check_lengths(raw, doubts)
    cut = re.split(rb"\r\n|\n|\r", raw)
    try:
        return [line.decode() for line in cut]
    except UnicodeDecodeError:
        doubts.remark("not all UTF-8: the rest is read as Western European (Windows-1252)")
        return [_one_line(line) for line in cut]


def _narrow(raw: bytes, doubts: Doubts) -> bytes:
    """Two-byte text turned into UTF-8, marks of byte order taken off."""
    if raw.startswith(b"\xef\xbb\xbf"):
        return raw[3:]
    for mark, name in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be")):
        if raw.startswith(mark):
            return raw[2:].decode(name, errors="replace").encode()
    if b"\0" not in raw:
        return raw
    head = raw[:2000]
    for start, name in ((1, "utf-16-le"), (0, "utf-16-be")):
        if head[start::2].count(0) > 0.9 * len(head[start::2]) > 1:
            return raw.decode(name, errors="replace").encode()
    raise doubts.refuse(
        "holds zero bytes: it is no text, or was not written to its end; save the log as CSV.",
        raw[: raw.index(b"\0")].count(b"\n") + 1,
    )


def _check_lengths(raw: bytes, doubts: Doubts) -> None:
    at = number = 0
    for found in re.finditer(rb"\r\n|\n|\r|\Z", raw):
        number += 1
        if found.start() - at > LONGEST_LINE:
            raise doubts.refuse(
                f"is longer than any row of a log ({grouped(found.start() - at)} bytes).", number
            )
        at = found.end()
    if number > MOST_LINES:
        raise doubts.refuse(f"has more than {grouped(MOST_LINES)} lines; cut it into parts.")


def _one_line(line: bytes) -> str:
    try:
        return line.decode()
    except UnicodeDecodeError:
        return line.decode("cp1252", errors="replace")


def split(line: str, delimiter: str) -> list[str] | None:
    """The cells of one line; None where a quote is not closed, or not at a cell's end.

    " " parts at any space.
    """
    if delimiter == " ":
        return line.split()
    if '"' not in line:
        return [cell.strip() for cell in line.split(delimiter)]
    try:
        (row,) = csv.reader([line], delimiter=delimiter, skipinitialspace=True, strict=True)
    except csv.Error:
        return None
    return [cell.strip() for cell in row]
