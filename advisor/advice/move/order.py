"""Which sealed bag to open first.

Bags that fail their fish come first, then by computed water against limits of the
rule base, an ordering and no measured harm; bags that are better kept shut come
last. What is not known is never taken as harmless: a bag that cannot be forecast
stands as if it were at its limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from advisor.advice.facts.counted_facts import mass_of
from advisor.advice.facts.forecast import GILL_LIMIT, measured_in_bag, outlook, sealed_bag
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.facts.told import answer_in
from advisor.bag.harm import HarmLimits, harm_of
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind

if TYPE_CHECKING:
    from advisor.advice.reasoner import Reasoned

#: The move that keeps a bag shut.
KEPT_SHUT = "stay_shut"


def limit_of(base: RuleBase, name: str) -> float:
    """A limit's value. Raises AdvisorError when the rule base has none of that id."""
    found = base.limits.get(name)
    if found is None:
        raise AdvisorError(
            f'rules: limit "{name}" is missing; opening a bag is judged by it. Add it to '
            "rules/limits.toml."
        )
    return found.value


# --- order -------------------------------------------------------------------


class PlaceInOrder(NamedTuple):
    """Place of a sealed lot in the order of opening, 1 first.

    tied : nothing known sets it behind the one before; their order is that of their names
    """

    lot: str
    place: int
    because: str
    move: str | None = None
    tied: bool = False


def harm_limits(base: RuleBase, kind: Kind | None) -> HarmLimits:
    """What a bag's water is held against: limits of the rule base, tolerances of the kind."""
    own = {
        name: kind.tolerance(name) if kind else None
        for name in ("cold_injury_c", "heat_injury_c", "ph_injury_low")
    }
    low, high, acid = own.values()
    return HarmLimits(
        nh3_n_mg_l=limit_of(base, GILL_LIMIT),
        co2_mg_l=limit_of(base, "co2_toxic"),
        do_mg_l=limit_of(base, "do_bag_end"),
        oxygen_hours=limit_of(base, "bag_oxygen_hours"),
        low_c=limit_of(base, "tropical_cold") if low is None else low,
        high_c=limit_of(base, "tropical_warm") if high is None else high,
        ph_low=limit_of(base, "ph_low_for_most") if acid is None else acid,
        degrees=limit_of(base, "beyond_temperature_c"),
    )


def opening_order(
    case: Case,
    thoughts: Sequence[Reasoned],
    base: RuleBase,
    urgent: frozenset[str] = frozenset(),
) -> tuple[PlaceInOrder, ...]:
    """Sealed lots in the order to open them, with the reason and the move of each.

    urgent : ids of lots an emergency stands against; they come first, whatever
             their water is computed to be
    """
    ranked = []
    for thought in thoughts:
        sheet = thought.sheet
        if not sheet.sealed:
            continue
        move = None if thought.way is None else thought.way.move.id
        score, total, reason = _strain(case, sheet, base)
        first = sheet.lot.id in urgent
        if first:
            reason = f"its fish need help at once; {reason}"
        elif move == KEPT_SHUT:
            reason = f"kept shut until its next water is ready; {reason}"
        order = (not first, move == KEPT_SHUT, -score, not _hungry(sheet), -total)
        ranked.append((order, PlaceInOrder(sheet.lot.id, 0, reason, move)))
    ranked.sort(key=lambda pair: (pair[0], pair[1].lot))
    keys = [None, *(key for key, _ in ranked)]
    return tuple(
        place._replace(place=at, tied=key == keys[at - 1])
        for at, (key, place) in enumerate(ranked, 1)
    )


def _hungry(sheet: FactSheet) -> bool:
    """Big fish and kinds of cold, fast water: where the sums are alike, their bags go first."""
    traits = ((sheet.records.get(("trait", name))) for name in ("large_bodied", "oxygen_hungry"))
    return any(record is not None and record.value is True for record in traits)


def _strain(case: Case, sheet: FactSheet, base: RuleBase) -> tuple[float, float, str]:
    bag = sealed_bag(case, sheet.lot, sheet.kind, sheet.records)
    measured = measured_in_bag(case, sheet.lot, sheet.records)
    view = None if bag is None else outlook(bag, measured, limit_of(base, GILL_LIMIT))
    if view is None:
        lacks = missing_for_forecast(case, sheet)
        why = f"give {' and '.join(lacks)}" if lacks else "what is given does not fit together"
        return 1.0, 1.0, f"not forecast ({why}), so taken as at its limits"
    harm = harm_of(view, harm_limits(base, sheet.kind))
    return harm.score, sum(harm.strains.values()), harm.reason


def missing_for_forecast(case: Case, sheet: FactSheet) -> tuple[str, ...]:
    """What the case would have to say for this lot's bag to be forecast, in words."""
    lot = sheet.lot
    known = {
        "hours sealed": answer_in(case, lot, "lot.hours_sealed")[1] is not None,
        "number of fish": bool(lot.count),
        "mass of one fish": mass_of(lot, sheet.kind) is not None,
        "water per bag": lot.bag_water_l is not None,
    }
    return tuple(name for name, given in known.items() if not given)
