"""The note for the veterinarian: what was seen and measured, then what is judged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from advisor.advice.balance import shown
from advisor.advice.results import (
    Assessment,
    CauseResult,
    Evidence,
    FactResult,
    LotResult,
    VetResult,
)
from advisor.case import Case, Lot
from advisor.papers.blocks import Block, Entry, Items, Pairs, Paper, Para, Picture, Section, Table
from advisor.papers.cited import Cited
from advisor.papers.draw import bag_pictures, watch_pictures
from advisor.papers.history import effects_of, events_of
from advisor.papers.pictures.balance import balance_picture
from advisor.papers.sections import (
    chosen_lots,
    journey,
    lots_table,
    readings_tables,
    received_words,
    receiving,
    signs_table,
    timeline,
    when,
    when_heads,
)
from advisor.rulebase import RuleBase
from advisor.wording.names import STANDING
from advisor.wording.numbers import exact, short, signed
from advisor.wording.times import clock

URGENCY = {"now": "Urgent", "today": "Today", "when_convenient": "When convenient"}
WHO = {"vet": "", "authority": " (for the authority)", "lab": " (for the laboratory)"}


def vet_paper(case: Case, result: Assessment, base: RuleBase, only: str | None = None) -> Paper:
    """The note. ``only``: id of the one lot it is about; None for all."""
    lots = chosen_lots(case, only)
    results = [each for each in result.lots if only in (None, each.lot)]
    cited = Cited()
    sections = [
        Section("History in time order", _history(case, base, lots)),
        Section("Signs", _signs(case, base, lots)),
        Section(
            "Readings as measured (in brackets the band the kit leaves)",
            _readings(case, base, lots),
        ),
    ]
    for place, judged in enumerate(results):
        name = "" if len(results) == 1 else f", lot {judged.lot}"
        lot = next((each for each in lots if each.id == judged.lot), None)
        sections += _of_lot(case, lot, judged, base, cited, name, f"lot{place + 1}")
    sections += [
        Section("What was done, and what was found next", _done(case, base)),
        Section("Samples kept", _samples(case)),
        Section("Questions", _questions(results)),
        Section("Sources", (cited.listed(),)),
    ]
    return Paper(
        purpose="vet",
        title=f"Note for the veterinarian: {case.delivery.title or 'untitled delivery'}",
        lead=tuple(_lead(case, results, base, lots)),
        sections=tuple(sections),
        foot=(
            result.weights.strip(),
            "This note ranks possibilities from what the keeper wrote down. It is no diagnosis, "
            "and local law comes first.",
            f"Rules {result.rulebase.version} ({result.rulebase.fingerprint}), {result.program}.",
        ),
        invented=case.delivery.invented,
    )


def _lead(
    case: Case, results: list[LotResult], base: RuleBase, lots: tuple[Lot, ...]
) -> Iterator[Block]:
    urgent = [note.text for judged in results for note in judged.vet if note.urgency == "now"]
    if urgent:
        yield Para(f"Urgent. {urgent[0]}", "urgent")
    for judged in results:
        yield Para(_in_short(judged), "judgement")
    told = case.delivery
    yield Pairs(
        (
            ("Keeper", told.receiver or ""),
            ("Where", told.place or ""),
            ("Received", received_words(case)),
            ("From", told.supplier or ""),
            *((("Notes", told.notes),) if told.notes else ()),
        )
    )
    if lots:
        yield lots_table(lots, base)
    now = [(f"Last look, {name}", words) for name, words in last_looks(case, lots, base)]
    if now:
        yield Pairs(tuple(now))


def last_looks(case: Case, lots: tuple[Lot, ...], base: RuleBase) -> Iterator[tuple[str, str]]:
    """What the latest look at each lot found, in words."""
    for lot in lots:
        mine = [e for e in events_of(case, base) if e.kind == "look" and e.lot in ("all", lot.id)]
        if mine:
            yield (
                f"lot {lot.id}",
                f"{clock(case.delivery.received, mine[-1].at_hours)}: {mine[-1].text}",
            )


def _in_short(judged: LotResult) -> str:
    lead = f"Lot {judged.lot}, {judged.label}: "
    if judged.not_enough:
        return f"{lead}not enough to tell. {judged.not_enough_because or ''}".strip()
    named = [f"{c.name} ({STANDING[c.standing]})" for c in judged.causes if _stands(c)][:3]
    return lead + ("; ".join(named) if named else "no cause stands out.")


def _stands(cause: CauseResult) -> bool:
    return cause.standing != "unlikely"


def _history(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    told = [block for block in (journey(case), receiving(case)) if block.rows]
    answers = {**case.history, **(lots[0].history if len(lots) == 1 else {})}
    words = tuple((_item(name, base), _answer(value)) for name, value in answers.items())
    extra = (Pairs(words),) if words else ()
    return (timeline(case, base, lots), *told, *extra)


def _item(name: str, base: RuleBase) -> str:
    entry = base.history.get(name)
    return name.replace("_", " ") if entry is None else entry.name


def _answer(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return exact(value) if isinstance(value, float) else str(value).replace("_", " ")


def _signs(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    table = signs_table(case, base, lots)
    return (table,) if table else (Para("No look at the fish is written down.", "quiet"),)


def _readings(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    tables = tuple(readings_tables(case, lots, ("bag", "tank", "tap")))
    if not tables:
        return (Para("No reading is written down.", "quiet"),)
    pictures = watch_pictures(case, lots[0] if len(lots) == 1 else None, base, "all")
    # the tables above say the same in numbers
    return (*tables, *(replace(p, table=None) if isinstance(p, Picture) else p for p in pictures))


def _of_lot(
    case: Case,
    lot: Lot | None,
    judged: LotResult,
    base: RuleBase,
    cited: Cited,
    name: str,
    key: str,
) -> Iterator[Section]:
    yield Section(f"Computed from the readings{name}", tuple(_computed(judged, cited)))
    if lot is not None:
        yield Section(f"The bag, as computed{name}", tuple(bag_pictures(case, lot, base, key)))
    ranked: list[Block] = [Para(_in_short(judged))]
    if judged.causes:
        balance = balance_picture(judged.causes, f"{key}-balance")
        ranked.append(replace(balance, caption="The numbers stand beside each cause below."))
    ranked += _causes(judged, base, cited)
    missing = tuple(Entry(m.label, under=(m.how,) if m.how else ()) for m in judged.measure_next)
    if missing:
        ranked += [Para("Not measured, and worth most next:"), Items(missing)]
    yield Section(f"Ranked causes{name}", tuple(ranked), judgement=True)


def _computed(judged: LotResult, cited: Cited) -> Iterator[Block]:
    """Values the evidence and the plan rest on, with their working."""
    used = names_used(judged)
    rows = tuple(
        (
            fact.label,
            f"{_value(fact)}{_band(fact)}",
            f"{_worked(fact)} {cited.mark([_source(fact)])}",
        )
        for fact in judged.computed
        if fact.formula and fact.name in used and isinstance(fact.value, (int, float))
    )
    if not rows:
        yield Para("Nothing the ranking rests on could be computed from the readings.", "quiet")
        return
    yield Table("", ("what", "value (band)", "formula with its numbers, source"), rows)


def names_used(judged: LotResult) -> set[str]:
    """Names of the facts that counted evidence, actions and findings rest on."""
    pieces = [e for c in judged.causes for e in (*c.evidence_for, *c.evidence_against) if e.counts]
    used = {fact.name for piece in pieces for fact in piece.facts}
    used |= {fact.name for action in judged.actions for fact in action.facts}
    return used | {fact.name for finding in judged.findings for fact in finding.facts}


def _source(fact: FactResult) -> str:
    """Where the formula was published; one that leans on another names that one's source."""
    from advisor.water.formulas import FORMULAS

    source = fact.source or ""
    leaned_on = FORMULAS.get(source.removeprefix("as "))
    return leaned_on.source if leaned_on else source


