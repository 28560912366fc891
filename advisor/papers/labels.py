"""Labels for the tanks, one a lot: read from two steps away, emergencies first."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.results import Assessment, LotResult
from advisor.ask.hands import first_sentence
from advisor.ask.rechecks import next_look
from advisor.case import Case
from advisor.papers.blocks import Block, Items, ListItem, Pairs, Paper, Para, Section
from advisor.papers.scan_code import scan_code
from advisor.papers.sections import chosen_lots, kind_words
from advisor.rulebase import RuleBase
from advisor.wording.times import day_and_time, moment

MOST_DONTS = 3


def labels_paper(
    case: Case, result: Assessment, base: RuleBase, only: str | None = None, scan: str = ""
) -> Paper:
    """A label for each lot.

    only : id of the one lot; None for all
    scan : what the scan code holds, the case's address or name; no code when empty
    """
    lots = [each for each in result.lots if only in (None, each.lot)]
    lots.sort(key=lambda lot: not lot.urgent)
    named = {lot.id: kind_words(lot, base) for lot in chosen_lots(case, only)}
    counts = {lot.id: lot.count for lot in case.lot}
    return Paper(
        purpose="labels",
        title=f"Tank labels: {case.delivery.title or 'untitled delivery'}",
        lead=(),
        sections=tuple(
            Section(
                f"{each.lot}: {_fish(counts.get(each.lot), named.get(each.lot, each.label))}",
                tuple(_label(case, each, scan)),
            )
            for each in lots
        ),
        foot=("What to do is judged by rules; a veterinarian and local law come first.",),
        invented=case.delivery.invented,
    )


def _fish(count: int | None, kind: str) -> str:
    return kind if count is None else f"{count} {kind}"


def _label(case: Case, lot: LotResult, scan: str) -> Iterator[Block]:
    if scan:
        yield scan_code(scan)
    now = [action.text for action in lot.actions if action.emergency]
    if now:
        yield Para(f"NOW: {first_sentence(now[0])}", "urgent")
    due = next_look(case, urgent=bool(now))
    yield Pairs(
        (
            ("Next look", "" if due is None else _when(case, due.at_hours)),
            ("In since", _when(case, 0.0)),
            ("From", case.delivery.supplier or ""),
        )
    )
    held = [each for each in lot.withheld if not each.moot][:MOST_DONTS]
    if held:
        donts = tuple(ListItem(first_sentence(each.text), lead="NOT NOW:") for each in held)
        yield Items(donts, "cross")


def _when(case: Case, hours: float) -> str:
    """Day and time; a line to write on where the hour of receipt is not known."""
    at = moment(case.delivery.received, hours)
    return "" if at is None else day_and_time(at)
