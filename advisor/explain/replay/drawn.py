"""Random but possible deliveries: any mix of fish, journey, tank, signs and readings.

Possible means that a file could say it of one delivery: bags that are shut have not been
released from, what is looked for is seen or not seen, signs that exclude each other do not
stand together, a band holds its value, un-measured stays un-measured. How likely a mix is
does not matter here; rare ones are what safety is tried on. Ranges are wide on purpose
and our own choice.
"""

from __future__ import annotations

import random
from typing import Any

from advisor.case import Case
from advisor.rulebase import RuleBase
from advisor.wording.names import KITS

#: parameter -> low, middle, high; half of the draws fall below the middle.
RANGES = {
    "temperature_c": (2.0, 24.0, 37.0),
    "ph": (4.8, 7.2, 9.8),
    "tan_mg_l": (0.0, 1.0, 40.0),
    "nitrite_mg_l": (0.0, 0.3, 15.0),
    "nitrate_mg_l": (0.0, 10.0, 150.0),
    "do_mg_l": (0.5, 6.0, 22.0),
    "alkalinity_mg_l_caco3": (0.0, 70.0, 350.0),
    "hardness_mg_l_caco3": (0.0, 100.0, 600.0),
    "conductivity_us_cm": (5.0, 350.0, 2500.0),
    "salinity_g_kg": (0.0, 0.3, 36.0),
    "chlorine_mg_l": (0.0, 0.1, 4.0),
    "chloride_mg_l": (0.0, 25.0, 400.0),
    "co2_mg_l": (0.0, 20.0, 250.0),
    "copper_mg_l": (0.0, 0.05, 1.5),
    "sulfide_mg_l": (0.0, 0.01, 1.0),
    "total_gas_pressure_pct": (95.0, 101.0, 125.0),
}
#: Of each line at most one is seen at one look.
EXCLUDING = (
    ("swimming_normally", "lying_on_side", "loss_of_equilibrium", "spinning_convulsions"),
    ("answers_a_hand", "unresponsive", "weak_response"),
    ("rapid_gill_movement", "slow_gill_movement"),
    ("eating", "refusing_food"),
    ("floating", "sinking"),
    ("pale_body_colour_loss", "darkened_body"),
    ("bright_red_gills", "brown_gills", "pale_gills"),
    ("large_fish_first", "smallest_first"),
    ("all_species_at_once", "single_species_only_affected", "newcomers_only_affected"),
)


def delivery(rng: random.Random, base: RuleBase) -> Case:
    """One delivery; the same for the same state of ``rng``."""
    ids = [f"lot-{number}" for number in range(1, rng.choice((1, 1, 1, 2, 3)) + 1)]
    sealed = rng.random() < 0.25
    last = rng.choice((rng.uniform(0, 2), rng.uniform(0, 24), rng.uniform(24, 330)))
    if sealed:
        last = rng.uniform(0, 3)
    parts: dict[str, Any] = {
        "delivery": _some(rng, {"law": ("uk", "eu", "usa", "australia", "other")}),
        "transit": _transit(rng),
        "receiving": _receiving(rng),
        "history": _history(rng, base, "history"),
        "lot": tuple(_lot(rng, base, name, sealed) for name in ids),
        "observation": tuple(_looks(rng, base, ids, sealed, last)),
    }
    return Case.model_validate(parts)


def _some(rng: random.Random, choices: dict[str, tuple[Any, ...]]) -> dict[str, Any]:
    return {k: rng.choice(v) for k, v in choices.items() if rng.random() < 0.5}


def _number(rng: random.Random, low: float, high: float, places: int = 2) -> float:
    return round(rng.uniform(low, high), places)


def _transit(rng: random.Random) -> dict[str, Any]:
    found = _some(rng, {"box": ("insulated", "plain"), "sedative": ("yes", "no", "unknown")})
    for name, low, high in (
        ("hours_sealed", 1, 80),
        ("fasted_hours", 0, 72),
        ("delay_hours", 0, 40),
        ("air_low_c", -5, 25),
    ):
        if rng.random() < 0.6:
            found[name] = _number(rng, low, high)
    if "air_low_c" in found and rng.random() < 0.7:
        found["air_high_c"] = found["air_low_c"] + _number(rng, 0, 20)
    return found


def _receiving(rng: random.Random) -> dict[str, Any]:
    yes_no = ("yes", "no", "unknown")
    found = _some(
        rng,
        {
            "filter": ("mature", "part", "new", "none"),
            "supply": ("chlorine", "chloramine", "disinfected", "well", "rain_or_ro"),
            **dict.fromkeys(("aerated", "plants", "invertebrates", "residents"), yes_no),
            **dict.fromkeys(("residents_well", "shared_system"), yes_no),
        },
    )
    for name, low, high in (
        ("volume_l", 5, 5000),
        ("age_days", 0, 1500),
        ("altitude_m", 0, 3000),
        ("fish_mass_g", 0, 5000),
        ("daily_feed_g", 0, 60),
    ):
        if rng.random() < 0.5:
            found[name] = _number(rng, low, high)
    return found


