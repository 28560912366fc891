"""A name the case does not have: which one was meant, and where it belongs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import Any

from advisor.case import schema
from advisor.case.readings import RANGES
from advisor.wording.nearest import near_words

#: What people call a reading -> the name it is stored under.
_CALLED: dict[str, str] = {
    "temp": "temperature_c", "temperature": "temperature_c",
    "tan": "tan_mg_l", "ammonia": "tan_mg_l", "nh3": "tan_mg_l", "nh4": "tan_mg_l",
    "nitrite": "nitrite_mg_l", "no2": "nitrite_mg_l",
    "nitrate": "nitrate_mg_l", "no3": "nitrate_mg_l",
    "oxygen": "do_mg_l", "o2": "do_mg_l", "do": "do_mg_l",
    "kh": "alkalinity_mg_l_caco3", "alk": "alkalinity_mg_l_caco3",
    "alkalinity": "alkalinity_mg_l_caco3",
    "gh": "hardness_mg_l_caco3", "hardness": "hardness_mg_l_caco3",
    "ec": "conductivity_us_cm", "tds": "conductivity_us_cm",
    "conductivity": "conductivity_us_cm",
    "salt": "salinity_g_kg", "sg": "salinity_g_kg", "salinity": "salinity_g_kg",
    "chlorine": "chlorine_mg_l", "cl2": "chlorine_mg_l", "chloride": "chloride_mg_l",
    "co2": "co2_mg_l", "copper": "copper_mg_l", "cu": "copper_mg_l",
    "sulfide": "sulfide_mg_l", "h2s": "sulfide_mg_l",
    "tgp": "total_gas_pressure_pct",
}  # fmt: skip

#: Ending of a stored name -> the unit it stands for. Longest first.
_STORED: tuple[tuple[str, str], ...] = (
    ("_mg_l_caco3", "mg/L as CaCO3"), ("_us_cm", "µS/cm"), ("_g_kg", "g/kg"),
    ("_mg_l", "mg/L"), ("_pct", "%"), ("_days", "days"), ("_cm", "cm"),
    ("_c", "°C"), ("_l", "litres"), ("_g", "grams"), ("_m", "metres"),
)  # fmt: skip
_SAID = {"tan": "total ammonia", "do": "dissolved oxygen"}
_AS_NITROGEN = ("tan_mg_l", "nitrite_mg_l", "nitrate_mg_l")

#: Ending a person may write instead -> how that unit is written in text.
_OTHER: dict[str, str] = {
    "f": "F", "fahrenheit": "F", "degf": "F", "c": "C", "celsius": "C", "k": "K",
    "dkh": "dKH", "dgh": "dGH", "dh": "dH", "meq": "meq/L", "ppm": "ppm", "ppt": "ppt",
    "psu": "psu", "gal": "gal", "gallons": "gal", "ml": "mL", "liters": "L", "litres": "L",
    "kg": "kg", "mg": "mg", "oz": "oz", "lb": "lb",
    "mm": "mm", "in": "in", "inches": "in", "ft": "ft", "feet": "ft",
    "sg": "SG", "ms": "mS/cm", "us": "uS/cm",
}  # fmt: skip

#: Headings people may write -> the one that is meant.
_HEADINGS: dict[str, str] = {
    "case": "delivery", "shipment": "delivery", "bag": "lot", "fish": "lot", "species": "lot",
    "tank": "receiving", "system": "receiving", "aquarium": "receiving",
    "signs": "observation", "look": "observation", "reading": "observation",
    "readings": "observation", "journey": "transit", "result": "outcome",
}  # fmt: skip


def unknown_name(name: str, given: Any, loc: Sequence[str | int]) -> str:
    """Sentence for a name that is not known at ``loc``.

    given : the value it was given
    """
    here = schema.names(schema.allowed(loc))
    wanted = name[:60].lower().replace("-", "_").replace(".", "_").replace(" ", "_")
    if not loc and wanted in _HEADINGS:
        hint = f"did you mean {_heading(_HEADINGS[wanted])}?"
    else:
        hint = _unit_hint(wanted, given, here) or _meant(wanted, loc)
    known = f"known here: {', '.join(here)}"
    return f"{name[:60] or 'an empty name'} is not known here; {hint or known}"


def _meant(wanted: str, loc: Sequence[str | int]) -> str:
    """'did you mean ...?', from the names of this place, then from those of any other."""
    tries = ((_at(tuple(loc)), 0.72), (_elsewhere(), 0.8))
    for spelling in dict.fromkeys((_stored_spelling(wanted), wanted)):
        for names, closeness in tries:
            if near := near_words(spelling, names, 1, closeness):
                found = names[near[0]]
                return f"did you mean {found if loc else _heading(found)}?"
    return ""


def _stored_spelling(wanted: str) -> str:
    """``tank_alkalinity_mg_l_caco3`` for "tank_kh", "tank_kh_dkh"; the word itself if none fits."""
    words = wanted.split("_")
    at = next((at for at, word in enumerate(words) if word in _CALLED), None)
    return wanted if at is None else "_".join([*words[:at], _CALLED[words[at]]])


def _heading(name: str) -> str:
    if name not in schema.names(schema.allowed(())) or name == "format":
        return name
    return f"[[{name}]]" if _is_list(name) else f"[{name}]"


def _is_list(name: str) -> bool:
    return any(kind.get("type") == "array" for kind in schema.allowed((name,)))


def _unit_hint(wanted: str, given: Any, here: Sequence[str]) -> str:
    """'temperature is stored in °C: ...' where a name of this place was given another unit."""
    stems = {_stem(stored)[0]: stored for stored in here if _stem(stored)[1]}
    stem, _, tail = wanted.rpartition("_")
    stored = stems.get(stem) or _CALLED.get(stem, "")
    if tail not in _OTHER or stored not in here or stored.endswith("_" + tail):
        return ""
    plain, unit = _stem(stored)
    basis = " as N" if stored in _AS_NITROGEN else ""
    hint = f"{_SAID.get(plain, plain.replace('_', ' '))} is stored in {unit}{basis}: {stored}"
    if stored in RANGES and isinstance(given, (int, float)):
        hint += f' (or write {stored} = "{given} {_OTHER[tail]}")'
    return hint


def _stem(stored: str) -> tuple[str, str]:
    """("temperature", "°C") from temperature_c; ("ph", "") where no unit stands in the name."""
    found = next((pair for pair in _STORED if stored.endswith(pair[0])), None)
    return (stored.removesuffix(found[0]), found[1]) if found else (stored, "")


@cache
def _at(loc: tuple[str | int, ...]) -> dict[str, str]:
    """Names that may be written at a place, the parts of its tables included."""
    depth = len(loc)
    found = {name: name for name in schema.names(schema.allowed(loc))}
    for place in _places():
        if place[:depth] == tuple(0 if isinstance(part, int) else part for part in loc):
            rest = [part for part in place[depth:] if isinstance(part, str)]
            if rest and 0 not in place[depth:]:
                for spelling in ("_".join(rest), rest[-1]):
                    found.setdefault(spelling, ".".join(rest))
    return found


@cache
def _elsewhere() -> dict[str, str]:
    """Every name of a case, alone and with the table it stands in -> where it belongs."""
    found: dict[str, str] = {}
    for place in _places():
        words = [part for part in place if isinstance(part, str)]
        if len(words) < 2:
            continue
        top, rest = words[0], words[1:]
        article = "an" if top[0] in "aeiou" else "a"
        label = f"{'.'.join(rest)} in {f'{article} {top}' if _is_list(top) else f'[{top}]'}"
        for spelling in (rest[-1], "_".join(rest), "_".join(words)):
            found.setdefault(spelling, label)
    return found


@cache
def _places() -> tuple[tuple[str | int, ...], ...]:
    """All named places, the tank's first: a bare "ph" most often means the tank's."""
    return tuple(sorted(schema.all_places(), key=lambda place: "tank" not in place))
