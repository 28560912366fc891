"""What the heading of a column says: a reading with its unit, a time, or something else."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from advisor.case.logs.column_words import (
    BASES,
    is_elsewhere,
    is_harmless,
    names,
    names_longest_first,
    roles,
    squash,
    unit_of,
)
from advisor.units import PARAMETERS

_BRACKETS = re.compile(r"[\[({]([^\])}]*)[\])}]")
_ZONE = re.compile(
    r"\b(?:utc|gmt)(?:\s*[+-]\s*\d{1,2}(?::?\d{2})?)?|(?<!\w)[+-]\d{2}:?\d{2}\b", re.I
)
_FIGURES = re.compile(r"[\d\s.,:/-]*\d[\d\s.,:/-]*", re.ASCII)
_FORM = re.compile(r"[dmyhsj:/.\- ,tap]+", re.I)
TIME_ROLES = ("moment", "date", "clock", "epoch", "elapsed", "after_receipt", "hour", "year")


@dataclass(frozen=True)
class Heading:
    """One column's heading.

    role      : "reading", a role of ``words``, or "" when it is not understood
    parameter : of a reading
    unit      : as ``units.parse`` takes it, of elapsed time s, min, h, d or ms; None = not said
    written   : the unit as the heading has it
    basis     : what a concentration is counted as; None where it matters and is not said
    zone      : zone of a time, as written; form: how it is written, such as dd/mm/yyyy
    at_25     : conductivity said to be compensated to 25 °C
    """

    title: str
    role: str = ""
    parameter: str = ""
    unit: str | None = None
    written: str = ""
    basis: str | None = None
    zone: str = ""
    form: str = ""
    at_25: bool = False


def read_heading(title: str) -> Heading:
    """What a heading means; an empty role when some word of it is not understood."""
    title = title.strip().strip("\ufeff")
    if _FIGURES.fullmatch(title) and not _ZONE.search(title):
        return Heading(title)  # a number or a date: most cells that are tried as a heading
    bare = _BRACKETS.sub(" ", title)
    inside = [text.strip() for text in _BRACKETS.findall(title)]
    words = [word for word in re.split(r"[\s_,;:|]+", bare) if squash(word)]
    if title.strip() in ("#", "№"):
        return Heading(title, "index")
    if not words and inside:
        words = [word for word in re.split(r"[\s_,;:]+", inside[0]) if squash(word)]
        inside = inside[1:]
    zone = _ZONE.search(title)
    if zone:
        bare = bare.replace(zone[0], " ")
        words = [word for word in words if word not in re.split(r"[\s_,;:|]+", zone[0])]
    if squash(bare) == "t" and not (inside and unit_of(inside[0], "temperature")):
        return _with_inside(Heading(title, "moment", zone=zone[0] if zone else ""), "", inside)
    other = _role(title, bare, words, inside, zone[0] if zone else "")
    if other is not None:
        return other
    known = names().get(squash(bare))
    if known is None and is_elsewhere([squash(word) for word in (*words, *inside)]):
        return Heading(title, "other")
    reading = _reading(title, words, inside) or _run_together(title, bare, inside)
    return reading or _by_unit(title, words, inside) or _in_part(title, words, inside)


def _by_unit(title: str, words: list[str], inside: list[str]) -> Heading | None:
    """Water, probe and the like in °C or °F: a temperature, as no other reading has that unit."""
    if words and len(inside) == 1 and _harmless(" ".join(words)):
        unit = unit_of(inside[0], "temperature")
        if unit and not words[0].isdigit():
            return Heading(title, "reading", "temperature_c", unit[0], inside[0])
    return None


def _in_part(title: str, words: list[str], inside: list[str]) -> Heading:
    """A heading of which only the reading is understood; a unit in brackets is then to be told."""
    bare = _reading(title, words, [])
    if bare is not None and inside:
        return replace(bare, written=", ".join(inside))
    for size in range(len(words), 0, -1):
        for at in range(len(words) - size + 1):
            found = names().get(squash(" ".join(words[at : at + size])))
            if found is not None and len(squash(words[at])) > 1:
                rest = [w for w in words[:at] + words[at + size :] if not is_harmless(squash(w))]
                unit = _spans(rest, PARAMETERS[found[0]].family) + inside
                known = [u for u in unit if unit_of(u, PARAMETERS[found[0]].family)]
                written = known[0] if known else ""
                return Heading(title, "", found[0], written=written)
    return Heading(title)


def _role(title: str, bare: str, words: list[str], inside: list[str], zone: str) -> Heading | None:
    """A column of times, numbers, remarks: its name must stand there whole."""
    without_zone = [word for word in words if not _ZONE.fullmatch(word) and squash(word) != "local"]
    for name in (squash(bare), squash(" ".join(without_zone)), squash(bare).rstrip("0123456789")):
        role = roles().get(name)
        if role and name != squash(bare) and role not in TIME_ROLES and not zone:
            continue
        if role:
            return _with_inside(Heading(title, role, zone=zone), name, inside)
    # a time with its unit or a zone run on: "time_s", "Time UTC", "epoch s"
    for cut in range(len(words) - 1, 0, -1):
        role = roles().get(squash(" ".join(words[:cut])))
        rest = " ".join(word for word in words[cut:] if not _ZONE.fullmatch(word))
        if role in TIME_ROLES and (not rest or squash(rest) == "local"):
            return _with_inside(Heading(title, role, zone=zone), "", inside)
        pressure = unit_of(rest, "pressure")
        if role == "air_pressure" and pressure:
            return Heading(title, role, unit=pressure[0], written=rest)
        unit = unit_of(rest, "time")
        if role in (*TIME_ROLES, "moment") and unit:
            role = "elapsed" if role in ("moment", "clock") else role
            return Heading(title, role, unit=unit[0], written=rest, zone=zone)
    return None


def _with_inside(heading: Heading, name: str, inside: list[str]) -> Heading:
    """Brackets after a time: its unit, its form or its zone."""
    own = {"minutes": "min", "seconds": "s", "hours": "h", "days": "d", "min": "min", "sec": "s",
           "s": "s", "h": "h", "d": "d"}  # fmt: skip
    unit = own.get(name) or next(
        (u for word, u in own.items() if len(word) > 3 and word in name), ""
    )
    if heading.role == "elapsed" and unit:
        heading = replace(heading, unit=unit, written=unit)
    if heading.role == "after_receipt":
        heading = replace(heading, unit="h", written="h")
    for text in inside:
        of_time = unit_of(text, "time")
        if heading.role in TIME_ROLES and of_time:
            role = "elapsed" if heading.role in ("moment", "clock") else heading.role
            heading = replace(heading, role=role, unit=of_time[0], written=text)
        elif heading.role == "air_pressure":
            pressure = unit_of(text, "pressure")
            heading = replace(heading, unit=pressure[0] if pressure else None, written=text)
        elif _FORM.fullmatch(text):
            heading = replace(heading, form=text.lower())
        elif heading.role == "moment" and squash(text) in ("elapsed", "sincestart"):
            heading = replace(heading, role="elapsed")
    return heading


def _reading(title: str, words: list[str], inside: list[str]) -> Heading | None:
    """A name of a reading, longest first; what else stands there must be understood too."""
    for size in range(len(words), 0, -1):
        for at in range(len(words) - size + 1):
            found = names().get(squash(" ".join(words[at : at + size])))
            if found is None:
                continue
            rest = words[:at] + words[at + size :]
            heading = _filled(Heading(title, "reading", found[0]), found[1], rest, inside)
            if heading is not None:
                return heading
    return None


def _run_together(title: str, bare: str, inside: list[str]) -> Heading | None:
    """A name and its unit without a space between: TempC, DOmgL, SpCuScm."""
    whole = squash(bare)
    for name in names_longest_first():
        if len(name) > 1 and whole.startswith(name) and whole != name:
            parameter, basis = names()[name]
            if unit_of(whole[len(name) :], PARAMETERS[parameter].family):
                heading = Heading(title, "reading", parameter)
                return _filled(heading, basis, [whole[len(name) :]], inside)
    return None


def _filled(heading: Heading, said: str, rest: list[str], inside: list[str]) -> Heading | None:
    """The heading with unit and basis from the words left; None when one is not understood."""
    at_25 = said == "at 25"
    basis = said if said.startswith("as ") else None
    unit, written = None, ""
    family = PARAMETERS[heading.parameter].family
    for text in _spans(rest, family) + inside:
        if squash(text) in ("", "none") or re.fullmatch(r"[-–]+", text.strip()):
            continue
        found = unit_of(text, family)
        if found is not None and unit is None:
            unit, written = found[0], text
            basis = found[1] or basis
        elif squash(text) in BASES and family in ("nitrogen", "alkalinity", "hardness"):
            basis = BASES[squash(text)] or basis
        elif text in inside and found is None and not _harmless(text):
            found_parts = _parts(text, family)
            if found_parts is None:
                return None
            unit, written, basis = found_parts[0], text, found_parts[1] or basis
        elif not _harmless(text):
            return None
    at_25 = at_25 or (heading.parameter == "conductivity_us_cm" and "25" in squash(heading.title))
    return replace(heading, unit=unit, written=written, basis=basis, at_25=at_25)


def _parts(text: str, family: str) -> tuple[str, str] | None:
    """A bracket that holds unit and more: "mg/L, as N", "% sat., local"."""
    parts = [part for part in re.split(r"[,;]", text) if part.strip()]
    units = [found for part in parts if (found := unit_of(part, family))]
    bases = [BASES[squash(part)] for part in parts if squash(part) in BASES]
    left = [
        p for p in parts if not unit_of(p, family) and squash(p) not in BASES and not _harmless(p)
    ]
    if len(units) != 1 or left:
        return None
    return units[0][0], (bases[0] if bases else units[0][1])


def _harmless(text: str) -> bool:
    return all(is_harmless(squash(word)) or not squash(word) for word in text.split())


def _spans(words: list[str], family: str) -> list[str]:
    """Words left, with those that make one unit together joined."""
    spans, at = [], 0
    while at < len(words):
        for size in range(len(words) - at, 0, -1):
            text = " ".join(words[at : at + size])
            if size == 1 or unit_of(text, family):
                spans.append(text)
                at += size
                break
    return spans
