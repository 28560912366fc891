"""Each law that the second reviewer called unsound answers the reviewer's example rightly."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.laws import reviewed_text  # noqa: F401 - enters its examples
from tests.laws.every import LAWS
from tests.laws.reviewed import EXAMPLES, Example

FILE = Path(__file__).with_name("second_review.tsv")


@pytest.mark.parametrize("tried", EXAMPLES, ids=lambda tried: tried.law)
def test_the_law_answers_the_reviewers_example(tried: Example) -> None:
    assert LAWS[tried.law].holds(tried.situation, tried.plan) is tried.allowed


def test_every_unsound_law_has_an_example_or_is_gone() -> None:
    with FILE.open(encoding="utf-8", newline="") as rows:
        unsound = {
            row["law"] for row in csv.DictReader(rows, delimiter="\t") if row["verdict"] != "sound"
        }
    assert unsound & set(LAWS) <= {tried.law for tried in EXAMPLES}
