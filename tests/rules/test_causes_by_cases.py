"""Each cause speaks up where the library expects it, and keeps quiet in its near misses.

A near miss of a cause is a case in which some rule speaks for it although the
case's source expects another.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.results import LotResult
from advisor.case.model import Expected
from advisor.explain.replay.check_cases import read_exceptions
from advisor.rulebase import load_rulebase

Library = list[tuple[str, Expected, LotResult]]
CAUSES = sorted(load_rulebase().causes)
KNOWN = {
    Path(name).stem: fails
    for name, fails in read_exceptions(
        Path(__file__).parents[1] / "replay" / "exceptions.toml"
    ).items()
}


@pytest.mark.parametrize("cause", CAUSES)
def test_it_speaks_where_it_is_expected(library: Library, cause: str) -> None:
    """In every case that expects it; where several are accepted one of them stands first.

    Left out are the cases that tests/replay/exceptions.toml lists with a reason.
    """
    expecting = [each for each in library if cause in each[1].first_cause]
    assert expecting, "no case in the library expects it first"
    firsts = []
    for name, expected, lot in expecting:
        if "first_cause" in KNOWN.get(name, ()):
            continue
        firsts.append(lot.causes[0].id)
        assert firsts[-1] in expected.first_cause, f"{name}: {firsts[-1]}"
        if expected.first_cause == (cause,) and cause != "settling":  # wins where nothing is wrong
            assert lot.causes[0].evidence_for, f"{name}: first on its starting odds alone"
    assert cause in firsts


@pytest.mark.parametrize("cause", CAUSES)
def test_it_keeps_quiet_in_a_near_miss(library: Library, cause: str) -> None:
    near = [
        next(c for c in lot.causes if c.id == cause)
        for _, expected, lot in library
        if cause not in {*expected.first_cause, *expected.in_first_three}
        and next(c for c in lot.causes if c.id == cause).evidence_for
    ]
    assert near, "no case in the library is a near miss of it"
    quiet = [c for c in near if c.standing in ("unlikely", "possible")]
    assert 2 * len(quiet) > len(near), (len(quiet), len(near))


def test_no_case_is_told_what_must_not_be_done(library: Library) -> None:
    told = {
        (name, action.id)
        for name, expected, lot in library
        for action in lot.actions
        if action.id in expected.never
    }
    assert not told