def _history(rng: random.Random, base: RuleBase, where: str) -> dict[str, Any]:
    """Answers to items kept under ``where``; few in most deliveries, many in some."""
    often = rng.choice((0.05, 0.2, 0.6))
    found: dict[str, Any] = {}
    for item in base.history.values():
        place = item.field or f"history.{item.id}"
        if place != f"{where}.{item.id}" or item.number or rng.random() >= often:
            continue
        found[item.id] = rng.choice((*item.answers, "unknown"))
    return found


def _lot(rng: random.Random, base: RuleBase, name: str, sealed: bool) -> dict[str, Any]:
    found: dict[str, Any] = {"id": name, "history": _history(rng, base, "lot.history")}
    kind = rng.random()
    if kind < 0.7:
        found["species"] = base.species[rng.choice(tuple(base.species))].scientific
    elif kind < 0.9:
        found["group"] = rng.choice(tuple(base.groups))
    if rng.random() < 0.8:
        found["count"] = rng.choice((1, 3, 12, 40, 200, 1000))
        if rng.random() < 0.5:
            found["dead_on_arrival"] = rng.randint(0, found["count"])
    for part, low, high in (("mass_g", 0.1, 500), ("bag_water_l", 0.2, 20), ("bag_gas_l", 0, 40)):
        if rng.random() < 0.5:
            found[part] = _number(rng, low, high)
    found |= _some(rng, {"bags": (1, 2, 8), "gas": ("oxygen", "air", "none", "unknown")})
    if sealed:
        found["sealed"] = "yes"
    elif rng.random() < 0.8:
        found["sealed"] = "no"
        found["opened_at_hours"] = _number(rng, 0, 1)
        if rng.random() < 0.7:
            found["released_at_hours"] = found["opened_at_hours"] + _number(rng, 0, 2)
            found |= _some(rng, {"release_method": ("netted", "poured", "dripped")})
    return found


def _looks(
    rng: random.Random, base: RuleBase, ids: list[str], sealed: bool, last: float
) -> list[dict[str, Any]]:
    times = sorted({round(last, 2), *(_number(rng, 0, last) for _ in range(rng.choice((0, 0, 2))))})
    looks = []
    for hours in times:
        for lot in rng.choice((["all"], ids)):
            look = {"at_hours": hours, "lot": lot, **_signs(rng, base)}
            waters = ("bag", "tank", "tap") if not sealed else ("tank", "tap")
            for water in waters:
                if rng.random() < 0.6:
                    look[water] = _readings(rng)
            if not sealed and rng.random() < 0.3:
                look["minutes_after_opening"] = _number(rng, 0, 120)
            if rng.random() < 0.3:
                look["counts"] = _heads(rng)
            looks.append(look)
    return looks


def _heads(rng: random.Random) -> dict[str, int]:
    """Heads counted; every second time not all of them are."""
    counted: tuple[str, ...] = ("normal", "down", "dead")
    if rng.random() < 0.5:
        counted = tuple(rng.sample(counted, rng.choice((1, 2))))
    return {name: rng.randint(0, 30) for name in counted}


def _signs(rng: random.Random, base: RuleBase) -> dict[str, tuple[str, ...]]:
    wanted = rng.choice((0, 1, 3, 6, 12))
    seen = dict.fromkeys(rng.sample(tuple(base.signs), wanted))
    for line in EXCLUDING:
        both = [name for name in line if name in seen]
        for name in both[1:]:
            del seen[name]
    others = [name for name in base.signs if name not in seen]
    absent = rng.sample(others, min(len(others), rng.choice((0, 4, 15))))
    return {"seen": tuple(seen), "not_seen": tuple(absent)}


def _readings(rng: random.Random) -> dict[str, Any]:
    often = rng.choice((0.15, 0.4, 0.9))
    found: dict[str, Any] = {}
    for name, (low, middle, high) in RANGES.items():
        if rng.random() >= often:
            continue
        below = rng.random() < 0.5
        value = _number(rng, low, middle, 3) if below else _number(rng, middle, high, 3)
        reading: dict[str, Any] = {"value": value}
        if rng.random() < 0.5:
            reading["kit"] = rng.choice(tuple(KITS))
        elif rng.random() < 0.5:
            reading |= {"low": round(value * 0.8, 4), "high": round(value * 1.2, 4)}
            if name in ("ph", "temperature_c"):
                reading |= {"low": round(value - 0.2, 4), "high": round(value + 0.2, 4)}
        found[name] = reading
    return found
