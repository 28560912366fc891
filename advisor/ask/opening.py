"""Shut bags: what each holds, in which order to open them, and what each way of opening does.

The physics is advisor.bag's. Here the lots of a case are put side by side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.advice.assess import Reasoned
from advisor.advice.facts.forecast import (
    assumed_of_bag,
    measured_in_bag,
    sealed_bag,
    sealed_forecast,
)
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.results import OpeningPlace
from advisor.bag.bands import Amount, Band
from advisor.bag.inputs import TankWater
from advisor.bag.methods import SlowChange
from advisor.case import Case
from advisor.errors import AdvisorError

if TYPE_CHECKING:
    from advisor.bag.exposure import OpeningResult
    from advisor.bag.results import FloatTime, SealedForecast

#: Alkalinity of a tank nobody measured: from soft to hard (judgement).
UNKNOWN_ALKALINITY = Band(80.0, 20.0, 250.0)
#: Volume taken where none was given [L]; it matters only for pouring bag water in.
UNKNOWN_VOLUME_L = 200.0
CLOSE_ENOUGH_C = 2.0


@dataclass(frozen=True)
class SealedLot:
    """One shut lot. ``missing`` names what keeps it from being forecast."""

    lot: str
    place: int
    because: str
    forecast: SealedForecast | None
    openings: tuple[OpeningResult, ...]
    afloat: FloatTime | None
    assumed: tuple[str, ...]
    missing: tuple[str, ...] = ()


def sealed_lots(case: Case, thoughts: Mapping[str, Reasoned]) -> tuple[SealedLot, ...]:
    """Every shut lot in the order to open it; those nothing is known of come last."""
    from advisor.bag import harm_order

    shut = {
        lot: each for lot, each in thoughts.items() if _told(each.sheet, "bags_sealed") == "yes"
    }
    forecasts: dict[str, SealedForecast] = {}
    for lot, each in shut.items():
        found = _forecast(case, each.sheet)
        if found is not None:
            forecasts[lot] = found
    ranks = harm_order(forecasts) if forecasts else ()
    ordered = [(rank.name, rank.reason) for rank in ranks]
    ordered += [(lot, "too little is known to forecast it") for lot in shut if lot not in forecasts]
    return tuple(
        _one(lot, place, because, forecasts.get(lot), shut[lot].sheet)
        for place, (lot, because) in enumerate(ordered, 1)
    )


def places(lots: tuple[SealedLot, ...]) -> tuple[OpeningPlace, ...]:
    """The opening order as it is published."""
    return tuple(OpeningPlace(lot=s.lot, place=s.place, because=s.because) for s in lots)


def _told(sheet: FactSheet, item: str) -> object:
    record = sheet.records.get(("history", item))
    return None if record is None else record.value


def _forecast(case: Case, sheet: FactSheet) -> SealedForecast | None:
    bag = sealed_bag(case, sheet.lot, sheet.kind, sheet.records)
    if bag is None:
        return None
    try:
        return sealed_forecast(bag, measured_in_bag(case, sheet.lot, sheet.records))
    except AdvisorError:
        return None


def _one(
    lot: str, place: int, because: str, forecast: SealedForecast | None, sheet: FactSheet
) -> SealedLot:
    if forecast is None:
        return SealedLot(lot, place, because, None, (), _afloat(sheet, None), (), _missing(sheet))
    tank, assumed = _tank(sheet, forecast)
    openings = _openings(forecast, tank, sheet)
    assumed = (*assumed_of_bag(sheet.lot), *assumed)
    return SealedLot(lot, place, because, forecast, openings, _afloat(sheet, forecast), assumed)


def _missing(sheet: FactSheet) -> tuple[str, ...]:
    lot = sheet.lot
    needed = (
        (sheet.quantity("hours_sealed") is not None, "hours sealed"),
        (lot.count is not None, "number of fish"),
        (lot.bag_water_l is not None, "water in one bag"),
        (lot.mass_g is not None or _typical(sheet) is not None, "grams of one fish"),
    )
    return tuple(name for known, name in needed if not known)


def _typical(sheet: FactSheet) -> float | None:
    species = sheet.kind.species if sheet.kind else None
    return species.typical_mass_g if species else None


def _tank(sheet: FactSheet, forecast: SealedForecast) -> tuple[TankWater, tuple[str, ...]]:
    """The receiving water; what nobody measured is assumed, wide, and said."""
    assumed = []
    temperature = _banded(sheet, "tank_temperature_c")
    if temperature is None:
        temperature = forecast.end["temperature_c"]
        assumed.append("tank temperature not measured, taken as the bag's")
    alkalinity = _banded(sheet, "tank_alkalinity_mg_l_caco3")
    if alkalinity is None:
        alkalinity = UNKNOWN_ALKALINITY
        assumed.append("tank alkalinity not measured, taken as 20 to 250 mg/L as CaCO3")
    if sheet.number("tank_ph") is None:
        assumed.append("tank pH not measured, taken as in balance with room air")
    if sheet.number("tank_tan_mg_l") is None:
        assumed.append("tank ammonia not measured, taken as none")
    marine = sheet.kind is not None and "marine" in sheet.kind.group.traits
    tank = TankWater(
        volume_l=sheet.number("tank_volume_l") or UNKNOWN_VOLUME_L,
        temperature_c=temperature,
        alkalinity_mg_l_caco3=alkalinity,
        ph=_banded(sheet, "tank_ph"),
        tan_mg_l=sheet.number("tank_tan_mg_l") or 0.0,
        salinity_g_kg=sheet.number("tank_salinity_g_kg") or (35.0 if marine else 0.0),
        conductivity_us_cm=sheet.number("tank_conductivity_us_cm"),
    )
    return tank, tuple(assumed)


def _banded(sheet: FactSheet, name: str) -> Amount | None:
    record = sheet.quantity(name)
    if record is None:
        return None
    low, high = record.band
    return record.number if low == high else Band(record.number, low, high)


def _openings(
    forecast: SealedForecast, tank: TankWater, sheet: FactSheet
) -> tuple[OpeningResult, ...]:
    from advisor.bag import compare_openings

    traits = sheet.kind.group.traits if sheet.kind else ()
    slow = SlowChange(marine_invertebrates="marine" in traits and "invertebrate" in traits)
    try:
        return compare_openings(forecast, tank, slow_change=slow)
    except AdvisorError:
        return ()


def _afloat(sheet: FactSheet, forecast: SealedForecast | None) -> FloatTime | None:
    """Floating time from the bag's temperature, read or forecast, to the tank's."""
    from advisor.bag import float_minutes

    tank, bag = sheet.number("tank_temperature_c"), sheet.number("bag_temperature_c")
    if bag is None and forecast is not None:
        bag = forecast.end["temperature_c"].value
    if tank is None or bag is None:
        return None
    try:
        return float_minutes(sheet.lot.bag_water_l or 2.5, bag, tank, CLOSE_ENOUGH_C)
    except AdvisorError:
        return None
