"""One question, one answer: assess, bag, ask and the papers name the same bag, way and reading.

Each is asked through what it publishes: JSON where it prints it, else its text.
"""

from __future__ import annotations

import json
import random
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import default_reasoner
from advisor.ask.inquiry import Inquiry
from advisor.ask.release import _ordered
from advisor.case import Case, load_case, save_case
from advisor.case.figures import impossible
from advisor.papers.one_paper import make_paper
from advisor.papers.plain_paper import to_text
from advisor.screens.app import main
from advisor.wording.times import moment
from tests.replay.deliveries import delivery
from tests.screens.everything import CASES, SHIPPED

RANDOM = 12
ALL = [
    *(path if at % 10 == 0 else pytest.param(path, marks=pytest.mark.trial)
      for at, path in enumerate(SHIPPED)),
    *range(RANDOM),
]  # fmt: skip


def name(which: Path | int) -> str:
    return f"random-{which}" if isinstance(which, int) else which.relative_to(CASES).as_posix()


@cache
def reasoner() -> Any:
    return default_reasoner(None)


def case_of(which: Path | int) -> Case:
    if isinstance(which, Path):
        return load_case(which)
    rng = random.Random(7_000 + which)  # drawn until it is one that a file may hold
    drawn = (delivery(rng, reasoner().base) for _ in range(100))
    return next(case for case in drawn if not any(impossible(case)))


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    """The JSON that a command prints; None where it refuses."""
    status = main([*words, "--json"])
    said = capsys.readouterr()
    return json.loads(said.out) if status == 0 else None


@pytest.mark.parametrize("which", ALL, ids=name)
def test_all_screens_give_one_answer(
    which: Path | int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = case_of(which)
    file = which if isinstance(which, Path) else tmp_path / "random.toml"
    if isinstance(which, int):
        save_case(case, file)
    told = printed(capsys, "assess", str(file))
    order = [place["lot"] for place in told["opening_order"]]
    lots = {lot["lot"]: lot for lot in told["lots"]}

    bags = printed(capsys, "bag", str(file))
    if bags is not None:
        shown = [bag["name"] for bag in bags["bags"]]
        assert [lot for lot in order if lot in shown] == [lot for lot in shown if lot in order]
        for bag in bags["bags"]:
            move = lots[bag["name"]]["move"]
            assert bag["move"] in (None, move and move["chosen"]), bag["name"]
            if bag["move"] is not None:
                urgent = [a["text"] for a in lots[bag["name"]]["actions"] if a["emergency"]]
                assert urgent or bag["how"].lower().startswith(move["name"].lower())

    if order:
        last = max((look.at_hours for look in case.observation), default=0.0)
        now = moment(case.delivery.received, last) or datetime(2027, 3, 2, 12, 0)
        asked = Inquiry(case, reasoner(), lambda: now.replace(tzinfo=None))
        assert [place.lot for place in _ordered(asked)] == order

    note = " ".join(to_text(make_paper(case, "vet", reasoner())).split())
    for lot in lots.values():
        labels = ", ".join(each["label"] for each in lot["measure_next"])
        assert not labels or f"worth most next: {labels}." in note.replace("- ", "-")


def test_assess_twice_gives_the_same_twice() -> None:
    case = case_of(0)
    assert assess(case, reasoner()) == assess(case, reasoner())
