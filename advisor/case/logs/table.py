"""The table of a log: which line holds the headings, which the units, what stands around it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import set_of, squash, unit_of
from advisor.case.logs.headings import TIME_ROLES, Heading, read_heading
from advisor.case.logs.log_lines import split
from advisor.units import PARAMETERS

_HEADER_WITHIN = 80
_DELIMITERS = (",", ";", "\t", "|", " ")
_SUMS = set_of(
    "average|avg|count|max|maximum|mean|median|min|minimum|mittel|mittelwert|moyenne|mw|n"
    "|samples|somme|standarddeviation|std|stdabw|stddev|stdev|sum|summe|total"
)
_KINDS = set_of("average|avg|inst|instant|max|mean|min|mittel|moy|sample|smp|std|tot")


@dataclass
class LogTable:
    """Rows below the headings, each with its line in the file (from 1).

    units : written in a row of their own, "" where there is none
    """

    headings: list[Heading]
    rows: list[tuple[int, list[str]]]
    preamble: list[str]
    header_line: int
    units: list[str] = field(default_factory=list)
    skipped: dict[str, list[int]] = field(default_factory=dict)

    def column(self, role: str) -> int | None:
        return next((i for i, h in enumerate(self.headings) if h.role == role), None)

    def skip(self, why: str, line: int) -> None:
        self.skipped.setdefault(why, []).append(line)


def find_table(lines: list[str], doubts: Doubts) -> LogTable:
    """The table of a log. Raises LogRefused where there is none, or it breaks its own form."""
    told = doubts.answer("headings")
    if told:
        return _told_headings(lines, told, doubts)
    best: tuple[int, int, str, list[Heading]] | None = None
    for delimiters in (_DELIMITERS[:4], _DELIMITERS[4:]):  # spaces only where nothing else parts
        for at, line in enumerate(lines[:_HEADER_WITHIN] if best is None else []):
            for delimiter in delimiters:
                headings = _headings(line, delimiter)
                score = _score(headings)
                if score and (best is None or score > best[0]):
                    best = (score, at, delimiter, headings)
    if best is None:
        raise _no_headings(lines, doubts)
    _, at, delimiter, headings = best
    table = LogTable(headings, [], lines[:at], at + 1)
    _units_above(lines, at, delimiter, table)
    _read_rows(lines, at + 1, delimiter, table, doubts)
    return table


def _headings(line: str, delimiter: str) -> list[Heading]:
    if delimiter not in line or (line.lstrip().startswith("#") and delimiter != " "):
        line = line.lstrip("# ") if delimiter in line else ""
    cells = split(line, delimiter) if line.strip() else None
    return [read_heading(cell) for cell in cells] if cells and len(cells) > 1 else []


def _score(headings: list[Heading]) -> int:
    """How much a line looks like headings; 0 when it does not."""
    known = [h for h in headings if h.role]
    readings = [h for h in known if h.role == "reading"]
    times = [h for h in known if h.role in TIME_ROLES]
    if any(re.fullmatch(r"[\s\d.,:+/-]+", h.title) for h in headings if h.title):
        return 0
    if not (readings or any(h.role == "value" for h in known) or len(times) >= 1):
        return 0
    if not times and len(known) < 2:
        return 0
    if times and not readings and len(headings) < 2:
        return 0
    return len(known) + 3 * bool(times) + 2 * bool(readings)


def _no_headings(lines: list[str], doubts: Doubts) -> Exception:
    """Ask for headings where rows look like a log's, refuse where they do not."""
    for delimiter in _DELIMITERS[:4]:
        rows = [split(line, delimiter) or [] for line in lines[:50] if line.strip()]
        wide = [row for row in rows if len(row) > 1 and re.search(r"\d", row[-1])]
        if len(wide) > 1 and len(wide) >= 0.7 * len(rows) and re.match(r"\d", wide[-1][0]):
            doubts.ask(
                "headings", None, "No line of headings was found above the rows.",
                "Time, Temp (°C), pH",
            )  # fmt: skip
            try:
                doubts.settle()
            except Exception as asks:
                return asks
    return doubts.refuse(
        "no line of headings with a time and a reading was found; it may read "
        "Time,Temperature (°C),pH or time,parameter,value,unit."
    )


def _told_headings(lines: list[str], told: str, doubts: Doubts) -> LogTable:
    titles = [part.strip() for part in told.split(",")]
    headings = [read_heading(title) for title in titles]
    fitting = [d for d in _DELIMITERS if any(len(split(x, d) or []) == len(titles) for x in lines)]
    if not fitting:
        raise doubts.refuse(f"no row has as many cells as the {len(titles)} headings told.")
    table = LogTable(headings, [], [], 0)
    _read_rows(lines, 0, fitting[0], table, doubts)
    return table


def _units_above(lines: list[str], at: int, delimiter: str, table: LogTable) -> None:
    above = next((i for i in range(at - 1, -1, -1) if lines[i].strip()), None)
    cells = split(lines[above], delimiter) if above is not None else None
    if cells and len(cells) == len(table.headings) and _are_units(cells, table.headings):
        table.units = cells
        table.preamble = lines[:above]


