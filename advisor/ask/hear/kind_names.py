"""Names of kinds in a line: whole, in the singular, as a genus letter, or a slip of the keys away."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from advisor.ask.hear.word_sets import word_set
from advisor.rulebase import RuleBase
from advisor.rulebase.kinds import Species
from advisor.rulebase.name_index import plain_name
from advisor.rulebase.species import could_be, kin_group

_EPITHET = re.compile(r"([a-z])\.? ([a-z]{4,})")
_COLOURS = word_set("colours")
VARIETY = _COLOURS | word_set("variety")
#: "boraras brig": a scientific name with its second word cut short.
_SHORTENED = re.compile(r"[a-z]{5,} [a-z]{3,9}")
#: Short forms of family names, as the trade says them, beside those that only lack "fish".
_SHORT = {"dam": "damselfish", "cory": "corydoras", "plec": "pleco", "ray": "stingray"}


@dataclass(frozen=True)
class Named:
    """A name found: a species, a group of kin, or several kinds it may be."""

    said: str
    species: str | None = None
    group: str | None = None
    may_be: tuple[str, ...] = ()
    loose: bool = False


def with_figure(words: list[str], at: int, base: RuleBase) -> bool:
    """Whether a figure is part of a name: "6 line wrasse"."""
    runs = (" ".join(words[at : at + size]) for size in (4, 3, 2))
    return any(plain_name(run) in base.species_index for run in runs)


def name_of(text: str, base: RuleBase, *, near: bool = False) -> Named | None:
    """The kind of that very name; with ``near`` of one a slip away."""
    for form in _forms(text):
        key = plain_name(form)
        if key in base.species_index:
            species = base.species_index[key]
            return Named(text, species.name, loose="kind not given" in species.scientific)
        if key in base.shared_index:
            group = kin_group(form, base)
            names = tuple(each.name for each in could_be(form, base))
            return Named(text, None, group.id if group else None, names)
        if key in base.kin_index:
            return Named(text, None, base.kin_index[key])
    groups = _genera(base).get(plain_name(text), frozenset())
    if len(groups) == 1:
        return Named(text, None, next(iter(groups)))
    epithet = _EPITHET.fullmatch(text)
    if epithet:
        whole = _epithets(_names_of(base)).get((epithet[1], epithet[2]), ())
        return name_of(whole[0], base) if len(whole) == 1 else None
    if _SHORTENED.fullmatch(text):
        begun = {kind.scientific for kind in base.species.values() if _begins(kind, text)}
        if len(begun) == 1:
            return name_of(begun.pop(), base)
    if not near or len(text) < 5:
        return None
    found = [name_of(name, base) for name in _near(plain_name(text), _names_of(base))]
    kinds = {(n.species, n.group, n.may_be): n for n in found if n is not None}
    return replace(next(iter(kinds.values())), said=text) if len(kinds) == 1 else None


def _begins(kind: Species, text: str) -> bool:
    return plain_name(kind.scientific).startswith(text)


def _forms(text: str) -> Iterator[str]:
    """The name as written, and its singular forms."""
    yield text
    if text.endswith("ies"):
        yield f"{text[:-3]}y"
    if text.endswith("es"):
        yield text[:-2]
    if text.endswith("s"):
        yield text[:-1]
    yield f"{text}s"
    single = text[:-1] if text.endswith("s") else text
    if single not in _COLOURS:
        yield f"{single}fish"  # "lions", "copperband"
        yield f"{single} fish"
    for short, word in _SHORT.items():
        if re.search(rf"\b{short}s?$", text):
            yield re.sub(rf"\b{short}s?$", word, text)


def _names_of(base: RuleBase) -> tuple[str, ...]:
    return (*base.species_index, *base.shared_index, *base.kin_index)


@lru_cache(maxsize=4)
def _epithets(names: tuple[str, ...]) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """Scientific names by the letter of the genus and the second word."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for name in names:
        words = name.split()
        if len(words) == 2:
            key = (words[0][0], words[1])
            found[key] = (*found.get(key, ()), name)
    return found


_GENERA: dict[str, Mapping[str, frozenset[str]]] = {}


def _genera(base: RuleBase) -> Mapping[str, frozenset[str]]:
    """The groups that a genus has kinds of, by its name: "Paracheirodon, not determined"."""
    if base.fingerprint not in _GENERA:
        found: dict[str, frozenset[str]] = {}
        for species in base.species.values():
            genus = plain_name(species.scientific).split()[0]
            found[genus] = found.get(genus, frozenset()) | {species.group}
        _GENERA.clear()
        _GENERA[base.fingerprint] = found
    return _GENERA[base.fingerprint]


@lru_cache(maxsize=2048)
def _near(text: str, names: tuple[str, ...]) -> tuple[str, ...]:
    """The nearest names, where each word that differs is long and begins alike."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    most = 2 if len(text) >= 8 else 1
    hits = process.extract(text, names, scorer=OSA.distance, score_cutoff=most, limit=8)
    hits = [hit for hit in hits if _slip(text, hit[0])]
    return tuple(hit[0] for hit in hits if hit[1] == hits[0][1])


def _slip(text: str, name: str) -> bool:
    """Whether one may be a slip of the other: letters changed inside long words."""
    said, meant = text.split(), name.split()
    if len(said) != len(meant):
        return text.replace(" ", "") == name.replace(" ", "")
    return all(
        one == other
        or (min(len(one), len(other)) > 3 and one[0] == other[0] and _key_slip(one, other))
        for one, other in zip(said, meant, strict=True)
    )


_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_SOUND_ALIKE = ("aeiouy", "szc", "ckq", "gj", "vw", "dt", "bp", "mn", "fp", "lr")


def _key_slip(one: str, other: str) -> bool:
    """A letter put for another is one beside it or one that sounds like it; else it is a new word."""
    if len(one) != len(other) or sorted(one) == sorted(other):
        return True
    return all(a == b or _alike(a, b) for a, b in zip(one, other, strict=True))


def _alike(a: str, b: str) -> bool:
    beside = any(a in row and b in row and abs(row.index(a) - row.index(b)) == 1 for row in _ROWS)
    return beside or any(a in group and b in group for group in _SOUND_ALIKE)


@lru_cache(maxsize=4)
def _words_of(names: tuple[str, ...]) -> frozenset[str]:
    words = {word for name in names for word in name.split() if len(word) > 2}
    return frozenset(words | {f"{word}s" for word in words})


def name_words(base: RuleBase) -> frozenset[str]:
    """Every longer word of a name of a kind."""
    return _words_of(_names_of(base))
