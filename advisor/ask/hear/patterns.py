"""What words mean: facts found in clauses by patterns, with what is denied told apart.

A pattern is words that stand near each other in one clause: "gulp* air/surface" is a word that
begins with "gulp" and then "air" or "surface", or the two side by side the other way round.
The longest pattern wins over one whose words it holds. A fact after "no", "not" or "never" is
denied, unless the pattern itself has that word.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from advisor.ask.hear.line import Clause, Word

#: Words of a pattern stand at most this far apart beyond their own number.
SLACK = 3
#: A denial holds for what follows within this many words.
REACH = 5


@dataclass(frozen=True)
class Pattern:
    """terms: for each place, the words (or their beginnings, with *) that may stand there.

    fact   : what it means ("sign gasping_at_surface", "history salt_in_water yes", ...)
    here   : only where the question offers the fact
    denies : means the opposite of the fact
    """

    fact: str
    terms: tuple[tuple[str, ...], ...]
    here: bool = False
    denies: bool = False

    @property
    def weight(self) -> tuple[int, int]:
        return len(self.terms), sum(max(map(len, term)) for term in self.terms)


@dataclass(frozen=True)
class Match:
    """A pattern met in a clause at these places; ``seen`` is False when it is denied."""

    pattern: Pattern
    places: frozenset[int]
    seen: bool


@dataclass(frozen=True)
class Words:
    """The phrase lists, ready to be looked up."""

    patterns: tuple[Pattern, ...]
    deny: frozenset[str]
    over: frozenset[str]
    small: frozenset[str]
    joins: Mapping[str, str]
    yields: Mapping[str, Sequence[str]]
    lists: Mapping[str, frozenset[str]]
    known: frozenset[str]


@cache
def words() -> Words:
    """The lists of advisor/ask/hear/words, read once."""
    folder = files("advisor.ask.hear") / "words"
    patterns: list[Pattern] = []
    lists: dict[str, frozenset[str]] = {}
    joins: dict[str, str] = {}
    yields: dict[str, Sequence[str]] = {}
    for path in sorted(folder.iterdir(), key=lambda each: each.name):
        if not path.name.endswith(".toml"):
            continue
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        for entry in data.get("heard", ()):
            patterns += _patterns(entry)
        lists |= {name: frozenset(said) for name, said in data.get("lists", {}).items()}
        joins |= data.get("instead", {})
        yields |= data.get("yields", {})
    used = {term.rstrip("*") for p in patterns for options in p.terms for term in options}
    known = used | set().union(*lists.values()) | {w for j in joins.values() for w in j.split()}
    ordered = tuple(sorted(patterns, key=lambda p: p.weight, reverse=True))
    return Words(
        ordered,
        lists["deny"],
        lists["over"],
        lists["small"],
        joins,
        yields,
        lists,
        frozenset(known),
    )


def _patterns(entry: Mapping[str, object]) -> Iterator[Pattern]:
    fact = str(entry["fact"])
    for name, here, denies in (
        ("say", False, False), ("here", True, False),
        ("never", False, True), ("never_here", True, True),
    ):  # fmt: skip
        said = entry.get(name, ())
        assert isinstance(said, (list, tuple))
        for phrase in said:
            terms = tuple(tuple(term.split("/")) for term in str(phrase).split())
            yield Pattern(fact, terms, here, denies)


def find(
    clause: Clause, offered: frozenset[str], held: Words, may: Callable[[str], bool]
) -> list[Match]:
    """What a clause means; of patterns one inside the other, the longer.

    offered : facts that the question names; may: whether another fact can be meant here
    """
    met: list[tuple[Pattern, frozenset[int]]] = []
    bare = all(word.word in held.deny or word.word in held.small for word in clause.words)
    for pattern in held.patterns:
        if (pattern.here and pattern.fact not in offered) or not may(pattern.fact):
            continue
        if _all_deny(pattern, held) and not bare:
            continue
        for places in _places(pattern, clause.words):
            if not any(places <= other and _swallows(p, pattern, held) for p, other in met):
                met.append((pattern, places))
    said = [word.word for word in clause.words]
    # a "not" that belongs to a pattern ("not eating") denies nothing else
    free = {i for i, word in enumerate(said) if word in held.deny}
    free -= {i for pattern, places in met if not pattern.denies for i in places}
    found = [Match(p, places, _seen(p, places, said, free, held)) for p, places in met]
    found = _one_for_its_words(_without_rivals(found, held), said, held)
    return sorted(found, key=lambda match: min(match.places))


def _one_for_its_words(found: list[Match], said: Sequence[str], held: Words) -> list[Match]:
    """Words mean one sign of a clause, that of the longer pattern; parts of a fish serve two."""
    anchors, apart = held.lists["anchors"], held.lists["apart"]
    kept: list[Match] = []
    for match in found:
        sign = match.pattern.fact.startswith("sign") and match.pattern.fact not in apart
        shares = sign and any(
            other.pattern.fact.startswith("sign")
            and other.pattern.fact not in (match.pattern.fact, *apart)
            and any(said[i] not in anchors for i in match.places & other.places)
            for other in kept
        )
        if not shares:
            kept.append(match)
    return kept


def _without_rivals(found: list[Match], held: Words) -> list[Match]:
    """Of two facts that one clause cannot mean both, the one that says more."""
    facts = {match.pattern.fact for match in found if match.seen}
    denied = {match.pattern.fact for match in found if not match.seen}
    return [
        m
        for m in found
        if not (m.seen and facts & set(held.yields.get(m.pattern.fact, ())))
        and not (m.seen and m.pattern.fact in denied)
    ]


def _all_deny(pattern: Pattern, held: Words) -> bool:
    """Whether a pattern is nothing but "no" or "none": it then needs the clause to itself."""
    return all(word in held.deny for term in pattern.terms for word in term)


def _swallows(longer: Pattern, other: Pattern, held: Words) -> bool:
    """Who, when and how it began are said beside a sign and take no sign's words."""
    apart = held.lists["apart"]
    return (longer.fact in apart) == (other.fact in apart) or other.fact in apart


