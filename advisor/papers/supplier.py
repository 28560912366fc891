"""The loss report for the supplier: what was ordered, what came, what died and when. Facts only."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from advisor.advice.losses import LotClaim, claims, dead_by, losses_of, wilson_interval
from advisor.case import Case, Lot
from advisor.papers.blocks import Block, Pairs, Paper, Para, Section, Table
from advisor.papers.photos import PhotoLine, photo_rows
from advisor.papers.sections import (
    chosen_lots,
    journey,
    kind_words,
    local,
    lots_table,
    readings_tables,
    received_words,
    when,
    when_heads,
)
from advisor.rulebase import RuleBase
from advisor.version import PROGRAM
from advisor.wording.numbers import exact, fixed
from advisor.wording.times import clock, span

INTERVAL = (
    "Intervals are 95 % score intervals (Wilson 1927) for the loss rate that such a count "
    "points to, each fish taken as independent; the counts themselves are exact."
)
METHODS = {
    "netted": "netted over",
    "poured": "poured in with the bag's water",
    "dripped": "tank water dripped in, then moved",
    "floated_open": "floated open, then released",
    "unknown": "",
}


def supplier_paper(
    case: Case, base: RuleBase, photos: Iterable[PhotoLine] = (), only: str | None = None
) -> Paper:
    """The loss report. ``photos``: files given beside those the case lists."""
    lots = chosen_lots(case, only)
    return Paper(
        purpose="supplier",
        title=f"Loss report: {case.delivery.title or 'untitled delivery'}",
        lead=tuple(_lead(case, lots)),
        sections=(
            Section("Ordered and received", (_ordered(lots, base), lots_table(lots, base))),
            Section("Journey and times", _times(case, lots)),
            Section("Losses", tuple(_losses(case, lots, base))),
            Section("Water at opening", _water(case, lots)),
            Section("How the bags were opened", tuple(_opening(case, lots))),
            Section("Photographs", tuple(photo_rows(case, photos))),
            Section("Terms and time of report", (_window(case),)),
            Section("Amount claimed", tuple(_amount(case, lots, base))),
            Section("Signature", (Pairs((("Name", ""), ("Date", ""), ("Signed", ""))),)),
        ),
        foot=(
            INTERVAL,
            f"Times count from receipt. Written from the delivery's record by {PROGRAM}.",
        ),
        invented=case.delivery.invented,
    )


def _lead(case: Case, lots: tuple[Lot, ...]) -> Iterator[Block]:
    told = case.delivery
    yield Pairs(
        (
            ("To", told.supplier or ""),
            ("From", told.receiver or ""),
            ("Place", told.place or ""),
            ("Invoice or order", told.invoice or ""),
            ("Received", received_words(case)),
        )
    )
    parts = []
    for lot in lots:
        dead = dead_by(losses_of(case, lot), None)
        if dead is not None and lot.count:
            parts.append(f"Lot {lot.id}: {dead} of {lot.count} dead at the last count")
    if parts:
        yield Para(f"{'; '.join(parts)}. Amount claimed: {_claimed(case, lots)}.")


def _ordered(lots: tuple[Lot, ...], base: RuleBase) -> Table:
    rows = []
    for lot in lots:
        both = lot.ordered is not None and lot.count is not None
        short = (lot.ordered or 0) - (lot.count or 0) if both else 0
        words = f"{short} fewer" if short > 0 else f"{-short} more" if short < 0 else "as ordered"
        rows.append(
            (
                lot.id,
                kind_words(lot, base),
                _number(lot.ordered),
                _number(lot.count),
                words if both else "",
                _number(lot.dead_on_arrival),
            )
        )
    columns = ("lot", "fish", "ordered", "received", "difference", "of these dead on arrival")
    return Table("Numbers", columns, tuple(rows), frozenset({2, 3, 5}))


def _number(count: int | None) -> str:
    return "" if count is None else str(count)


def _times(case: Case, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    rows = tuple(
        (
            lot.id,
            _hours_sealed(case, lot),
            local(case, lot.opened_at_hours),
            local(case, lot.released_at_hours),
        )
        for lot in lots
    )
    columns = ("lot", "hours sealed", "bags opened", "fish in the tank")
    blocks: list[Block] = [Table("Times", columns, rows, frozenset({1}))]
    told = journey(case)
    return tuple(blocks + ([told] if told.rows else []))


def _hours_sealed(case: Case, lot: Lot) -> str:
    hours = lot.hours_sealed if lot.hours_sealed is not None else case.transit.hours_sealed
    return "" if hours is None else f"{exact(hours)} h"


def _losses(case: Case, lots: tuple[Lot, ...], base: RuleBase) -> Iterator[Block]:
    from advisor.papers.draw import alive_picture

    rows: list[tuple[str, ...]] = []
    for lot in lots:
        losses = losses_of(case, lot)
        if losses:
            rows.append((f"Lot {lot.id}: {_number(lot.count)} {kind_words(lot, base)}",))
        for place, loss in enumerate(losses):
            before = losses[place - 1].dead if place else -1
            if loss.dead != before or place == len(losses) - 1:
                share = _share(loss.dead, lot.count)
                at = when(case, loss.at_hours)
                rows.append((*at, loss.basis, str(loss.dead), *share))
    if not rows:
        yield Para("No count of dead fish is written down.", "quiet")
        return
    heads = when_heads(case)
    columns = (*heads, "basis", "dead so far", "share", "95 % interval")
    first = len(heads)
    numbers = frozenset(range(first + 1, first + 4))
    yield Table("", columns, tuple(rows), numbers, tight=frozenset(range(first)))
    yield from alive_picture(case, lots)


def _share(dead: int, count: int | None) -> tuple[str, str]:
    if not count:
        return "", ""
    low, high = wilson_interval(dead, count)
    return f"{fixed(100 * dead / count, 1)} %", f"{fixed(100 * low, 1)} to {fixed(100 * high, 1)} %"


def _water(case: Case, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    tables = tuple(readings_tables(case, lots, ("bag",)))
    return tables or (Para("The bag water was not read.", "quiet"),)


def _opening(case: Case, lots: tuple[Lot, ...]) -> Iterator[Block]:
    methods = [
        (f"Lot {lot.id}", METHODS[lot.release_method])
        for lot in lots
        if lot.release_method and METHODS[lot.release_method]
    ]
    for lot in lots:
        opened, moved = lot.opened_at_hours, lot.released_at_hours
        if opened is not None and moved is not None and moved >= opened:
            methods.append((f"Lot {lot.id}, opening to tank", span(moved - opened)))
    if methods:
        yield Pairs(tuple(methods))
    wanted = {"all", *(lot.id for lot in lots)}
    rows = tuple(
        (
            clock(case.delivery.received, step.at_hours),
            "" if step.lot == "all" else step.lot,
            step.what,
            "" if step.minutes is None else f"{exact(step.minutes)} min",
        )
        for step in sorted(case.step, key=lambda each: each.at_hours)
        if step.lot in wanted
    )
    if rows:
        yield Table("Steps", ("began", "lot", "what", "took"), rows, frozenset({3}))
    elif not methods:
        yield Para("How the bags were opened is not written down.", "quiet")


def _window(case: Case) -> Pairs:
    claim = case.claim
    rows = [
        ("Terms as the buyer states them", claim.terms or ""),
        ("Report due within", _within(claim.report_within_hours)),
        (
            "Reported",
            ""
            if claim.reported_at_hours is None
            else clock(case.delivery.received, claim.reported_at_hours),
        ),
    ]
    if claim.report_within_hours is not None and claim.reported_at_hours is not None:
        late = claim.reported_at_hours - claim.report_within_hours
        falls = f"after the window, by {span(late)}" if late > 0 else "within the window"
        rows.append(("The report falls", falls))
    counted = claim.losses_within_hours
    if counted is not None:
        what = "dead on arrival only" if counted == 0 else f"up to {span(counted)} after receipt"
        rows.append(("Losses that count", what))
    return Pairs(tuple(rows))


def _within(hours: float | None) -> str:
    return "" if hours is None else f"{span(hours)} of receipt"


def _claimed(case: Case, lots: tuple[Lot, ...]) -> str:
    amounts = [c.amount for c in claims(case) if c.lot in lots and c.amount is not None]
    if not amounts:
        return "no price is written down"
    return f"{money(sum(amounts, Decimal(0)))} {case.claim.currency or ''}".strip()


def _amount(case: Case, lots: tuple[Lot, ...], base: RuleBase) -> Iterator[Block]:
    chosen = [claim for claim in claims(case) if claim.lot in lots]
    currency = case.claim.currency or ""
    unit = f" [{currency}]" if currency else ""
    total = sum((c.amount for c in chosen if c.amount is not None), Decimal(0))
    rows = [
        (
            claim.lot.id,
            kind_words(claim.lot, base),
            _number(claim.dead),
            "" if claim.lot.price_each is None else money(Decimal(str(claim.lot.price_each))),
            "" if claim.amount is None else money(claim.amount),
        )
        for claim in chosen
    ]
    counted = [c.dead for c in chosen if c.dead is not None]
    rows.append(("", "Total", str(sum(counted)) if counted else "", "", money(total)))
    columns = ("lot", "fish", "dead that count", f"price each{unit}", f"amount{unit}")
    caption = f"Dead up to {_until(case)}, at the price of one fish"
    yield Table(caption, columns, tuple(rows), frozenset({2, 3, 4}), last_is_total=True)
    left_out = _left_out(chosen)
    if left_out:
        yield Para(left_out, "quiet")


def _until(case: Case) -> str:
    until = case.claim.losses_within_hours
    if until is None:
        return "the last count"
    return "arrival" if until == 0 else f"{span(until)} after receipt"


def _left_out(chosen: list[LotClaim]) -> str:
    parts = [
        f"lot {c.lot.id} ({'no price' if c.dead is not None else 'no count of dead'})"
        for c in chosen
        if c.amount is None
    ]
    return f"Not in the total: {', '.join(parts)}." if parts else ""


def money(amount: Decimal) -> str:
    """Two decimals, more only where the price has them."""
    places = max(2, -int(amount.normalize().as_tuple().exponent))
    return fixed(float(amount), min(places, 4))
