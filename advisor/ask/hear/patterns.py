"""What words mean: facts found in clauses by patterns, with what is denied told apart.

A pattern is words that stand near each other in one clause: "gulp* air/surface" is a word that
begins with "gulp" and then "air" or "surface", or the two side by side the other way round.
"@top" stands for every word of the class "top" of [classes], so that a new word for a thing
serves every pattern that speaks of it.
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
#: The fact of words that look like one and are none: "the others fine" at what the worst ones do.
VOID = "void words"


@dataclass(frozen=True)
class Pattern:
    """terms: for each place, the words (or their beginnings, with *) that may stand there.

    fact   : what it means ("sign gasping_at_surface", "history salt_in_water yes", ...)
    here   : only where the question offers the fact, in few words that mean it there
    own    : only where the question offers the fact, as made of wide classes of words
    denies : means the opposite of the fact
    """

    fact: str
    terms: tuple[tuple[str, ...], ...]
    here: bool = False
    denies: bool = False
    own: bool = False

    @property
    def weight(self) -> tuple[int, int]:
        return len(self.terms), sum(max(map(len, term[:6])) for term in self.terms)


@dataclass(frozen=True)
class Match:
    """A pattern met in a clause at these places; ``seen`` is False when it is denied."""

    pattern: Pattern
    places: frozenset[int]
    seen: bool


@dataclass(frozen=True)
class Words:
    """The phrase lists, ready to be looked up.

    no_names : names of kinds that are words of every day, and beside signs mean no kind
    """

    patterns: tuple[Pattern, ...]
    deny: frozenset[str]
    over: frozenset[str]
    small: frozenset[str]
    joins: Mapping[str, str]
    yields: Mapping[str, Sequence[str]]
    lists: Mapping[str, frozenset[str]]
    known: frozenset[str]
    by_word: Mapping[str, tuple[int, ...]]
    prefixes: frozenset[str]
    of_fact: Mapping[str, frozenset[str]]
    aspects: Mapping[str, Sequence[str]]
    no_names: frozenset[str] = frozenset()

    def speaks_of(self, fact: str, word: str) -> bool:
        """Whether some pattern of the fact has the word: it then belongs to it."""
        own = self.of_fact.get(fact, frozenset())
        return word in own or any(f"{word[:end]}*" in own for end in range(3, len(word) + 1))

    def means(self, word: str) -> bool:
        """Whether some pattern or list has the word, or it denies or joins."""
        return (
            word in self.known
            or word in self.small
            or any(f"{word[:end]}*" in self.prefixes for end in range(3, len(word) + 1))
        )

    def near(self, clause: Clause) -> list[Pattern]:
        """Patterns whose first place a word of the clause may fill, the longest first."""
        ranks: set[int] = set()
        for word in {each.word for each in clause.words}:
            ranks.update(self.by_word.get(word, ()))
            for end in range(1, len(word) + 1):
                ranks.update(self.by_word.get(f"{word[:end]}*", ()))
        return [self.patterns[rank] for rank in sorted(ranks)]


@cache
def words() -> Words:
    """The lists of advisor/ask/hear/words, read once."""
    folder = files("advisor.ask.hear") / "words"
    patterns: list[Pattern] = []
    lists: dict[str, frozenset[str]] = {}
    joins: dict[str, str] = {}
    yields: dict[str, Sequence[str]] = {}
    aspects: dict[str, Sequence[str]] = {}
    files_read = [
        tomllib.loads(path.read_text(encoding="utf-8"))
        for path in sorted(folder.iterdir(), key=lambda each: each.name)
        if path.name.endswith(".toml")
    ]
    classes = {
        name: tuple(said) for data in files_read for name, said in data.get("classes", {}).items()
    }
    for data in files_read:
        for entry in data.get("heard", ()):
            patterns += _patterns(entry, classes, own="classes" in data)
        lists |= {name: frozenset(said) for name, said in data.get("lists", {}).items()}
        joins |= data.get("instead", {})
        yields |= data.get("yields", {})
        aspects |= data.get("aspects", {})
    used = {term.rstrip("*") for p in patterns for options in p.terms for term in options}
    known = used | set().union(*lists.values()) | {w for j in joins.values() for w in j.split()}
    ordered = tuple(sorted(patterns, key=lambda p: p.weight, reverse=True))
    of_fact: dict[str, frozenset[str]] = {}
    for pattern in patterns:
        said = {option for term in pattern.terms for option in term}
        of_fact[pattern.fact] = of_fact.get(pattern.fact, frozenset()) | said
    by_word: dict[str, tuple[int, ...]] = {}
    for rank, pattern in enumerate(ordered):
        for option in set(pattern.terms[0]):
            by_word[option] = (*by_word.get(option, ()), rank)
    return Words(
        ordered,
        lists["deny"],
        lists["over"],
        lists["small"],
        joins,
        yields,
        lists,
        frozenset(known),
        by_word,
        frozenset(t for p in patterns for options in p.terms for t in options if t[-1] == "*"),
        of_fact,
        aspects,
        frozenset(
            name for data in files_read for name in data.get("names", {}).get("of_every_day", ())
        ),
    )


def _patterns(
    entry: Mapping[str, object], classes: Mapping[str, tuple[str, ...]], *, own: bool
) -> Iterator[Pattern]:
    fact = str(entry["fact"])
    for name, here, denies in (
        ("say", False, False), ("here", True, False),
        ("never", False, True), ("never_here", True, True),
    ):  # fmt: skip
        said = entry.get(name, ())
        assert isinstance(said, (list, tuple))
        for phrase in said:
            terms = tuple(_options(term, classes) for term in str(phrase).split())
            yield Pattern(fact, terms, here, denies, own)


def _options(term: str, classes: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What may stand at one place: the words between "/", classes written out."""
    said = term.split("/")
    return tuple(w for each in said for w in (classes[each[1:]] if each[0] == "@" else (each,)))


