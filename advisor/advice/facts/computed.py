"""Chemistry of the case as facts: each with its formula, its inputs and its band.

Every entry of ``COMPUTED`` is one value the rules may ask for. The published
equations live in :mod:`advisor.water`; here they are fed with the case's
readings. The ends of a band are those at corners of the inputs' bands: each rises or
falls with every input, but for CO2 from a pH that its alkalinity can hardly carry,
which may pass them inside (3 of 1,000 random draws; no shipped case).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from importlib import import_module
from itertools import product
from typing import NamedTuple

from advisor.advice.facts.record import Record
from advisor.advice.facts.told import kind_places
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind
from advisor.water.formulas import FORMULAS
from advisor.wording.numbers import exact, short

Records = Mapping[tuple[str, str], Record]


class Computed(NamedTuple):
    """How one computed value comes about.

    inputs   : parameter of the function -> fact, or facts of which the first known counts
    function : "module:name" in advisor.water, or a plain arithmetic of our own
    equation : of our own arithmetic, inputs in braces
    assumed  : values of inputs that may be missing
    """

    name: str
    unit: str
    inputs: Mapping[str, tuple[str, ...]]
    function: str | Callable[..., float]
    equation: str = ""
    source: str = "definition"
    assumed: Mapping[str, float] = {}

    def call(self, values: Mapping[str, float]) -> float:
        return self.resolved()(**values)

    def resolved(self) -> Callable[..., float]:
        if not isinstance(self.function, str):
            return self.function
        module, _, name = self.function.partition(":")
        found: Callable[..., float] = getattr(import_module(f"advisor.water.{module}"), name)
        return found


def less(later: float, earlier: float) -> float:
    return later - earlier


def over(above: float, below: float) -> float:
    return above / below if below > 0 else math.inf


def _below(limit: float, value: float) -> float:
    return limit - value


def _above(limit: float, value: float) -> float:
    return value - limit


def _over_acute(tan_mg_l: float, ph: float, temperature_c: float) -> float:
    from advisor.water.criteria import acute_criterion_tan_mg_l

    return tan_mg_l / acute_criterion_tan_mg_l(ph, temperature_c, salmonids_present=False)


def _chloride_to_nitrite(chloride_mg_l: float, nitrite_mg_l: float) -> float:
    from advisor.water.nitrogen import from_nitrogen_mg_l

    return over(chloride_mg_l, from_nitrogen_mg_l(nitrite_mg_l, "NO2"))


def _one(name: str) -> tuple[str, ...]:
    return (name,)


def nh3_of(name: str, tan: str, water: str, temperature: tuple[str, ...] | None = None) -> Computed:
    inputs = {
        "tan_mg_l": _one(tan),
        "ph": _one(f"{water}_ph"),
        "temperature_c": temperature or _one(f"{water}_temperature_c"),
        "salinity_g_kg": _one(f"{water}_salinity_g_kg"),
    }
    function = "ammonia:unionised_ammonia_mg_l"
    return Computed(name, "mg/L as N", inputs, function, assumed={"salinity_g_kg": 0.0})


def step(name: str, later: str, earlier: str, unit: str) -> Computed:
    inputs = {"later": _one(later), "earlier": _one(earlier)}
    return Computed(name, unit, inputs, less, "{later} - {earlier}")


def ratio(name: str, above: str, below: str) -> Computed:
    inputs = {"above": _one(above), "below": _one(below)}
    return Computed(name, "times", inputs, over, "{above} / {below}")


def _saturation(water: str) -> Computed:
    inputs = {
        "do_mg_l": _one(f"{water}_do_mg_l"),
        "temperature_c": _one(f"{water}_temperature_c"),
        "salinity_g_kg": _one(f"{water}_salinity_g_kg"),
    }
    function = "oxygen:percent_saturation"
    return Computed(
        f"{water}_do_saturation_pct", "%", inputs, function, assumed={"salinity_g_kg": 0.0}
    )


def _co2(water: str) -> Computed:
    inputs = {
        "ph": _one(f"{water}_ph"),
        "alkalinity_mg_l_caco3": _one(f"{water}_alkalinity_mg_l_caco3"),
        "tan_mg_l": _one(f"{water}_tan_mg_l"),
        "temperature_c": _one(f"{water}_temperature_c"),
    }
    function = "carbonate:co2_mg_l_from"
    return Computed(
        f"{water}_co2_from_ph_mg_l", "mg/L", inputs, function, assumed={"tan_mg_l": 0.0}
    )


COMPUTED: tuple[Computed, ...] = (
    nh3_of("tank_nh3_n_mg_l", "tank_tan_mg_l", "tank"),
    nh3_of("bag_nh3_n_mg_l", "bag_tan_mg_l", "bag"),
    nh3_of(
        "bag_nh3_n_at_tank_ph_mg_l",
        "bag_tan_mg_l",
        "tank",
        ("tank_temperature_c", "bag_temperature_c"),
    ),
    nh3_of(
        "forecast_bag_nh3_n_at_tank_ph_mg_l",
        "forecast_bag_tan_mg_l",
        "tank",
        ("tank_temperature_c", "bag_temperature_c"),
    ),
    Computed(
        "tank_tan_to_acute_criterion",
        "times",
        {
            "tan_mg_l": _one("tank_tan_mg_l"),
            "ph": _one("tank_ph"),
            "temperature_c": _one("tank_temperature_c"),
        },
        _over_acute,
        "{tan_mg_l} / (acute criterion at pH {ph}, {temperature_c} °C, no salmonids)",
        "US EPA 2013, Aquatic Life Ambient Water Quality Criteria for Ammonia, EPA-822-R-13-001",
    ),
    step("ph_step", "tank_ph", "bag_ph", "pH units"),
    step("tap_ph_above_tank", "tap_ph", "tank_ph", "pH units"),
    step("temperature_step_c", "tank_temperature_c", "bag_temperature_c", "°C"),
    step(
        "hardness_step_mg_l_caco3",
        "tank_hardness_mg_l_caco3",
        "bag_hardness_mg_l_caco3",
        "mg/L as CaCO3",
    ),
    step("salinity_step_g_kg", "tank_salinity_g_kg", "bag_salinity_g_kg", "g/kg"),
    ratio("conductivity_ratio", "tank_conductivity_us_cm", "bag_conductivity_us_cm"),
    _saturation("tank"),
    _saturation("bag"),
    _co2("tank"),
    _co2("bag"),
    Computed(
        "chloride_to_nitrite",
        "times",
        {"chloride_mg_l": _one("tank_chloride_mg_l"), "nitrite_mg_l": _one("tank_nitrite_mg_l")},
        _chloride_to_nitrite,
        "{chloride_mg_l} / ({nitrite_mg_l} as N, counted as NO2)",
        "molar masses, IUPAC",
    ),
)

#: What each computed value can be worked out from, for choosing what to measure next.
NEEDS: dict[str, tuple[tuple[str, ...], ...]] = {
    c.name: tuple(facts for parameter, facts in c.inputs.items() if parameter not in c.assumed)
    for c in COMPUTED
}


def computed_records(
    case: Case, lot: Lot, base: RuleBase, kind: Kind | None, known: Records
) -> Iterator[Record]:
    """Every computed value whose inputs are known, in dependency order."""
    have = dict(known)

    def take(record: Record | None) -> Iterator[Record]:
        if record is not None and record.name in base.quantities:
            have[(record.kind, record.name)] = record
            yield record

    from advisor.advice.facts.forecast import forecast_records

    for record in forecast_records(case, lot, kind, have, base):
        yield from take(record)
    for computed in COMPUTED:
        yield from take(work_out(computed, have))
    for record in _against_tolerance(lot, kind, have):
        yield from take(record)


def _find(records: Records, names: tuple[str, ...]) -> Record | None:
    for name in names:
        found = records.get(("reading", name)) or records.get(("computed", name))
        if found is not None:
            return found
    return None


def work_out(computed: Computed, records: Records) -> Record | None:
    """The value with its band, or None while an input is missing."""
    used: dict[str, Record] = {}
    values: dict[str, float] = dict(computed.assumed)
    for parameter, names in computed.inputs.items():
        found = _find(records, names)
        if found is not None:
            used[parameter] = found
            values[parameter] = found.number
        elif parameter not in computed.assumed:
            return None
    best = _finite(computed, values)
    if best is None:
        return None
    low, high = _corners(computed, values, used)
    equation, working, source, outside = _told(computed, values, best)
    return Record(
        kind="computed",
        name=computed.name,
        value=best,
        how="computed",
        low=low,
        high=high,
        unit=computed.unit,
        formula=equation,
        working=working,
        inputs=tuple(record.name for record in used.values()),
        source=source,
        note=outside or None,
    )


def _finite(computed: Computed, values: Mapping[str, float]) -> float | None:
    """The value, or None where the chemistry has none (a pH its alkalinity cannot hold)."""
    try:
        result = computed.call(values)
    except AdvisorError:
        return None
    return result if math.isfinite(result) else None


def _corners(
    computed: Computed, values: Mapping[str, float], used: Mapping[str, Record]
) -> tuple[float, float]:
    """Lowest and highest result over the corners of the inputs' bands."""
    wide = {p: record.band for p, record in used.items() if record.band[0] != record.band[1]}
    results = []
    for corner in product(*wide.values()):
        result = _finite(computed, {**values, **dict(zip(wide, corner, strict=True))})
        if result is not None:
            results.append(result)
    results.append(computed.call(values))
    return min(results), max(results)


