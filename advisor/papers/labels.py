"""Labels for the tanks, one a lot: read from two steps away, emergencies first."""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.advice.results import Assessment, LotResult
from advisor.ask.rechecks import next_look
from advisor.case import Case
from advisor.papers.blocks import Block, Items, ListItem, Pairs, Paper, Para, Section
from advisor.papers.sections import chosen_lots, kind_words, received_words
from advisor.rulebase import RuleBase
from advisor.wording.times import clock

MOST_DONTS = 3
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


def labels_paper(case: Case, result: Assessment, base: RuleBase, only: str | None = None) -> Paper:
    """A label for each lot. ``only``: id of the one lot; None for all."""
    lots = [each for each in result.lots if only in (None, each.lot)]
    lots.sort(key=lambda lot: not _urgent(lot))
    named = {lot.id: kind_words(lot, base) for lot in chosen_lots(case, only)}
    counts = {lot.id: lot.count for lot in case.lot}
    return Paper(
        purpose="labels",
        title=f"Tank labels: {case.delivery.title or 'untitled delivery'}",
        lead=(),
        sections=tuple(
            Section(
                f"{each.lot}: {named.get(each.lot, each.label)}",
                tuple(_label(case, each, counts.get(each.lot))),
            )
            for each in lots
        ),
        foot=("What to do is judged by rules; a veterinarian and local law come first.",),
        invented=case.delivery.invented,
    )


def _urgent(lot: LotResult) -> bool:
    return any(action.emergency for action in lot.actions)


def _label(case: Case, lot: LotResult, count: int | None) -> Iterator[Block]:
    now = [action.text for action in lot.actions if action.emergency]
    if now:
        yield Para(f"NOW: {_first(now[0])}", "urgent")
    due = next_look(case, urgent=bool(now))
    yield Pairs(
        (
            ("Fish", "" if count is None else str(count)),
            ("In since", received_words(case)),
            ("Next look", "" if due is None else clock(case.delivery.received, due.at_hours)),
            ("From", case.delivery.supplier or ""),
            ("Case", case.delivery.title or ""),
        )
    )
    donts = tuple(
        ListItem(_first(held.text), lead="NOT NOW:") for held in lot.withheld[:MOST_DONTS]
    )
    if donts:
        yield Items(donts, "cross")


def _first(text: str) -> str:
    return _SENTENCE.split(" ".join(text.split()), maxsplit=1)[0]
