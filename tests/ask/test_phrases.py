"""How people say it: tests/reference/speech.toml, from public reports and common speech."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from advisor.ask.answers.no_answer import asked_instead
from advisor.ask.hear.line import plain
from advisor.ask.hear.patterns import words
from advisor.rulebase import RuleBase
from tests.ask.conftest import Begin
from tests.ask.hearing import hear

SPEECH = tomllib.loads(
    (Path(__file__).parents[1] / "reference" / "speech.toml").read_text(encoding="utf-8")
)
BREATH = "breathing_and_posture"
#: Conclusions that are taken for the sign they are drawn from, where signs are asked for.
TAKEN_FOR_A_SIGN = {"fungus"}


def test_there_are_as_many_phrases_as_were_collected() -> None:
    assert len(SPEECH["phrase"]) == 135


@pytest.mark.parametrize("entry", SPEECH["phrase"], ids=lambda e: e["say"])
def test_every_collected_phrase_is_understood_as_its_sign(
    entry: dict[str, str], base: RuleBase
) -> None:
    sign = entry["sign"]
    asked = [q.id for q in base.questions.values() if sign in q.signs]
    heard = [hear(question, entry["say"]) for question in asked]
    assert any(sign in each.get("signs_seen", ()) for each in heard)
    assert not any(sign in each.get("signs_not_seen", ()) for each in heard)


@pytest.mark.parametrize("entry", SPEECH["not_a_sign"], ids=lambda e: e["say"])
def test_words_that_say_nothing_seen_open_a_question_instead(
    entry: dict[str, str], base: RuleBase
) -> None:
    assert asked_instead(entry["say"], base)
    for form in ("it is {}", "{}!", "I think {}"):
        heard = hear(BREATH, form.format(entry["say"]))
        if entry["say"] not in TAKEN_FOR_A_SIGN:
            assert not heard.get("signs_seen")
            assert heard.get("ask_back") or heard.get("not_understood")


@pytest.mark.parametrize(
    ("question", "say", "sign"),
    [
        ("hand_test", "playing dead", "unresponsive"),
        (BREATH, "gasping at the topp", "gasping_at_surface"),
        (BREATH, "he is breathing really fast today", "rapid_gill_movement"),
        (BREATH, "some lying on their side", "lying_on_side"),
        (BREATH, "they are all gasping at the surface", "gasping_at_surface"),
        ("behaviour", "flicking of things", "flashing_rubbing"),
        ("body_at_a_glance", "fins are clamped", "clamped_fins"),
    ],
)
def test_near_and_longer_wordings_are_the_sign_and_no_other(
    question: str, say: str, sign: str
) -> None:
    heard = hear(question, say)
    assert heard["signs_seen"] == [sign]
    assert "signs_not_seen" not in heard


@pytest.mark.parametrize(
    ("question", "say", "sign"),
    [
        (BREATH, "not gulping air", "gasping_at_surface"),
        ("skin", "no white spots", "white_spots"),
        (BREATH, "isn't lying flat", "lying_on_side"),
        (BREATH, "none are lying on their side", "lying_on_side"),
        (BREATH, "they are not lying on their side", "lying_on_side"),
    ],
)
def test_a_denial_is_no_sighting(question: str, say: str, sign: str) -> None:
    heard = hear(question, say)
    assert heard["signs_not_seen"] == [sign]
    assert "signs_seen" not in heard


def test_words_beside_a_number_are_heard_too(begin: Begin, base: RuleBase) -> None:
    first = base.questions[BREATH].signs[0]
    bench = begin(["1, lying on their sides"])
    bench.put(BREATH)
    (look,) = bench.case.observation
    assert set(look.seen) == {first, "lying_on_side"}
    assert set(look.seen) | set(look.not_seen) >= set(base.questions[BREATH].signs[:3])


def test_words_not_understood_leave_the_other_lines_open(begin: Begin, base: RuleBase) -> None:
    first = base.questions[BREATH].signs[0]
    bench = begin(["1, qwrtz xvbn", ""])
    bench.put(BREATH)
    (look,) = bench.case.observation
    assert look.seen == (first,) and not look.not_seen
    alone = begin(["1"])
    alone.put(BREATH)
    assert alone.case.observation[0].not_seen


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
