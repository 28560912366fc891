"""Which columns are readings of the water, and in which unit each stands."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import names, squash, unit_of
from advisor.case.logs.decimals import is_missing, number_part
from advisor.case.logs.headings import Heading, read_heading
from advisor.case.logs.table import LogTable
from advisor.units import PARAMETERS, Quantity

_UNIT_ABOVE = re.compile(r"\bunits?\b[^:=,;]*[:=,;]\s*(.+)", re.I)
_NEEDS_BASIS = ("nitrogen", "alkalinity", "hardness")


@dataclass(frozen=True)
class ColumnSource:
    """Where one reading comes from: a column, or the rows of a column that name it.

    only : text of the parameter column on its rows, "" where the column holds but one reading
    """

    index: int
    heading: Heading
    only: str = ""

    @property
    def title(self) -> str:
        return self.only or self.heading.title


@dataclass
class Column:
    """The values of one source by row number; ``written``: the cells they came from."""

    source: ColumnSource
    values: dict[int, Quantity] = field(default_factory=dict)
    written: dict[int, str] = field(default_factory=dict)
    missing: int = 0

    @property
    def key(self) -> str:
        return self.source.heading.parameter


@dataclass(frozen=True)
class LeftOut:
    """A column that gives no reading, and why."""

    title: str
    unit: str
    why: str


def find_sources(
    table: LogTable, headings: list[Heading], doubts: Doubts
) -> tuple[list[ColumnSource], list[LeftOut]]:
    """Readings by column, and the columns left out. Asks for what is not said."""
    if any(h.role == "parameter" for h in headings) and any(h.role == "value" for h in headings):
        sources, out = _by_row(table, headings, doubts)
    else:
        sources, out = _by_column(table, headings, doubts)
    chosen = [
        source for key in PARAMETERS if (many := [s for s in sources if s.heading.parameter == key])
        for source in _one_of(key, many, table, doubts, out)
    ]  # fmt: skip
    chosen.sort(key=lambda source: (source.index, source.only))
    return [_complete(source, table, doubts) for source in chosen], out


def _by_column(
    table: LogTable, headings: list[Heading], doubts: Doubts
) -> tuple[list[ColumnSource], list[LeftOut]]:
    sources, out, unknown = [], [], []
    for index, heading in enumerate(headings):
        told = doubts.told.get(("parameter", heading.title))
        if told:
            heading = replace(heading, role="reading", parameter=_parameter(told, doubts))
        if heading.role == "reading" or heading.role == "value":
            sources.append(ColumnSource(index, heading))
        elif heading.role == "" and heading.title:
            unknown.append(ColumnSource(index, heading))
        elif heading.role in ("other", "air_pressure"):
            out.append(
                LeftOut(
                    heading.title,
                    heading.written or _bracket(heading.title),
                    "is no reading that a case keeps",
                )
            )
    sources = [_of_value(source, table, headings, doubts) for source in sources]
    sources = _between(sources, unknown, doubts, out)
    numeric = [s for s in unknown if _is_numeric(table, s.index)]
    if not sources and numeric:
        for source in numeric:
            _ask_parameter(source.heading.title, doubts)
        doubts.settle()
    for source in unknown:
        out.append(LeftOut(source.title, _bracket(source.title), "is not understood"))
    return sources, out


def _between(
    sources: list[ColumnSource], unknown: list[ColumnSource], doubts: Doubts, out: list[LeftOut]
) -> list[ColumnSource]:
    """A column of the same reading beside the one understood: tank and sump, in and out."""
    for key in dict.fromkeys(s.heading.parameter for s in sources):
        mine = [s for s in sources if s.heading.parameter == key]
        others = [s for s in unknown if s.heading.parameter == key and key]
        if not others:
            continue
        told = doubts.answer("column", key)
        if told:
            kept = _told_column(told, [*mine, *others], doubts, out)[0]
            unknown[:] = [s for s in unknown if s not in others]
            sources = [s for s in sources if s not in mine] + [_as_reading(kept)]
            continue
        titles = ", ".join(s.title for s in (*mine, *others))
        doubts.ask(
            "column", key, f"Several columns give the {PARAMETERS[key].name}: {titles}.",
            mine[0].title,
        )  # fmt: skip
    return sources


def _as_reading(source: ColumnSource) -> ColumnSource:
    """A column that was told to be the one, though a word of its heading is not understood."""
    heading = source.heading
    if heading.role == "reading":
        return source
    unit = unit_of(heading.written, PARAMETERS[heading.parameter].family)
    heading = replace(heading, role="reading", unit=unit[0] if unit else None)
    return replace(source, heading=heading)


def _ask_parameter(title: str, doubts: Doubts) -> None:
    doubts.ask("parameter", title, f'What "{title}" measured is not said.', "temperature")
    if not doubts.told.get(("unit", title)):
        doubts.ask("unit", title, f'The unit of "{title}" is not said.', "°C")


def _parameter(told: str, doubts: Doubts) -> str:
    found = names().get(squash(told)) or names().get(squash(told.split("_")[0]))
    if told in PARAMETERS:
        return told
    if found is None:
        raise doubts.refuse(f'"{told}" is no reading that a case keeps.')
    return found[0]


def _of_value(
    source: ColumnSource, table: LogTable, headings: list[Heading], doubts: Doubts
) -> ColumnSource:
    """A column called value: its unit, on the rows or above, may say that it is a temperature."""
    heading = source.heading
    if heading.role != "value":
        return source
    at = table.column("unit")
    cells = {cells[at] for _, cells in table.rows if cells[at]} if at is not None else set()
    units = {unit_of(cell, "temperature") for cell in cells or {heading.written}}
    if len(units) == 1 and (unit := next(iter(units))) is not None:
        written = next(iter(cells)) if cells else heading.written
        heading = replace(
            heading, role="reading", parameter="temperature_c", unit=unit[0], written=written
        )
        return replace(source, heading=heading)
    if len(units) > 1 and None not in units:
        raise doubts.refuse(f"the unit changes between rows: {', '.join(sorted(cells))}.")
    _ask_parameter(heading.title, doubts)
    doubts.settle()
    return source


def _by_row(
    table: LogTable, headings: list[Heading], doubts: Doubts
) -> tuple[list[ColumnSource], list[LeftOut]]:
    """A log with a parameter and a value in each row."""
    at = {role: table.column(role) for role in ("parameter", "value", "unit")}
    name_at, value_at = at["parameter"], at["value"]
    assert name_at is not None and value_at is not None
    units: dict[str, set[str]] = {}
    for _, cells in table.rows:
        if cells[name_at]:
            unit = cells[at["unit"]] if at["unit"] is not None else ""
            units.setdefault(cells[name_at], set()).add(unit)
    sources, out = [], []
    for name, written in units.items():
        heading = read_heading(name)
        if heading.role != "reading":
            why = "is not understood" if not heading.role else "is no reading that a case keeps"
            out.append(LeftOut(name, ", ".join(sorted(written - {""})), why))
            continue
        written -= {""}
        if len(written) > 1:
            raise doubts.refuse(f'"{name}" stands in several units: {", ".join(sorted(written))}.')
        text = next(iter(written), "")
        found = unit_of(text, PARAMETERS[heading.parameter].family) if text else None
        if text and found is None and text not in ("-",):
            doubts.ask("unit", name, f'The unit "{text}" of "{name}" is none of its units.')
        if found:
            heading = replace(heading, unit=found[0], written=text, basis=found[1] or heading.basis)
        sources.append(ColumnSource(value_at, replace(heading, title=name), name))
    return sources, out


def _one_of(
    key: str, sources: list[ColumnSource], table: LogTable, doubts: Doubts, out: list[LeftOut]
) -> Sequence[ColumnSource]:
    """Of several columns of one reading the one that is meant."""
    if len(sources) == 1:
        return sources
    told = doubts.answer("column", key)
    if told:
        return _told_column(told, sources, doubts, out)
    if key == "conductivity_us_cm" and sum(s.heading.at_25 for s in sources) == 1:
        kept = next(s for s in sources if s.heading.at_25)
        _leave(sources, kept, "is not compensated to 25 °C", out)
        return [kept]
    if key == "do_mg_l" and len({s.heading.unit in ("%", "fraction") for s in sources}) == 2:
        percent = [s for s in sources if s.heading.unit in ("%", "fraction")]
        rest = [s for s in sources if s.heading.unit not in ("%", "fraction")]
        if len(rest) == 1 and len(percent) == 1:
            return [rest[0], percent[0]]  # compared later; the concentration is kept
    columns = [
        [cells[s.index] for _, cells in table.rows if _mine(s, cells, table)] for s in sources
    ]
    units = {(s.heading.unit, s.heading.basis) for s in sources}
    if len(units) == 1 and all(column == columns[0] for column in columns):
        _leave(sources, sources[0], "says the same", out)
        return sources[:1]
    doubts.ask(
        "column", key,
        f"Several columns give the {PARAMETERS[key].name}: "
        f"{', '.join(s.title for s in sources)}.",
        sources[0].title + (", the first" if sources[0].title == sources[1].title else ""),
    )  # fmt: skip
    return sources[:1]


def _mine(source: ColumnSource, cells: list[str], table: LogTable) -> bool:
    at = table.column("parameter")
    return not source.only or at is None or cells[at] == source.only


_PLACES = ("first", "second", "third", "fourth")


def _told_column(
    told: str, sources: list[ColumnSource], doubts: Doubts, out: list[LeftOut]
) -> Sequence[ColumnSource]:
    name, _, which = told.partition(", the ")
    fitting = [s for s in sources if squash(s.title) == squash(name)]
    if not fitting:
        raise doubts.refuse(f'no column is called "{told}".')
    places = dict(zip(_PLACES, fitting, strict=False)) | {"last": fitting[-1]}
    kept = fitting[0] if len(fitting) == 1 and not which else places.get(which.strip())
    if kept is None:
        ways = " or ".join(f'"{fitting[0].title}, the {place}"' for place in places)
        raise doubts.refuse(f'"{told}" does not say which of {len(fitting)} columns; write {ways}.')
    _leave(sources, kept, "is not the one told", out)
    return [kept]


def _leave(sources: list[ColumnSource], kept: ColumnSource, why: str, out: list[LeftOut]) -> None:
    out += [LeftOut(s.title, s.heading.written, why) for s in sources if s is not kept]


def _complete(source: ColumnSource, table: LogTable, doubts: Doubts) -> ColumnSource:
    """The source with unit and basis, from the cells, the preamble or what was told."""
    heading = source.heading
    family = PARAMETERS[heading.parameter].family
    told = doubts.told.get(("unit", source.title))
    if told:
        unit = unit_of(told, family)
        if unit is None:
            raise doubts.refuse(f'"{told}" is no unit of {PARAMETERS[heading.parameter].name}.')
        heading = replace(heading, unit=unit[0], written=told, basis=unit[1] or heading.basis)
    if heading.unit is None and heading.written and heading.parameter != "ph":
        doubts.ask("unit", source.title, f'The unit "{heading.written}" is not understood.')
    if heading.unit is None and heading.parameter != "ph":
        heading = _unit_elsewhere(heading, source, table, doubts)
    basis = doubts.told.get(("basis", source.title)) or doubts.told.get(("basis", None))
    if basis:
        found = re.search(r"\bas (N|NO2|NO3|NH3|NH4|CaCO3)\b", basis)
        if found is None:
            raise doubts.refuse(
                f'basis "{basis}": write as N, as NO2, as NO3, as NH3, as NH4 or as CaCO3.'
            )
        heading = replace(heading, basis=found[0])
    if family in _NEEDS_BASIS and heading.unit in ("mg/L", "ug/L") and heading.basis in (None, "?"):
        such = {"nitrogen": "total, as N", "alkalinity": "as CaCO3", "hardness": "as CaCO3"}[family]
        doubts.ask(
            "basis", source.title, f'"{source.title}" does not say what it is counted as.', such
        )
    return replace(source, heading=heading)


def _unit_elsewhere(
    heading: Heading, source: ColumnSource, table: LogTable, doubts: Doubts
) -> Heading:
    """A unit behind each number or above the table; asked when there is none."""
    family = PARAMETERS[heading.parameter].family
    cells = [cells[source.index] for _, cells in table.rows[:200] if _mine(source, cells, table)]
    behind = {number_part(cell)[1] for cell in cells if cell and not is_missing(cell)}
    if len(behind) == 1 and (text := behind.pop()):
        found = unit_of(text, family)
        if found:
            return replace(heading, unit=found[0], written=text, basis=found[1] or heading.basis)
    for line in table.preamble:
        above = _UNIT_ABOVE.search(line)
        found = unit_of(above[1], family) if above else None
        if above and found:
            return replace(heading, unit=found[0], written=above[1].strip(" ,;"))
    doubts.ask("unit", source.title, f'The unit of "{source.title}" is not said.', _usual(heading))
    return heading


def _usual(heading: Heading) -> str:
    return {"temperature_c": "°C", "do_mg_l": "mg/L", "conductivity_us_cm": "µS/cm",
            "salinity_g_kg": "ppt", "alkalinity_mg_l_caco3": "dKH", "hardness_mg_l_caco3": "dGH",
            "total_gas_pressure_pct": "%"}.get(heading.parameter, "mg/L")  # fmt: skip


def _is_numeric(table: LogTable, index: int) -> bool:
    cells = [cells[index] for _, cells in table.rows[:50] if not is_missing(cells[index])]
    return bool(cells) and all(number_part(cell)[0] and not number_part(cell)[1] for cell in cells)


def _bracket(title: str) -> str:
    found = re.search(r"[\[(]([^\])]*)[\])]", title)
    return found[1] if found else ""
