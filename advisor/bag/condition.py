"""Starting from readings: how far they lie from the forecast, and the state they give."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from advisor.bag.bands import Band, Distance, ends
from advisor.bag.chemistry import settled_water, water_constants
from advisor.bag.inputs import Measured
from advisor.bag.respiration import N_MG, O2_MG
from advisor.bag.state import BagState
from advisor.bag.summary import band_of
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2

_WORDS = {
    "ph": "pH",
    "tan_mg_l": "total ammonia (mg/L as N)",
    "temperature_c": "temperature (°C)",
    "alkalinity_mg_l_caco3": "alkalinity (mg/L as CaCO3)",
    "do_mg_l": "dissolved oxygen (mg/L)",
}


def distances(measured: Measured, end: dict[str, Band]) -> tuple[Distance, ...]:
    """Each reading against the forecast that did not know it."""
    found = []
    for field in fields(measured):
        reading = getattr(measured, field.name)
        if reading is not None and field.name in _WORDS:
            found.append(_distance(field.name, Band(*ends(reading)), end[field.name]))
    return tuple(found)


def _distance(name: str, reading: Band, forecast: Band) -> Distance:
    if reading.low > forecast.high:
        verdict = "above"
    elif reading.high < forecast.low:
        verdict = "below"
    else:
        verdict = "within"
    place = "within" if verdict == "within" else f"{verdict} the band of"
    text = (
        f"{_WORDS[name]}: read {reading.value:.3g}, {place} the forecast "
        f"{forecast.value:.3g} ({forecast.low:.3g} to {forecast.high:.3g})."
    )
    return Distance(name, reading, forecast, verdict, text)


def condition(
    state: BagState, measured: Measured, end: dict[str, Band]
) -> tuple[BagState, dict[str, Band]]:
    """The state with readings put in, and the bands that follow from it.

    Inorganic carbon follows from pH where pH was read; otherwise it stays and
    pH follows. Raises AdvisorError when pH and alkalinity contradict each other.
    """
    state = put_in(state, measured)
    return state, {**end, **bands(state)}


def put_in(state: BagState, measured: Measured) -> BagState:
    """Readings in place of what was computed."""
    known = state.draws.known
    changes: dict[str, object] = {}
    for name, target, per_mg in (
        ("tan_mg_l", "tan", N_MG),
        ("do_mg_l", "o2", O2_MG),
        ("alkalinity_mg_l_caco3", "alkalinity", CACO3_MG_PER_MEQ),
        ("temperature_c", "temperature_c", 1.0),
        ("salinity_g_kg", "salinity_g_kg", 1.0),
        ("conductivity_us_cm", "conductivity_us_cm", 1.0),
        ("ph", "ph", 1.0),
    ):
        reading = getattr(measured, name)
        if reading is not None:
            changes[target] = known("read_" + name, reading) / per_mg
    state = replace(state, **changes)  # type: ignore[arg-type]
    return state.with_carbon() if measured.ph is not None else state.with_ph()


def bands(state: BagState) -> dict[str, Band]:
    """The quantities of a forecast at this moment."""
    c = water_constants(state.temperature_c[None], state.salinity_g_kg[None]).at(0)
    guess = np.asarray(state.ph * -LN10)
    water = settled_water(c, state.alkalinity, state.dic, state.tan, guess)
    return {
        "ph": band_of(water.log_h / -LN10),
        "tan_mg_l": band_of(state.tan * N_MG),
        "nh3_n_mg_l": band_of(water.nh3 * N_MG),
        "co2_mg_l": band_of(water.co2 * CO2),
        "do_mg_l": band_of(state.o2 * O2_MG),
        "temperature_c": band_of(state.temperature_c),
        "alkalinity_mg_l_caco3": band_of(state.alkalinity * CACO3_MG_PER_MEQ),
    }
