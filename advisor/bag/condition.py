"""A forecast that agrees with its readings.

Every draw is one bag: its own mass, oxygen use, exchange, feeding, packing
alkalinity. A reading does not overwrite a draw; it says which draws are true.
Where a reading settles a number that nothing else knows (ammonia per oxygen
by total ammonia, packing alkalinity by alkalinity or pH), each draw is given
the number that meets the reading, is simulated anew with it, and weighs what
that number is worth by its own range (importance sampling: prior times the
slope of the change of variable times the likelihood). So oxygen, carbon and
nitrogen balance in each draw: total ammonia brings its alkalinity, and free
CO2 stays what the fish made, whatever the alkalinity turns out to be.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag import defaults as d
from advisor.bag import fish_defaults as f
from advisor.bag.banded import Band, Distance, Range, ends
from advisor.bag.batch import Job
from advisor.bag.course import Run, Start
from advisor.bag.inputs import Measured
from advisor.bag.likeness import FAR, ReadingLikelihood, far_off, place_cost, reading_of, resampled
from advisor.bag.respiration import N_MG, O2_MG, Metabolism
from advisor.bag.seal import Sealed
from advisor.bag.state import carbon_from_pco2, carbon_from_ph
from advisor.bag.step_chemistry import alkalinity_at_ph, water_at_ph
from advisor.errors import AdvisorError
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ
from advisor.wording.numbers import exact, fixed, short

Array = npt.NDArray[np.float64]

WORDS = {
    "ph": "pH",
    "tan_mg_l": "total ammonia (mg/L as N)",
    "temperature_c": "temperature (°C)",
    "alkalinity_mg_l_caco3": "alkalinity (mg/L as CaCO3)",
    "do_mg_l": "dissolved oxygen (mg/L)",
}
#: Readings that weigh draws; temperature and salts are told to the simulation instead.
WEIGHED = ("tan_mg_l", "alkalinity_mg_l_caco3", "ph", "do_mg_l")
#: Weight [-2 ln] of a draw that would need less than nothing of something.
_IMPOSSIBLE = 1e4
#: Share of draws that counts as all of them.
_NEARLY_ALL = 0.98
#: A number at this share of what it was is as good as gone.
_GONE = 1e-3


def readings_in(measured: Measured | None) -> tuple[ReadingLikelihood, ...]:
    """The readings that weigh draws."""
    if measured is None:
        return ()
    given = ((name, getattr(measured, name)) for name in WEIGHED)
    return tuple(reading_of(name, amount) for name, amount in given if amount is not None)


def distances(
    measured: Measured | None,
    untold: dict[str, Band],
    doubted: frozenset[str],
    way_told: bool,
) -> tuple[Distance, ...]:
    """Each reading against the forecast that did not know it.

    way_told : whether a temperature was foreseen that a reading can be held against
    """
    if measured is None:
        return ()
    found = []
    for field in fields(measured):
        reading = getattr(measured, field.name)
        if field.name == "temperature_c" and not way_told:
            continue
        if reading is not None and field.name in WORDS:
            band = Band(*ends(reading))
            found.append(_distance(field.name, band, untold[field.name], field.name in doubted))
    return tuple(found)


def _distance(name: str, reading: Band, forecast: Band, doubted: bool) -> Distance:
    if reading.low > forecast.high:
        verdict = "above"
    elif reading.high < forecast.low:
        verdict = "below"
    else:
        verdict = "within"
    place = "within" if verdict == "within" else f"{verdict} the band of"
    text = (
        f"{WORDS[name]}: read {short(reading.value, 3)}, {place} the forecast "
        f"{short(forecast.value, 3)} ({short(forecast.low, 3)} to {short(forecast.high, 3)})."
    )
    if doubted:
        text += " No bag like this one explains it: read it again; the forecast stands without it."
    return Distance(name, reading, forecast, verdict, text, not doubted)


@dataclass(frozen=True, eq=False)
class ConditionedBag:
    """A bag made to meet its readings: what to simulate, and what each draw pays for it.

    cost : by reading, -2 ln of the worth of the number that meets it (0 where none was moved)
    """

    sealed: Sealed
    fish: Metabolism
    job: Job
    readings: tuple[ReadingLikelihood, ...]
    cost: dict[str, Array]
    log_slope: Array


def computed(name: str, result: Run, volume_l: Array) -> Array:
    """What a run gives for a reading at its end."""
    if name == "ph":
        return np.asarray(result.log_h[-1] / -LN10)
    amount, per = {
        "tan_mg_l": (result.tan, N_MG),
        "do_mg_l": (result.o2, O2_MG),
        "alkalinity_mg_l_caco3": (result.alkalinity, CACO3_MG_PER_MEQ),
    }[name]
    return np.asarray(amount[-1] / volume_l * per)


def told(sealed: Sealed, first: Run, readings: tuple[ReadingLikelihood, ...]) -> ConditionedBag:
    """The bag with ammonia and packing alkalinity moved to where the readings want them."""
    by_name = {reading.name: reading for reading in readings}
    cost: dict[str, Array] = {}
    log_slope = np.zeros(first.o2.shape[1])
    start, water, fish = sealed.start, sealed.water, sealed.fish
    volume = sealed.course.volume_l[-1]
    excreted = first.tan[-1] - start.tan_mmol
    from_dead = _from_dead(sealed)
    quotient = sealed.course.quotient
    tan = by_name.get("tan_mg_l")
    if tan is not None and (excreted - from_dead > 1e-9).all():
        wanted = tan.targets(sealed.draws) / N_MG * volume - start.tan_mmol - from_dead
        times = wanted / (excreted - from_dead)
        cost["tan_mg_l"] = _quotient_cost(fish, sealed.bag.hours, times)
        times = np.maximum(times, _GONE)
        log_slope = log_slope - np.log(np.maximum(wanted, _GONE * volume))
        excreted = from_dead + times * (excreted - from_dead)
        fish = fish._replace(nitrogen_times=fish.nitrogen_times * times)
        quotient = quotient * times
    alkalinity = water.alkalinity
    wants = "alkalinity_mg_l_caco3" if "alkalinity_mg_l_caco3" in by_name else "ph"
    if water.hardness is not None and wants in by_name:
        target = by_name[wants].targets(sealed.draws)
        if wants == "ph":
            tan_end = (start.tan_mmol + excreted) / volume
            c = sealed.course.constants.at(-1)
            at_end = alkalinity_at_ph(c, target, first.co2[-1], tan_end)
            slope = LN10 * np.maximum(at_end, 1e-3)
        else:
            at_end = target / CACO3_MG_PER_MEQ
            slope = np.ones(1)
        packed = at_end - excreted / volume
        cost[wants] = _alkalinity_cost(sealed, water.hardness, packed)
        alkalinity = np.maximum(packed, _GONE)
        log_slope = log_slope + np.log(slope / alkalinity)
        start = _repacked(sealed, alkalinity)
    like = first
    if "ph" in by_name and "ph" not in cost and sealed.bag.fish_count:
        tan_end = (start.tan_mmol + excreted) / volume
        met = _carbon_to_meet(
            sealed, first, start, by_name["ph"].targets(sealed.draws),
            (start.alkalinity_meq + excreted) / volume, tan_end,
        )  # fmt: skip
        found = fish.carbon_found * met.times
        cost["ph"] = np.where(
            met.possible, place_cost(place_in(f.CARBON_FOUND, found)), _IMPOSSIBLE
        )
        log_slope = log_slope + met.log_slope
        fish = fish._replace(carbon_found=found)
        like = first._replace(made_co2=first.made_co2 * met.times)
    course = sealed.course._replace(quotient=quotient)
    job = Job(start, course, first.o2.shape[1], like=like)
    return ConditionedBag(sealed, fish, job, readings, cost, log_slope)


class _Met(NamedTuple):
    """What a draw's CO2 has to be multiplied by so that it meets a pH; whether any does."""

    times: Array
    possible: npt.NDArray[np.bool_]
    log_slope: Array


