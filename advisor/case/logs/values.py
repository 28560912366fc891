"""The cells of a reading as stored values; a value that water cannot have stops the log."""

from __future__ import annotations

from functools import lru_cache

from advisor.case.logs.asking import Doubts
from advisor.case.logs.beside import above, beside, pressure
from advisor.case.logs.column_words import unit_of
from advisor.case.logs.columns import Column, ColumnSource
from advisor.case.logs.decimals import form_of, is_missing, number_part, sure_signs, value_of
from advisor.case.logs.headings import Heading
from advisor.case.logs.table import LogTable
from advisor.errors import AdvisorError
from advisor.units import PARAMETERS, AmbiguousBasis, Quantity, parse
from advisor.units.conversion import PRESSURE_MMHG
from advisor.wording.numbers import exact, short

#: Water under pure oxygen gas holds 1/0.2095 of what it holds under air.
MOST_SATURATION = 4.773
#: Oxygen by volume and by amount: 1.42903 g/L at 0 °C and 1 atm (as in Benson & Krause 1984),
#: 31.9988 g/mol (IUPAC).
_MG_PER_ML, _MG_PER_UMOL = 1.42903, 0.0319988
_STORED_UNIT = {
    "temperature_c": "°C",
    "do_mg_l": "mg/L",
    "conductivity_us_cm": "uS/cm",
    "salinity_g_kg": "ppt",
    "ph": "",
    "total_gas_pressure_pct": "%",
}


def read_columns(
    table: LogTable,
    headings: list[Heading],
    sources: list[ColumnSource],
    rows: list[int],
    doubts: Doubts,
) -> list[Column]:
    """Values of every source on the given rows."""
    name_at = table.column("parameter")
    cells = {
        source: {
            n: table.rows[n][1][source.index]
            for n in rows
            if not source.only or name_at is None or table.rows[n][1][name_at] == source.only
        }
        for source in sources
    }
    signs: set[str] = set()
    for mine in cells.values():
        signs |= sure_signs(
            {number_part(cell)[0] for cell in mine.values() if not is_missing(cell)}
        )
    whole = signs.pop() if len(signs) == 1 else ""
    plain = [
        s
        for s in sources
        if s.heading.unit not in ("%", "fraction") or s.heading.parameter != "do_mg_l"
    ]
    plain.sort(key=lambda s: s.heading.parameter not in ("temperature_c", "salinity_g_kg"))
    columns: list[Column] = []
    for source in plain:
        if source.heading.parameter == "total_gas_pressure_pct" and source.heading.unit != "%":
            columns.append(_gas_pressure(table, headings, source, cells[source], whole, doubts))
        else:
            columns.append(_column(table, source, cells[source], whole, columns, doubts))
    for source in sources:
        if source not in plain:
            columns.append(
                _saturation(table, headings, source, cells[source], whole, columns, doubts)
            )
    doubts.settle()
    return [column for column in columns if column.values or column.missing]


def _numbers(
    table: LogTable,
    source: ColumnSource,
    cells: dict[int, str],
    whole: str,
    doubts: Doubts,
    column: Column,
) -> dict[int, float]:
    """Plain numbers by row; marks for no value are counted, anything else stops the log."""
    heading = source.heading
    numbers = {number_part(cell)[0] for cell in cells.values() if not is_missing(cell)}
    sign = form_of(source.title, heading.parameter, heading.unit or "", numbers, whole, doubts)
    family = PARAMETERS[heading.parameter].family
    cache: dict[str, float | None] = {}
    found: dict[int, float] = {}
    for n, cell in cells.items():
        if cell not in cache:
            if is_missing(cell):
                cache[cell] = None
            else:
                text, behind = number_part(cell.lstrip("<>≤≥ "))
                value = value_of(text, sign) if text else None
                unit = unit_of(behind, family) if behind else None
                if value is None or (behind and (unit is None or unit[0] != heading.unit)):
                    raise doubts.refuse(
                        f'"{cell[:40]}" under "{source.title}" is no number'
                        + (f" in {heading.written}." if heading.written else "."),
                        table.rows[n][0],
                    )
                cache[cell] = value
        number = cache[cell]
        if number is None:
            column.missing += 1
        else:
            found[n] = number
            column.written[n] = cell
    return found


