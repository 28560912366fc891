"""The drawn deliveries: mostly calm, typed as people type, the same for the same seed."""

from __future__ import annotations

import random
from collections import Counter

from tests.laws.check import drawn
from tests.laws.mixes import natural_data
from tests.laws.scenes import SCENES
from tests.laws.situation import lots_of

DRAWS = 200


def _drawn() -> list[tuple[dict, str]]:
    return [natural_data(random.Random(seed)) for seed in range(DRAWS)]


def test_most_of_a_year_is_calm_and_a_tenth_or_so_fails() -> None:
    truths = Counter(truth for _, truth in _drawn())
    assert truths["needs nothing"] + truths["watch"] > 0.55 * DRAWS
    assert 0.05 * DRAWS < truths["failing now"] < 0.25 * DRAWS
    assert set(truths) == {"needs nothing", "watch", "trouble", "failing now"}


def test_the_truth_shows_in_the_fish() -> None:
    for data, truth in _drawn():
        (lot,) = lots_of(data).values()
        if truth == "needs nothing":
            assert not lot.distress, data
        if truth == "failing now" and "leaks" not in data["delivery"]["title"]:
            assert lot.distress or "leaking" in data["delivery"]["title"], data


def test_no_hand_writes_the_ends_of_a_band() -> None:
    readings = [
        reading
        for data, _ in _drawn()
        for water in ("bag", "tank")
        for reading in data["observation"][0].get(water, {}).values()
    ]
    assert not any(isinstance(r, dict) and {"low", "high"} & set(r) for r in readings)
    zeros = [r for r in readings if isinstance(r, dict) and r["value"] == 0]
    assert len(zeros) > DRAWS / 2
    assert {r["kit"] for r in zeros} >= {"colour_card", "drops", "strip"}
    assert any(isinstance(r, str) and r.endswith("F") for r in readings)


def test_the_same_seed_draws_the_same_delivery() -> None:
    assert drawn("natural", 7) == drawn("natural", 7)
    assert drawn("wild", 7) == drawn("wild", 7)


def test_every_scene_can_be_drawn() -> None:
    titles = {
        data["delivery"]["title"] for data, _ in map(natural_data, map(random.Random, range(900)))
    }
    assert titles >= {make.__name__.replace("_", " ") for make, _, _ in SCENES}
