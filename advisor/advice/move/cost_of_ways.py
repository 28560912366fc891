"""What each way of opening a bag costs its fish, computed; and the way that costs least.

An ordering of computed water against limits of the rule base, not measured harm; no
controlled trial compares the ways of opening. For the fish of a case the move decides
(:mod:`advisor.advice.move.choose`); by physics alone a bag of which nothing else is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from advisor.advice.facts.forecast import GILL_LIMIT
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.facts.waters import TEMPERATURE_GAP_LIMIT
from advisor.advice.move.order import limit_of
from advisor.bag.banded import Band
from advisor.bag.methods import SlowChange
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind
from advisor.wording.numbers import exact, fixed, short, signed

if TYPE_CHECKING:
    from advisor.bag.exposure import OpeningResult

#: Limits of the rule base that the ways of opening are held against.
PH_STEP_LIMIT = "ph_step_large"
#: Total ammonia in a bag from which the rules drip no more (finding bag_ammonia_waiting).
BAG_AMMONIA_LIMIT = "act_bag_tan"
#: The way no one is sent: bag water stays out of the tank (action keep_bag_water_out).
NEVER_CHOSEN = "poured"
#: The computed way that a move of the rules is.
COMPUTED_AS: Mapping[str, str] = {
    "float": "floated",
    "open_and_net_over": "netted",
    "slow_change": "dripped",
}


@dataclass(frozen=True)
class WayCost:
    """One way of opening against the limits.

    strains : each measure over its limit, 1 = at the limit
    moves   : ends with the fish in the tank; leaving the bag open does not
    barred  : why it is not chosen although it moves them, or None
    """

    name: str
    strains: Mapping[str, float]
    moves: bool
    barred: str | None


@dataclass(frozen=True)
class ChosenWay:
    """The way that costs least, what every way costs, and why this one."""

    name: str
    costs: tuple[WayCost, ...]
    because: str


#: Fact, limit up, limit down, words.
_MINERAL_STEPS = (
    (
        "conductivity_ratio",
        "conductivity_doubled",
        "conductivity_halved",
        "the tank's conductivity is {} times the bag's",
    ),
    (
        "hardness_step_mg_l_caco3",
        "hardness_step_slow",
        "hardness_step_slow_down",
        "hardness steps by {} mg/L as CaCO3",
    ),
    (
        "salinity_step_g_kg",
        "salinity_step_slow",
        "salinity_step_slow_down",
        "salinity steps by {} g/kg",
    ),
)
_MEASURES = {"nh3": "un-ionised ammonia", "ph": "pH step", "temperature": "temperature gap"}


def cheapest_way(
    openings: Sequence[OpeningResult], base: RuleBase, oxygen_hours_left: Band | None
) -> ChosenWay | None:
    """The way of opening that costs the fish least; None when none moves them.

    Ways that keep ammonia, pH step and temperature gap at the move within
    their limits come first, the least ammonia dose among them. Otherwise the
    one whose worst strain is least. Ammonia already over its limit in the shut
    bag tells the ways apart by dose alone. Central values count, and where the
    rules bar a way so does this. Judgement, said so.
    """
    limits = {
        "nh3": limit_of(base, GILL_LIMIT),
        "ph": limit_of(base, PH_STEP_LIMIT),
        "temperature": limit_of(base, TEMPERATURE_GAP_LIMIT),
        "bag_tan": limit_of(base, BAG_AMMONIA_LIMIT),
    }
    costs = tuple(_cost(result, limits, oxygen_hours_left) for result in openings)
    doses = {result.name: result.nh3_dose_mg_h_l.value for result in openings}
    open_to = [cost for cost in costs if cost.moves and cost.barred is None]
    if not open_to:
        return None
    over_already = openings[0].paths["nh3_n_mg_l"].value[0] > limits["nh3"]
    judged = ("ph", "temperature") if over_already else tuple(_MEASURES)
    within = [cost for cost in open_to if max(cost.strains[m] for m in judged) <= 1.0]
    if within:
        best = min(within, key=lambda cost: doses[cost.name])
        words = [_MEASURES[measure] for measure in judged]
        kept = f"{', '.join(words[:-1])} and {words[-1]}"
        because = f"least ammonia of the ways that keep {kept} in limits"
    else:
        best = min(open_to, key=lambda cost: _overshoot(cost, judged, doses))
        over = max(judged, key=lambda measure: best.strains[measure])
        because = (
            f"no way keeps every limit; this one passes them least ({_MEASURES[over]} "
            f"{fixed(best.strains[over], 1)} times its limit)"
        )
    if over_already:
        because += "; ammonia is over its limit in the shut bag already"
    return ChosenWay(best.name, costs, because)


def _overshoot(
    cost: WayCost, judged: Sequence[str], doses: Mapping[str, float]
) -> tuple[float, float, float]:
    """Worst strain, all of them, dose; the first two to a tenth, since they are no finer."""
    strains = [cost.strains[measure] for measure in judged]
    return round(max(strains), 1), round(sum(strains), 1), doses[cost.name]


def _cost(
    result: OpeningResult, limits: Mapping[str, float], oxygen_hours_left: Band | None
) -> WayCost:
    method = result.samples.method
    gap = gap_at_move(result)
    if method.kind == "floated":
        gap = min(gap, limits["temperature"])  # floated until the thermometer says so
    strains = {
        "nh3": result.peak_nh3_n_mg_l.value / limits["nh3"],
        "ph": result.steepest_ph_step.value / limits["ph"],
        "temperature": gap / limits["temperature"],
    }
    barred = None
    if result.name == NEVER_CHOSEN:
        barred = "bag water stays out of the tank"
    elif method.kind == "dripped" and result.paths["tan_mg_l"].high[0] >= limits["bag_tan"]:
        barred = "the rules drip into no bag with ammonia waiting in it"
    elif method.kind == "floated" and method.in_bag_min:
        barred = _no_floating(result, limits["temperature"], oxygen_hours_left)
    return WayCost(result.name, strains, method.in_bag_min is not None, barred)


def _no_floating(
    result: OpeningResult, most_gap_c: float, oxygen_hours_left: Band | None
) -> str | None:
    """Why not to float: no need to, or no oxygen for it."""
    path, stays = result.paths["temperature_c"].value, result.samples.method.in_bag_min or 0.0
    minutes = None if oxygen_hours_left is None else 60.0 * oxygen_hours_left.value
    if minutes is not None and minutes < stays:
        return f"the oxygen in the shut bag lasts about {fixed(minutes)} min only"
    if abs(path[0] - path[-1]) <= most_gap_c:
        return f"bag and tank are within {exact(most_gap_c)} °C already"
    return None


def gap_at_move(result: OpeningResult) -> float:
    """Difference of bag and tank temperature [°C] when the fish change waters; 0 if they stay."""
    stays = result.samples.method.in_bag_min
    if stays is None:
        return 0.0
    values = result.paths["temperature_c"].value
    before = max(i for i, minute in enumerate(result.minutes) if minute <= stays + 1e-6)
    after = min(before + 1, len(values) - 1)
    return abs(values[after] - values[before])


#: Actions of the rule base for slow change, by what calls for it.
SLOW_ACTIONS = {"invertebrate": "drip_invertebrates", "minerals": "drip_large_osmotic_step"}


class Slow(NamedTuple):
    """That slow change wins: what is to be done, in the rule base's words, and why here."""

    text: str
    because: str