def _places(pattern: Pattern, said: Sequence[Word]) -> Iterator[frozenset[int]]:
    """Where the words of a pattern stand: in their order, or close together in any."""
    options = [[i for i, word in enumerate(said) if _fits(t, word.word)] for t in pattern.terms]
    if not all(options):
        return
    many = len(pattern.terms)
    for first in options[0]:
        chosen = [first]
        for choice in options[1:]:
            after = [i for i in choice if i > chosen[-1]]
            if not after:
                break
            chosen.append(after[0])
        if len(chosen) == many and chosen[-1] - first < many + (SLACK if many > 1 else 0):
            yield frozenset(chosen)
            continue
        if many == 2:
            near = [i for i in options[1] if first - 3 < i < first]
            if near:
                yield frozenset((first, near[-1]))


def _fits(term: Iterable[str], word: str) -> bool:
    return any(word.startswith(each[:-1]) if each.endswith("*") else word == each for each in term)


def _seen(
    pattern: Pattern, places: frozenset[int], said: Sequence[str], free: set[int], held: Words
) -> bool:
    """Whether the fact holds as said: no denial before it, nothing like "gone" after it."""
    first, last = min(places), max(places)
    free = free - places
    denied = any(
        first - REACH <= i < last
        and not any(
            said[j] in held.lists["turn"] or said[j][0].isdecimal() for j in range(i + 1, first)
        )
        for i in free
    )
    over = any(said[i] in held.over for i in range(last + 1, min(len(said), last + 4)))
    # "sedative no", "salt none": a short clause that ends in it
    trailing = len(said) - 1 in free and last == len(said) - 2 and len(said) <= 4
    return (denied or over or trailing) == pattern.denies
