"""What a paper is made of: plain blocks, worded once and laid out as HTML or as text.

Text in blocks is whatever the case holds; the two layouts make it harmless.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import ClassVar, Literal

Mood = Literal["plain", "judgement", "urgent", "quiet"]


@dataclass(frozen=True)
class Para:
    """A paragraph. ``mood`` judgement is marked as such wherever it stands."""

    kind: ClassVar[str] = "para"
    text: str
    mood: Mood = "plain"


@dataclass(frozen=True)
class Pairs:
    """Names with what belongs to them; an empty value becomes a line to write on."""

    kind: ClassVar[str] = "pairs"
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Table:
    """Rows of text under named columns; a row of one cell is a heading over those below it.

    numbers : columns set flush right; tight: columns that are not wrapped on a wide page
    flow    : on a phone the short cells of a row run together and the last stands below
    """

    kind: ClassVar[str] = "table"
    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: frozenset[int] = frozenset()
    tight: frozenset[int] = frozenset()
    last_is_total: bool = False
    flow: bool = False


def without(table: Table, name: str) -> Table:
    """The table without the column of that name."""
    if name not in table.columns:
        return table
    at = table.columns.index(name)

    def moved(places: frozenset[int]) -> frozenset[int]:
        return frozenset(place - (place > at) for place in places if place != at)

    return replace(
        table,
        columns=(*table.columns[:at], *table.columns[at + 1 :]),
        rows=tuple(row if len(row) == 1 else (*row[:at], *row[at + 1 :]) for row in table.rows),
        numbers=moved(table.numbers),
        tight=moved(table.tight),
    )


@dataclass(frozen=True)
class ListItem:
    """One item of a list: its text, a lead set off before it, and lines under it."""

    text: str
    lead: str = ""
    under: tuple[str, ...] = ()
    strong: bool = False


@dataclass(frozen=True)
class Items:
    """A list. ``mark``: bullet, number, tick (a box to tick) or cross (not to be done)."""

    kind: ClassVar[str] = "items"
    entries: tuple[ListItem, ...]
    mark: Literal["bullet", "number", "tick", "cross"] = "bullet"


@dataclass(frozen=True)
class Picture:
    """An SVG with the same said in words: ``said`` is a sentence or more, ``table`` numbers.

    caption : shown under the picture instead of ``said`` where the paper goes on to say it
    """

    kind: ClassVar[str] = "picture"
    svg: str
    title: str
    said: str
    table: Table | None = None
    caption: str | None = None


@dataclass(frozen=True)
class Shot:
    """A photograph: its file's name, what is known of it, and itself as a data URI or nothing."""

    file: str
    marks: tuple[str, ...]
    small: str = ""


@dataclass(frozen=True)
class Photos:
    """Photographs, each small beside its marks."""

    kind: ClassVar[str] = "photos"
    shots: tuple[Shot, ...]


@dataclass(frozen=True)
class BlankTable:
    """A table to write in: the first cells of each row may be filled, the rest are empty."""

    kind: ClassVar[str] = "form"
    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Code:
    """A scan code as an SVG, and what it holds."""

    kind: ClassVar[str] = "code"
    svg: str
    holds: str


Block = Para | Pairs | Table | Items | Picture | Photos | BlankTable | Code


@dataclass(frozen=True)
class Section:
    """Blocks under one heading.

    judgement : the whole of it is judgement, and marked so
    annex     : behind the first page, in smaller print
    large     : read from two steps away
    """

    title: str
    blocks: tuple[Block, ...]
    judgement: bool = False
    annex: bool = False
    large: bool = False


@dataclass(frozen=True)
class Paper:
    """A whole paper. ``purpose``: vet, supplier or log; ``foot`` stands at its end.

    annex_apart : the annex begins on a sheet of its own
    """

    purpose: str
    title: str
    lead: tuple[Block, ...]
    sections: tuple[Section, ...]
    foot: tuple[str, ...] = field(default=())
    invented: bool = False
    annex_apart: bool = True
