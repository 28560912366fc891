"""Lots as people name them: "40 guppies, 12 neon tetras in 2 bags"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.ask.answers.choosing import NotUnderstood, brief, plain
from advisor.ask.answers.replies import Draft
from advisor.units.words import NUMBER_WORDS

MOST_LOTS = 40
_BAGS = re.compile(r"\s*(?:in|,)?\s*(\d{1,4})\s*(?:bags?|boxes)\b", re.IGNORECASE)
_COUNT = re.compile(r"^\s*(?:x\s*)?(\d{1,6})\s*(?:x\s*|of\s+)?", re.IGNORECASE)
_COUNT_AFTER = re.compile(r"\s*(?:x|times|[:(])?\s*(\d{1,6})\s*\)?\s*$", re.IGNORECASE)
_FILLER = re.compile(r"\b(fish|fishes|pcs|pieces|head)\b", re.IGNORECASE)


def read_lots(text: str) -> tuple[Draft, ...]:
    """The lots a line names. A number alone is a lot of an unnamed kind.

    Raises NotUnderstood when nothing is named.
    """
    drafts = tuple(_draft(part) for part in _parts(text))
    drafts = tuple(draft for draft in drafts if draft.species or draft.count)
    if not drafts:
        raise NotUnderstood(
            f'"{brief(text)}" names no fish; write it like: 40 guppies, 12 neon tetras'
        )
    if len(drafts) > MOST_LOTS:
        raise NotUnderstood(f"{len(drafts)} lots are more than the {MOST_LOTS} kept in one case.")
    return drafts


def _parts(text: str) -> Iterable[str]:
    pieces = re.split(r"[;\n]|,(?!\s*\d+\s*bags?\b)|\s+and\s+(?=\d)|\s*\+\s*", text[:2000])
    return [piece for piece in pieces if piece.strip()]


def _draft(part: str) -> Draft:
    bags = _BAGS.search(part)
    if bags:
        part = part[: bags.start()] + part[bags.end() :]
    count, rest = _count(part)
    species = " ".join(_FILLER.sub(" ", rest).split()).strip(" .:-")
    number = int(bags.group(1)) if bags else None
    return Draft(species or None, count, number if number else None)


def _count(part: str) -> tuple[int | None, str]:
    for form in (_COUNT, _COUNT_AFTER):
        found = form.search(part)
        if found:
            rest = part[: found.start()] + part[found.end() :]
            return int(found.group(1)), rest
    first, _, rest = part.strip().partition(" ")
    number = 1.0 if first.casefold() in ("a", "an") else NUMBER_WORDS.get(first.casefold())
    if number is not None and number == int(number) and rest:
        return int(number), rest
    return None, part


def lot_ids(drafts: Iterable[Draft]) -> tuple[str, ...]:
    """Short ids for lots, from their names; no two alike, never "all"."""
    ids: list[str] = []
    for at, draft in enumerate(drafts, 1):
        stem = re.sub(r"[^a-z0-9]+", "-", plain(draft.species or draft.group or "")).strip("-")[:30]
        stem = stem if stem and stem != "all" else f"lot-{at}"
        name, again = stem, 2
        while name in ids:
            name, again = f"{stem}-{again}", again + 1
        ids.append(name)
    return tuple(ids)
