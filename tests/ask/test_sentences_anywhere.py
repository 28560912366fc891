"""Whole sentences, typed at every question of the session: none of them ends it."""

from __future__ import annotations

import pytest

from advisor.advice.reasoner import default_reasoner
from advisor.advice.settled_by import NEVER, choices_of
from tests.ask.conftest import Begin, Bench

#: As people answer: yes and no with more behind, other questions' answers, doubts, whole stories.
SENTENCES = (
    "yes they do, the old guppies and the barbs", "yes they look well", "yes all of them",
    "no they are all poorly", "no not one of them", "no, we never had one", "not as far as i know",
    "the old ones are fine, the new ones not", "all of them look alright to me", "both are fine",
    "yes and no", "some of them", "nothing i know of", "no change at all", "as always",
    "the pump stood still for four hours, power is back now", "the socket burnt out",
    "200 000 dead, the rest gasping", "they keep dying, one by one", "three weeks ago",
    "water was changed yesterday, tap water, no dechlorinator", "0.3 ppm nitrite, ph 7.4",
    "we keep them in ponds on the farm", "still in the bags, shut", "6 koi 4 dead 2 down",
    "velvet on all ten and a few flukes", "the vet found costia", "it is clean, nothing found",
    "lightning hit the house and the pumps died", "dont know, wasnt there", "brown gills, not pale",
    "we are in the uk", "fed them twice yesterday", "cooler than the old tank i think",
)  # fmt: skip
BASE = default_reasoner().base
YES_NO = sorted(
    each.id
    for each in BASE.questions.values()
    if each.history and set(BASE.history[each.history].answers) <= {"yes", "no", "unknown"}
)


def put(begin: Begin, question: str, sentence: str) -> Bench:
    """The question with the sentence as its reply, and whatever is asked after it left unknown."""
    bench = begin([sentence, *["u"] * 12])
    bench.put(question)
    assert bench.screen
    return bench


@pytest.mark.parametrize("question", YES_NO)
@pytest.mark.parametrize("sentence, said", [("yep, all of them", "yes"), ("no, not one", "no")])
def test_a_yes_with_more_behind_is_the_line_of_a_yes_no_question(
    question: str, sentence: str, said: str, begin: Begin
) -> None:
    lines = {
        label.split(",")[0]: label for label in choices_of(BASE.questions[question], BASE).values()
    }
    bench = put(begin, question, sentence)
    assert f"Taken as: {lines[said]}. b mends it." in " ".join(bench.screen.split())


@pytest.mark.parametrize(
    "sentence, well",
    [
        ("yes they do, the old guppies and the barbs", True), ("yes they look well", True),
        ("yes all fine and feeding", True), ("no they are gasping too", False),
        ("no, some lie on the bottom", False), ("no the old ones are ill as well", False),
    ],
)  # fmt: skip
def test_a_sentence_says_how_the_residents_are(sentence: str, well: bool, begin: Begin) -> None:
    bench = put(begin, "residents_well", sentence)
    assert bench.case.receiving.residents_well == ("yes" if well else "no"), bench.screen


@pytest.mark.slow
@pytest.mark.parametrize("question", sorted(set(BASE.questions) - {NEVER}))
def test_no_sentence_breaks_a_question(question: str, begin: Begin) -> None:
    for sentence in SENTENCES:
        put(begin, question, sentence)
