"""A case saved over a file that a person wrote: their comments and order stay, nothing is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.case import Case, load_case, loads_case, save_case
from advisor.case.amend import amended
from advisor.case.toml_text import dumps_case
from tests.case.strategies import cases

CASES = Path(__file__).parents[2] / "cases"

BY_HAND = """\
# Tuesday's boxes, written down by the night hand
format = "arrival-case-1"

[delivery]
title = "Two lots"     # as on the waybill

[transit]
hours_sealed = 30

# the big bag
[[lot]]
id = "barbs"
count = 40   # counted twice

[[lot]]
id = "rays"  # not yet unpacked

# first look, lights low
[[observation]]
at_hours = 0.2
lot = "barbs"
tank.temperature_c = "78 F"   # glass thermometer
tank.ph = 7.2
seen = [
    "clamped_fins",   # most of them
]
"""
COMMENTS = (
    "# Tuesday's boxes, written down by the night hand",
    "# as on the waybill",
    "# the big bag",
    "# counted twice",
    "# not yet unpacked",
    "# first look, lights low",
    "# glass thermometer",
    "# most of them",
)


def changed(case: Case, **parts: object) -> Case:
    return Case.model_validate({**case.model_dump(), **parts})


def test_nothing_changed_leaves_the_text_to_the_letter() -> None:
    assert amended(BY_HAND, loads_case(BY_HAND)) == BY_HAND


def test_a_new_look_and_a_changed_count_leave_every_comment() -> None:
    case = loads_case(BY_HAND)
    lots = [{**case.lot[0].model_dump(), "count": 39}, case.lot[1].model_dump()]
    looks = [*(o.model_dump() for o in case.observation), {"at_hours": 1, "tank": {"ph": 7.4}}]
    later = changed(case, lot=lots, observation=looks, history={"released": "yes"})
    text = amended(BY_HAND, later)
    assert loads_case(text) == later
    assert [c for c in COMMENTS if c not in text] == []
    assert 'tank.temperature_c = "78 F"' in text  # what was typed stays as it was typed


def test_a_look_corrected_in_place_keeps_the_comments_of_the_others() -> None:
    later = loads_case(BY_HAND.replace("tank.ph = 7.2", "tank.ph = 6.9\ntank.do_mg_l = 7.5"))
    text = amended(BY_HAND, later)
    assert loads_case(text) == later
    assert [c for c in COMMENTS if c not in text] == []


def test_a_lot_taken_away_takes_its_own_comment_only() -> None:
    case = loads_case(BY_HAND)
    later = changed(case, lot=[case.lot[0].model_dump()])
    text = amended(BY_HAND, later)
    assert loads_case(text) == later
    assert "# counted twice" in text and "not yet unpacked" not in text


def test_saving_over_a_file_keeps_its_comments(tmp_path: Path) -> None:
    path = tmp_path / "case.toml"
    path.write_text(BY_HAND, encoding="utf-8")
    later = changed(load_case(path), delivery={"title": "Two lots, one late"})
    save_case(later, path)
    assert load_case(path) == later
    kept = path.read_text(encoding="utf-8")
    assert [c for c in COMMENTS if c not in kept] == []


@pytest.mark.parametrize("old", ["# no case\nx = [", "# x\n", "\x00#", "# other\nkey = 1\n"])
def test_text_that_is_no_case_is_written_anew(old: str) -> None:
    case = loads_case(BY_HAND)
    assert amended(old, case) == dumps_case(case)


SHIPPED = sorted(CASES.glob("*/*.toml"))


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(SHIPPED), cases())
def test_any_case_over_any_shipped_file_reads_as_itself(old: Path, case: Case) -> None:
    assert loads_case(amended(old.read_text(encoding="utf-8"), case), weighed=False) == case


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases(), cases())
def test_any_case_over_any_other_reads_as_itself(first: Case, second: Case) -> None:
    assert loads_case(amended("# kept\n" + dumps_case(first), second), weighed=False) == second
