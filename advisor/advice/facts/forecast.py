"""Forecast of the sealed bag as facts, when the case says enough to make one.

The physics is :mod:`advisor.bag`'s; here the case is put into its terms. What
the case does not say stays unknown there and widens the band.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from advisor.advice.facts.counted_facts import mass_of
from advisor.advice.facts.forecast_trace import MEASURED, Trace, trace_of
from advisor.advice.facts.measured import reading_records
from advisor.advice.facts.record import Record
from advisor.advice.facts.told import answer_in
from advisor.bag.banded import Band
from advisor.bag.inputs import Gas, Measured, SealedBag, TankWater, TemperaturePath
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.kept import KeptAnswers
from advisor.rulebase.species import Kind, kind_of
from advisor.wording.numbers import exact, fixed, short

if TYPE_CHECKING:
    from advisor.bag.exposure import OpeningResult
    from advisor.bag.outcomes import LimitTime, OxygenOutlook, SealedForecast

Records = Mapping[tuple[str, str], Record]

#: Enough for a steady 5-95 % band at a cost a person does not notice.
SAMPLES = 120
#: Gas over water when only "there is gas" is known: 2 volumes, 1 to 4 (common practice, no source).
GAS_TO_WATER = (2.0, 1.0, 4.0)
#: Salinity of the sea, for a kind of the sea whose water was not read [g/kg].
SEA_G_KG = 35.0
#: The limit whose passing in an opened bag is timed, by its id in the rule base.
GILL_LIMIT = "nh3_gill_damage"

_NAMES = {
    "tan_mg_l": "forecast_bag_tan_mg_l",
    "co2_mg_l": "forecast_bag_co2_mg_l",
    "ph": "forecast_bag_ph",
    "do_mg_l": "forecast_bag_do_mg_l",
}
#: What no one can foresee without knowing whether the bag was filled with oxygen or air.
_BY_GAS = ("forecast_bag_do_mg_l", "oxygen_hours_left")
_HOW = "simulation of the sealed bag: fish respire, excrete and acidify a closed system"


def forecast_records(
    case: Case, lot: Lot, kind: Kind | None, records: Records, base: RuleBase
) -> Iterator[Record]:
    """Bag chemistry foreseen from load, time and temperature; nothing when too little is known."""
    bag = sealed_bag(case, lot, kind, records)
    if bag is None:
        return
    measured = measured_in_bag(case, lot, records)
    limit = base.limits.get(GILL_LIMIT)
    view = outlook(bag, measured, None if limit is None else limit.value)
    if view is None:
        return  # readings the simulation cannot hold together stay plain readings
    load = f"{bag.fish_count} fish, {exact(bag.hours)} h sealed"
    trace = trace_of(case, lot, records)
    note = "; ".join(assumed_of_bag(lot)) or None
    foreseen = {_NAMES[name]: band for name, band in view.end.items() if name in _NAMES}
    if view.oxygen_hours_left is not None:
        foreseen["oxygen_hours_left"] = view.oxygen_hours_left
    for name, band in foreseen.items():
        if _gas_told(lot) or name not in _BY_GAS:
            yield _record(name, band, load, trace, base)._replace(note=note)
    if view.oxygen is not None and _gas_told(lot):
        turn = 1.0 if view.oxygen.turn_gently else 0.0
        yield _record("gas_does_not_cross", Band(turn, turn, turn), load, trace, base)
    for name in view.implausible:
        if f"bag_{name}_implausible" in base.quantities:
            one = Band(1.0, 1.0, 1.0)
            yield _record(f"bag_{name}_implausible", one, load, trace, base)
    if limit is not None and view.nh3_limit is not None:
        yield from _open_bag(view.nh3_limit, limit.value, load, trace)


def _record(name: str, band: Band, load: str, trace: Trace, base: RuleBase) -> Record:
    return Record(
        kind="computed",
        name=name,
        value=band.value,
        how="forecast",
        low=band.low,
        high=band.high,
        unit=base.quantities[name].unit if name in base.quantities else "",
        where=trace.where,
        inputs=trace.inputs,
        formula=_HOW,
        working=(
            f"{load}: {short(band.value, 3)}, 5-95 % band {short(band.low, 3)} to "
            f"{short(band.high, 3)}"
        ),
        source="computed by advisor.bag; constants and sources in its defaults and fish_defaults",
    )


def _open_bag(passed: LimitTime, limit: float, load: str, trace: Trace) -> Iterator[Record]:
    """How long an opened, still bag may stand before its ammonia passes the gill limit."""
    if passed.passed == "not":
        return
    ends = [t for t in (passed.earliest, passed.minutes, passed.latest) if t is not None]
    value = passed.minutes if passed.minutes is not None else ends[-1]
    high = max(ends) if passed.latest is not None else 10000.0
    yield Record(
        kind="computed",
        name="minutes_open_to_nh3_limit",
        value=value,
        how="forecast",
        low=min(ends),
        high=max(high, value),
        unit="min",
        where=trace.where,
        inputs=trace.inputs,
        formula="simulation of the opened, still bag: CO2 leaves, pH climbs, ammonia turns toxic",
        working=f"{load}: un-ionised ammonia passes {exact(limit)} mg/L as N {passed.passed}, "
        f"after about {fixed(value)} min",
        source="computed by advisor.bag; no controlled trial of opening methods exists",
    )


def sealed_bag(case: Case, lot: Lot, kind: Kind | None, records: Records) -> SealedBag | None:
    """The lot's bag in the simulation's terms, or None when load or time is not known."""
    _, hours = answer_in(case, lot, "lot.hours_sealed")
    mass = mass_of(lot, kind)
    if hours is None or mass is None or not lot.count or lot.bag_water_l is None:
        return None
    bags = lot.bags or 1
    gas_l, gas = _gas(lot)
    each, low, high, _, _ = mass
    _, fasted = answer_in(case, lot, "lot.fasted_hours")
    _, sedative = answer_in(case, lot, "lot.sedative")
    packed = {name: reading.value for name, reading in lot.packed.given().items()}
    group = kind.group if kind else None
    try:
        return SealedBag(
            water_l=lot.bag_water_l,
            gas_l=gas_l,
            gas=gas,
            fish_count=max(1, round(lot.count / bags)),
            fish_mass_g=each if low == high else Band(each, low, high),
            hours=hours,
            temperature=TemperaturePath(
                start_c=packed.get("temperature_c"), outside_c=_outside(case)
            ),
            fasted_hours=fasted,
            sedated={"yes": True, "no": False}.get(sedative or ""),
            ph=packed.get("ph"),
            alkalinity_mg_l_caco3=packed.get("alkalinity_mg_l_caco3")
            or _value(records, "bag_alkalinity_mg_l_caco3"),
            tan_mg_l=packed.get("tan_mg_l"),
            salinity_g_kg=_value(records, "bag_salinity_g_kg")
            or packed.get("salinity_g_kg")
            or usual_salinity_g_kg(kind),
            oxygen_use_factor=group.oxygen_use_factor if group and kind and kind.certain else None,
            air_breather=bool(kind and "air_breather" in kind.traits),
        )
    except AdvisorError:
        return None


def usual_salinity_g_kg(kind: Kind | None) -> float:
    """What the water of this kind holds where nobody told: that of the sea, or none [g/kg]."""
    return SEA_G_KG if kind is not None and "marine" in kind.traits else 0.0


def assumed_of_bag(lot: Lot) -> tuple[str, ...]:
    """What of the bag was not told and had to be taken as something, in words."""
    said = []
    if lot.bags is None and (lot.count or 0) > 1:
        said.append("number of bags not told, taken as one")
    if not _gas_told(lot):
        said.append("gas in the bag not told, taken as oxygen")
    return tuple(said)


def _gas_told(lot: Lot) -> bool:
    return lot.gas is not None or lot.bag_gas_l == 0


def _gas(lot: Lot) -> tuple[float | Band, Gas]:
    if lot.gas == "none" or lot.bag_gas_l == 0:
        return 0.0, "none"
    gas: Gas = "air" if lot.gas == "air" else "oxygen"
    if lot.bag_gas_l is not None:
        return lot.bag_gas_l, gas
    assert lot.bag_water_l is not None
    value, low, high = (lot.bag_water_l * times for times in GAS_TO_WATER)
    return Band(value, low, high), gas


def _outside(case: Case) -> float | Band | None:
    low, high = case.transit.air_low_c, case.transit.air_high_c
    if low is None or high is None:
        return low if high is None else high
    return Band((low + high) / 2, min(low, high), max(low, high))


def _value(records: Records, name: str) -> float | None:
    found = records.get(("reading", name))
    return None if found is None else found.number


def _banded(records: Records, name: str) -> float | Band | None:
    found = records.get(("reading", name))
    if found is None:
        return None
    low, high = found.band
    return found.number if low == high else Band(found.number, low, high)


def measured_in_bag(case: Case, lot: Lot, records: Records) -> Measured | None:
    """Readings of the bag water, for a forecast that starts from them."""
    given = {field: _banded(records, f"bag_{field}") for field in MEASURED}
    given = {field: amount for field, amount in given.items() if amount is not None}
    if not given:
        return None
    minutes = [look.minutes_after_opening for _, look in case.looks_at(lot.id) if look.bag.given()]
    try:
        return Measured(minutes_after_opening=(minutes or [0.0])[0] or 0.0, **given)
    except AdvisorError:
        return None


class Outlook(NamedTuple):
    """What facts are made of: the water now, its oxygen, and the bag left open."""

    end: dict[str, Band]
    oxygen: OxygenOutlook | None
    nh3_limit: LimitTime | None
    implausible: tuple[str, ...] = ()

    @property
    def oxygen_hours_left(self) -> Band | None:
        """Hours that the stored oxygen lasts."""
        return None if self.oxygen is None else self.oxygen.store_hours


class OutlookAsked(NamedTuple):
    """What an outlook is asked for.

    nh3_limit_mg_l : of un-ionised ammonia [mg/L as N], whose passing is timed
    """

    bag: SealedBag
    measured: Measured | None
    nh3_limit_mg_l: float | None


#: Outlooks of this run, and how many of them.
_SEEN: dict[OutlookAsked, Outlook | None] = {}
_MOST_SEEN = 512
_ROOMS = Path(__file__).parents[2]
#: Of as many bags as a few days' deliveries have: a delivery is looked at many times, and to
#: load the simulation and do it again takes longer than all the rest.
KEPT = KeptAnswers(
    "forecasts",
    sorted(file for room in ("bag", "water") for file in (_ROOMS / room).glob("*.py")),
    most=60,
)


def outlook(
    bag: SealedBag, measured: Measured | None, nh3_limit_mg_l: float | None
) -> Outlook | None:
    """What facts need of both simulations; None where the readings contradict each other."""
    asked = OutlookAsked(bag, measured, nh3_limit_mg_l)
    return _SEEN[asked] if asked in _SEEN else foresee((asked,))[0]


def foresee(asked: Sequence[OutlookAsked]) -> list[Outlook | None]:
    """The outlook of many bags; those that nobody looked at yet are simulated as one array."""
    found = {each: _SEEN[each] for each in asked if each in _SEEN}
    texts = {each: repr((*each, SAMPLES)) for each in asked if each not in found}
    kept = {each: KEPT.recall(text) for each, text in texts.items()}
    new = [each for each, numbers in kept.items() if numbers is None]
    for each, numbers in zip(new, _simulated(new), strict=True):
        kept[each] = numbers
        KEPT.remember(texts[each], numbers)
    found |= {each: _outlook_of(numbers) for each, numbers in kept.items()}
    _SEEN.update(found)
    while len(_SEEN) > _MOST_SEEN:
        del _SEEN[next(iter(_SEEN))]
    return [found[each] for each in asked]


def foresee_lots(lots: Iterable[tuple[Case, Lot]], base: RuleBase, until_hours: float) -> None:
    """Foresee the bags of all these lots at once, before their facts ask one by one."""
    limit = base.limits.get(GILL_LIMIT)
    asked = []
    for case, lot in lots:
        if lot.count and lot.bag_water_l is not None:
            records: dict[tuple[str, str], Record] = {
                (r.kind, r.name): r for r in reading_records(case, lot, base, until_hours)
            }
            bag = sealed_bag(case, lot, kind_of(lot, base), records)
            if bag is not None:
                measured = measured_in_bag(case, lot, records)
                asked.append(OutlookAsked(bag, measured, None if limit is None else limit.value))
    foresee(asked)


def _outlook_of(kept: Mapping[str, Any]) -> Outlook | None:
    """From the numbers, as computed or as JSON kept them."""
    if not kept:
        return None
    from advisor.bag.outcomes import LimitTime, OxygenOutlook

    oxygen, passed = kept["oxygen"], kept["nh3_limit"]
    if oxygen is not None:
        store, still, crossing, gas, short, turn = oxygen
        oxygen = OxygenOutlook(Band(*store), Band(*still), Band(*crossing), Band(*gas), short, turn)
    return Outlook(
        {name: Band(*band) for name, band in kept["end"].items()},
        oxygen,
        None if passed is None else LimitTime(*passed),
        tuple(kept.get("implausible", ())),
    )


def _simulated(asked: Sequence[OutlookAsked]) -> list[dict[str, Any]]:
    """The numbers of outlooks, as JSON can keep them; empty for contradicting readings."""
    if not asked:
        return []
    from advisor.bag import forecast_many, times_left_open

    bags, measured, limits = zip(*asked, strict=True)
    forecasts = forecast_many(bags, measured, SAMPLES, paths=False)
    open_ones = [
        (forecast, limit)
        for forecast, limit in zip(forecasts, limits, strict=True)
        if not isinstance(forecast, AdvisorError) and limit is not None
    ]
    times = iter(
        times_left_open(
            [(forecast, _any_tank(forecast)) for forecast, _ in open_ones],
            [limit for _, limit in open_ones],
        )
    )
    found: list[dict[str, Any]] = []
    for forecast, limit in zip(forecasts, limits, strict=True):
        if isinstance(forecast, AdvisorError):
            found.append({})
            continue
        passed = None if limit is None else next(times)
        if isinstance(passed, AdvisorError):  # its water lies outside what an opened bag can be
            passed = None
        odd = [distance.quantity for distance in forecast.implausible]
        found.append(
            {
                "end": forecast.end,
                "oxygen": forecast.oxygen,
                "nh3_limit": passed,
                "implausible": odd,
            }
        )
    return found


def _any_tank(forecast: SealedForecast) -> TankWater:
    """Any water will do beside a bag left open; a bag may hold what no tank may."""
    return TankWater(
        volume_l=1000.0,
        temperature_c=min(40.0, max(0.0, forecast.end["temperature_c"].value)),
        alkalinity_mg_l_caco3=100.0,
    )


@lru_cache(maxsize=64)
def sealed_forecast(bag: SealedBag, measured: Measured | None) -> SealedForecast:
    """The whole forecast with its courses over time, kept for as long as the program runs."""
    from advisor.bag import forecast_sealed

    return forecast_sealed(bag, measured=measured, samples=SAMPLES)


def left_open(bag: SealedBag, measured: Measured | None) -> OpeningResult:
    """The same bag once opened and left standing, with its course over time."""
    from advisor.bag import OPENING_METHODS, compare_openings

    forecast = sealed_forecast(bag, measured)
    still = tuple(method for method in OPENING_METHODS if method.name == "left_open")
    return compare_openings(forecast, _any_tank(forecast), still)[0]
