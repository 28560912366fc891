"""The log on the tank: one page with what to do, when to look again, and lines to write on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from advisor.advice.results import ActionResult, AmountResult, Assessment, LotResult
from advisor.case import Case
from advisor.papers.blocks import BlankTable, Block, Items, ListItem, Pairs, Paper, Para, Section
from advisor.papers.sections import chosen_lots, kind_words, received_words
from advisor.rulebase import RuleBase
from advisor.wording.numbers import exact, short
from advisor.wording.times import after_receipt, clock, day, moment

#: Looks after receipt [h]: a quarter of an hour, one, six, a day, two days.
LOOKS = (0.25, 1.0, 6.0, 24.0, 48.0)
#: Steps on the page; what is left out is named by its number.
MOST_STEPS = 9
MOST_DONTS = 5
#: Printed lines on the page below its head, letters in one, and lines a row to write on takes.
PAGE_LINES, LINE_LETTERS, ROW_LINES = 52, 100, 1.75
FEWEST_ROWS = 5
TODAY = ("now", "within_hour", "today")
COLUMNS = (
    "when", "normal", "down", "dead", "°C", "pH", "NH3/4", "NO2", "O2", "seen and done", "by",
)  # fmt: skip


def log_paper(case: Case, result: Assessment, base: RuleBase, only: str | None = None) -> Paper:
    """The log. ``only``: id of the one lot in the tank; None for all."""
    lots = [each for each in result.lots if only in (None, each.lot)]
    now = max((look.at_hours for look in case.observation), default=0.0)
    sections = [
        Section("Do today, in this order", tuple(_steps(lots, TODAY))),
        Section("Until 48 hours and through quarantine", tuple(_steps(lots, LATER))),
        Section("Not to be done", tuple(_donts(lots))),
    ]
    sections.append(Section("Look again", tuple(_looks(case, now, _lines(sections)))))
    return Paper(
        purpose="log",
        title=f"Tank log: {case.receiving.name or case.delivery.title or 'untitled delivery'}",
        lead=(_head(case, lots, base, only),),
        sections=tuple(section for section in sections if section.blocks),
        foot=(
            "What to do is judged by rules from what was written down; a veterinarian and local "
            f"law come first. Made for {after_receipt(now)}; "
            f"rules {result.rulebase.version} ({result.rulebase.fingerprint}).",
        ),
        invented=case.delivery.invented,
    )


LATER = ("until_48h", "quarantine")


def _head(case: Case, results: list[LotResult], base: RuleBase, only: str | None) -> Pairs:
    lots = chosen_lots(case, only)
    fish = "; ".join(
        f"{'' if lot.count is None else f'{lot.count} '}{kind_words(lot, base)}" for lot in lots
    )
    volume = case.receiving.volume_l
    return Pairs(
        (
            ("Fish", fish),
            ("Received", received_words(case)),
            ("From", case.delivery.supplier or ""),
            ("Water", "" if volume is None else f"{exact(volume)} L"),
            ("Quarantine ends", quarantine_end(case, results)),
            ("Veterinarian, phone", ""),
        )
    )


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


def _steps(lots: list[LotResult], times: tuple[str, ...]) -> Iterator[Block]:
    """Steps of all lots, each once, with a box to tick; said for whom where not for all."""
    chosen: dict[str, tuple[ActionResult, list[str]]] = {}
    for lot in lots:
        for action in lot.actions:
            if action.when in times:
                chosen.setdefault(action.id, (action, []))[1].append(lot.lot)
    ordered = sorted(chosen.values(), key=lambda pair: times.index(pair[0].when))
    entries = tuple(_step(action, ids, len(lots)) for action, ids in ordered[:MOST_STEPS])
    if entries:
        yield Items(entries, "tick")
    left = len(ordered) - len(entries)
    if left > 0:
        yield Para(f"{left} more: see the full advice (advisor assess).", "quiet")


def _step(action: ActionResult, ids: list[str], lots: int) -> ListItem:
    lead = "" if len(ids) == lots else f"Lot {', '.join(ids)}:"
    amounts = tuple(filter(None, (_amount(amount) for amount in action.amounts)))
    return ListItem(action.text, lead, amounts, strong=action.emergency)


def _amount(amount: AmountResult) -> str:
    if amount.value is None or amount.unit == "days":
        return ""
    words = f"{amount.label}: {short(amount.value, 3)} {amount.unit}".rstrip()
    if amount.low is not None and amount.high is not None and amount.low != amount.high:
        words += f" ({short(amount.low, 3)} to {short(amount.high, 3)})"
    return words


def _donts(lots: list[LotResult]) -> Iterator[Block]:
    held = {each.action: each for lot in lots for each in lot.withheld}
    entries = tuple(
        ListItem(each.text, under=(each.because,)) for each in list(held.values())[:MOST_DONTS]
    )
    if entries:
        yield Items(entries, "cross")
    if len(held) > len(entries):
        yield Para(f"{len(held) - len(entries)} more: see the full advice.", "quiet")


def _lines(sections: list[Section]) -> int:
    """About how many printed lines these sections take."""
    lines = 0
    for section in sections:
        lines += 2 if section.blocks else 0
        for block in section.blocks:
            texts = [block.text] if isinstance(block, Para) else []
            for entry in block.entries if isinstance(block, Items) else ():
                texts += [f"{entry.lead} {entry.text}", *entry.under]
            lines += sum(1 + len(text) // LINE_LETTERS for text in texts)
    return lines


def _looks(case: Case, now: float, above: int) -> Iterator[Block]:
    """Lines to write on, the next times filled in; as many as the page has room for."""
    due = [hours for hours in LOOKS if hours > now + 1e-9]
    rows = [(clock(case.delivery.received, hours),) for hours in due]
    room = int((PAGE_LINES - above) / ROW_LINES)
    rows += [("",)] * (max(FEWEST_ROWS, room) - len(rows))
    yield BlankTable(
        "Count and read at each look; ammonia and nitrite as the kit says", COLUMNS, tuple(rows)
    )
