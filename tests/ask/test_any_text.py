"""Whatever is typed, no session breaks: random lines, hypothesis and all.

Laws checked on the way: the case on disk is the case in memory, no answer
given is lost, nothing typed is turned into a sign without its words.
"""

from __future__ import annotations

import io
import string
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.choosing import NotUnderstood, pick
from advisor.ask.answers.field_numbers import FIELDS, read_number, values_of
from advisor.ask.answers.lots import lot_ids, read_lots
from advisor.ask.session import session
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.screens.session.keep import Keeper
from advisor.screens.session.talk import Talk
from tests.ask.conftest import Played, read
from tests.clock import Clock

#: What people may type: keys, numbers, units, words of the trade, and anything at all.
TYPED = st.one_of(
    st.sampled_from(
        ["", "u", "?", "b", "=", "d", "d 1", "p", "0", "1", "2", "1 3", "7", "11", "99", "y", "n",
         "30 h", "2 days", "78 F", "25", "7.4", "12", "0.5 ppm", ">8", "1,500", "fine", "cycled",
         "treated", "stressed", "gulping air", "not gasping", "40 guppies", "40 guppies, 12 neons",
         "2 dead 5 down", "5 to 12 C", "4 dKH", "netted", "meter", "a few", "all"]
    ),
    st.text(string.printable, max_size=25),
    st.text(max_size=12),
    st.integers(-5, 10**9).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(lambda x: f"{x:g}"),
)  # fmt: skip
RELAXED = settings(
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


@given(text=st.text(max_size=80), several=st.booleans())
@settings(RELAXED, max_examples=100)
def test_picking_gives_lines_or_one_sentence(text: str, several: bool) -> None:
    lines = {"a": "netted over", "b": "poured in with bag water", "c": "dripped"}
    try:
        found = pick(text, lines, several=several)
    except NotUnderstood as fault:
        assert "\n" not in str(fault).strip("\n")
    else:
        assert set(found.keys) <= set(lines)
        assert len(found.keys) <= 1 or several


@given(text=st.text(max_size=60), field=st.sampled_from(sorted({*FIELDS, "lot.bags"})))
@settings(RELAXED, max_examples=100)
def test_numbers_are_finite_or_refused(text: str, field: str) -> None:
    try:
        values = values_of(read_number(text, field), field)
    except AdvisorError:
        return
    assert all(abs(value) < 1e12 for value in values.values())


@given(text=st.text(max_size=120))
@settings(RELAXED, max_examples=80)
def test_lots_never_break(text: str) -> None:
    try:
        drafts = read_lots(text)
    except NotUnderstood:
        pass
    else:
        assert len(set(lot_ids(drafts))) == len(drafts)


def run(lines: list[str], reasoner: Reasoner, folder: Path) -> Played:
    clock = Clock()
    keeper = Keeper(Talk(io.StringIO(), lines, width=60), folder, clock)
    played = read(session(Case(), reasoner, clock), keeper)
    assert played.status in (0, 2)
    return played


@given(lines=st.lists(TYPED, max_size=25))
@settings(RELAXED, max_examples=8)
def test_any_lines_make_a_session_that_ends_well(
    lines: list[str], reasoner: Reasoner, tmp_path: Path
) -> None:
    played = run(lines, reasoner, tmp_path)
    path = played.keeper.path
    if path is not None:
        assert load_case(path) == played.case
        path.unlink()
    else:
        assert not played.case.session.answered


@pytest.mark.slow
@given(lines=st.lists(TYPED, max_size=60))
@settings(RELAXED, max_examples=400)
def test_any_lines_make_a_session_that_ends_well_at_length(
    lines: list[str], reasoner: Reasoner, tmp_path: Path
) -> None:
    played = run(lines, reasoner, tmp_path)
    if played.keeper.path is not None:
        assert load_case(played.keeper.path) == played.case
        played.keeper.path.unlink()
