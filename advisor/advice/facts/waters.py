"""The present and the next water against each other and against what injures the kind.

``present_*`` is the water the fish are in, ``next_*`` the one they are bound for,
``step_ahead_*`` what crossing from the one to the other would be. These names speak
of the move alone; what the fish have been through has names of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.computed import Computed, Records, against, less, over, work_out
from advisor.advice.facts.record import Record
from advisor.advice.facts.told import kind_places
from advisor.case import Lot
from advisor.rulebase.species import Kind


def _nh3(which: str) -> Computed:
    inputs = {
        "tan_mg_l": (f"{which}_tan_mg_l",),
        "ph": (f"{which}_ph",),
        "temperature_c": (f"{which}_temperature_c",),
        "salinity_g_kg": (f"{which}_salinity_g_kg",),
    }
    function = "ammonia:unionised_ammonia_mg_l"
    name = f"{which}_nh3_n_mg_l"
    return Computed(name, "mg/L as N", inputs, function, assumed={"salinity_g_kg": 0.0})


def _ahead(parameter: str, unit: str) -> Computed:
    inputs = {"later": (f"next_{parameter}",), "earlier": (f"present_{parameter}",)}
    return Computed(f"step_ahead_{parameter}", unit, inputs, less, "{later} - {earlier}")


OF_WATERS: tuple[Computed, ...] = (
    _nh3("present"),
    _nh3("next"),
    _ahead("temperature_c", "°C"),
    _ahead("ph", "pH units"),
    _ahead("salinity_g_kg", "g/kg"),
    _ahead("hardness_mg_l_caco3", "mg/L as CaCO3"),
    Computed(
        "step_ahead_conductivity_ratio",
        "times",
        {"above": ("next_conductivity_us_cm",), "below": ("present_conductivity_us_cm",)},
        over,
        "{above} / {below}",
    ),
)

#: (name after the water's, field of the kind, parameter, unit, whether it is passed upward)
_INJURY = (
    ("below_cold_injury_c", "cold_injury_c", "temperature_c", "°C", False),
    ("above_heat_injury_c", "heat_injury_c", "temperature_c", "°C", True),
    ("below_ph_injury", "ph_injury_low", "ph", "pH units", False),
    ("above_ph_injury", "ph_injury_high", "ph", "pH units", True),
    ("below_salinity_injury_g_kg", "salinity_injury_low_g_kg", "salinity_g_kg", "g/kg", False),
    ("above_salinity_injury_g_kg", "salinity_injury_high_g_kg", "salinity_g_kg", "g/kg", True),
    ("above_salinity_borne_g_kg", "salinity_borne_g_kg", "salinity_g_kg", "g/kg", True),
)
#: (name, field of the kind, step): how far the step ahead passes what is borne at once
_BORNE = (
    ("step_ahead_rise_past_borne_c", "temperature_rise_borne_c", 1.0),
    ("step_ahead_fall_past_borne_c", "temperature_fall_borne_c", -1.0),
)


def waters_compared(lot: Lot, kind: Kind | None, records: Records) -> Iterator[Record]:
    """Un-ionised ammonia and steps of the two waters, then both against the kind's limits."""
    have = dict(records)
    for computed in OF_WATERS:
        record = work_out(computed, have)
        if record is not None:
            have[(record.kind, record.name)] = record
            yield record
    if kind is None:
        return
    borne = kind.tolerance("salinity_borne_g_kg")
    if borne is not None:
        which = kind.species.id if kind.species else kind.group.id
        yield Record(
            kind="computed",
            name="salt_borne_g_kg",
            value=borne,
            how="table",
            low=borne,
            high=borne,
            unit="g/kg",
            where=kind_places(lot),
            source=f"species table, {which}, salinity_borne_g_kg",
            entry=which,
            note=None if kind.certain else kind.note,
        )
    for which in ("present", "next"):
        for name, field, parameter, unit, upward in _INJURY:
            reading = have.get(("computed", f"{which}_{parameter}"))
            found = against(f"{which}_{name}", field, reading, unit, upward, lot, kind)
            if found is not None:
                yield found
    for name, field, sign in _BORNE:
        step = have.get(("computed", "step_ahead_temperature_c"))
        if step is not None:
            value, low, high = sign * step.number, *sorted(sign * end for end in step.band)
            way = step._replace(value=value, low=low, high=high)
            found = against(name, field, way, "°C", True, lot, kind)
            if found is not None:
                yield found
