"""The loss report for the supplier: what was ordered, what came, what died and when. Facts only."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from advisor.advice.losses import LotClaim, claims, dead_by, losses_of
from advisor.case import Case, Lot
from advisor.papers.blocks import Block, Items, ListItem, Pairs, Paper, Para, Section, Table
from advisor.papers.photo_evidence import PhotoLine, photo_rows
from advisor.papers.sections import (
    chosen_lots,
    journey,
    kind_words,
    local,
    received_words,
    water_lines,
    when,
    when_heads,
)
from advisor.rulebase import RuleBase
from advisor.version import PROGRAM
from advisor.wording.numbers import exact, fixed
from advisor.wording.times import clock, span

ASKED = (
    ListItem("credit for the amount above"),
    ListItem("replacement of the dead, at no cost"),
    ListItem("the dead kept for you to see or collect"),
)
METHODS = {
    "netted": "netted over",
    "poured": "poured in with the bag's water",
    "dripped": "tank water dripped in, then moved",
    "floated_open": "floated open, then released",
    "unknown": "",
}


def supplier_paper(
    case: Case,
    base: RuleBase,
    photos: Iterable[PhotoLine] = (),
    only: str | None = None,
    *,
    full: bool = False,
) -> Paper:
    """The loss report. ``photos``: files given beside those the case lists.

    full : with the picture of fish alive over time
    """
    lots = chosen_lots(case, only)
    return Paper(
        purpose="supplier",
        title=f"Loss report: {case.delivery.title or 'untitled delivery'}",
        lead=tuple(_lead(case, lots, base)),
        sections=(
            Section("Ordered, received, dead, claimed", tuple(_claim(case, lots, base))),
            Section("Dead by day", tuple(_losses(case, lots, base, full))),
            Section("Journey and opening", tuple(_journey(case, lots))),
            Section("Water at opening", tuple(_water(case, lots))),
            Section("Photographs", tuple(photo_rows(case, photos))),
            Section("Terms, and what is asked", (_window(case), Items(ASKED, "tick"))),
            Section("Signature", (Pairs((("Name, date", ""), ("Signed", ""))),)),
        ),
        foot=(f"Times count from receipt. Written from the delivery's record by {PROGRAM}.",),
        invented=case.delivery.invented,
    )


def _lead(case: Case, lots: tuple[Lot, ...], base: RuleBase) -> Iterator[Block]:
    told = case.delivery
    parts = []
    for lot in lots:
        dead = dead_by(losses_of(case, lot), None)
        if dead is not None and lot.count:
            parts.append(f"Lot {lot.id}: {dead} of {lot.count} dead at the last count")
    if parts:
        yield Para(f"{'; '.join(parts)}. Amount claimed: {_claimed(case, lots)}.", "urgent")
    yield Pairs(
        (
            ("To", told.supplier or ""),
            ("From", told.receiver or ""),
            ("Invoice or order", told.invoice or ""),
            ("Place", told.place or ""),
            ("Received", received_words(case)),
            ("Fish", "; ".join(kind_words(lot, base) for lot in lots)),
            ("Waybill", ""),
            ("Box or boxes", ""),
            ("Health certificate", ""),
        )
    )


def _claim(case: Case, lots: tuple[Lot, ...], base: RuleBase) -> Iterator[Block]:
    """Numbers and amounts, lot by lot, with their total."""
    chosen = [claim for claim in claims(case) if claim.lot in lots]
    several = len(chosen) > 1
    unit = f" [{case.claim.currency}]" if case.claim.currency else ""
    rows = [
        (
            claim.lot.id,
            *((kind_words(claim.lot, base),) if several else ()),
            *map(_number, (claim.lot.ordered, claim.lot.count)),
            _difference(claim.lot),
            *map(_number, (claim.lot.dead_on_arrival, claim.dead)),
            "" if claim.lot.price_each is None else money(Decimal(str(claim.lot.price_each))),
            "" if claim.amount is None else money(claim.amount),
        )
        for claim in chosen
    ]
    counted = [c.dead for c in chosen if c.dead is not None]
    total = sum((c.amount for c in chosen if c.amount is not None), Decimal(0))
    counted_words = str(sum(counted)) if counted else ""
    if several:
        rows.append(("", "Total", "", "", "", "", counted_words, "", money(total)))
    columns = (
        "lot", *(("fish",) if several else ()), "ordered", "received", "difference",
        "of these dead on arrival", "dead that count", f"price each{unit}", f"amount{unit}",
    )  # fmt: skip
    yield Table(
        f"Dead that count: up to {_until(case)}, at the price of one fish",
        columns,
        tuple(rows),
        frozenset(at + several for at in (1, 2, 4, 5, 6, 7)),
        last_is_total=several,
    )
    left_out = _left_out(chosen)
    if left_out:
        yield Para(left_out, "quiet")


def _difference(lot: Lot) -> str:
    if lot.ordered is None or lot.count is None:
        return ""
    short = lot.ordered - lot.count
    return f"{short} fewer" if short > 0 else f"{-short} more" if short < 0 else "as ordered"


def _number(count: int | None) -> str:
    return "" if count is None else str(count)


def _hours_sealed(case: Case, lot: Lot) -> str:
    hours = lot.hours_sealed if lot.hours_sealed is not None else case.transit.hours_sealed
    return "" if hours is None else f"{exact(hours)} h"


def _losses(case: Case, lots: tuple[Lot, ...], base: RuleBase, full: bool) -> Iterator[Block]:
    from advisor.papers.which_pictures import alive_picture

    rows: list[tuple[str, ...]] = []
    for lot in lots:
        losses = losses_of(case, lot)
        if losses and len(lots) > 1:
            rows.append((f"Lot {lot.id}: {_number(lot.count)} {kind_words(lot, base)}",))
        for place, loss in enumerate(losses):
            before = losses[place - 1].dead if place else -1
            if loss.dead != before or place == len(losses) - 1:
                share = f"{fixed(100 * loss.dead / lot.count, 1)} %" if lot.count else ""
                rows.append((*when(case, loss.at_hours), loss.basis, str(loss.dead), share))
    if not rows:
        yield Para("No count of dead fish is written down.", "quiet")
        return
    heads = when_heads(case)
    columns = (*heads, "basis", "dead so far", "share")
    first = len(heads)
    numbers = frozenset(range(first + 1, first + 3))
    yield Table("", columns, tuple(rows), numbers, tight=frozenset(range(first)))
    if full:
        yield from alive_picture(case, lots)


def _water(case: Case, lots: tuple[Lot, ...]) -> Iterator[Block]:
    lines = tuple(water_lines(case, lots, ("bag",)))
    yield Items(lines) if lines else Para("The bag water was not read.", "quiet")


def _journey(case: Case, lots: tuple[Lot, ...]) -> Iterator[Block]:
    """The way as told, then what was done with the bags."""
    rows = list(journey(case, lots).rows)
    for lot in lots:
        name = "" if len(lots) == 1 else f", lot {lot.id}"
        rows.append((f"Hours sealed{name}", _hours_sealed(case, lot)))
        rows.append((f"Bags opened{name}", local(case, lot.opened_at_hours)))
        rows.append((f"Fish in the tank{name}", _moved(case, lot)))
    kept = dict.fromkeys((name, value) for name, value in rows if value)
    yield Pairs(tuple(kept))
    wanted = {"all", *(lot.id for lot in lots)}
    steps = tuple(
        ListItem(
            f"{step.what}{'' if step.minutes is None else f' (took {exact(step.minutes)} min)'}",
            lead=f"{clock(case.delivery.received, step.at_hours)}"
            f"{'' if step.lot == 'all' else f', lot {step.lot}'}:",
        )
        for step in sorted(case.step, key=lambda each: each.at_hours)
        if step.lot in wanted
    )
    if steps:
        yield Items(steps)


def _moved(case: Case, lot: Lot) -> str:
    """When and how the fish were moved, and how long after opening."""
    opened, moved = lot.opened_at_hours, lot.released_at_hours
    parts = [local(case, moved)]
    if lot.release_method and METHODS[lot.release_method]:
        parts.append(METHODS[lot.release_method])
    if opened is not None and moved is not None and moved >= opened:
        parts.append(f"{span(moved - opened)} after opening")
    return ", ".join(parts)


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
