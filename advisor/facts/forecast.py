"""Forecast of the sealed bag as facts, when the case says enough to make one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.case import Case, Lot
from advisor.facts.record import Record
from advisor.rulebase.species import Kind

Records = Mapping[tuple[str, str], Record]


def forecast_records(case: Case, lot: Lot, kind: Kind | None, records: Records) -> Iterator[Record]:
    """Bag chemistry foreseen from load, time and temperature; nothing when too little is known."""
    yield from ()
