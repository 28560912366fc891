"""Works, the passages in them that were opened, and citations of both.

A source of an entry is a list of citations; each names a key of ``rules/sources.toml``
or one of the two plain words:

    bench-practice  a practice of the trade for which no source was found
    judgement       our own weighing

``basis`` says how far it was checked: ``read`` (the passage was seen in the source),
``abstract`` (only its abstract was read), ``opening`` (only its first part),
``second-hand`` (seen quoted elsewhere), ``derived`` (worked out from the source),
``memory`` (recalled, not looked up), ``practice`` and ``judgement``. What a passage says
stands once, in its ``[[passage]]``; a citation of it needs no basis of its own unless the
entry is ``derived`` from it.
"""

# No postponed annotations in this file: pydantic evaluates them at once, and as text
# each would have to be compiled first, at every start.

from collections.abc import Iterable
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Id = Annotated[str, Field(pattern=r"^[a-z0-9]+([_-][a-z0-9]+)*$", max_length=80)]
Text = Annotated[str, Field(min_length=1)]
Basis = Literal[
    "read", "abstract", "opening", "second-hand", "derived", "memory", "practice", "judgement"
]
#: What a passage brings: see ``advisor.rulebase.check_strength`` for what each may carry.
Shows = Literal["measured", "defined", "trial", "repeated", "reported", "taught"]
#: Words that stand in for a work, and the basis each has by itself.
NO_WORK: dict[str, Basis] = {"judgement": "judgement", "bench-practice": "practice"}
#: ``kinds`` of a passage that speaks of fish in general.
ANY_KIND = "any"


class Entry(BaseModel):
    """Base of every entry: unknown keys are refused, values never change."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Citation(Entry):
    """Where a statement comes from. ``at`` is a page, table or section."""

    ref: Text
    at: str | None = None
    basis: Basis


class Sourced(Entry):
    """An entry that must say on what it rests."""

    id: Id
    source: Annotated[tuple[Citation, ...], Field(min_length=1)]
    file: str = ""  # filled in by the loader: the file it was read from


class Source(Entry):
    """A published work. ``seen`` says how much of it was read."""

    id: Id
    citation: Text
    where: str = ""
    seen: str = ""
    file: str = ""


class Passage(Entry):
    """What one place of a work says, in our words, for all citations of ``ref`` and ``at``.

    at     : the place as citations name it; without it, the passage answers for every
             citation of the work that has none of its own (an abstract, one page)
    says   : what stands there: figure, unit, direction, how certain
    scope  : of which fish, life stage, water and warmth it speaks
    kinds  : names of the kinds it speaks of; ``any`` for fish in general
    shows  : measured (a figure was measured), defined (by law or by a standard),
             trial (controlled), repeated (found by several), reported (one account),
             taught (common teaching of a manual or a lecture)
    basis  : how far it was read, as for a citation
    """

    ref: Id
    at: str | None = None
    says: Text
    scope: Text
    kinds: Annotated[tuple[Text, ...], Field(min_length=1)]
    shows: Shows
    basis: Literal["read", "abstract", "opening", "second-hand", "memory"]
    file: str = ""

    @property
    def id(self) -> str:
        """The key citations find it by."""
        return passage_key(self.ref, self.at)


def passage_key(ref: str, at: str | None) -> str:
    """Key of a passage: the work, and the place in it."""
    return f"{ref} at {at}" if at else ref


def basis_by_passage(contents: Iterable[Any]) -> dict[str, str]:
    """How far each passage was read, by key, over raw files; faulty ones are skipped here."""
    entries = (each for content in contents for each in content.get("passage", ()))
    return {
        passage_key(each["ref"], each.get("at")): each["basis"]
        for each in entries
        if isinstance(each, dict) and all(isinstance(each.get(k), str) for k in ("ref", "basis"))
    }


def with_basis(content: Any, read: dict[str, str]) -> Any:
    """Raw entries in which every citation has a basis: its own, its passage's or its word's.

    read : basis by key of passage; a citation that leads to none is left as it was
    """
    if isinstance(content, list):
        return [with_basis(each, read) for each in content]
    if not isinstance(content, dict):
        return content
    ref = content.get("ref")
    if isinstance(ref, str) and "basis" not in content and content.keys() <= {"ref", "at"}:
        at = content.get("at")
        key = passage_key(ref, at if isinstance(at, str) else None)
        basis = read.get(key) or read.get(ref) or NO_WORK.get(ref)
        return {**content, "basis": basis} if basis else content
    return {key: with_basis(value, read) for key, value in content.items()}
