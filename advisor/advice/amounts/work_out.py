"""From an amount in the rules and the facts of a lot to a figure.

A formula's arguments come from ``amount.given`` (a number, or the name of a
fact) or, where the rules say nothing, from the fact of the same name. A banded
fact is tried at both ends, so the figure gets a band.
"""

from __future__ import annotations

import inspect
import itertools
import math
from collections.abc import Callable, Mapping

from advisor.advice.amounts import changes, doses, durations, tubs
from advisor.advice.amounts.worked import NotWorkedOut, Outcome, Worked
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.results import AmountResult, unchecked
from advisor.errors import AdvisorError
from advisor.rulebase.entries import Amount, Figure

FORMULAS: Mapping[str, Callable[..., Outcome]] = {
    function.__name__: function
    for function in (
        doses.salt_g,
        doses.salt_for_nitrite_g,
        doses.thiosulfate_g,
        doses.binder_active_g,
        doses.zeolite_g,
        doses.bicarbonate_g,
        doses.ascorbic_acid_g,
        changes.water_change_share_l,
        changes.water_change_l,
        changes.water_change_for_ammonia_l,
        durations.float_minutes,
        durations.hours_for_change,
        durations.hours_to_next_water,
        durations.weeks_to_days,
        durations.soft_water_share,
        tubs.tub_l,
        tubs.make_do_l,
        durations.shut_hours,
        durations.part_way_c,
    )
}
#: Arguments that are called otherwise among the facts.
_FACT_OF = {"volume_l": "tank_volume_l"}
#: A band is tried at the ends of at most this many arguments (2^n runs).
_MOST_BANDED = 4

Span = tuple[float, float, float]  # value, low, high


def work_out(amount: Figure, sheet: FactSheet) -> tuple[AmountResult, ...]:
    """The figure for one action, and what goes with it.

    A water change says what it does to the temperature, a make-do tub how long it carries
    them, a mass too small for a kitchen scale how much of a stock solution holds it; one that no
    scale shows is given as stock alone.

    Never raises for what a case holds: a missing input, or one the chemistry
    refuses, comes back as a result without a value that says what is missing.
    """
    function = FORMULAS[amount.formula]
    spans = {name: _span(name, amount, sheet) for name in inspect.signature(function).parameters}
    known = {name: span for name, span in spans.items() if span is not None}
    unknown = [
        name
        for name, parameter in inspect.signature(function).parameters.items()
        if name not in known and parameter.default is inspect.Parameter.empty
    ]
    try:
        outcome = _banded(function, known, dict.fromkeys(unknown))
    except AdvisorError as refused:
        outcome = NotWorkedOut(amount.formula.replace("_", " "), why=str(refused))
    results = [_result(outcome)]
    if isinstance(outcome, Worked):
        if outcome.label == changes.LABEL:
            results += [_result(extra) for extra in _side_effects(outcome, sheet)]
        if amount.formula == tubs.make_do_l.__name__:
            results.append(_result(_finite(_carries(outcome, amount, sheet))))
        if outcome.unit == "g" and 0.0 < outcome.value < doses.WEIGHABLE_G:
            results.append(_result(doses.stock_ml(outcome)))
            if outcome.value < doses.LEAST_WEIGHED_G:  # no scale of a fish room shows it
                del results[0]
    if isinstance(amount, Amount) and amount.beside is not None:
        results.extend(work_out(amount.beside, sheet))
    return tuple(results)


def changes_water(amount: Figure) -> bool:
    """Whether it is one that may say that a change of water does harm."""
    return FORMULAS[amount.formula].__module__ == changes.__name__


def unknown_names(amount: Figure) -> tuple[str, ...]:
    """What in an amount of the rules leads nowhere: its formula, or arguments it does not have."""
    if amount.formula not in FORMULAS:
        return (amount.formula,)
    parameters = inspect.signature(FORMULAS[amount.formula]).parameters
    return tuple(name for name in amount.given if name not in parameters)


def _span(name: str, amount: Figure, sheet: FactSheet) -> Span | None:
    given = amount.given.get(name)
    if isinstance(given, (int, float)):
        return (float(given),) * 3
    record = sheet.quantity(given or _FACT_OF.get(name, name))
    if record is None:
        return None
    return (record.number, *record.band)


def _banded(
    function: Callable[..., Outcome], known: Mapping[str, Span], absent: Mapping[str, None]
) -> Outcome:
    """The outcome at the best figures, its band from the corners of the banded inputs."""
    best = function(**{name: span[0] for name, span in known.items()}, **absent)
    wide = [name for name, span in known.items() if span[1] != span[2]][:_MOST_BANDED]
    if isinstance(best, NotWorkedOut) or not wide:
        return _finite(best)
    low, high = best.low, best.high
    for ends in itertools.product((1, 2), repeat=len(wide)):
        corner = {name: span[0] for name, span in known.items()}
        corner |= {name: known[name][end] for name, end in zip(wide, ends, strict=True)}
        try:
            outcome = function(**corner, **absent)
        except AdvisorError:
            continue
        if isinstance(outcome, Worked):
            low, high = min(low, outcome.low), max(high, outcome.high)
    return _finite(best._replace(low=low, high=high))


def _finite(outcome: Outcome) -> Outcome:
    if isinstance(outcome, NotWorkedOut):
        return outcome
    if all(math.isfinite(number) for number in (outcome.value, outcome.low, outcome.high)):
        return outcome
    return NotWorkedOut(outcome.label, why="the figures given lead to no finite amount")


def _carries(tub: Worked, amount: Figure, sheet: FactSheet) -> Outcome:
    """How long that tub carries the lot, at the tap's pH where it was read, else the tank's."""
    ph = sheet.number("tap_ph")
    most = amount.given["most_nh3_n"]
    assert not isinstance(most, str)
    try:
        return tubs.carries_h(
            tub.value,
            most,
            sheet.number("fish_count"),
            sheet.number("lot_mass_g"),
            sheet.number("tank_ph") if ph is None else ph,
            sheet.number("present_temperature_c"),
            sheet.number("present_salinity_g_kg"),
        )
    except AdvisorError as refused:  # a reading that no water can have
        return NotWorkedOut(tubs.CARRIES, why=str(refused))


def _side_effects(change: Worked, sheet: FactSheet) -> list[Worked]:
    volume, tank, tap = (
        sheet.number(name) for name in ("tank_volume_l", "tank_temperature_c", "tap_temperature_c")
    )
    if volume is None or tank is None or tap is None:
        return []
    if not 0 < volume >= change.value:
        return []
    return [changes.temperature_after(change.value, volume, tank, tap)]


def _result(outcome: Outcome) -> AmountResult:
    if isinstance(outcome, NotWorkedOut):
        return unchecked(AmountResult)(
            label=outcome.label, value=None, working=outcome.why, missing=outcome.missing
        )
    return unchecked(AmountResult)(**outcome._asdict())
