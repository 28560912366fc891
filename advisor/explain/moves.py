"""Why this move and not that one, and why the next water fits or does not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.explain.audit_form import ConditionGround, Statement, Verdict
from advisor.explain.tracing import Tables
from advisor.rulebase import entries
from advisor.rulebase.base import OVERALL
from advisor.rulebase.conditions import Leaf

_FIT_WORD: dict[str, Verdict] = {"fit": "holds", "not_fit": "fails", "not_known": "open"}


def move(name: str, tables: Tables) -> Statement:
    """One way: taken or not, with what calls for it and what bars it."""
    study, entry = tables.study, tables.study.base.moves[name]
    chosen = study.result.move is not None and study.result.move.chosen == name
    return Statement(
        kind="move",
        id=name,
        verdict="shown" if chosen else "silent",
        text=entry.name,
        because=_because(name, tables),
        grounds=(
            _place(f"call:{name}", tables),
            *_grounds("call", name, entry.calls, entry.file, tables),
        ),
        bars=() if chosen else tuple(_fired("bar", name, entry.bars, entry.file, tables)),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _because(name: str, tables: Tables) -> str:
    told = tables.study.result.move
    ways = () if told is None else told.ways
    return next((way.because for way in ways if way.move == name), "")


def fit(name: str, tables: Tables) -> Statement:
    """One dimension of the next water, or what follows from all of them."""
    if name in OVERALL:
        return _overall(name, tables)
    entry = tables.study.base.fits[name]
    state = tables.study.facts.get(("fit", name))
    grounds = tuple(_fired("unfit", name, entry.unfit, entry.file, tables))
    if not grounds:
        grounds = (tables.ground(f"fits:{name}", "", entry.source, file=entry.file),)
    grounds = (_place(f"fit:{name}", tables), *grounds)
    return Statement(
        kind="fit",
        id=name,
        verdict=_FIT_WORD.get(str(state), "open"),
        text=f"{entry.name} of the next water",
        because=next((f.because for f in tables.study.result.fit if f.dimension == name), ""),
        grounds=grounds,
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _overall(name: str, tables: Tables) -> Statement:
    """The water itself, the step into it, or both: by the dimensions that decide it."""
    state = str(tables.study.facts.get(("fit", name)))
    wanted = {"not_fit": "not_fit", "not_known": "not_known"}.get(state, "fit")
    deciding = [f.dimension for f in tables.study.result.fit if f.state == wanted]
    return Statement(
        kind="fit",
        id=name,
        verdict=_FIT_WORD.get(state, "open"),
        text={"water": "the next water itself", "step": "the step into the next water"}.get(
            name, "release into the next water"
        ),
        grounds=tuple(ground for each in deciding for ground in fit(each, tables).grounds),
        sources=tuple(s for each in deciding for s in fit(each, tables).sources),
    )


def doubt(name: str, tables: Tables) -> Statement:
    """A reading that something contradicts."""
    entry = tables.study.base.doubts[name]
    return Statement(
        kind="doubt",
        id=name,
        verdict="holds" if f"doubt:{name}" in tables.study.fired else "fails",
        text="a reading is in doubt",
        because=entry.because,
        grounds=(tables.ground(f"doubt:{name}", "", (), file=entry.file),),
        sources=tables.cite(entry.source),
        file=entry.file,
    )


def _place(entry: str, tables: Tables) -> ConditionGround:
    """Where the fish are: everything about the move follows from it."""
    leaf = Leaf("place", "place", "==", tables.study.facts[("place", "place")])
    return ConditionGround(entry=entry, because="", holds=True, compared=tables.compare((leaf,)))


def _grounds(
    word: str, name: str, entries: Sequence[entries.Ground], file: str, tables: Tables
) -> Iterator[ConditionGround]:
    """Those that hold; where none does, every one of them, as near as it came."""
    held = tuple(_fired(word, name, entries, file, tables))
    if held:
        yield from held
        return
    for at, entry in enumerate(entries, 1):
        yield tables.ground(f"{word}:{name}:{at}", entry.because, entry.source, file=file)


def _fired(
    word: str, name: str, entries: Sequence[entries.Ground], file: str, tables: Tables
) -> Iterator[ConditionGround]:
    for at, entry in enumerate(entries, 1):
        if f"{word}:{name}:{at}" in tables.study.fired:
            yield tables.ground(f"{word}:{name}:{at}", entry.because, entry.source, file=file)
