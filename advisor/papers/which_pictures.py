"""Which pictures a delivery can have, from what its case says."""

from __future__ import annotations

from dataclasses import replace

from advisor.advice.facts.forecast import (
    GILL_LIMIT,
    SAMPLES,
    left_open,
    measured_in_bag,
    sealed_bag,
    sealed_forecast,
)
from advisor.advice.facts.sheet import fact_sheet
from advisor.advice.facts.tank_for_bag import tank_of
from advisor.advice.move.cost_of_ways import slow_limits
from advisor.advice.over_time import Watch, watch_of
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.papers.blocks import Block, Para
from advisor.papers.pictures.watch_panels import watch_picture
from advisor.rulebase import RuleBase

#: Rows of the watch picture that get a limit line -> the limit's id in the rule base.
LIMIT_LINES = {"tank_nitrite_mg_l": "nitrite_harm", "tank_tan_mg_l": "tan_noticeable"}


def bag_pictures(case: Case, lot: Lot, base: RuleBase, key: str) -> list[Block]:
    """The lot's bag and the ways of opening it, or one sentence on what is missing for them."""
    from advisor.papers.pictures.bag_picture import bag_picture
    from advisor.papers.pictures.openings import openings_picture

    limit = base.limits.get(GILL_LIMIT)
    sheet = fact_sheet(case, lot, base)
    bag = sealed_bag(case, lot, sheet.kind, sheet.records)
    if bag is None or limit is None:
        need = "number of fish, their mass, water per bag and hours sealed"
        return [Para(f"No picture of the bag: it needs the {need}.", "quiet")]
    measured = measured_in_bag(case, lot, sheet.records)
    try:
        forecast = sealed_forecast(bag, measured)
        blocks: list[Block] = [
            bag_picture(forecast, left_open(bag, measured), limit.value, f"{key}-bag")
        ]
        tank = tank_of(sheet)
        if lot.released_at_hours is not None:
            pass  # the fish are out: how to open is no longer a question
        elif tank is None:
            need = "tank temperature and alkalinity"
            blocks.append(Para(f"Ways of opening are compared once {need} are known.", "quiet"))
        else:
            from advisor.bag import compare_openings

            slow = slow_limits(base)
            openings = compare_openings(forecast, tank, slow_change=slow, samples=SAMPLES)
            blocks.append(openings_picture(openings, limit.value, f"{key}-openings"))
    except AdvisorError as fault:
        return [Para(f"No picture of the bag: {fault}", "quiet")]
    return blocks


def watch_pictures(case: Case, lot: Lot | None, base: RuleBase, key: str) -> list[Block]:
    """Readings and survivors over the looks; a sentence when there was only one look."""
    limits = {
        name: base.limits[limit].value
        for name, limit in LIMIT_LINES.items()
        if limit in base.limits
    }
    picture = watch_picture(watch_of(case, lot), limits, f"{key}-watch")
    if picture is None:
        return [Para("Nothing was read or counted more than once yet.", "quiet")]
    return [picture]


def alive_picture(case: Case, lots: tuple[Lot, ...]) -> list[Block]:
    """Fish alive by lot over the counts, without any reading."""
    alive = tuple(line for lot in lots for line in watch_of(case, lot).survivors)
    picture = watch_picture(Watch((), alive), key="alive")
    return [] if picture is None else [replace(picture, table=None, title="Fish alive over time")]
