"""The note for the veterinarian: one page that asks and tells, then an annex."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from advisor.advice.results import (
    Assessment,
    Evidence,
    FactResult,
    LotResult,
)
from advisor.advice.weighing import names_used, shown
from advisor.case import Case, Lot
from advisor.case.readings import WATERS
from advisor.papers.blocks import (
    Block,
    Items,
    ListItem,
    Pairs,
    Paper,
    Para,
    Picture,
    Section,
    Table,
    without,
)
from advisor.papers.cited import CitedWorks
from advisor.papers.history import NO_LOOK, effects_of
from advisor.papers.photo_evidence import PhotoLine, photo_rows
from advisor.papers.pictures.balance_bars import balance_picture
from advisor.papers.sections import (
    chosen_lots,
    journey,
    lots_table,
    readings_tables,
    receiving,
    timeline,
    when,
    when_heads,
)
from advisor.papers.vet_first_page import FROM_LOTS, SEVERAL, first_page, in_short, lead, signs_told
from advisor.papers.which_pictures import bag_pictures, watch_pictures
from advisor.rulebase import RuleBase
from advisor.wording.names import STANDING
from advisor.wording.numbers import exact, short, signed
from advisor.wording.times import clock

#: Causes that are told of each lot.
MOST_CAUSES = 4


def vet_paper(
    case: Case,
    result: Assessment,
    base: RuleBase,
    only: str | None = None,
    photos: Iterable[PhotoLine] = (),
    *,
    full: bool = False,
) -> Paper:
    """The note: one page that asks and tells, an annex behind it.

    only : id of the one lot it is about; None for all
    photos : files given beside those the case lists
    full : workings, balances and pictures too
    """
    lots = chosen_lots(case, only)
    results = [each for each in result.lots if only in (None, each.lot)]
    cited = CitedWorks()
    told = tuple(signs_told(case, base, lots))
    cut = len(lots) >= FROM_LOTS and told != tuple(signs_told(case, base, lots, SEVERAL))
    annex = [
        Section("All signs", told if cut else ()),
        Section("History in time order", _history(case, base, lots)),
        Section(
            "Readings as measured (in brackets the band the kit leaves)",
            _readings(case, base, lots, full),
        ),
        Section("What was done, and what was found next", _done(case, base, lots)),
        Section("Samples kept", _samples(case, lots)),
        Section("Photographs", _photographs(case, photos)),
    ]
    for place, judged in enumerate(results):
        name = "" if len(results) == 1 else f", lot {judged.lot}"
        lot = next((each for each in lots if each.id == judged.lot), None)
        annex += _of_lot(case, lot, judged, base, cited, name, f"lot{place + 1}", full)
    annex.append(Section("Sources", (cited.listed(full=full),)))
    return Paper(
        purpose="vet",
        title=f"Note for the veterinarian: {case.delivery.title or 'untitled delivery'}",
        lead=tuple(lead(case, results)),
        sections=(
            *first_page(case, base, lots, results),
            *(_in_annex(each, alone=len(lots) == 1) for each in annex if each.blocks),
        ),
        foot=(
            *((result.weights.strip(),) if full else ()),
            "This note ranks possibilities from what the keeper wrote down. It is no diagnosis, "
            "and local law comes first.",
            f"Rules {result.rulebase}, {result.program}.",
        ),
        invented=case.delivery.invented,
        annex_apart=len(results) > 1,
    )


def _in_annex(section: Section, *, alone: bool) -> Section:
    """The section in small print; alone: a lot by itself is not named in every row."""
    blocks = tuple(
        without(block, "lot") if alone and isinstance(block, Table) else block
        for block in section.blocks
    )
    return replace(section, blocks=blocks, annex=True)


def _history(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    told = [block for block in (journey(case, lots), receiving(case)) if block.rows]
    answers = {**case.history, **(lots[0].history if len(lots) == 1 else {})}
    kits = {quantity.kit for quantity in base.quantities.values()}
    words = tuple(
        (_item(name, base), _answer(value)) for name, value in answers.items() if name not in kits
    )
    extra = (Pairs(words),) if words else ()
    notes = case.delivery.notes
    noted = (Pairs((("Notes", notes),)),) if notes else ()
    packed = lots_table(lots, base)
    return (timeline(case, base, lots), packed, *told, *extra, *noted)


def _item(name: str, base: RuleBase) -> str:
    entry = base.history.get(name)
    return name.replace("_", " ") if entry is None else entry.name


def _answer(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return exact(value) if isinstance(value, float) else str(value).replace("_", " ")


def _readings(case: Case, base: RuleBase, lots: tuple[Lot, ...], full: bool) -> tuple[Block, ...]:
    tables = tuple(readings_tables(case, lots, WATERS))
    if not full or not tables:
        return tables
    pictures = watch_pictures(case, lots[0] if len(lots) == 1 else None, base, "all")
    # the tables above say the same in numbers
    return (*tables, *(replace(p, table=None) if isinstance(p, Picture) else p for p in pictures))


def _of_lot(
    case: Case,
    lot: Lot | None,
    judged: LotResult,
    base: RuleBase,
    cited: CitedWorks,
    name: str,
    key: str,
    full: bool,
) -> Iterator[Section]:
    missing = ", ".join(each.label for each in judged.measure_next)
    ask = (Para(f"Not measured, and worth most next: {missing}."),) if missing else ()
    if not full:
        yield Section(f"Ranked causes{name}", (*_ranked(judged, base, cited), *ask), True)
        return
    yield Section(f"Computed from the readings{name}", tuple(_computed(judged, cited)))
    if lot is not None:
        yield Section(f"The bag, as computed{name}", tuple(bag_pictures(case, lot, base, key)))
    ranked: list[Block] = [Para(in_short(judged))]
    if judged.causes:
        balance = balance_picture(judged.causes, f"{key}-balance")
        ranked.append(replace(balance, caption="The numbers stand beside each cause below."))
    yield Section(f"Ranked causes{name}", (*ranked, *_causes(judged, base, cited), *ask), True)


def _ranked(judged: LotResult, base: RuleBase, cited: CitedWorks) -> Iterator[Block]:
    """The causes that matter, each with what speaks for and against it."""
    if judged.not_enough:
        yield Para(in_short(judged))
    entries = []
    for cause in shown(judged.causes)[:MOST_CAUSES]:
        sides = []
        for word, side in (("For", cause.evidence_for), ("Against", cause.evidence_against)):
            pieces = [piece for piece in side if piece.counts]
            said = [
                f"{piece.because.strip()} {cited.citations(piece.sources, base)}".strip()
                for piece in pieces
            ]
            if said:
                sides.append(f"{word}: {' '.join(said)}")
        law = " Notifiable in places: ask the authority." if cause.reportable else ""
        sides.append(f"Would prove it: {cause.prove}{law}")
        entries.append(ListItem("", f"{cause.name}: {STANDING[cause.standing]}.", tuple(sides)))
    if entries:
        yield Items(tuple(entries))


def _computed(judged: LotResult, cited: CitedWorks) -> Iterator[Block]:
    """Values the evidence and the plan rest on, with their working."""
    used = names_used(judged)
    rows = tuple(
        (
            fact.label,
            f"{_value(fact)}{_band(fact)}",
            f"{_worked(fact)} {cited.mark([fact.source or ''])}",
        )
        for fact in judged.computed
        if fact.formula and fact.name in used and isinstance(fact.value, (int, float))
    )
    if not rows:
        yield Para("Nothing the ranking rests on could be computed from the readings.", "quiet")
        return
    yield Table("", ("what", "value (band)", "formula with its numbers, source"), rows)


def _value(fact: FactResult) -> str:
    return f"{short(float(fact.value), 3)} {'' if fact.unit == 'pH' else fact.unit}".strip()


def _band(fact: FactResult) -> str:
    if fact.low is None or fact.high is None or fact.low == fact.high:
        return ""
    return f" ({short(fact.low, 3)} to {short(fact.high, 3)})"


def _worked(fact: FactResult) -> str:
    said = fact.working or fact.formula or ""
    return f"{said}; {fact.note}" if fact.note else said


def _causes(judged: LotResult, base: RuleBase, cited: CitedWorks) -> Iterator[Block]:
    for cause in shown(judged.causes):
        pieces = [
            ListItem(_evidence(piece, base, cited), lead=f"{lead} {piece.strength}:")
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


def _evidence(piece: Evidence, base: RuleBase, cited: CitedWorks) -> str:
    doubt = f" But: {piece.known_problems}" if piece.known_problems else ""
    sources = cited.citations(piece.sources, base)
    return f"{piece.because.strip()}{doubt} {sources} (rule {piece.rule})"


def _done(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    """Each thing done that a later look followed; page one has all that was done."""
    theirs = {"all", *(lot.id for lot in lots)}
    together: dict[tuple[float, str, str], list[str]] = {}
    for effect in effects_of(case, base):
        together.setdefault((effect.at_hours, effect.lot, effect.after), []).append(effect.done)
    rows = tuple(
        (*when(case, hours), "" if lot == "all" else lot, "; ".join(done), after)
        for (hours, lot, after), done in together.items()
        if after != NO_LOOK and lot in theirs
    )
    if not rows:
        return ()
    note = Para("What followed need not be the effect of what was done.", "quiet")
    heads = when_heads(case)
    table = Table(
        "", (*heads, "lot", "done", "next look"), rows, tight=frozenset(range(len(heads)))
    )
    return (table, note)


def _photographs(case: Case, given: Iterable[PhotoLine]) -> tuple[Block, ...]:
    given = tuple(given)
    return tuple(photo_rows(case, given)) if given or case.photo else ()


def _samples(case: Case, lots: tuple[Lot, ...]) -> tuple[Block, ...]:
    theirs = {"all", *(lot.id for lot in lots)}
    rows = tuple(
        (
            sample.what,
            "" if sample.lot == "all" else sample.lot,
            "" if sample.at_hours is None else clock(case.delivery.received, sample.at_hours),
            sample.kept or "",
            sample.note or "",
        )
        for sample in case.sample
        if sample.lot in theirs
    )
    return (Table("", ("what", "lot", "taken", "kept how", "note"), rows),) if rows else ()
