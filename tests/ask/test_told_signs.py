"""A sign told at another question of the same look is shown as told, and no list takes it back."""

from __future__ import annotations

import pytest

from tests.ask.conftest import Begin
from tests.said import joined


@pytest.mark.parametrize("line", ["0", "ulcers", "5"])
def test_a_told_sign_is_marked_and_stays(line: str, begin: Begin) -> None:
    bench = begin(["gasping, white spots", line])
    bench.put("breathing_and_posture")
    seen = {sign for look in bench.case.observation for sign in look.seen}
    assert "white_spots" in seen
    bench.put("skin")
    name = bench.at.reasoner.base.signs["white_spots"].name
    assert f"{name} (told)" in joined(bench.screen)
    assert "white_spots" in {sign for look in bench.case.observation for sign in look.seen}


def test_an_explicit_word_takes_it_back(begin: Begin) -> None:
    bench = begin(["gasping, white spots", "no white spots, ulcers"])
    bench.put("breathing_and_posture")
    bench.put("skin")
    (look,) = bench.case.observation
    assert "white_spots" not in look.seen and "ulcers" in look.seen
