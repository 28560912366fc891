"""What the columns of a probe's or meter's log are called, and in which unit they stand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from advisor.units import PARAMETERS

#: Names in logs -> parameter, in plain letters.
_NAMES = {
    "temperature_c": "temp|temperature|water temp|water temperature|probe temp|t",
    "ph": "ph|ph value|ph units",
    "tan_mg_l": "tan|ammonia|total ammonia|nh3 nh4|nh4 nh3|ammonium|nh4|nh4 n|tan n|ammonia n",
    "nitrite_mg_l": "nitrite|no2|no2 n|nitrite n",
    "nitrate_mg_l": "nitrate|no3|no3 n|nitrate n",
    "do_mg_l": "do|dissolved oxygen|oxygen|o2|odo|rdo|ldo|do conc",
    "alkalinity_mg_l_caco3": "alkalinity|total alkalinity|kh|carbonate hardness",
    "hardness_mg_l_caco3": "hardness|total hardness|gh",
    "conductivity_us_cm": "conductivity|cond|ec|spec cond|sp cond|specific conductance",
    "salinity_g_kg": "salinity|sal",
    "chlorine_mg_l": "chlorine|total chlorine|cl2",
    "chloride_mg_l": "chloride",
    "co2_mg_l": "co2|carbon dioxide",
    "copper_mg_l": "copper|cu",
    "sulfide_mg_l": "sulfide|sulphide|h2s|hydrogen sulfide",
    "total_gas_pressure_pct": "tgp|total gas pressure",
}
_ROLES = {
    "time": "time|timestamp|date time|datetime|date and time|time stamp|when|at hours|hours after "
    "receipt|elapsed|elapsed time|hours|hour|h|minutes|min|seconds|sec|s",
    "date": "date|day",
    "parameter": "parameter|sensor|quantity|measurement|probe|channel|name|variable",
    "value": "value|reading|result|measured",
    "unit": "unit|units",
    "water": "water",
    "lot": "lot|tank id",
}
#: Units that say elapsed time, in hours.
ELAPSED = {"h": 1.0, "hour": 1.0, "hours": 1.0, "hr": 1.0, "min": 1 / 60, "minutes": 1 / 60,
           "s": 1 / 3600, "sec": 1 / 3600, "seconds": 1 / 3600}  # fmt: skip
#: Stored units as they are spelled in logs: such numbers need no conversion.
_STORED = {
    "temperature_c": "c|°c|degc|deg c|celsius|degrees celsius|º c|ºc",
    "ph": "ph|units|ph units|su|-",
    "do_mg_l": "mg/l|ppm",
    "conductivity_us_cm": "us/cm|µs/cm|μs/cm",
    "salinity_g_kg": "g/kg|ppt|psu|‰",
    "total_gas_pressure_pct": "%|percent",
    "co2_mg_l": "mg/l|ppm", "chlorine_mg_l": "mg/l|ppm", "chloride_mg_l": "mg/l|ppm",
    "copper_mg_l": "mg/l|ppm", "sulfide_mg_l": "mg/l|ppm",
    "tan_mg_l": "mg/l as n|mg/l n|mg n/l", "nitrite_mg_l": "mg/l as n|mg/l n|mg n/l",
    "nitrate_mg_l": "mg/l as n|mg/l n|mg n/l",
    "alkalinity_mg_l_caco3": "mg/l as caco3|mg/l caco3|ppm caco3",
    "hardness_mg_l_caco3": "mg/l as caco3|mg/l caco3|ppm caco3",
}  # fmt: skip
_UNIT = re.compile(r"[\[(]([^\])]*)[\])]\s*$")
_NITROGEN = re.compile(r"\bn\b|-n\b", re.IGNORECASE)

Role = Literal[
    "time", "date", "parameter", "value", "unit", "water", "lot", "reading", "free_ammonia", ""
]


@dataclass(frozen=True)
class Column:
    """What a column holds. ``key`` is the parameter of a reading; ``unit`` as the header has it."""

    role: Role
    key: str = ""
    unit: str = ""
    title: str = ""


def column(title: str) -> Column:
    """What a header cell means; an empty role for one that says nothing here."""
    found = _UNIT.search(title)
    unit = found[1].strip() if found else ""
    name = _plain(title[: found.start()] if found else title)
    for role, names in _ROLES.items():
        if name in names.split("|"):
            if role == "time" and not unit and name in ELAPSED:
                unit = name
            return Column(role, unit=unit, title=title)  # type: ignore[arg-type]
    key, basis = parameter(title[: found.start()] if found else title)
    if key:
        return Column("reading", key, " ".join(filter(None, (unit, basis))), title)
    free = name in ("nh3", "free ammonia", "unionized ammonia", "un ionised ammonia")
    return Column("free_ammonia" if free else "", title=title)


def parameter(name: str) -> tuple[str, str]:
    """(parameter, basis said in the name) for what a log calls a reading; ("", "") for others."""
    key = _index().get(_plain(name), "")
    nitrogen = key in ("tan_mg_l", "nitrite_mg_l", "nitrate_mg_l") and _NITROGEN.search(name)
    return key, "as N" if nitrogen else ""


def is_stored(key: str, unit: str) -> bool:
    """Whether a unit is the one the case stores; no unit counts as that."""
    plain = re.sub(r"\s+", " ", unit.strip().lower())
    return not plain or plain in _STORED[key].split("|") or plain == PARAMETERS[key].unit.lower()


@cache
def _index() -> dict[str, str]:
    return dict(_pairs())


def _pairs() -> Iterator[tuple[str, str]]:
    for key, names in _NAMES.items():
        yield _plain(key), key
        yield _plain(PARAMETERS[key].name), key
        for name in names.split("|"):
            yield name, key


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", text.lower()).strip()