def find(
    clause: Clause, offered: frozenset[str], held: Words, may: Callable[[str], bool]
) -> list[Match]:
    """What a clause means; of patterns one inside the other, the longer.

    offered : facts that the question names; may: whether another fact can be meant here
    """
    met: list[tuple[Pattern, frozenset[int]]] = []
    bare = all(word.word in held.deny or word.word in held.small for word in clause.words)
    for pattern in held.near(clause):
        only_there = (pattern.here or pattern.own) and pattern.fact != VOID
        if (only_there and not _offers(offered, pattern.fact)) or not may(pattern.fact):
            continue
        if _all_deny(pattern, held) and not (bare and _offers(offered, pattern.fact)):
            continue
        for places in _places(pattern, clause.words, held.small):
            if not any(places <= other and _swallows(p, pattern, held) for p, other in met):
                met.append((pattern, places))
    said = [word.word for word in clause.words]
    met = [(p, at) for p, at in met if not _denies_more(at, said, held)]
    # a "not" that belongs to a pattern ("not eating") denies nothing else
    free = {i for i, word in enumerate(said) if word in held.deny}
    free -= {i for pattern, places in met if not pattern.denies for i in places}
    found = [Match(p, places, _seen(p, places, said, free, held)) for p, places in met]
    found = _one_for_its_words(_without_rivals(found, held), said, held)
    return sorted(found, key=lambda match: min(match.places))


def _denies_more(places: frozenset[int], said: Sequence[str], held: Words) -> bool:
    """Whether the "no" of a pattern denies what follows: "no power cut" is no lack of power."""
    after = max(places) + 1
    own = any(said[i] in held.deny for i in places)
    return own and after < len(said) and said[after] in held.lists["events"]


def _offers(offered: frozenset[str], fact: str) -> bool:
    return fact in offered or fact.rpartition(" ")[0] in offered


def _one_for_its_words(found: list[Match], said: Sequence[str], held: Words) -> list[Match]:
    """Words mean one sign of a clause, that of the longer pattern; parts of a fish serve two."""
    anchors, apart = held.lists["anchors"], held.lists["apart"]
    kept: list[Match] = []
    for match in found:
        if any(match.places & other.places and other.pattern.fact == VOID for other in kept):
            continue
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


def _places(
    pattern: Pattern, said: Sequence[Word], small: frozenset[str]
) -> Iterator[frozenset[int]]:
    """Where the words of a pattern stand: in their order, or two of them close the other way.

    Words that say nothing by themselves keep their order: "up top" is no "top up".
    """
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
            if near and said[first].word not in small and said[near[-1]].word not in small:
                yield frozenset((first, near[-1]))


def _fits(term: Iterable[str], word: str) -> bool:
    return any(word.startswith(each[:-1]) if each.endswith("*") else word == each for each in term)


def _seen(
    pattern: Pattern, places: frozenset[int], said: Sequence[str], free: set[int], held: Words
) -> bool:
    """Whether the fact holds as said: no denial before it, nothing like "gone" after it."""
    if pattern.denies:
        return False
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
    return not (denied or over or trailing)
