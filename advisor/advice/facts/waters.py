"""The present and the next water against each other and against what injures the kind.

``present_*`` is the water the fish are in, ``next_*`` the one they are bound for,
``step_ahead_*`` what crossing from the one to the other would be. These names speak
of the move alone; what the fish have been through has names of its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.computed import Computed, Records, against, nh3_of, ratio, step, work_out
from advisor.advice.facts.record import Record
from advisor.advice.facts.told import kind_places
from advisor.bag.floating import USUAL_BAG_L, float_minutes
from advisor.case import Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind
from advisor.wording.numbers import short


def _ahead(parameter: str, unit: str) -> Computed:
    return step(f"step_ahead_{parameter}", f"next_{parameter}", f"present_{parameter}", unit)


OF_WATERS: tuple[Computed, ...] = (
    nh3_of("present_nh3_n_mg_l", "present_tan_mg_l", "present"),
    nh3_of("next_nh3_n_mg_l", "next_tan_mg_l", "next"),
    _ahead("temperature_c", "°C"),
    _ahead("ph", "pH units"),
    _ahead("salinity_g_kg", "g/kg"),
    _ahead("hardness_mg_l_caco3", "mg/L as CaCO3"),
    ratio("step_ahead_conductivity_ratio", "next_conductivity_us_cm", "present_conductivity_us_cm"),
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


#: The limit to which floating closes the gap, by its id in the rule base.
TEMPERATURE_GAP_LIMIT = "act_temperature_gap"


def _float_past_oxygen(lot: Lot, have: Records, base: RuleBase) -> Record | None:
    """By how many minutes floating lasts longer than the oxygen of the shut bag."""
    names = ("present_temperature_c", "next_temperature_c", "oxygen_hours_left")
    present, ahead, left = (have.get(("computed", name)) for name in names)
    gap = base.limits.get(TEMPERATURE_GAP_LIMIT)
    if present is None or ahead is None or left is None or gap is None:
        return None
    try:
        size = lot.bag_water_l or USUAL_BAG_L
        time = float_minutes(size, present.number, ahead.number, gap.value).minutes
    except AdvisorError:
        return None
    least, most = (60.0 * hours for hours in left.band)
    return Record(
        kind="computed",
        name="float_past_oxygen_min",
        value=time.value - 60.0 * left.number,
        how="computed",
        low=time.low - most,
        high=time.high - least,
        unit="min",
        where=(*present.where, *ahead.where),
        inputs=names,
        formula="minutes afloat - 60 x hours of oxygen left",
        working=f"{short(time.value, 3)} min - 60 x {short(left.number, 3)} h",
        source="Lim et al. 2003; simulation of the sealed bag",
    )


def waters_compared(
    lot: Lot, kind: Kind | None, records: Records, base: RuleBase
) -> Iterator[Record]:
    """Un-ionised ammonia and steps of the two waters, then both against the kind's limits."""
    have = dict(records)
    for computed in OF_WATERS:
        record = work_out(computed, have)
        if record is not None:
            have[(record.kind, record.name)] = record
            yield record
    afloat = _float_past_oxygen(lot, have, base)
    if afloat is not None:
        yield afloat
    if kind is None:
        return
    borne = kind.tolerance("salinity_borne_g_kg")
    if borne is not None:
        yield Record(
            kind="computed",
            name="salt_borne_g_kg",
            value=borne,
            how="table",
            low=borne,
            high=borne,
            unit="g/kg",
            where=kind_places(lot),
            source=f"species table, {kind.id}, salinity_borne_g_kg",
            entry=kind.id,
            note=None if kind.certain else kind.note,
        )
    for which in ("present", "next"):
        for name, field, parameter, unit, upward in _INJURY:
            reading = have.get(("computed", f"{which}_{parameter}"))
            found = against(f"{which}_{name}", field, reading, unit, upward, lot, kind)
            if found is not None:
                yield found
    left = have.get(("computed", "left_temperature_c"))  # a tub nobody read is as what they left
    present = have.get(("computed", "present_temperature_c"), left)
    limit = "temperature_low_c"
    found = against("present_below_range_c", limit, present, "°C", False, lot, kind)
    if found is not None:
        yield found
    for name, field, sign in _BORNE:
        ahead = have.get(("computed", "step_ahead_temperature_c"))
        if ahead is not None:
            value, low, high = sign * ahead.number, *sorted(sign * end for end in ahead.band)
            way = ahead._replace(value=value, low=low, high=high)
            found = against(name, field, way, "°C", True, lot, kind)
            if found is not None:
                yield found
