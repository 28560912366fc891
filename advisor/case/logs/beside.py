"""What oxygen in percent needs beside it on its row: temperature, salinity, air pressure."""

from __future__ import annotations

import re

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import unit_of
from advisor.case.logs.columns import Column
from advisor.case.logs.decimals import number_part, value_of
from advisor.case.logs.headings import Heading
from advisor.case.logs.table import LogTable
from advisor.units import PARAMETERS
from advisor.units.conversion import PRESSURE_MMHG, pressure_at_mmhg

_ABOVE = {
    "salinity": re.compile(
        r"(?:salinity|salzgehalt|salinit\w*|salt)(?: \w+)?\W{1,6}(\d+(?:[.,]\d+)?)"
        r"\s*(ppt|psu|g/kg|‰|promille)",
        re.I,
    ),
    "altitude": re.compile(
        r"(?:altitude|elevation|height|h[öo]he)[^:=,;\d]{0,30}[:=,;\s]+(\d+(?:[.,]\d+)?)"
        r"\s*(m|ft|feet|metres|meters)\b",
        re.I,
    ),
    "pressure": re.compile(
        r"(?:baro\w*|air pressure|pressure|luftdruck)[^:=,;\d]{0,20}[:=,;\s]+(\d+(?:[.,]\d+)?)"
        r"\s*(hPa|mbar|mmHg|kPa|inHg|atm)",
        re.I,
    ),
}


class _Same(dict[int, float]):
    """One figure told for every row."""

    def __init__(self, value: float) -> None:
        super().__init__()
        self.value = value

    def __contains__(self, n: object) -> bool:
        return True

    def __missing__(self, n: int) -> float:
        return self.value

    def get(self, n: int, default: object = None) -> float:
        return self.value


def beside(
    key: str,
    before: list[Column],
    doubts: Doubts,
    *,
    above: float | None = None,
    needed: bool = True,
) -> dict[int, float] | None:
    """Temperature or salinity of each row: its column, the preamble, or what was told."""
    column = next((c for c in before if c.key == key), None)
    if column is not None and column.values:
        return {n: quantity.value for n, quantity in column.values.items()}
    told = doubts.answer(key)
    if told is not None:
        number = value_of(number_part(told)[0], ".")
        if number is None:
            raise doubts.refuse(f'{key} "{told}" is no number.')
        return _Same(number)
    if above is not None:
        return _Same(above)
    if needed:
        name = PARAMETERS[key].name
        doubts.ask(key, None, f"Oxygen in percent needs the {name}, which the log does not hold.")
    return None


def above(table: LogTable, what: str) -> float | None:
    """Salinity [g/kg], altitude [m] or air pressure [mmHg] that the preamble states."""
    for line in table.preamble:
        found = _ABOVE[what].search(line)
        if found:
            number = float(found[1].replace(",", "."))
            unit = unit_of(found[2], "pressure") if what == "pressure" else None
            if unit:
                return number * PRESSURE_MMHG[unit[0]]
            return number * (0.3048 if found[2].lower() in ("ft", "feet") else 1.0)
    return None


def pressure(
    table: LogTable, headings: list[Heading], numbers: dict[int, float], doubts: Doubts
) -> dict[int, float] | None:
    """Air pressure of each row in mmHg: its column, the preamble, or by the altitude."""
    at = next((i for i, h in enumerate(headings) if h.role == "air_pressure" and h.unit), None)
    if at is not None:
        scale = PRESSURE_MMHG[headings[at].unit or "hPa"]
        by_row = {n: value_of(table.rows[n][1][at], ".") for n in numbers}
        found = {n: value * scale for n, value in by_row.items() if value is not None}
        if found and all(400 < value < 830 for value in found.values()):
            return found
    stated = above(table, "pressure")
    if stated is not None and 400 < stated < 830:
        return _Same(stated)
    told = doubts.answer("altitude_m")
    altitude = value_of(number_part(told)[0], ".") if told is not None else above(table, "altitude")
    if altitude is None:
        doubts.ask(
            "altitude_m",
            None,
            "Oxygen in percent needs the altitude or the air pressure, which the log does not say.",
            "520",
        )
        return None
    return _Same(pressure_at_mmhg(altitude))