def _gas_pressure(
    table: LogTable,
    headings: list[Heading],
    source: ColumnSource,
    cells: dict[int, str],
    whole: str,
    doubts: Doubts,
) -> Column:
    """Total gas as a pressure: percent of the air pressure of its row."""
    column = Column(source)
    numbers = _numbers(table, source, cells, whole, doubts, column)
    air = pressure(table, headings, numbers, doubts) if source.heading.unit else None
    for n, value in numbers.items() if air is not None else ():
        assert air is not None
        percent = 100 * value * PRESSURE_MMHG[source.heading.unit or "mmHg"] / air[n]
        if not 50 <= percent <= 300:
            raise doubts.refuse(
                f"total gas pressure {column.written[n]} is {exact(percent, 3)} % of the air's.",
                table.rows[n][0],
            )
        column.values[n] = Quantity(percent, percent, percent, "")
    return column


def _column(
    table: LogTable,
    source: ColumnSource,
    cells: dict[int, str],
    whole: str,
    before: list[Column],
    doubts: Doubts,
) -> Column:
    column = Column(source)
    warmth = next((c.values for c in before if c.key == "temperature_c"), {})
    key, heading = column.key, source.heading
    for n, value in _numbers(table, source, cells, whole, doubts, column).items():
        if doubts.questions and heading.unit is None and key != "ph":
            continue
        line = table.rows[n][0]
        try:
            if column.written[n][0] in "<>≤≥":
                quantity = _beyond_scale(column.written[n][0], value, heading, key)
            else:
                quantity = stored(value, heading.unit or "", heading.basis or "", key)
        except AdvisorError as fault:
            raise doubts.refuse(_beyond(key, column.written[n], source, str(fault)), line) from None
        if key == "do_mg_l":
            _check_oxygen(quantity.value, warmth.get(n), column.written[n], source, line, doubts)
        column.values[n] = quantity
    return column


def _beyond_scale(sign: str, value: float, heading: Heading, key: str) -> Quantity:
    """Less than the instrument sees, or more: a band, by the rules of written readings."""
    text = f"{sign}{exact(value, 12)} {heading.unit or ''} {heading.basis or ''}".strip()
    try:
        return parse(text, key)
    except AmbiguousBasis as question:
        return question.widened


def _beyond(key: str, cell: str, source: ColumnSource, fault: str) -> str:
    parameter = PARAMETERS[key]
    unit = (
        f" {source.heading.written}" if source.heading.written and not number_part(cell)[1] else ""
    )
    hint = fault.partition("?")[0].rpartition(". ")[2] + "?" if "?" in fault else ""
    return (
        f"{parameter.name} {cell}{unit} cannot be: a case takes {exact(parameter.low)} to "
        f"{exact(parameter.high)} {parameter.unit}".rstrip()
        + f". {hint}".rstrip()
    )


@lru_cache(maxsize=50_000)
def stored(value: float, unit: str, basis: str, key: str) -> Quantity:
    """A number in a unit as the stored quantity. Raises AdvisorError beyond what can be."""
    parameter = PARAMETERS[key]
    if key == "do_mg_l" and unit in ("mL/L", "umol/L", "mmol/L"):
        value *= {"mL/L": _MG_PER_ML, "umol/L": _MG_PER_UMOL, "mmol/L": 1000 * _MG_PER_UMOL}[unit]
        unit = "mg/L"
    plain = unit == _STORED_UNIT.get(key) or (unit == "mg/L" and basis in ("", "as N", "as CaCO3"))
    if plain and (unit != "mg/L" or parameter.unit in ("mg/L", f"mg/L {basis}".strip())):
        if not parameter.low <= value <= parameter.high:
            raise AdvisorError(_other_unit(value, key))
        return Quantity(value, value, value, "")
    try:
        return parse(f"{exact(value, 12)} {unit} {basis}".strip(), key)
    except AmbiguousBasis as question:
        return question.widened