def slow_change(
    kind: Kind | None, openings: Sequence[OpeningResult], sheet: FactSheet | None, base: RuleBase
) -> Slow | None:
    """What to do slowly and why, or None: invertebrates, and large steps in minerals or salt."""
    if kind is not None and "invertebrate" in kind.traits:
        action = base.actions.get(SLOW_ACTIONS["invertebrate"])
        if action is not None:
            return Slow(action.text, action.because)
    told = next((r.slow_change_because for r in openings if r.slow_change_because), None)
    why = told or (None if sheet is None else _mineral_step(sheet, base))
    action = base.actions.get(SLOW_ACTIONS["minerals"])
    if why is None or action is None:
        return None
    return Slow(action.text, f"{why}. {action.because}")


def slow_limits(base: RuleBase) -> SlowChange:
    """When a step in salt or minerals is large, by the rule base."""
    return SlowChange(
        salinity_step_g_kg=limit_of(base, "salinity_step_slow"),
        conductivity_ratio=limit_of(base, "conductivity_doubled"),
    )


def _mineral_step(sheet: FactSheet, base: RuleBase) -> str | None:
    """The first step in minerals that surely passes its limit, in words."""
    for name, high, low, words in _MINERAL_STEPS:
        record = sheet.quantity(name)
        if record is None:
            continue
        least, most = record.band
        if least >= limit_of(base, high) or most <= limit_of(base, low):
            return words.format(_step(name, record.number))
    return None


def _step(name: str, number: float) -> str:
    return short(number) if name == "conductivity_ratio" else signed(number, 1)
