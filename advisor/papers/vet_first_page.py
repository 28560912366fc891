"""Page one of the note for the veterinarian: what is asked, urgent, seen, read, given and done."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.losses import dead_by, losses_of
from advisor.advice.results import CauseResult, LotResult, VetResult
from advisor.case import Case, Lot, Observation
from advisor.case.readings import WATERS
from advisor.papers.blocks import Block, Items, ListItem, Pairs, Para, Section, Table
from advisor.papers.history import events_of, sign_name
from advisor.papers.sections import kind_words, received_words, span_words, water_lines
from advisor.rulebase import RuleBase
from advisor.wording.names import STANDING
from advisor.wording.times import clock

URGENCY = {"now": "Urgent", "today": "Today", "when_convenient": "When convenient"}


#: Most lines of one kind on the first page; the annex has them all.
MOST_LINES = 6
MOST_READY = 9
#: From so many lots on the first page names at most so many signs seen, and not seen, a lot.
FROM_LOTS = 3
SEVERAL = (7, 4)
SIGNS = "Signs (time after receipt; not seen: looked for and not seen)"
#: Deaths are shown day by day up to here.
MOST_DAYS = 6
BLANKS = ("Scrape and gill snip", "Found inside", "Diagnosis", "To do, and when to look again")


def _notes(results: list[LotResult]) -> list[VetResult]:
    """What the rules hold for a veterinarian, each once, the most urgent first."""
    notes = {note.id: note for each in results for note in each.vet}
    return sorted(notes.values(), key=lambda note: list(URGENCY).index(note.urgency))


def lead(case: Case, results: list[LotResult]) -> Iterator[Block]:
    """What is urgent, what is asked, what is thought, who it is from and who can be called."""
    notes = _notes(results)
    calls = sorted((n for n in notes if n.urgency == "now"), key=lambda note: not note.ask)
    urgent = [note.text for note in calls]
    if urgent:
        yield Para(f"Urgent. {' '.join(urgent[:2])}", "urgent")
    asks = list(dict.fromkeys(line for note in notes for line in note.ask))[:4]
    asks = asks or ["What do you advise, and what must we not do meanwhile?"]
    yield Items(tuple(ListItem(line, lead="Question:") for line in asks))
    for text in _thoughts(results):
        yield Para(text, "judgement")
    told = case.delivery
    yield Pairs(
        (
            ("Keeper", told.receiver or ""),
            ("Keeper's phone", ""),
            ("Received", received_words(case)),
            ("From", told.supplier or ""),
            ("Where", told.place or ""),
            ("Authority, laboratory", ""),
        )
    )


def first_page(
    case: Case, base: RuleBase, lots: tuple[Lot, ...], results: list[LotResult]
) -> Iterator[Section]:
    """Its sections; what runs over stands in the annex."""
    yield Section("Fish, and deaths by day", tuple(_deaths(case, base, lots)))
    few = SEVERAL if len(lots) >= FROM_LOTS else None
    yield Section(SIGNS, tuple(signs_told(case, base, lots, few)))
    yield Section("Water", tuple(_waters(case, lots)))
    given = tuple(_given(case, base, lots))
    yield Section("Given and done", given or (Para("Nothing is written down.", "quiet"),))
    ready = list(dict.fromkeys(line for note in _notes(results) for line in note.prepare))
    if ready:
        boxes = Items(tuple(ListItem(line) for line in ready[:MOST_READY]), "tick")
        yield Section("Please have ready", (boxes,))
    yield Section("Findings", (Pairs(tuple((name, "") for name in BLANKS)),))


def _deaths(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> Iterator[Block]:
    """The fish, and how many were dead so far at the end of each day, lot by lot."""
    found = {lot.id: losses_of(case, lot) for lot in lots}
    last = max((loss.at_hours for each in found.values() for loss in each), default=None)
    days = 0 if last is None else min(int(last // 24), MOST_DAYS) + 1
    rows = []
    for lot in lots:
        dead = [dead_by(found[lot.id], 24.0 * (day + 1)) for day in range(days)]
        dead += [dead_by(found[lot.id], None)] if days else []
        cells = ["" if count is None else str(count) for count in dead]
        arrived = ["" if lot.dead_on_arrival is None else str(lot.dead_on_arrival)] if days else []
        came = "" if lot.count is None else str(lot.count)
        rows.append((lot.id, kind_words(lot, base), came, *arrived, *cells))
    heads = ["lot", "fish", "came"]
    if days:
        heads += ["dead on arrival", *(f"dead by day {day}" for day in range(days)), "last count"]
    yield Table("", tuple(heads), tuple(rows), frozenset(range(2, len(heads))))
    if not days:
        yield Para("No count of dead fish is written down.", "quiet")


def signs_told(
    case: Case, base: RuleBase, lots: tuple[Lot, ...], most: tuple[int, int] | None = None
) -> Iterator[Block]:
    """One running line a lot: what was seen, then what was looked for and not seen.

    most : how many signs of either kind are named, the last seen before others; None for all
    """
    entries = []
    for lot in ("all", *(lot.id for lot in lots)):
        looks = sorted((o for o in case.observation if o.lot == lot), key=lambda o: o.at_hours)
        said = [
            (word, found)
            for at, (word, names) in enumerate((("seen", "seen"), ("not seen", "not_seen")))
            if (found := _by_hour(looks, names, base, None if most is None else most[at]))
        ]
        if len(lots) == 1:
            entries += [ListItem(found, lead=f"{word}:") for word, found in said]
        elif said:
            lead = "all lots:" if lot == "all" else f"lot {lot}:"
            entries.append(ListItem("; ".join(map(" ".join, said)), lead=lead))
    if not entries:
        yield Para("No look at the fish is written down.", "quiet")
        return
    yield Items(tuple(entries))


def _by_hour(looks: list[Observation], names: str, base: RuleBase, most: int | None) -> str:
    """``darting, gasping (1 h); brown gills (24 min, 1 h)``: signs of the same looks together."""
    hours: dict[str, list[str]] = {}
    for look in looks:
        for sign in getattr(look, names):
            hours.setdefault(sign, []).append(span_words(look.at_hours))
    if most is not None and len(hours) > most:
        last = {sign: at for at, look in enumerate(looks) for sign in getattr(look, names)}
        kept = set(sorted(hours, key=lambda sign: -last[sign])[:most])
        left = len(hours) - len(kept)
        hours = {sign: at for sign, at in hours.items() if sign in kept}
    else:
        left = 0
    together: dict[str, list[str]] = {}
    for sign, at in hours.items():
        together.setdefault(", ".join(at), []).append(sign_name(sign, base))
    said = [f"{', '.join(signs)} ({at})" for at, signs in together.items()]
    return "; ".join([*said, f"{left} more in the annex"] if left else said)


def _waters(case: Case, lots: tuple[Lot, ...]) -> Iterator[Block]:
    lines = tuple(water_lines(case, lots, WATERS, banded=False))[:MOST_LINES]
    yield Items(lines) if lines else Para("No reading is written down.", "quiet")


def _given(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> Iterator[Block]:
    named, theirs = len(lots) > 1, {"all", *(lot.id for lot in lots)}
    events = [e for e in events_of(case, base) if e.kind == "done" and e.lot in theirs]
    entries = [
        ListItem(
            event.text,
            lead=f"{clock(case.delivery.received, event.at_hours)}"
            f"{f', lot {event.lot}' if named and event.lot != 'all' else ''}:",
        )
        for event in events
    ]
    if entries:
        yield Items(tuple(entries[:MOST_LINES]))
    if len(entries) > MOST_LINES:
        yield Para(f"{len(entries) - MOST_LINES} more in the annex.", "quiet")


def _thoughts(results: list[LotResult]) -> list[str]:
    """What is thought of the lots, those of one mind in one sentence."""
    alike: dict[str, list[str]] = {}
    for judged in results:
        alike.setdefault(_thought(judged), []).append(judged.lot)
    return [
        f"Lot{'s' if len(ids) > 1 else ''} {', '.join(ids)}: {text}" for text, ids in alike.items()
    ]


def _thought(judged: LotResult) -> str:
    if judged.not_enough:
        return f"not enough to tell. {judged.not_enough_because or ''}".strip()
    named = [f"{c.name} ({STANDING[c.standing]})" for c in judged.causes if _stands(c)][:3]
    return "; ".join(named) if named else "no cause stands out."


def in_short(judged: LotResult) -> str:
    """What is thought of one lot."""
    return f"Lot {judged.lot}, {judged.label}: {_thought(judged)}"


def _stands(cause: CauseResult) -> bool:
    return cause.standing != "unlikely"
