"""What a pattern of words means, by what ``patterns`` says of itself, over a short list."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from advisor.ask.hear.line import Clause, Word, clauses, mended
from advisor.ask.hear.patterns import VOID, Pattern, Words, find

GASP, TOP, SPOTS, POWER = "sign gasping", "sign at_top", "sign spots", "history power_out yes"
PATTERNS = [
    Pattern(GASP, (("gasp*",),)),
    Pattern(TOP, (("gasp*", "hang*"), ("top", "surface"))),
    Pattern(SPOTS, (("white",), ("spot*", "dots"))),
    Pattern(POWER, (("no", "lost"), ("power",))),
    Pattern("sign eating", (("not",), ("eating",)), denies=True),
    Pattern("sign pale", (("pale",),), here=True),
    Pattern("sign dark", (("dark",),), own=True),
    Pattern("sign apart_one", (("one",), ("kind",))),
    Pattern("sign flared", (("gills",), ("flared",))),
    Pattern("sign red_gills", (("red",), ("gills",))),
    Pattern(VOID, (("others",), ("white",))),
    Pattern("sign none", (("nothing",),)),
]
EVENTS = frozenset({"cut", "failure"})


def held(patterns: Iterable[Pattern] = PATTERNS) -> Words:
    ordered = tuple(sorted(patterns, key=lambda p: p.weight, reverse=True))
    by_word: dict[str, tuple[int, ...]] = {}
    for rank, pattern in enumerate(ordered):
        for option in pattern.terms[0]:
            by_word[option] = (*by_word.get(option, ()), rank)
    terms = {each for p in ordered for term in p.terms for each in term}
    return Words(
        patterns=ordered, deny=frozenset({"no", "not", "nothing", "never"}),
        over=frozenset({"gone"}),
        small=frozenset({"the", "a", "are", "up", "and", "they"}), joins={}, yields={GASP: [TOP]},
        lists={"turn": frozenset({"but", "just"}), "events": EVENTS,
        "anchors": frozenset({"gills"}),
               "apart": frozenset({"sign apart_one"})},
        known=frozenset(term.rstrip("*") for term in terms), by_word=by_word,
        prefixes=frozenset(t for t in terms if t.endswith("*")),
        of_fact={GASP: frozenset({"gasp*"})},
        aspects={},
    )  # fmt: skip


def heard(text: str, *offered: str) -> dict[str, bool]:
    clause = Clause(tuple(Word(word, word) for word in text.split()))
    return {
        match.pattern.fact: match.seen
        for match in find(clause, frozenset(offered), held(), lambda fact: True)
    }


@pytest.mark.parametrize(
    "text, means",
    [
        # a word, and what begins with it
        ("gasping", {GASP: True}), ("gasp", {GASP: True}), ("gas", {}), ("top", {}),
        # the longer pattern takes the words of the shorter
        ("gasping top", {TOP: True}), ("hanging surface", {TOP: True}), ("hanging", {}),
        # so far apart, and no farther: three words between the two
        ("gasping x top", {TOP: True}), ("gasping x x x top", {TOP: True}),
        ("gasping x x x x top", {GASP: True}), ("hanging x x x x top", {}),
        # the other way round: side by side or with one between, and never over a small word's order
        ("spots white", {SPOTS: True}), ("spots x white", {SPOTS: True}), ("spots x x white", {}),
        # denied: within five words before it, unless something turns
        ("no gasping", {GASP: False}), ("not x x x x gasping", {GASP: False}),
        ("not x x x x x gasping", {GASP: True}), ("no x but gasping", {GASP: True}),
        ("not just gasping", {GASP: True}), ("no 3 gasping", {GASP: True}),
        ("gasping no x", {GASP: True}), ("never gasping top", {TOP: False}),
        ("gasping not", {GASP: False}), ("x x gasping not", {GASP: False}),
        ("x x x gasping not", {GASP: True}),  # a sentence of its own
        # over: said within three words after it
        ("gasping gone", {GASP: False}), ("gasping x x gone", {GASP: False}),
        ("gasping x x x gone", {GASP: True}), ("gone gasping", {GASP: True}),
        # the pattern's own "no" denies nothing else, and no event
        ("no power", {POWER: True}), ("lost power", {POWER: True}), ("no power cut", {}),
        ("no power gasping", {POWER: True, GASP: True}), ("lost power cut", {POWER: True}),
        ("not eating", {"sign eating": False}),
        # but that of a pattern which is itself a no goes on: "not eating or gasping"
        ("not eating gasping", {"sign eating": False, GASP: False}),
        # words serve one sign, parts of a fish serve two
        ("red gills flared", {"sign red_gills": True, "sign flared": True}),
        # void: words that look like a sign and are none
        ("others white spots", {VOID: True}),
        # nothing but a "no" needs the clause to itself, and the question
        ("nothing x", {}), ("nothing", {}),
    ],
)  # fmt: skip
def test_a_clause_means(text: str, means: dict[str, bool]) -> None:
    assert heard(text) == means


def test_words_that_mean_something_only_at_their_question() -> None:
    assert heard("pale") == {} and heard("pale", "sign pale") == {"sign pale": True}
    assert heard("dark") == {} and heard("dark", "sign dark") == {"sign dark": True}
    assert heard("nothing", "sign none") == {"sign none": True}
    assert heard("nothing x", "sign none") == {}
    assert heard("nothing the", "sign none") == {"sign none": True}
    assert heard("pale", "history pale") == {}


def test_what_is_said_earlier_comes_first() -> None:
    assert list(heard("gasping white spots")) == [GASP, SPOTS]
    assert list(heard("white spots gasping")) == [SPOTS, GASP]


def test_a_fact_that_may_not_be_meant_is_not() -> None:
    clause = Clause((Word("gasping", "gasping"),))
    assert find(clause, frozenset(), held(), lambda fact: fact != GASP) == []


def test_of_two_facts_one_clause_cannot_mean_both() -> None:
    """The one that yields goes; and what is denied is not seen as well."""
    assert heard("gasping x x x x x hanging top") == {TOP: True}
    assert heard("no gasping x x x x x gasping") == {GASP: False}


def test_a_word_is_known_by_its_beginning() -> None:
    words = held()
    assert words.means("gasping") and words.means("white") and words.means("the")
    assert not words.means("gills2") and not words.means("ga")
    assert words.speaks_of(GASP, "gasps") and not words.speaks_of(GASP, "white")
    assert not words.speaks_of(TOP, "gasps")


@pytest.mark.parametrize(
    "typed, word",
    [
        ("gsaping", "gasping"), ("gaspin", "gasping"), ("sufrace", "surface"),
        ("surfacee", "surfacee"),
        ("topp", "topp"), ("pwoer", "pwoer"), ("xurface", "xurface"), ("gasping", "gasping"),
        ("surrfacee", "surface"), ("breathinngg", "breathing"), ("surface", "surface"),
        ("flard", "flard"),
    ],
)  # fmt: skip
def test_slips_of_the_keys(typed: str, word: str) -> None:
    """One in a word of six letters,
    two in one of nine; shorter ones and other first letters stay."""
    known = frozenset({"gasping", "surface", "power", "top", "breathing", "flared"})
    (got,) = mended(Clause((Word(typed, typed),)), known).words
    assert (got.word, got.said) == (word, typed)


@pytest.mark.parametrize(
    "text, parts",
    [
        ("gasping, pale", [["gasping"], ["pale"]]), ("gasping; pale", [["gasping"], ["pale"]]),
        ("gasping but pale", [["gasping"], ["pale"]]), ("gasping. pale!", [["gasping"], ["pale"]]),
        ("gasping - pale", [["gasping"], ["pale"]]), ("gasping (pale)", [["gasping"], ["pale"]]),
        ("ph 7.5, pale", [["ph", "7.5"], ["pale"]]), ("1,5 litres", [["1,5", "litres"]]),
        ("the power's out", [["the", "power", "is", "out"]]), ("", []), (" , ,", []),
        ("tank water brown", [["tankwater", "brown"]]), ("no wc", [["no", "water", "change"]]),
    ],
)  # fmt: skip
def test_where_a_line_is_cut(text: str, parts: list[list[str]]) -> None:
    cut = clauses(text, {"wc": "water change"})
    assert [[word.word for word in clause.words] for clause in cut] == parts