def _value(fact: FactResult) -> str:
    return f"{short(float(fact.value), 3)} {'' if fact.unit == 'pH' else fact.unit}".strip()


def _band(fact: FactResult) -> str:
    if fact.low is None or fact.high is None or fact.low == fact.high:
        return ""
    return f" ({short(fact.low, 3)} to {short(fact.high, 3)})"


def _worked(fact: FactResult) -> str:
    said = fact.working or fact.formula or ""
    return f"{said}; {fact.note}" if fact.note else said


def _causes(judged: LotResult, base: RuleBase, cited: Cited) -> Iterator[Block]:
    for cause in shown(judged.causes):
        pieces = [
            Entry(_evidence(piece, base, cited), lead=f"{lead} {piece.strength}:")
            for lead, side in (("+", cause.evidence_for), ("−", cause.evidence_against))
            for piece in side
            if piece.counts
        ]
        start = f"starting odds {signed(cause.prior)}, stands at {signed(cause.decibans)} decibans"
        reportable = " Notifiable in places: ask the authority." if cause.reportable else ""
        yield Para(
            f"{cause.name}: {STANDING[cause.standing]} ({start}). {cause.summary} "
            f"What would prove it: {cause.prove}{reportable}"
        )
        if pieces:
            yield Items(tuple(pieces))


def _evidence(piece: Evidence, base: RuleBase, cited: Cited) -> str:
    doubt = f" But: {piece.known_problems}" if piece.known_problems else ""
    sources = cited.citations(piece.sources, base)
    return f"{piece.because.strip()}{doubt} {sources} (rule {piece.rule})"


def _done(case: Case, base: RuleBase) -> tuple[Block, ...]:
    together: dict[tuple[float, str, str], list[str]] = {}
    for effect in effects_of(case, base):
        together.setdefault((effect.at_hours, effect.lot, effect.after), []).append(effect.done)
    rows = tuple(
        (*when(case, hours), "" if lot == "all" else lot, "; ".join(done), after)
        for (hours, lot, after), done in together.items()
    )
    if not rows:
        return (Para("Nothing done is written down.", "quiet"),)
    note = Para("What followed need not be the effect of what was done.", "quiet")
    heads = when_heads(case)
    table = Table(
        "", (*heads, "lot", "done", "next look"), rows, tight=frozenset(range(len(heads)))
    )
    return (table, note)


def _samples(case: Case) -> tuple[Block, ...]:
    rows = tuple(
        (
            sample.what,
            "" if sample.lot == "all" else sample.lot,
            "" if sample.at_hours is None else clock(case.delivery.received, sample.at_hours),
            sample.kept or "",
            sample.note or "",
        )
        for sample in case.sample
    )
    if not rows:
        return (Para("None written down.", "quiet"),)
    return (Table("", ("what", "lot", "taken", "kept how", "note"), rows),)


def _questions(results: list[LotResult]) -> tuple[Block, ...]:
    notes: dict[str, VetResult] = {note.id: note for each in results for note in each.vet}
    if not notes:
        return (Para("The rules hold no question for a veterinarian here.", "quiet"),)
    entries = tuple(
        Entry(
            note.text,
            lead=f"{URGENCY[note.urgency]}{WHO[note.who]}:",
            under=(
                *(f"Question: {line}" for line in note.ask),
                *(f"Made ready: {line}" for line in note.prepare),
            ),
        )
        for note in sorted(notes.values(), key=lambda note: list(URGENCY).index(note.urgency))
    )
    return (Items(entries),)
