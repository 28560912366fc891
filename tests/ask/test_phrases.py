"""How people say it: tests/reference/speech.toml, from public reports and common speech."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from advisor.ask.answers.phrases import SignBook
from advisor.ask.answers.signs import read_signs
from advisor.ask.hear.line import plain
from advisor.ask.hear.patterns import words
from advisor.rulebase import RuleBase
from tests.ask.hearing import hear

SPEECH = tomllib.loads(
    (Path(__file__).parents[1] / "reference" / "speech.toml").read_text(encoding="utf-8")
)


@pytest.fixture(scope="module")
def book(base: RuleBase) -> SignBook:
    return SignBook(base)


def test_there_are_as_many_phrases_as_were_collected() -> None:
    assert len(SPEECH["phrase"]) == 135


@pytest.mark.parametrize("entry", SPEECH["phrase"], ids=lambda e: e["say"])
def test_every_collected_phrase_is_understood_as_its_sign(
    entry: dict[str, str], book: SignBook
) -> None:
    heard = book.hear(entry["say"])
    assert entry["sign"] in {**heard.seen, **heard.guesses}
    assert not heard.absent


@pytest.mark.parametrize("entry", SPEECH["not_a_sign"], ids=lambda e: e["say"])
@pytest.mark.parametrize("form", ["{}", "it is {}", "{}!", "I think {}"])
def test_words_that_say_nothing_seen_open_a_question_instead(
    entry: dict[str, str], form: str, book: SignBook
) -> None:
    heard = book.hear(form.format(entry["say"]))
    assert not heard.seen
    assert not heard.guesses
    assert heard.ask_instead


def test_a_phrase_wins_over_a_word_inside_it(book: SignBook) -> None:
    assert set(book.hear("playing dead").seen) == {"unresponsive"}


def test_several_things_in_one_line(book: SignBook) -> None:
    heard = book.hear("gulping air, fins held tight and stressed")
    assert set(heard.seen) == {"gasping_at_surface", "clamped_fins"}
    assert [word for word, _ in heard.ask_instead] == ["stressed"]


@pytest.mark.parametrize("text", ["not gulping air", "no white spots", "isn't lying flat"])
def test_a_denial_is_no_sighting(text: str, book: SignBook) -> None:
    heard = book.hear(text)
    assert not heard.seen
    assert not heard.guesses
    assert len(heard.absent) == 1


@pytest.mark.parametrize(
    "text, sign",
    [
        ("gasping at the topp", "gasping_at_surface"),
        ("he is breathing really fast today", "rapid_gill_movement"),
        ("flicking of things", "flashing_rubbing"),
    ],
)
def test_near_and_longer_wordings_are_guesses_to_be_confirmed(
    text: str, sign: str, book: SignBook
) -> None:
    heard = book.hear(text)
    assert sign not in heard.seen
    assert sign in heard.guesses


@pytest.mark.parametrize("text", ["the weather is fine", "q", "", "lorem ipsum dolor"])
def test_what_is_not_known_is_not_guessed(text: str, book: SignBook) -> None:
    heard = book.hear(text)
    assert not heard.seen
    assert not heard.guesses


@pytest.mark.parametrize(
    ("say", "sign"),
    [
        ("some lying on their side", "lying_on_side"),
        ("they are all gasping at the surface", "gasping_at_surface"),
        ("fins are clamped", "clamped_fins"),
        ("not all lying on their side", "lying_on_side"),
    ],
)
def test_small_words_make_a_phrase_a_guess_not_nothing(say: str, sign: str, book: SignBook) -> None:
    heard = book.hear(say)
    assert list(heard.guesses) == [sign] and not (heard.seen or heard.absent or heard.unheard)


@pytest.mark.parametrize(
    ("say", "sign"),
    [
        ("none are lying on their side", "lying_on_side"),
        ("they are not lying on their side", "lying_on_side"),
        ("the fish are not eating", "eating"),
    ],
)
def test_a_no_is_never_taken_for_a_yes(say: str, sign: str, book: SignBook) -> None:
    heard = book.hear(say)
    assert list(heard.absent) == [sign] and not (heard.seen or heard.guesses)


def test_words_not_understood_leave_the_other_lines_open(base: RuleBase, book: SignBook) -> None:
    offered = {sign: base.signs[sign].name for sign in ("gasping_at_surface", "lying_on_side")}
    for said in ("1, gone all wobbly", "gasping, gone all wobbly"):
        heard = read_signs(said, offered, book)
        assert heard.unheard and heard.rest == "unknown"
    assert read_signs("1", offered, book).rest == "absent"


def test_every_word_of_the_lists_is_one_that_a_typed_line_can_hold() -> None:
    """Words are compared as ``plain`` writes them: "ß" is "ss" there, "em" is "them"."""
    held = words()
    terms = {each.rstrip("*") for p in held.patterns for term in p.terms for each in term}
    listed = {each for said in held.lists.values() for each in said}
    assert {each for each in terms | listed if plain(each) != each} == set()


@pytest.mark.parametrize(
    ("question", "say", "sign"),
    [
        ("skin", "weiße Punkte", "white_spots"),
        ("breathing_and_posture", "liegt auf dem Boden", "lying_on_bottom_upright"),
    ],
)
def test_words_of_other_languages_with_their_own_letters(
    question: str, say: str, sign: str
) -> None:
    assert sign in hear(question, say)["signs_seen"]
