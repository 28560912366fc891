"""The log on the tank: one page with what to do, when to look again, and lines to write on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from advisor.advice.results import ActionResult, AmountResult, Assessment, LotResult
from advisor.ask.hands import amount_words, first_sentence, held_from
from advisor.ask.rechecks import AFTER_FIRST_H, looks_due
from advisor.case import Case
from advisor.papers.blocks import BlankTable, Block, Items, ListItem, Pairs, Paper, Para, Section
from advisor.papers.sections import chosen_lots, kind_words, received_words
from advisor.rulebase import RuleBase
from advisor.wording.numbers import exact
from advisor.wording.times import after_receipt, day, day_and_time, moment

#: Steps and holds on the page; how many more there are is said.
MOST_NOW, MOST_LATER, MOST_DONTS = 5, 2, 3
#: Height of the page below its head, of a large and a plain line, of a row to write on [mm];
#: letters in a line of either print. Rows fill what is left.
PAGE_MM, LARGE_MM, PLAIN_MM, ROW_MM = 181, 7.4, 5.0, 9.0
LARGE_LETTERS, PLAIN_LETTERS = 52, 84
FEWEST_ROWS = 4
#: Steps of today, and those that come after.
TODAY, LATER = ("now", "within_hour", "today"), ("until_48h", "quarantine")
COLUMNS = (
    "when", "normal", "down", "dead", "°C", "pH", "NH3/4", "NO2", "O2", "seen and done", "by",
)  # fmt: skip


def log_paper(case: Case, result: Assessment, base: RuleBase, only: str | None = None) -> Paper:
    """The log. ``only``: id of the one lot in the tank; None for all."""
    lots = [each for each in result.lots if only in (None, each.lot)]
    now = case.last_hour
    both = _done_and_held(lots)
    sections = [
        Section("Do today, in this order", tuple(_steps(lots, TODAY, MOST_NOW, both)), large=True),
        Section("Not to be done", tuple(_donts(lots, both)), large=True),
        Section("Later", tuple(_steps(lots, LATER, MOST_LATER, both))),
    ]
    if _height(sections) > PAGE_MM - FEWEST_ROWS * ROW_MM:
        sections[-1] = Section("Later", (Para("See the full advice."),))
    urgent = any(lot.urgent for lot in lots)
    looks = tuple(_looks(case, urgent, _height(sections)))
    sections.append(Section("Look again", looks))
    return Paper(
        purpose="log",
        title=f"Tank log: {case.receiving.name or case.delivery.title or 'untitled delivery'}",
        lead=_head(case, lots, base, only),
        sections=tuple(section for section in sections if section.blocks),
        foot=(
            "What to do is judged by rules from what was written down; a veterinarian and local "
            f"law come first. Made for {after_receipt(now)}; "
            f"rules {result.rulebase}.",
        ),
        invented=case.delivery.invented,
    )


def _head(
    case: Case, results: list[LotResult], base: RuleBase, only: str | None
) -> tuple[Block, ...]:
    lots = chosen_lots(case, only)
    fish = "; ".join(
        f"{'' if lot.count is None else f'{lot.count} '}{kind_words(lot, base).split(' (')[0]}"
        for lot in lots
    )
    volume = case.receiving.volume_l
    told = Pairs(
        (
            ("Received", received_words(case)),
            ("From", case.delivery.supplier or ""),
            ("Water", "" if volume is None else f"{exact(volume)} L"),
            ("Quarantine ends", quarantine_end(case, results)),
            ("Veterinarian, phone", ""),
        )
    )
    return Para(fish), told


def quarantine_end(case: Case, results: list[LotResult]) -> str:
    """Last day of quarantine by the plan, from the last death or sign; empty when none is advised.

    The span comes from the rules: the longest of the plans' quarantine steps that
    give one in days.
    """
    spans = [
        (amount.low if amount.low is not None else amount.value, amount.value)
        for each in results
        for action in each.actions
        for amount in action.amounts
        if action.when == "quarantine" and amount.unit == "days" and amount.value is not None
    ]
    if not spans:
        return ""
    least, most = max(spans, key=lambda span: span[1])
    last = last_trouble(case)
    first_day, last_day = (
        moment(case.delivery.received, last + 24 * (least or 0)),
        moment(case.delivery.received, last + 24 * most),
    )
    if first_day is None or last_day is None:
        return (
            f"{exact(least)} to {exact(most)} days after the last death or sign "
            f"({after_receipt(last)})"
        )
    return _days(first_day, last_day) + "; later if another sign or death comes"


def _days(first: datetime, last: datetime) -> str:
    return day(last) if first.date() == last.date() else f"{day(first)} to {day(last)}"


def last_trouble(case: Case) -> float:
    """Hours after receipt of the last sign or death written down; 0 when there is none."""
    times = [0.0]
    dead = 0
    for look in sorted(case.observation, key=lambda each: each.at_hours):
        if look.seen or look.counts.down or (look.counts.dead or 0) > dead:
            times.append(look.at_hours)
        dead = max(dead, look.counts.dead or 0)
    counted: dict[str, int] = {}
    for death in sorted(case.outcome.deaths, key=lambda each: each.at_hours):
        if death.dead > counted.get(death.lot, dead):
            times.append(death.at_hours)
        counted[death.lot] = max(death.dead, counted.get(death.lot, 0))
    return max(times)


def _done_and_held(lots: list[LotResult]) -> set[str]:
    """Actions that one lot is to have and another is not: never shown without the lot's name."""
    held = {each.action for each, _ in held_from(lots)}
    return held & {action.id for lot in lots for action in lot.actions}


