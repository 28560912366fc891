"""Values as people type them on a command line, read into the stored units.

A fault is one sentence that starts with the name the person typed
(``ph: 19 is outside 2 to 12.5.``), not with the name of the stored field.
"""

from __future__ import annotations

import re
from typing import get_args

from advisor.errors import AdvisorError
from advisor.units import AmbiguousBasis, Quantity, kit_band, parse
from advisor.units.kits import Kit
from advisor.units.parameters import look_up

#: Kinds of kit a person may name, and the readings a kit widens.
KITS: tuple[Kit, ...] = get_args(Kit)
_READ_BY_KIT = ("ph", "nitrogen", "solute", "oxygen", "alkalinity", "hardness")

_SPAN = re.compile(r"(?P<core>.*\d.*?)[\s,;(]*(?:\?|unknown|not sure|don'?t know)\)?\s*", re.I)


def read_value(
    text: str,
    parameter: str,
    shown: str,
    *,
    kit: Kit | None = None,
    temperature_c: float | None = None,
    salinity_g_kg: float | None = None,
) -> Quantity:
    """The quantity ``text`` gives; ``shown`` is what the person calls it.

    kit : widens a water reading by what this kind of kit can tell apart
    A number of several meanings is refused with the choices, unless the text
    ends in "unknown" or "?": then the band spans them all.

    Raises AdvisorError.
    """
    span = _SPAN.fullmatch(text.strip())
    core = span["core"] if span else text
    try:
        found = parse(core, parameter, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    except AmbiguousBasis as choice:
        if span is None:
            raise AdvisorError(_choices(choice, text.strip(), shown)) from None
        found = choice.widened
    except AdvisorError as fault:
        raise AdvisorError(renamed(fault, parameter, shown)) from None
    if kit is not None and look_up(parameter).family in _READ_BY_KIT:
        found = kit_band(found, parameter, kit)
    return found


def _choices(choice: AmbiguousBasis, text: str, shown: str) -> str:
    labels = [label for label, _ in choice.options]
    said = f"{', '.join(labels[:-1])} or {labels[-1]}"
    return f'{shown}: {choice.question} Say {said}; "{text} unknown" spans them all.'


def renamed(fault: AdvisorError, field: str, shown: str) -> str:
    """The sentence of a fault with the field's name replaced by the typed one."""
    text = str(fault)
    return f"{shown}:{text.removeprefix(field + ':')}" if text.startswith(field + ":") else text


def read_kit(text: str, shown: str) -> Kit:
    """A kind of kit by name, spaces and dashes as in speech."""
    plain = re.sub(r"[\s-]+", "_", text.strip().lower()).replace("color", "colour")
    short = {"card": "colour_card", "drop": "drops", "strips": "strip", "laboratory": "lab"}
    plain = short.get(plain, plain)
    for kit in KITS:
        if kit == plain:
            return kit
    names = ", ".join(kit.replace("_", " ") for kit in KITS)
    raise AdvisorError(f'{shown}: "{text}" is not a kind of kit; use one of {names}.')


_NUMBER = re.compile(r"\s*(?P<number>[-+]?\d+(?:[.,]\d+)?)\s*(?P<unit>.*?)\s*")


def read_number(text: str, shown: str, units: dict[str, float], example: str) -> Quantity:
    """A number in one of ``units`` (name -> factor to the first of them, which may be left out).

    Raises AdvisorError.
    """
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise AdvisorError(f'{shown}: "{text.strip()}" is not one number. Write it like {example}.')
    unit = match["unit"].lower()
    known = {name.lower(): factor for name, factor in units.items()}
    if unit and unit not in known:
        raise AdvisorError(f'{shown}: "{match["unit"]}" is no unit of it. Write it like {example}.')
    value = float(match["number"].replace(",", ".")) * (known[unit] if unit else 1.0)
    return Quantity(value, value, value, text.strip())


def read_share(text: str, shown: str) -> Quantity:
    """A share of 0 to 1, written "50 %", "0.5" or "half"."""
    if text.strip().lower() == "half":
        return Quantity(0.5, 0.5, 0.5, text.strip())
    found = read_number(text, shown, {"": 1.0, "%": 0.01}, "50 % or 0.5")
    if not 0.0 <= found.value <= 1.0:
        raise AdvisorError(
            f"{shown}: {text.strip()} is outside 0 to 100 %. Write it like 50 % or 0.5."
        )
    return found
