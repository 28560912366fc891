"""A typed reading as the case keeps it: value, band, kind of kit, what was written."""

from __future__ import annotations

import re

from advisor.case import Case
from advisor.case.readings import RANGES, Kit, Reading
from advisor.units import PARAMETERS, Quantity, kit_band

KIT_NAMES: dict[Kit, str] = {
    "colour_card": "colours compared with a card",
    "strip": "test strip",
    "drops": "drops counted until the colour turns",
    "meter": "meter or probe",
    "lab": "laboratory",
}
_WORDS: tuple[tuple[Kit, str], ...] = (
    ("strip", r"strips?"),
    ("meter", r"meter|probe|pen|digital|photometer|checker|refractometer"),
    ("drops", r"drops?|titrat\w+"),
    ("lab", r"lab|laboratory"),
    ("colour_card", r"cards?|colou?r|tube|liquid"),
)
#: Parameters read with one kit box, so that its kind is asked once for all of them.
BOXES: dict[str, str] = {
    "ph": "ph", "do_mg_l": "oxygen",
    "alkalinity_mg_l_caco3": "hardness", "hardness_mg_l_caco3": "hardness",
}  # fmt: skip
#: Read with a thermometer, a meter by nature: the kind of kit is not asked.
_THERMOMETER = ("temperature_c",)
#: Read with instruments as a rule; a colour kit for them does not exist.
_INSTRUMENT = ("conductivity_us_cm", "salinity_g_kg", "total_gas_pressure_pct")
#: A card whose reading is this many times its first mark may stand at its top
#: (common practice, no source: cards end at 4 to 8 for a first mark of 0.25).
_TOP_OVER_FIRST = 16.0


def kit_in(text: str) -> Kit | None:
    """The kind of kit a line names, if it names one."""
    said = text.casefold()
    return next((kit for kit, form in _WORDS if re.search(rf"\b(?:{form})\b", said)), None)


def asks_kit(parameter: str) -> bool:
    """Whether different kinds of kit read this parameter."""
    return parameter not in _THERMOMETER and parameter not in _INSTRUMENT


def kit_of(parameter: str, kit: Kit | None) -> Kit | None:
    """The kit to store: instruments need not be named."""
    return kit if asks_kit(parameter) else "meter"


def may_be_top_mark(quantity: Quantity, parameter: str, kit: Kit | None) -> bool:
    """Whether a card or strip may have stood at its darkest colour here."""
    mark = PARAMETERS[parameter].first_mark
    if mark is None or kit not in ("colour_card", "strip") or quantity.at_least:
        return False
    written = re.search(r"\d+(?:[.,]\d+)?", quantity.entered)
    shown = float(written.group(0).replace(",", ".")) if written else quantity.value
    return shown >= _TOP_OVER_FIRST * mark


def kits_of(case: Case) -> dict[str, Kit | None]:
    """Kinds of kit by box, as the readings of a case name them."""
    return {
        BOXES.get(parameter, "tubes"): reading.kit
        for look in case.observation
        for water in (look.bag, look.tank, look.tap)
        for parameter, reading in water.given().items()
        if reading.kit is not None
    }


def as_reading(
    quantity: Quantity, parameter: str, kit: Kit | None, *, top_mark: bool = False
) -> Reading:
    """The reading with the band that the kit and the wording leave.

    kit      : None when not known, which widens as far as the coarsest kit
    top_mark : the kit stood at its darkest colour, so the truth may be higher
    """
    stored = kit_of(parameter, kit)
    banded = kit_band(quantity, parameter, stored or "unknown")
    floor, ceiling = RANGES[parameter]
    at_least = quantity.at_least or top_mark
    low, high = max(banded.low, floor), min(ceiling if at_least else banded.high, ceiling)
    if at_least:
        low = min(quantity.value, max(low, quantity.low))
    return Reading(
        value=quantity.value,
        low=min(low, quantity.value),
        high=max(high, quantity.value),
        at_least=at_least,
        at_most=quantity.at_most,
        kit=stored,
        entered=quantity.entered[:200] or None,
        note=banded.note or None,
    )