def _steps(
    lots: list[LotResult], times: tuple[str, ...], most: int, both: set[str]
) -> Iterator[Block]:
    """Steps of all lots, each once, emergencies first, with a box to tick."""
    chosen: dict[str, tuple[ActionResult, list[str]]] = {}
    for lot in lots:
        for action in lot.actions:
            if action.when in times:
                chosen.setdefault(action.id, (action, []))[1].append(lot.lot)
    ordered = sorted(
        chosen.values(), key=lambda pair: (not pair[0].emergency, times.index(pair[0].when))
    )
    entries = tuple(
        ListItem(
            first_sentence(action.text),
            _whose(ids, lots, by_name=action.id in both),
            tuple(filter(None, map(_amount, action.amounts))),
            strong=action.emergency,
        )
        for action, ids in ordered[:most]
    )
    if entries:
        yield Items(entries, "tick")
    left = len(ordered) - len(entries)
    if left > 0:
        yield Para(f"{left} more in the full advice.", "quiet")


def _whose(ids: list[str], lots: list[LotResult], *, by_name: bool) -> str:
    return f"{', '.join(ids)}:" if by_name or len(ids) != len(lots) else ""


def _amount(amount: AmountResult) -> str:
    words = "" if amount.unit == "days" else amount_words(amount)
    return f"{amount.label}: {words}" if words else ""


def _donts(lots: list[LotResult], both: set[str]) -> Iterator[Block]:
    """What is held back, and why; of which lot, where it is not all of them."""
    held = held_from(lots)
    entries = tuple(
        ListItem(
            first_sentence(each.text),
            f"NOT NOW: {_whose(ids, lots, by_name=each.action in both)}".strip(),
            (first_sentence(each.because),),
        )
        for each, ids in held[:MOST_DONTS]
    )
    if entries:
        yield Items(entries, "cross")
    if len(held) > len(entries):
        yield Para(f"{len(held) - len(entries)} more in the full advice.", "quiet")


def _height(sections: list[Section]) -> float:
    """About how much of the page these sections take [mm]."""
    height = 0.0
    for section in sections:
        line, letters = (LARGE_MM, LARGE_LETTERS) if section.large else (PLAIN_MM, PLAIN_LETTERS)
        height += 1.6 * LARGE_MM if section.blocks else 0
        for block in section.blocks:
            if isinstance(block, Para):
                height += PLAIN_MM
            for entry in block.entries if isinstance(block, Items) else ():
                height += line * (1.15 + len(f"{entry.lead} {entry.text}") // letters)
                height += sum(PLAIN_MM * (1 + len(text) // PLAIN_LETTERS) for text in entry.under)
    return height


def _looks(case: Case, urgent: bool, above: float) -> Iterator[Block]:
    """The next look, large; lines to write on, the next times filled in, as many as have room."""
    due = list(looks_due(case, urgent=urgent))
    received = case.delivery.received
    rows = [(_when(received, each.at_hours),) for each in due[: len(AFTER_FIRST_H)]]
    room = int((PAGE_MM - above) / ROW_MM)
    rows = rows[: max(FEWEST_ROWS, room)]
    rows += [("",)] * (max(FEWEST_ROWS, room) - len(rows))
    yield BlankTable(
        "Count and read at each look; ammonia and nitrite as the kit says", COLUMNS, tuple(rows)
    )


def _when(received: str | None, hours: float) -> str:
    at = moment(received, hours)
    return after_receipt(hours) if at is None else day_and_time(at)
