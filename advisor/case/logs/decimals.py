"""The numbers of a log: which sign is the decimal one, which parts thousands, what is no value."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import set_of
from advisor.units import PARAMETERS

#: Marks for no value in common use (common practice, no source).
MISSING = set_of(
    "|-|--|---|----|–|—|nan|n/a|na|#n/a|null|none|err|error|over|ovr|ol|under|undr|overrange"
    "|over range|#div/0!|#value!|#ref!|#num!|#null!|#name?|#n/a!|nil|-999|-999.0|-9999"
    "|-9999.0|-999.00|-9999.00|-999,0|-9999,0|s/o|k.a.|?|*|**|***|n.a.|nv|no data|missing"
    "|invalid|out of range|.|x|...|/"
)
_PLAIN = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d{1,3})?")
_NUMBER = re.compile(r"[+-]?[\d.,'’\s\u00a0\u202f\u2009]*\d[\d.,]*(?:[eE][+-]?\d{1,3})?")
_POINT_GROUPS = re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+")
_COMMA_GROUPS = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+")
_SPACES = re.compile(r"(?<=\d)['’\s\u00a0\u202f\u2009](?=\d{3}(?!\d))")


def is_missing(cell: str) -> bool:
    return cell.lower() in MISSING


def number_part(cell: str) -> tuple[str, str]:
    """(number, what follows it); the number is empty when the cell begins with none."""
    cell = cell.replace("−", "-").replace("–", "-") if cell[:1] in "−–" else cell
    found = _NUMBER.match(cell)
    return (found[0].strip(), cell[found.end() :].strip()) if found else ("", cell)


def form_of(
    column: str, key: str, unit: str, cells: Iterable[str], whole: str, doubts: Doubts
) -> str:
    """ "," or "." as the decimal sign of a column; asks where both could be.

    whole : what the log's other columns say, "" when nothing
    """
    told = doubts.answer("number_form", column)
    if told:
        comma = re.search(r"decimal comma|comma for decimals|points? for thousands", told, re.I)
        return "," if comma else "."
    seen = sure_signs(cells)
    if len(seen) == 1:
        return seen.pop()
    if len(seen) == 2:
        doubts.ask(
            "number_form", column,
            f'"{column}" has commas and points as decimal signs.', "point for thousands",
        )  # fmt: skip
        return "."
    open_cells = [c for c in cells if _POINT_GROUPS.fullmatch(c) or _COMMA_GROUPS.fullmatch(c)]
    if not open_cells:
        return whole or "."
    sign = "." if "." in open_cells[0] else ","
    if whole:
        return whole
    return _settled(column, key, unit, cells, open_cells, sign, doubts)


def sure_signs(cells: Iterable[str]) -> set[str]:
    """The decimal signs that some cell shows beyond doubt."""
    seen = set()
    for cell in cells:
        commas, points = cell.count(","), cell.count(".")
        if commas and points:
            seen.add("," if cell.rfind(",") > cell.rfind(".") else ".")
        elif commas > 1 or points > 1:
            seen.add("." if commas else ",")
        elif commas and not _COMMA_GROUPS.fullmatch(cell):
            seen.add(",")
        elif points and not _POINT_GROUPS.fullmatch(cell):
            seen.add(".")
        elif commas and cell.lstrip("+-").startswith("0"):
            seen.add(",")
        elif points and cell.lstrip("+-").startswith("0"):
            seen.add(".")
    return seen


def _settled(
    column: str, key: str, unit: str, cells: Iterable[str], open_cells: list[str], sign: str,
    doubts: Doubts,
) -> str:  # fmt: skip
    """All numbers are like 1.234: what the quantity can be may settle it, else it is asked."""
    other = "," if sign == "." else "."
    low, high = PARAMETERS[key].low, PARAMETERS[key].high
    in_stored = unit in ("", PARAMETERS[key].unit, "mg/L", "°C", "uS/cm", "ppt", "°F")
    thousands = [float(cell.replace(sign, "")) for cell in open_cells]
    if in_stored and not all(
        low <= value <= (high if unit != "°F" else 113) for value in thousands
    ):
        return sign
    whole_numbers = [c for c in cells if c.lstrip("+-").isdigit()]
    if whole_numbers and all(len(c.lstrip("+-")) <= 3 for c in whole_numbers):
        largest = max(float(c) for c in whole_numbers)
        if largest > 100 and max(float(c.replace(sign, ".")) for c in open_cells) < 10:
            return other  # 968, then 1.013: the point parts thousands
    doubts.ask(
        "number_form", column,
        f'"{open_cells[0]}" under "{column}" can be read with a decimal {_NAMES[sign]} or with '
        "thousands parted.", f"{_NAMES[sign]} for thousands",
    )  # fmt: skip
    return sign


_NAMES = {".": "point", ",": "comma"}


def value_of(text: str, sign: str) -> float | None:
    """The number a text stands for, None when it is none."""
    text = _SPACES.sub("", text.strip()).replace("−", "-")
    if sign == ",":
        if "." in text and not re.fullmatch(r"[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?", text):
            return None
        text = text.replace(".", "").replace(",", ".")
    elif "," in text:
        if not re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?", text):
            return None
        text = text.replace(",", "")
    return float(text) if _PLAIN.fullmatch(text.lower()) else None
