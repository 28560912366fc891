"""A bag as JSON, in a versioned form."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from advisor.advice.move.cost_of_ways import gap_at_move
from advisor.advice.results import OpeningPlace
from advisor.bag.banded import Path
from advisor.rulebase import RuleBase
from advisor.screens.show_bag import bag_words
from advisor.screens.show_bag.after import AfterStocking
from advisor.screens.show_bag.bag_looked_at import BagView
from advisor.version import PROGRAM

if TYPE_CHECKING:
    from advisor.bag import LimitTime, OpeningResult, OxygenOutlook, SealedForecast

FORMAT = "advisor-bag-1"


def in_json(
    views: Sequence[BagView],
    order: Sequence[OpeningPlace],
    after: AfterStocking | None,
    others: Sequence[str],
    base: RuleBase,
) -> dict[str, Any]:
    """The published form ``advisor-bag-1``.

    format, program, rulebase {version, fingerprint}
    bags          : one per bag looked at, in the order to open them:
      name, label, how (the headline; an emergency of the assessment goes before what the
                    water alone says), how_by_water, pace, because, move (the way that the
                    assessment of the case chose, by its id; null for a bag given by flags)
      slow_change : {text, because} where slow change wins, else null
      forecast    : null when only readings are known; else hours, paths and now, each
                    quantity {value, low, high} (5 to 95 %), oxygen_hours_left (240 stands for
                    240 or more; null without fish), assumptions, distances, notices
      openings    : name, label, chosen, minutes, paths, peak_nh3_n_mg_l, nh3_dose_mg_h_l,
                    steepest_ph_step, steepest_temperature_step_c (largest change in 5 minutes),
                    gap_at_move_c, minutes_to_gill_limit {passed: surely|possibly|not, value,
                    earliest, latest}, strains (each over its limit), barred
      floating    : minutes {value, low, high} and basis, null when not needed
      taken       : what of the tank was not known and taken for granted
      statement   : that the comparison is computed
    gill_limit_mg_l : un-ionised ammonia as N, rule base limit nh3_gill_damage
    opening_order : lot, place, because
    not_looked_at : lots with too little known, a sentence each
    tank_after    : null, or volume_l, fish_count, fish_total_g, limits, and by state of the
                    filter (cycled, part, new) peaks, limit times in days, changes
    """
    return {
        "format": FORMAT,
        "program": PROGRAM,
        "rulebase": {"version": base.version, "fingerprint": base.fingerprint},
        "gill_limit_mg_l": views[0].gill_limit,
        "bags": [_bag(view) for view in views],
        "opening_order": [place.model_dump() for place in order],
        "not_looked_at": list(others),
        "tank_after": None if after is None else _after(after),
    }


def _bag(view: BagView) -> dict[str, Any]:
    slow = view.slow
    return {
        "name": view.asked.name,
        "label": view.asked.label,
        "how": bag_words.headline(view),
        "how_by_water": bag_words.by_its_water(view),
        "move": None if view.asked.move is None else view.asked.move.chosen,
        "pace": bag_words.pace(view),
        "because": bag_words.why(view),
        "slow_change": None if slow is None else slow._asdict(),
        "forecast": None if view.forecast is None else _forecast(view.forecast),
        "openings": [_opening(view, result) for result in view.openings],
        "floating": None
        if view.float_time is None
        else {"minutes": view.float_time.minutes._asdict(), "basis": view.float_time.basis},
        "taken": list(view.taken),
        "statement": view.openings[0].statement,
        "notices": list(view.asked.notices),
    }


def _forecast(forecast: SealedForecast) -> dict[str, Any]:
    left = forecast.oxygen_hours_left
    return {
        "hours": list(forecast.hours),
        "paths": _paths(forecast.paths),
        "now": {name: band._asdict() for name, band in forecast.end.items()},
        "oxygen_hours_left": None if left is None else left._asdict(),
        "oxygen_ran_out_h": forecast.oxygen_ran_out_h,
        "low_do_mg_l": forecast.low_do_mg_l,
        "assumptions": [each._asdict() for each in forecast.assumptions],
        "distances": [
            {
                **each._asdict(),
                "measured": each.measured._asdict(),
                "forecast": each.forecast._asdict(),
            }
            for each in forecast.distances
        ],
        "oxygen": None if forecast.oxygen is None else _oxygen(forecast.oxygen),
        "notices": list(forecast.notices),
    }


def _oxygen(oxygen: OxygenOutlook) -> dict[str, Any]:
    bands = ("store_hours", "still_hours", "crossing_share", "gas_left_share")
    return {
        **{name: getattr(oxygen, name)._asdict() for name in bands},
        "crossing_short": oxygen.crossing_short,
        "turn_gently": oxygen.turn_gently,
    }


def _opening(view: BagView, result: OpeningResult) -> dict[str, Any]:
    costs = {cost.name: cost for cost in view.choice.costs} if view.choice else {}
    cost = costs.get(result.name)
    chosen = view.chosen == result.name
    return {
        "name": result.name,
        "label": result.label,
        "chosen": chosen,
        "minutes": list(result.minutes),
        "paths": _paths(result.paths),
        "peak_nh3_n_mg_l": result.peak_nh3_n_mg_l._asdict(),
        "nh3_dose_mg_h_l": result.nh3_dose_mg_h_l._asdict(),
        "steepest_ph_step": result.steepest_ph_step._asdict(),
        "steepest_temperature_step_c": result.steepest_temperature_step_c._asdict(),
        "gap_at_move_c": gap_at_move(result),
        "minutes_to_gill_limit": _limit_time(result.minutes_to_nh3_limit(view.gill_limit)),
        "strains": dict(cost.strains) if cost else {},
        "barred": cost.barred if cost else None,
        "assumptions": [each._asdict() for each in result.assumptions],
    }


def _after(after: AfterStocking) -> dict[str, Any]:
    return {
        "volume_l": after.volume_l,
        "fish_count": after.fish_count,
        "fish_total_g": after.fish_total_g,
        "nh3_limit_mg_l": after.nh3_limit,
        "nitrite_limit_mg_l": after.nitrite_limit,
        "by_filter": {
            state: {
                "peak_nh3_n_mg_l": forecast.peak_nh3_n_mg_l._asdict(),
                "peak_nitrite_mg_l": forecast.peak_nitrite_mg_l._asdict(),
                "nh3_limit_days": _limit_time(forecast.nh3_limit),
                "nitrite_limit_days": _limit_time(forecast.nitrite_limit),
                "change_likely": forecast.change_likely.text,
                "change_surely": forecast.change_surely.text,
                "assumptions": [each._asdict() for each in forecast.assumptions],
            }
            for state, forecast in after.forecasts.items()
        },
    }


def _paths(paths: Mapping[str, Path]) -> dict[str, dict[str, list[float]]]:
    return {
        name: {end: list(values) for end, values in path._asdict().items()}
        for name, path in paths.items()
    }


def _limit_time(found: LimitTime) -> dict[str, Any]:
    return {
        "passed": found.passed,
        "value": found.minutes,
        "earliest": found.earliest,
        "latest": found.latest,
    }
