"""The bags of a case, in the simulation's terms."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from advisor.advice.facts.counted_facts import mass_of
from advisor.advice.facts.forecast import measured_in_bag, sealed_bag
from advisor.advice.facts.sheet import FactSheet, fact_sheet, lots_of
from advisor.advice.facts.tank_for_bag import tank_told
from advisor.advice.move.order import missing_for_forecast
from advisor.bag.banded import Band
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.screens.show_bag.bag_asked import BagAsked
from advisor.screens.show_bag.from_flags import FILTERS, label_of
from advisor.wording.nearest import nearest


def bags_of_case(case: Case, base: RuleBase, wanted: str | None) -> list[BagAsked]:
    """The bag of the wanted lot, or of every sealed lot (of every lot when none is sealed).

    Raises AdvisorError for a lot the case does not hold, and when no lot's bag
    can be looked at.
    """
    sheets = [fact_sheet(case, lot, base) for lot in lots_of(case)]
    if wanted is not None:
        sheets = [sheet for sheet in sheets if sheet.lot.id == wanted]
        if not sheets:
            ids = [lot.id for lot in lots_of(case)]
            hint = nearest(wanted, ids) or f"; the lots are {', '.join(ids)}."
            raise AdvisorError(f'--lot: the case has no lot "{wanted}"{hint}')
    elif any(sheet.sealed for sheet in sheets):
        sheets = [sheet for sheet in sheets if sheet.sealed]
    return [_asked(case, sheet) for sheet in sheets]


def can_be_shown(asked: BagAsked) -> bool:
    """Whether there is a forecast, or readings enough to open a bag by."""
    measured = asked.measured
    alone = measured is not None and measured.ph is not None and measured.tan_mg_l is not None
    return asked.bag is not None or alone


def why_not(case: Case, asked: Sequence[BagAsked]) -> str:
    """What the case would have to say, in one sentence."""
    parts = []
    for each in asked:
        assert each.sheet is not None
        lacks = missing_for_forecast(case, each.sheet)
        parts.append(f'lot "{each.name}" lacks {" and ".join(lacks) or "figures that agree"}')
    return f"Too little for a forecast: {'; '.join(parts)}."


def _asked(case: Case, sheet: FactSheet) -> BagAsked:
    lot = sheet.lot
    bag = sealed_bag(case, lot, sheet.kind, sheet.records)
    written = lot.species or (sheet.kind.group.name if sheet.kind and lot.group else None)
    many = f", {lot.bags} such bags" if (lot.bags or 1) > 1 else ""
    mass = mass_of(lot, sheet.kind)
    notices = []
    if bag is None:
        lacks = missing_for_forecast(case, sheet)
        notices.append(
            f"No forecast of the journey: it needs {' and '.join(lacks) or 'figures that agree'}."
        )
    told = sheet.records.get(("history", "bags_sealed"))
    if told is not None and not sheet.sealed:
        notices.append("The case says this bag is open: what follows is from its opening on.")
    return BagAsked(
        name=lot.id,
        label=f"{label_of(bag, sheet.kind, written)}{many}",
        bag=bag,
        measured=measured_in_bag(case, lot, sheet.records),
        tank=replace(tank_told(sheet), filter=FILTERS.get(case.receiving.filter or "")),
        kind=sheet.kind,
        sheet=sheet,
        fish_count=lot.count or 0,
        fish_mass_g=None if mass is None else (mass[0] if mass[1] == mass[2] else Band(*mass[:3])),
        sealed=None if told is None else sheet.sealed,
        released=lot.released_at_hours is not None,
        notices=tuple(notices),
    )
