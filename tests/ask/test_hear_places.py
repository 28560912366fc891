"""Where the fish are, as typed: what each line says of it, read by hand.

closed: in the shut bags; open: still in an opened bag or box; tub; tank. None: two ways, or
nothing said, and it is asked.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.ask.hearing import hear

PLACES = {"closed": "closed_bag", "open": "open_bag", "tub": "tub", "tank": "tank"}
LINES = {
    "closed": [
        "in the bags, not opened yet", "bags are shut", "still sealed",
        "still tied", "unopened", "in the box, bags tied", "boxes still taped up",
        "havent opened them yet", "nothing opened", "about to open them", "ready to open",
        "should i open them", "waiting to be opened", "still in the van", "in the boxes",
        "floating in the tank, still tied", "floating, bags shut",
        "bags floating in the sump, sealed",
        "closed bags, tank not ready", "bags shut, waiting for a tank",
        "going in the tank later, still tied",
        "still boxed up", "as they came", "bags intact", "not touched the bags yet",
        "not netted any yet, bags are tied", "power is out, bags still closed",
        "sealed, next to the tank",
    ],
    "open": [
        "opened the bags, fish still in them", "bags open, still in there", "in the open bags",
        "cut open, still in the bag", "opened, floating", "bags floating with tops open",
        "tops rolled down, floating in the tank", "opened the bag", "bags are untied",
        "untied but still inside the bags", "in the opened box", "bag is open, dripping into it",
        "still in the bag, dripping tank water in", "opened, not moved them yet",
        "cut the bags, havent netted them yet", "slit the bags, they cant go in the tank",
    ],
    "tub": [
        "in a tub", "in a bucket", "tipped into a bucket", "poured in a tub to drip",
        "in a holding tub", "in the buckets, dripping", "moved to a bin of clean water",
        "netted into a tote", "in the bucket, tank is not ready", "in a tub next to the tank",
        "in the sink", "out of the bags into a trough",
    ],
    "tank": [
        "in the tank", "netted into the tank", "in quarantine", "released", "let them go",
        "poured them in", "swimming in the pond", "in the main system", "tipped in the vat",
        "cut open, netted into the tank", "floated and released", "all in the display",
        "moved to the hospital tank", "in there now", "already out, in the tank",
        "dripped for an hour, now in the tank", "floated 20 min then netted over",
        "out of the bags, in the qt", "the bags are gone, they are in the tank",
        "acclimated and in", "no bags left, all in the racks",
    ],
    None: [
        "some in the tank, rest still in bags", "half the bags are open", "some are in the tub",
        "most of them are still tied", "half are in, half are out",
        "netted 3 of them, the others are still shut", "one bag opened, the rest tied",
        "first two in the tub, the rest in bags", "opened one, other not", "floating",
        "should they go in the tank or a tub", "on the table", "no idea", "tank is at 25",
        "tank is ready", "still in the bags", "in their bags", "the manager is out",
        "the lights are out",
        "2 bags open, 3 still shut", "in the tank?? or in the bag",
    ],
}  # fmt: skip
EVERY = [(text, place) for place, texts in LINES.items() for text in texts]


@pytest.mark.parametrize("text, place", EVERY)
def test_where_they_are(text: str, place: str | None) -> None:
    heard = hear("where_are_they", text)
    assert heard.get("place") == (None if place is None else PLACES[place])
    assert place is not None or {"ask_back", "unknown", "history"} & set(heard)


SURE = [(text, place) for text, place in EVERY if place is not None]


@given(
    line=st.sampled_from(SURE), shape=st.sampled_from([str.upper, str.title, str.capitalize]),
    end=st.sampled_from(["", ".", "!", " .", " mate", "  "]),
)  # fmt: skip
@settings(max_examples=80)
def test_capitals_and_full_stops_move_no_fish(
    line: tuple[str, str], shape: object, end: str
) -> None:
    assert hear("where_are_they", shape(line[0]) + end).get("place") == PLACES[line[1]]  # type: ignore[operator]


@given(
    place=st.sampled_from(["the tank", "a tub", "the pond", "the bucket"]),
    ahead=st.sampled_from(
        ["not in {} yet", "will go in {}", "going in {} later", "before they go in {}",
        "waiting for {}",
         "cant go in {}", "want to put them in {}", "next to {}", "nothing is in {} yet",
         "no fish in {}"]
    ),
    now=st.sampled_from([("bags still tied", "closed"), ("bags are shut", "closed")]),
    last=st.booleans(),
)  # fmt: skip
@settings(max_examples=60)
def test_a_place_that_lies_ahead_holds_no_fish(
    place: str, ahead: str, now: tuple[str, str], last: bool
) -> None:
    parts = [ahead.format(place), now[0]]
    heard = hear("where_are_they", ", ".join(parts if last else parts[::-1]))
    assert heard.get("place") in (PLACES[now[1]], None), heard
    assert heard.get("place") or heard["ask_back"]


@pytest.mark.parametrize("question", ["breathing_and_posture", "behaviour", "counts"])
@pytest.mark.parametrize("text", ["gasping in the tank", "4 dead in the bag", "2 down in the tub"])
def test_a_place_beside_a_sign_takes_nothing_away_from_it(question: str, text: str) -> None:
    heard = hear(question, text, 40)
    assert heard.get("signs_seen") or heard.get("counts"), heard
