"""Whatever a case holds, an amount is a finite figure or says what is missing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.advice.amounts import work_out
from advisor.advice.facts.record import Record
from advisor.advice.facts.sheet import FactSheet
from advisor.case.model import Lot
from advisor.rulebase import RuleBase, load_rulebase

BASE: RuleBase = load_rulebase()
AMOUNTS = {a.id: a.amount for a in BASE.actions.values() if a.amount is not None}
USED = sorted(
    {"tank_volume_l", "lot_mass_g", "fish_count", "present_temperature_c", "present_salinity_g_kg"}
    | {f"{w}_{p}" for w in ("tank", "tap") for p in ("ph", "temperature_c", "tan_mg_l")}
    | {f"{w}_alkalinity_mg_l_caco3" for w in ("tank", "tap")}
    | {word for a in AMOUNTS.values() for word in a.given.values() if isinstance(word, str)}
)


@st.composite
def sheets(draw: st.DrawFn) -> FactSheet:
    """Any of the quantities the amounts use, given or not, banded or not, within its bounds."""
    records = {}
    for name in USED:
        if not draw(st.booleans()):
            continue
        quantity = BASE.quantities[name]
        ends = st.floats(quantity.low, quantity.high, allow_nan=False)
        low, value, high = sorted(draw(st.tuples(ends, ends, ends)))
        kind = quantity.kind
        records[(kind, name)] = Record(kind, name, value, "measured", low, high, quantity.unit)
    return FactSheet(Lot(id="a"), None, "arrival", 0.0, records)


@pytest.mark.parametrize("action", AMOUNTS)
@settings(max_examples=40)
@given(sheet=sheets())
def test_finite_or_missing(action: str, sheet: FactSheet) -> None:
    results = work_out(AMOUNTS[action], sheet)
    assert results
    for result in results:
        if result.value is None:
            assert result.missing or result.working
            continue
        assert result.low is not None and result.high is not None
        assert all(math.isfinite(n) for n in (result.value, result.low, result.high))
        assert result.low <= result.value <= result.high
        assert result.working and result.source


def test_a_change_never_exceeds_the_tank() -> None:
    record = Record("computed", "tank_volume_l", 80.0, "measured", 80.0, 80.0, "L")
    sheet = FactSheet(Lot(id="a"), None, "arrival", 0.0, {("computed", "tank_volume_l"): record})
    for action, amount in AMOUNTS.items():
        if amount.formula.startswith("water_change"):
            value = work_out(amount, sheet)[0].value
            assert value is not None and 0.0 <= value <= 80.0, action
