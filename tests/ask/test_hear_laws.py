"""Laws of what typed lines are taken to mean, over slips, orders and lines without sense."""

from __future__ import annotations

import json
import random

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.ask.hearing import facts, hear

WELL_HEARD = [
    ("breathing_and_posture", "gasping"), ("breathing_and_posture", "spinning in circles"),
    ("skin", "white spots"), ("behaviour", "scratching"), ("gills", "brown gills"),
    ("counts", "4 dead"), ("counts", "12 down"), ("arrived", "20 minutes ago"),
    ("water_look", "rotten eggs"), ("where_are_they", "in the bucket"),
]  # fmt: skip


@given(which=st.sampled_from(WELL_HEARD), seed=st.integers(0, 10_000))
@settings(max_examples=60)
def test_a_slip_of_the_keys_is_understood_or_asked_and_never_turned_round(
    which: tuple[str, str], seed: int
) -> None:
    """Two letters changed places: the same is heard, or it is asked back."""
    question, text = which
    rng = random.Random(seed)
    places = [i for i in range(len(text) - 1) if text[i].isalpha() and text[i + 1].isalpha()]
    at = rng.choice(places)
    slip = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    meant, heard = facts(hear(question, text)), facts(hear(question, slip))
    assert heard <= meant, (slip, heard)


@given(
    parts=st.permutations(["gasping", "clamped fins", "no white spots"]),
    joined=st.sampled_from([", ", "; ", " , "]),
)
@settings(max_examples=12)
def test_the_order_of_what_is_said_changes_nothing(parts: list[str], joined: str) -> None:
    heard = hear("breathing_and_posture", joined.join(parts))
    assert set(heard["signs_seen"]) == {"gasping_at_surface", "clamped_fins"}
    assert heard["signs_not_seen"] == ["white_spots"]


@given(
    dead=st.integers(1, 40), down=st.integers(1, 40), ways=st.permutations(["dead", "down"]),
    joined=st.sampled_from([" ", ", ", " and ", "; "]), first=st.booleans(),
)  # fmt: skip
@settings(max_examples=60)
def test_heads_are_the_same_in_any_order(
    dead: int, down: int, ways: list[str], joined: str, first: bool
) -> None:
    """Amount before state or after it, dead first or down first."""
    amounts = {"dead": dead, "down": down}
    parts = [f"{w} {amounts[w]}" if first else f"{amounts[w]} {w}" for w in ways]
    heard = hear("counts", joined.join(parts), 100)
    assert heard["counts"] == amounts and "ask_back" not in heard


@given(
    words=st.lists(st.text("bcdfghjklmnpqrstvwxz", min_size=4, max_size=9), min_size=1, max_size=4)
)
@settings(max_examples=60)
def test_words_that_nobody_knows_are_no_fact(words: list[str]) -> None:
    """No vowels, so no word of any list: nothing becomes zero, none, yes or a lot."""
    for question in ("breathing_and_posture", "counts", "changed_last_day", "other_tub", "arrived"):
        heard = hear(question, " ".join(words))
        facts = {k for k, v in heard.items() if k not in ("format", "question", "text") and v}
        assert facts <= {"ask_back", "not_understood", "unknown"}, heard


@given(text=st.text(max_size=80))
@settings(max_examples=100)
def test_any_text_is_heard_or_asked_back(text: str) -> None:
    for question in ("breathing_and_posture", "counts", "kinds", "ph", "arrived"):
        heard = hear(question, text)
        json.dumps(heard)
        assert len(heard) > 3, heard
        assert not set(heard.get("signs_seen", ())) & set(heard.get("signs_not_seen", ()))