def _are_units(cells: list[str], headings: list[Heading]) -> bool:
    """Whether every cell is empty, a unit of its column, or a form or zone of time; one a unit."""
    known = 0
    for cell, heading in zip(cells, headings, strict=True):
        text = cell.strip("()[] ")
        family = PARAMETERS[heading.parameter].family if heading.role == "reading" else ""
        if (family and text and unit_of(text, family)) or (
            heading.role in TIME_ROLES
            and (
                unit_of(text, "time")
                or re.fullmatch(r"[dmyhsapt:/.\- ,]+|utc|gmt|local.*", text, re.I)
            )
        ):
            known += 1
        elif re.search(r"\d{2}", text) or len(text) > 24:
            return False
    return known > 0


def _read_rows(
    lines: list[str], start: int, delimiter: str, table: LogTable, doubts: Doubts
) -> None:
    """Rows below the headings: a units row, repeated headings, remarks and sums are told apart."""
    titles = [h.title for h in table.headings]
    last = max((i for i in range(start, len(lines)) if lines[i].strip()), default=-1)
    for at in range(start, last + 1):
        line = lines[at]
        if not line.strip() or line.lstrip().startswith("//"):
            continue
        cells = split(line, delimiter)
        if line.lstrip().startswith("#") and len(cells or []) != len(titles):
            continue
        if cells is None:
            raise _open_quote(lines, at, delimiter, doubts)
        if not any(cells) or [c.strip("\ufeff") for c in cells] == titles:
            continue
        may_be_units = not table.rows and not table.units and len(cells) == len(titles)
        if may_be_units and _are_units(cells, table.headings):
            table.units = cells
            continue
        if not table.rows and all(squash(cell) in _KINDS for cell in cells if cell):
            continue
        if squash(cells[0]) in _SUMS or (
            len(cells) > 1 and not cells[0] and squash(cells[1]) in _SUMS
        ):
            continue
        _one_row(at, cells, table, at == last, doubts)


def _one_row(at: int, cells: list[str], table: LogTable, is_last: bool, doubts: Doubts) -> None:
    width = len(table.headings)
    while len(cells) > width and not cells[-1]:
        cells = cells[:-1]
    if len(cells) > width:
        raise doubts.refuse(
            f"holds {len(cells)} cells under {width} headings; a decimal comma or thousands "
            "without quotes would do that.", at + 1,
        )  # fmt: skip
    second = [read_heading(cell) for cell in cells] if not re.search(r"\d{2}", cells[0]) else []
    if len(second) > 1 and _score(second) and any(h.role == "reading" for h in second):
        raise doubts.refuse("is a second line of headings that differs from the first.", at + 1)
    if len(cells) == 1 and width > 1:
        if not re.match(r"[\d\"]", cells[0]):
            return  # a remark between or below the rows
        table.skip("the line breaks off", at + 1)
    elif len(cells) < width and (is_last or len(cells) < width - _trailing(table)):
        table.skip("the line breaks off", at + 1)
    else:
        table.rows.append((at + 1, [*cells, *[""] * (width - len(cells))]))


def _trailing(table: LogTable) -> int:
    """Columns at the end that are no readings: their cells may be left off."""
    count = 0
    for heading in reversed(table.headings):
        if heading.role in ("reading", "value"):
            break
        count += 1
    return count


def _open_quote(lines: list[str], at: int, delimiter: str, doubts: Doubts) -> Exception:
    for below in range(at + 1, min(len(lines), at + 50)):
        if '"' in lines[below] and split(" ".join(lines[at : below + 1]), delimiter) is not None:
            return doubts.refuse(
                f"a quote runs on to line {below + 1}: rows between would be lost in one cell.",
                at + 1,
            )
    return doubts.refuse("a quote is opened and not closed at the end of its cell.", at + 1)


def with_units(table: LogTable, doubts: Doubts) -> list[Heading]:
    """Headings with what the units row adds; asks where the two disagree."""
    if not table.units:
        return table.headings
    found = []
    for heading, cell in zip(table.headings, table.units, strict=True):
        text = cell.strip("()[] ")
        found.append(_with_unit(heading, text, doubts) if text else heading)
    return found


def _with_unit(heading: Heading, text: str, doubts: Doubts) -> Heading:
    if heading.role == "air_pressure":
        pressure = unit_of(text, "pressure")
        return replace(heading, unit=pressure[0] if pressure else None)
    if heading.role in TIME_ROLES:
        of_time = unit_of(text, "time")
        if of_time:
            return replace(heading, role="elapsed", unit=of_time[0], written=text)
        zone = re.search(r"utc|gmt", text, re.I)
        return replace(heading, zone=text) if zone else replace(heading, form=text.lower())
    if heading.role == "value":
        return replace(heading, written=text)
    if heading.role != "reading":
        return heading
    unit = unit_of(text, PARAMETERS[heading.parameter].family)
    if unit is None:
        return heading if squash(text) == "" else replace(heading, written=text)
    if heading.unit is not None and heading.unit != unit[0]:
        doubts.ask(
            "unit", heading.title,
            f'The heading says "{heading.written}", the row of units "{text}".', heading.written,
        )  # fmt: skip
    return replace(heading, unit=unit[0], written=text, basis=unit[1] or heading.basis)
