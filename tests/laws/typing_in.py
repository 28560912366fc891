"""Readings as people type them: through a kit's marks, in the bottle's units, zeros and all."""

from __future__ import annotations

import random
from typing import Any

#: The marks a kit shows; ammonia and nitrite as N. Common trade kits, common practice, no source.
_MARKS = {
    ("tan_mg_l", "colour_card"): (0, 0.25, 0.5, 1, 2, 4, 8),
    ("tan_mg_l", "drops"): (0, 0.05, 0.1, 0.2, 0.4, 0.6, 1, 1.5, 2, 3, 5, 8, 12, 16),
    ("tan_mg_l", "strip"): (0, 0.5, 1, 3, 6),
    ("nitrite_mg_l", "colour_card"): (0, 0.08, 0.15, 0.3, 0.6, 1.5),
    ("nitrite_mg_l", "drops"): (0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 1, 2, 3),
    ("nitrite_mg_l", "strip"): (0, 0.15, 0.3, 1, 3),
    ("chlorine_mg_l", "drops"): (0, 0.1, 0.2, 0.4, 0.6, 0.8, 1, 1.5, 2),
    ("chlorine_mg_l", "strip"): (0, 0.5, 1, 3),
    ("copper_mg_l", "drops"): (0, 0.05, 0.1, 0.15, 0.25, 0.5),
    ("sulfide_mg_l", "drops"): (0, 0.05, 0.1, 0.3, 1),
}
_STEP = {
    ("ph", "colour_card"): 0.2, ("ph", "drops"): 0.2, ("ph", "strip"): 0.5, ("ph", "meter"): 0.05,
    ("temperature_c", "meter"): 0.1, ("temperature_c", "strip"): 1.0, ("do_mg_l", "meter"): 0.1,
    ("do_mg_l", "drops"): 0.5, ("salinity_g_kg", "meter"): 0.5,
    ("conductivity_us_cm", "meter"): 10, ("hardness_mg_l_caco3", "drops"): 17.85,
    ("alkalinity_mg_l_caco3", "drops"): 17.85, ("total_gas_pressure_pct", "meter"): 1,
}  # fmt: skip
#: The kits a house owns.
HOUSES = {
    "card": ("colour_card", "colour_card", "strip"),
    "strips": ("strip", "strip", "strip"),
    "drops": ("drops", "drops", "meter"),
    "shop": ("drops", "meter", "meter"),
}


def typed(rng: random.Random, house: str, name: str, value: float) -> Any:
    """What this house would write for the true ``value`` of a reading."""
    chemical, ph_kit, warm_kit = HOUSES[house]
    if name == "temperature_c":
        if rng.random() < 0.12:
            return f"{round(value * 9 / 5 + 32)} F"
        kit = warm_kit
    elif name == "ph":
        kit = ph_kit
    elif (name, chemical) in _MARKS:
        kit = chemical
    elif (name, "drops") in _MARKS or name in ("hardness_mg_l_caco3", "alkalinity_mg_l_caco3"):
        kit = "drops"
    else:
        kit = "meter"
    marks = _MARKS.get((name, kit))
    if marks:
        read = min(marks, key=lambda mark: abs(mark - value))
        if name == "nitrite_mg_l" and read and rng.random() < 0.15:
            return f"{round(read * 3.285, 2)} mg/L as NO2"
    else:
        step = _STEP[(name, kit)]
        read = round(round(value / step) * step, 2)
    return {"value": read, "kit": kit}


def water(rng: random.Random, house: str, true: dict[str, float], often: float) -> dict[str, Any]:
    """The readings taken of a water: each with the chance ``often``, warmth nearly always."""
    costly = {"do_mg_l": 0.4, "chlorine_mg_l": 0.5, "conductivity_us_cm": 0.5, "copper_mg_l": 0.5,
              "hardness_mg_l_caco3": 0.5, "alkalinity_mg_l_caco3": 0.6}  # fmt: skip
    taken = {}
    for name, value in true.items():
        chance = max(often, 0.9) if name in ("temperature_c", "salinity_g_kg") else often
        if rng.random() < chance * costly.get(name, 1):
            taken[name] = typed(rng, house, name, value)
    return taken