def _carbon_to_meet(
    sealed: Sealed, first: Run, start: Start, ph: Array, alkalinity: Array, tan: Array
) -> _Met:
    """pH and alkalinity known, the CO2 of the water follows, and with it that of the gas.

    alkalinity, tan : at the end [meq/L, mmol/L]

    What left through the film, and what the gas holds, go with the CO2 of the water.
    """
    volume = sealed.course.volume_l[-1]
    water = water_at_ph(sealed.course.constants.at(-1), ph, alkalinity, tan)
    h = 10.0**-ph
    co2 = water.hco3 * h / water.k1
    dic = water.hco3 * (1.0 + water.k2 / h) + co2
    elsewhere = (first.gas_co2[-1] + first.lost_co2[-1]) * co2 / np.maximum(first.co2[-1], 1e-9)
    needed = dic * volume + elsewhere - start.dic_mmol - start.gas_co2_mmol
    made = np.maximum(first.made_co2[-1], 1e-9)
    possible = (needed > 0.0) & (water.left > 0.0)
    least = np.maximum(needed, _GONE * made)
    slope = np.log(np.maximum(co2 * volume + elsewhere, 1e-9) / least)
    return _Met(least / made, possible, np.where(possible, slope, 0.0))


def _from_dead(sealed: Sealed) -> Array:
    """Ammonia the dead gave off by the end [mmol]."""
    steps = np.diff(sealed.course.hours, prepend=sealed.course.hours[:1])
    return np.asarray((sealed.course.dead_n * steps[:, None]).sum(axis=0))