def _other_unit(value: float, key: str) -> str:
    from advisor.units.bounds import other_unit

    return other_unit(value, PARAMETERS[key])


def _check_oxygen(
    value: float,
    warmth: Quantity | None,
    cell: str,
    source: ColumnSource,
    line: int,
    doubts: Doubts,
) -> None:
    at_c = 0.0 if warmth is None else round(warmth.value)
    most = MOST_SATURATION * _full(min(max(at_c, 0.0), 40.0))
    if value > most * 1.05:
        raise doubts.refuse(
            f"oxygen of {cell} ({short(value, 4)} mg/L) cannot be: under pure oxygen gas water of "
            f"{exact(at_c)} °C holds {short(most)} mg/L. Is it percent saturation?",
            line,
        )


@lru_cache(maxsize=100)
def _full(temperature_c: float) -> float:
    return parse("100 %", "do_mg_l", temperature_c=temperature_c).value


def _saturation(
    table: LogTable,
    headings: list[Heading],
    source: ColumnSource,
    cells: dict[int, str],
    whole: str,
    before: list[Column],
    doubts: Doubts,
) -> Column:
    """Percent of saturation as mg/L, by temperature, salinity and air pressure of its row."""
    column = Column(source)
    numbers = _numbers(table, source, cells, whole, doubts, column)
    plain = next((c for c in before if c.key == "do_mg_l"), None)
    warmth = beside("temperature_c", before, doubts, needed=plain is None)
    if plain is not None:
        _compare(numbers, plain, warmth, column, table, doubts)
        return Column(source)
    salt = beside("salinity_g_kg", before, doubts, above=above(table, "salinity"))
    mmhg = pressure(table, headings, numbers, doubts)
    if warmth is None or salt is None or mmhg is None:
        return column
    scale = 100.0 if source.heading.unit == "fraction" else 1.0
    for n, number in numbers.items():
        percent = number * scale
        line, cell = table.rows[n][0], column.written[n]
        if not 0 <= percent <= 100 * MOST_SATURATION * 1.05:
            raise doubts.refuse(f"oxygen of {cell} % cannot be; pure oxygen gas gives 477 %.", line)
        if n not in warmth or n not in salt or n not in mmhg:
            column.missing += 1
            column.written.pop(n)
            doubts.remark("oxygen in percent is left out on rows without temperature or salinity")
            continue
        column.values[n] = _dissolved(percent, warmth[n], salt[n], mmhg[n])
    return column


@lru_cache(maxsize=50_000)
def _dissolved(percent: float, temperature_c: float, salinity: float, mmhg: float) -> Quantity:
    return parse(
        f"{exact(percent, 10)} %",
        "do_mg_l",
        temperature_c=temperature_c,
        salinity_g_kg=salinity,
        pressure_mmhg=mmhg,
    )


def _compare(
    numbers: dict[int, float],
    plain: Column,
    warmth: dict[int, float] | None,
    column: Column,
    table: LogTable,
    doubts: Doubts,
) -> None:
    """Percent and mg/L of the same water must agree, for some altitude and salinity."""
    if warmth is None:
        return
    for n, percent in numbers.items():
        if n not in plain.values or n not in warmth or percent < 5:
            continue
        ratio = plain.values[n].value / (percent / 100 * _full(min(max(round(warmth[n]), 0), 40)))
        if not 0.55 < ratio < 1.12:
            doubts.ask(
                "column",
                "do_mg_l",
                f'On line {table.rows[n][0]} "{column.source.title}" and "{plain.source.title}" '
                "contradict each other.",
                plain.source.title,
            )
            return
