"""Works on the screen: what each carries, and how its passages were read."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from rich.console import Console

from advisor.rulebase import RuleBase
from advisor.rulebase.base import GROUNDS, KINDS
from advisor.rulebase.cited_words import BASIS, SHOWS, passage_words
from advisor.rulebase.works import Citation, Source
from advisor.wording.layout import hanging, styled

#: Entries that lean on a work: (kind, id, the citation).
Leaning = tuple[str, str, Citation]


def leaning(base: RuleBase) -> Mapping[str, list[Leaning]]:
    """By key of the work, or plain word: every entry that cites it, grounds included."""
    found: dict[str, list[Leaning]] = defaultdict(list)
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            grounds = [g for name in GROUNDS for g in getattr(entry, name, ())]
            for each in (entry, *grounds):
                for cited in getattr(each, "source", ()):
                    found[cited.ref].append((kind, entry.id, cited))
    return found


def show_sources(base: RuleBase, console: Console) -> None:
    """Every work with how it was read and the entries it carries, most carried first."""
    found = leaning(base)
    for work in sorted(base.sources.values(), key=lambda w: (-len(found[w.id]), w.id)):
        console.print(styled(work.id, "bold") + styled(f"  {_counted(found[work.id])}"))
        hanging("  ", styled(_reference(work)), console)
        _carried(found[work.id], console)
    console.print(styled("What its passages say: advisor rules WORK"))


def show_source(work: Source, base: RuleBase, console: Console) -> None:
    """One work: its passages in our words, each with the entries it carries."""
    mine = leaning(base)[work.id]
    by_passage: dict[str, list[Leaning]] = defaultdict(list)
    for each in mine:
        passage = base.passage(each[2])
        by_passage[passage.id if passage is not None else ""].append(each)
    for key, entries in by_passage.items():
        passage = base.passages.get(key)
        if passage is None:
            console.print(styled(" not described yet", "bold"))
        else:
            hanging(" - ", styled(passage_words(passage)), console)
            read = f"{BASIS[passage.basis]}; {SHOWS[passage.shows]}"
            hanging("   ", styled(read, "italic"), console)
        _carried(entries, console)


def sources_as_json(base: RuleBase) -> list[dict[str, Any]]:
    """The same for programs: works, passages, entries."""
    found = leaning(base)
    return [
        {
            **work.model_dump(exclude={"file"}),
            "passages": [
                passage.model_dump(exclude={"file", "ref"}, exclude_none=True)
                for passage in base.passages.values()
                if passage.ref == work.id
            ],
            "carries": [
                {"kind": kind, "id": name, "at": cited.at, "basis": cited.basis}
                for kind, name, cited in found[work.id]
            ],
        }
        for work in base.sources.values()
    ]


def _reference(work: Source) -> str:
    seen = f" [{work.seen}]" if work.seen else ""
    where = f" {work.where}" if work.where else ""
    return f"{work.citation}.{where}{seen}"


def _counted(entries: list[Leaning]) -> str:
    """``12 citations: 8 read in the source, 4 worked out from the source``."""
    counts: dict[str, int] = defaultdict(int)
    for *_, cited in entries:
        counts[BASIS[cited.basis]] += 1
    said = ", ".join(f"{count} {how}" for how, count in counts.items())
    return f"{len(entries)} citation{'s' if len(entries) != 1 else ''}: {said or 'none'}"


def _carried(entries: list[Leaning], console: Console) -> None:
    by_kind: dict[str, list[str]] = defaultdict(list)
    for kind, name, _ in entries:
        if name not in by_kind[kind]:
            by_kind[kind].append(name)
    for kind, names in by_kind.items():
        hanging(f"    {kind}: ", styled(", ".join(names)), console)