def _quotient_cost(fish: Metabolism, hours: float, times: Array) -> Array:
    """-2 ln of the worth of the ammonia quotient after it was moved by ``times``."""
    low, high = fish.nitrogen_away(hours)
    if fish.fasted_h is None:
        had = np.log(fish.nitrogen_fixed / (f.NITROGEN_UNKNOWN.value * O2_MG / N_MG))
    else:
        had = fish.nitrogen_place * np.where(fish.nitrogen_place < 0.0, low, high)
    moved = had + np.log(np.maximum(times, _GONE))
    place = moved / np.where(moved < 0.0, low, high)
    return np.where(times > 0.0, place_cost(place), _IMPOSSIBLE)


def _alkalinity_cost(sealed: Sealed, hardness: Range, packed: Array) -> Array:
    """-2 ln of the worth of a packing alkalinity [meq/L], with the CO2 its pH then asks for."""
    mg = np.maximum(packed, _GONE) * CACO3_MG_PER_MEQ
    cost = place_cost(place_in(hardness, mg))
    if sealed.bag.ph is not None:
        c = sealed.constants_at_start
        per_meq = alkalinity_at_ph(c, sealed.water.ph, c.kh_mmol, sealed.water.tan)
        pco2 = np.maximum(packed, _GONE) / np.maximum(per_meq, 1e-9)
        cost = cost + place_cost(place_in(d.START_CO2, pco2))
    return np.where(packed > 0.0, cost, _IMPOSSIBLE)


def place_in(r: Range, value: Array) -> Array:
    """Where a number lies in a range spread by factors: 0 its value, -1 and 1 its ends."""
    away = np.log(value / r.value)
    return np.asarray(
        away / np.where(away < 0.0, np.log(r.value / r.low), np.log(r.high / r.value))
    )


def _repacked(sealed: Sealed, alkalinity: Array) -> Start:
    """Start amounts of the same bag packed with water of another alkalinity [meq/L]."""
    water, start, c = sealed.water, sealed.start, sealed.constants_at_start
    if water.pco2_atm is None:
        ph = water.ph
        dic = carbon_from_ph(c, ph, alkalinity, water.tan)
    else:
        dic, ph = carbon_from_pco2(c, water.pco2_atm, alkalinity, water.tan)
    volume = water.volume_l
    return start._replace(dic_mmol=dic * volume, alkalinity_meq=alkalinity * volume, ph=ph)