def _told(
    computed: Computed, values: Mapping[str, float], best: float
) -> tuple[str, str, str, str]:
    """(equation, the same with numbers put in, source, what lies outside its range)."""
    function = computed.resolved()
    record = FORMULAS.get(getattr(function, "__name__", ""))
    if record is None:
        filled = computed.equation
        for parameter, value in values.items():
            filled = filled.replace("{" + parameter + "}", exact(value))
        text = computed.equation.replace("{", "").replace("}", "")
        return text, f"{filled} = {short(best, 4)} {computed.unit}", computed.source, ""
    filled = record.filled(**values)
    outside = " ".join(record.outside(**values))
    return record.text(), f"{filled} = {short(best, 4)} {computed.unit}", record.source, outside


#: (fact, tolerance field, reading, unit, whether it is passed upward)
_TOLERANCES = (
    ("tank_below_range_c", "temperature_low_c", "tank_temperature_c", "°C", False),
    ("tank_above_range_c", "temperature_high_c", "tank_temperature_c", "°C", True),
    ("bag_below_range_c", "temperature_low_c", "bag_temperature_c", "°C", False),
    ("bag_above_range_c", "temperature_high_c", "bag_temperature_c", "°C", True),
    ("bag_below_cold_injury_c", "cold_injury_c", "bag_temperature_c", "°C", False),
    ("bag_above_heat_injury_c", "heat_injury_c", "bag_temperature_c", "°C", True),
    ("tank_below_cold_injury_c", "cold_injury_c", "tank_temperature_c", "°C", False),
    ("tank_above_heat_injury_c", "heat_injury_c", "tank_temperature_c", "°C", True),
    ("tank_ph_below_range", "ph_low", "tank_ph", "pH units", False),
    ("tank_ph_above_range", "ph_high", "tank_ph", "pH units", True),
)


