"""A case as TOML text, and back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any

from pydantic import ValidationError

from advisor.case.model import FORMAT, Case
from advisor.case.readings import RANGES, WATERS
from advisor.errors import AdvisorError
from advisor.wording.places import path_text
from advisor.wording.toml_file import MOST_SHOWN, Form, one_line, parse, raise_faults

LINE = 88
CASE_FILE = Form("case", line="tank.ph = 7.4", heading="[transit]", entry="[[lot]]", key_parts=4)
MOST_TEXTS = 1_000  # readings written as text, in one file; each takes some 0.2 ms to read


def loads_case(text: str, where: str = "case", *, weighed: bool = True) -> Case:
    """The case that ``text`` describes.

    where   : what the text is called in error sentences, as a rule its file
    weighed : whether its figures are held against each other and what cannot be is refused;
              not for what a session wrote, which must open again whatever was answered

    A reading may be a number in the stored unit, text with its own unit
    (``temperature_c = "78 F"``) or a table. Raises AdvisorError, or ManyFaults
    with one sentence for each fault.
    """
    content = parse(text, where, CASE_FILE)
    if not content:
        start = f'format = "{FORMAT}" and [delivery]'
        raise AdvisorError(f"{one_line(where)}: is empty; a case begins with {start}")
    faults: list[str] = []
    data = _without_dates(content)
    _read_texts(data, where, faults)
    case: Case | None = None
    try:
        case = Case.model_validate(data)
    except ValidationError as error:
        from advisor.case.faults import model_faults

        faults += model_faults(error, where)
    if case is None or faults:
        raise_faults(faults, where)
    assert case is not None
    if weighed:
        _refuse_impossible(case, text, where)
    return case


def _refuse_impossible(case: Case, text: str, where: str) -> None:
    from advisor.case.figures import impossible, line_of

    found = [
        f"{where}, line {line_of(text, loc)}, {path_text(loc)}: {said}"
        for loc, said in impossible(case)
    ]
    if found:
        raise_faults(found, where)


def _without_dates(part: Any) -> Any:
    """Dates and times as ISO 8601 text, which is how a case keeps them."""
    if isinstance(part, dict):
        return {name: _without_dates(entry) for name, entry in part.items()}
    if isinstance(part, list):
        return [_without_dates(entry) for entry in part]
    return part.isoformat() if isinstance(part, (date, datetime, time)) else part


def _read_texts(data: Mapping[str, Any], where: str, faults: list[str]) -> None:
    """Replace every reading written as text by what it says."""
    texts = [(loc, water, *text) for loc, water in _waters(data) for text in _in_text(water)]
    if len(texts) > MOST_TEXTS:
        most = f"at most {MOST_TEXTS} readings may be written as text"
        raise AdvisorError(f"{one_line(where)}: {most}")
    for loc, water, name, table in texts:
        if len(faults) > MOST_SHOWN:
            return  # what is left is counted by the model
        try:
            found = _from_text(table["value"], name, water)
        except AdvisorError as error:
            said = str(error).removeprefix(f"{name}: ")
            faults.append(f"{where}, {path_text((*loc, name))}: {said}")
            found = None
        if found is None:
            del water[name]
        else:
            water[name] = found | {k: v for k, v in table.items() if k != "value"}


def _in_text(readings: Mapping[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """Readings whose value is text, each as a table."""
    tables = (
        (name, written if isinstance(written, dict) else {"value": written})
        for name, written in readings.items()
        if name in RANGES
    )
    texts = [(name, table) for name, table in tables if isinstance(table.get("value"), str)]
    return sorted(texts, key=lambda text: text[0] == "do_mg_l")  # "90 %" needs the temperature


def _waters(data: Mapping[str, Any]) -> Iterator[tuple[tuple[str | int, ...], dict[str, Any]]]:
    """Where water readings stand, whatever else may be wrong with the file."""
    for top, waters in (("lot", ("packed",)), ("observation", WATERS)):
        entries = data.get(top)
        for at, entry in enumerate(entries if isinstance(entries, list) else ()):
            for water in waters if isinstance(entry, dict) else ():
                if isinstance(entry.get(water), dict):
                    yield (top, at, water), entry[water]


def _from_text(text: str, name: str, water: Mapping[str, Any]) -> dict[str, Any] | None:
    """A reading's table from what was typed; None when it says that there is none.

    water : the other readings of the same water

    A basis that is not told ("0.5 ppm" of nitrite) is not guessed: the band
    spans every meaning, and the note says so.
    """
    from advisor.units import AmbiguousBasis, is_unknown, parse

    if is_unknown(text):
        return None
    try:
        quantity = parse(
            text,
            name,
            temperature_c=_number(water.get("temperature_c")),
            salinity_g_kg=_number(water.get("salinity_g_kg")),
        )
    except AmbiguousBasis as open_question:
        quantity = open_question.widened
    read: dict[str, Any] = {"value": quantity.value, "entered": quantity.entered}
    if not quantity.low == quantity.value == quantity.high:
        read |= {"low": quantity.low, "high": quantity.high}
    if quantity.note:
        read["note"] = quantity.note
    return read | {"at_least": quantity.at_least, "at_most": quantity.at_most}


def _number(reading: Any) -> float | None:
    value: Any = reading.get("value") if isinstance(reading, dict) else reading
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return float(value) if abs(value) < 1e6 else None


def dumps_case(case: Case) -> str:
    """``case`` as TOML that is pleasant to read and to change by hand.

    Nothing is lost: reading the text again gives an equal case. Values equal to
    the default are left out (but for the time of a look), names stand in the
    order of the model, readings in their shortest form. ``amended`` keeps the
    comments of the text a case came from.
    """
    blocks = []
    for name, part in as_tree(case).items():
        if name == "format":
            blocks.append(f"format = {_value(part)}\n")
            continue
        if isinstance(part, dict):
            blocks.append(f"[{name}]\n" + _entries(part))
        else:
            blocks += [f"[[{name}]]\n" + _entries(entry) for entry in part]
    return "\n".join(blocks)


def as_tree(case: Case) -> dict[str, Any]:
    """``case`` as tables and values in the order they are written, defaults left out."""
    data = case.model_dump(exclude_defaults=True)
    # When a look was taken is what one reads first in it, so it stands there even for 0.
    looks = zip(case.observation, data.get("observation", ()), strict=True)
    tables = [{"at_hours": look.at_hours} | table for look, table in looks]
    return {"format": case.format, **data} | ({"observation": tables} if tables else {})


def _entries(table: Mapping[str, Any], before: str = "") -> str:
    """One ``name = value`` a line; a table within gives ``tank.ph = value`` lines."""
    lines = []
    for name, value in table.items():
        key = before + _key(name)
        if isinstance(value, dict) and not before:
            lines.append(_entries(value, f"{key}."))
        else:
            lines.append(f"{key} = {_value(value, room=LINE - len(key) - 3)}\n")
    return "".join(lines)


def _value(value: Any, room: int = LINE, inline: bool = False) -> str:
    """A value in TOML; lists and long text over several lines where they are too wide.

    inline : stands inside braces, where TOML allows no line break
    """
    if isinstance(value, dict):
        inside = (f"{_key(name)} = {_value(entry, inline=True)}" for name, entry in value.items())
        return "{ " + ", ".join(inside) + " }"
    if isinstance(value, (list, tuple)):
        return _list(value, room, inline)
    if isinstance(value, float) and value.is_integer() and repr(value) != "-0.0":
        value = int(value) if abs(value) < 1e15 else value
    import tomlkit

    # A line end of text over several lines is read as \n, so text with \r stays on one line.
    if isinstance(value, str) and "\n" in value and "\r" not in value and not inline:
        lines = (tomlkit.string(line).as_string()[1:-1] for line in value.split("\n"))
        return '"""\n' + "\n".join(lines) + '"""'
    return str(tomlkit.item(value).as_string())


def _list(entries: Sequence[Any], room: int, inline: bool) -> str:
    written = [_value(entry, inline=True) for entry in entries]
    one_line = f"[{', '.join(written)}]"
    if inline or len(one_line) <= room:
        return one_line
    return "[\n" + "".join(f"    {entry},\n" for entry in written) + "]"


def _key(name: str) -> str:
    import tomlkit

    return tomlkit.key(name).as_string()