def implausible_alone(
    sealed: Sealed, first: Run, readings: tuple[ReadingLikelihood, ...]
) -> frozenset[str]:
    """Readings that no draw explains even when each is the only one.

    Either it lies further from the forecast than ``FAR`` standard deviations, of
    draws and kit together; or to meet it nearly every draw needs less than none of
    something. A single run has no spread to judge by and believes what was read.
    """
    volume = sealed.course.volume_l[-1]
    found = set()
    for reading in readings if sealed.draws.samples else ():
        if far_off(reading, computed(reading.name, first, volume)[1:]):
            found.add(reading.name)
            continue
        alone = told(sealed, first, (reading,)).cost.get(reading.name)
        if alone is not None and float((alone >= _IMPOSSIBLE).mean()) >= _NEARLY_ALL:
            found.add(reading.name)
    return frozenset(found)


@dataclass(frozen=True, eq=False)
class WeighedDraws:
    """Which draws carry the forecast: their order (entry 0 central), and how many truly do."""

    order: npt.NDArray[np.intp]
    agreeing: float
    doubted: str | None


def weigh(case: ConditionedBag, result: Run) -> WeighedDraws:
    """Resample the draws by how well they explain every reading at once.

    ``doubted`` names the reading to leave out when no draw explains them all.
    """
    volume = case.sealed.course.volume_l[-1]
    misfit = {r.name: r.misfit(computed(r.name, result, volume)) for r in case.readings}
    width = result.o2.shape[1]
    total = np.zeros(width)
    read, before = np.broadcast_to(case.log_slope, (width,)), np.zeros(width)
    for reading in case.readings:
        moved = case.cost.get(reading.name)
        misses = misfit[reading.name]
        if moved is None:
            total = total + misses
            read = read - 0.5 * misses
        else:
            target = reading.misfit(np.broadcast_to(reading.targets(case.sealed.draws), (width,)))
            # the draw was aimed at the reading's own likelihood; what is off is made up for
            total = total + moved + np.maximum(misses - target, 0.0)
            read, before = read - 0.5 * (misses - target), before - 0.5 * moved
    if len(case.readings) > 1 and width > 1 and float(total[1:].min()) > FAR**2:
        return WeighedDraws(np.arange(width), 0.0, _worst(case, misfit, total))
    if width == 1:
        return WeighedDraws(np.arange(1), 1.0, None)
    order, agreeing = resampled(read[1:], before[1:])
    fits = float(total[0]) <= float(np.median(total[1:][order])) + 1.0
    central = 0 if fits else _middle(result, order + 1)
    return WeighedDraws(np.concatenate([[central], order + 1]), agreeing, None)


def _worst(case: ConditionedBag, misfit: dict[str, Array], total: Array) -> str:
    """The reading without which the others are explained best."""

    def without(name: str) -> float:
        return float((total - case.cost.get(name, misfit[name])).min())

    return min((reading.name for reading in case.readings), key=without)


def _middle(result: Run, order: npt.NDArray[np.intp]) -> int:
    """The draw that lies nearest the middle of those that agree, over all quantities."""
    off = np.zeros(len(order))
    for part in (result.log_h, np.log(result.tan + 1e-9), result.o2, np.log(result.co2 + 1e-9)):
        values = part[-1, order] if part.ndim == 2 else part[order]
        spread = np.std(values)
        if spread > 0.0:
            off += ((values - np.median(values)) / spread) ** 2
    return int(order[int(off.argmin())])


def refuse_contradiction(measured: Measured) -> None:
    """Raise AdvisorError when pH is higher than the alkalinity read with it can carry."""
    if measured.ph is None or measured.alkalinity_mg_l_caco3 is None:
        return
    from advisor.water.carbonate import solve_from_ph

    lowest_ph = max(0.0, ends(measured.ph)[1])
    most = ends(measured.alkalinity_mg_l_caco3)[2]
    try:
        solve_from_ph(lowest_ph, most + 2.0, 0.0, 25.0)
    except AdvisorError:
        raise AdvisorError(
            f"ph: {exact(ends(measured.ph)[0])} is higher than an alkalinity of "
            f"{fixed(ends(measured.alkalinity_mg_l_caco3)[0])} mg/L as CaCO3 can carry; "
            "measure pH and alkalinity again."
        ) from None
