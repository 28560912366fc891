"""Every law can be broken and can be kept, and says where it comes from."""

from __future__ import annotations

import pytest

from tests.laws.every import LAWS
from tests.laws.every_sample import SAMPLES, Sample


@pytest.mark.parametrize("tried", SAMPLES, ids=lambda tried: tried.law)
def test_a_law_tells_a_bad_plan_from_a_good_one(tried: Sample) -> None:
    law = LAWS[tried.law]
    assert not law.holds(tried.situation, tried.breaks), f"not broken: {law.says}"
    assert law.holds(tried.situation, tried.keeps), f"not kept: {law.says}"


def test_every_law_is_tried_by_hand() -> None:
    assert {tried.law for tried in SAMPLES} == set(LAWS)


def test_every_law_reads_like_a_sentence_and_names_its_source() -> None:
    for law in LAWS.values():
        assert law.says[0].isupper() and law.says.endswith("."), law.name
        assert len(law.source) > 20, law.name
        assert law.kind in ("never", "must"), law.name
    assert len(LAWS) >= 65