def _against_tolerance(lot: Lot, kind: Kind | None, records: Records) -> Iterator[Record]:
    """How far the water lies outside what this kind of fish bears (negative = inside)."""
    if kind is None:
        return
    for name, field_name, reading, unit, upward in _TOLERANCES:
        found = against(name, field_name, _find(records, (reading,)), unit, upward, lot, kind)
        if found is not None:
            yield found


def against(
    name: str,
    field: str,
    reading: Record | None,
    unit: str,
    upward: bool,
    lot: Lot,
    kind: Kind,
) -> Record | None:
    """How far a reading passes a limit of the kind (negative = not); None while either lacks.

    upward : the limit is passed by higher values
    """
    limit = kind.tolerance(field)
    if limit is None or reading is None:
        return None
    function = _above if upward else _below
    ends = sorted(function(limit, end) for end in reading.band)
    best = function(limit, reading.number)
    sign = "{value} - {limit}" if upward else "{limit} - {value}"
    working = sign.format(limit=exact(limit), value=exact(reading.number))
    which = kind.id
    return Record(
        kind="computed",
        name=name,
        value=best,
        how="computed",
        low=ends[0],
        high=ends[1],
        unit=unit,
        where=kind_places(lot),
        formula=sign.replace("{", "").replace("}", ""),
        working=f"{working} = {short(best, 3)} {unit}",
        inputs=(reading.name,),
        source=f"species table, {which}, {field}",
        entry=which,
        note=None if kind.certain else kind.note,
    )
