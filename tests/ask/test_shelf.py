"""The card of an open delivery says first what its assessment says first."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.ask.hands import grouped, steps_of
from advisor.ask.shelf import shelved
from advisor.ask.standing import short
from advisor.case import load_case, loads_case
from tests.clock import NOON

CASES = sorted((Path(__file__).parents[2] / "cases").rglob("*.toml"))
SEVERAL = [path for path in CASES if path.read_text("utf-8").count("[[lot]]") > 1]

#: As a foreman met it: what presses most is not the lot that was written down first.
TWO = """
[[lot]]
id = "gouramis"
species = "dwarf gourami"
count = 8
sealed = "no"
release_method = "netted"
released_at_hours = 0.0
[[lot]]
id = "neons"
species = "neon tetra"
count = 60
sealed = "no"
opened_at_hours = 0.0
[[observation]]
lot = "gouramis"
seen = ["lying_on_side"]
[[observation]]
lot = "neons"
seen = ["gasping_at_surface", "lying_on_side"]
counts.down = 30
"""


def test_the_lot_that_fails_most_comes_first(reasoner: Reasoner) -> None:
    case = loads_case(TWO)
    first = steps_of(grouped(assess(case, reasoner).lots)[0])[0]
    card = shelved(Path("delivery.toml"), case, reasoner, NOON)
    assert card.waiting[0] == short(first.text) and first.text.startswith("Out of that bag now")


@pytest.mark.parametrize("path", SEVERAL, ids=lambda path: path.stem)
def test_card_and_assessment_begin_alike(path: Path, reasoner: Reasoner) -> None:
    case = load_case(path)
    card = shelved(path, case, reasoner, NOON)
    if card.waiting:
        first = steps_of(grouped(assess(case, reasoner).lots)[0])[0]
        assert card.waiting[0] == short(first.text)
