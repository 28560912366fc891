"""The delivery as the advisor keeps it: model, readings, files.

>>> case = loads_case('format = "arrival-case-1"\\n[transit]\\nhours_sealed = 30')
>>> case.transit.hours_sealed
30.0
>>> print(dumps_case(case), end="")
format = "arrival-case-1"
<BLANKLINE>
[transit]
hours_sealed = 30
"""

from __future__ import annotations

from advisor.case.file import (
    ABSENT,
    ChangedOnDisk,
    load_case,
    load_with_stamp,
    save_case,
    stamp,
)
from advisor.case.model import Case, Lot, Observation
from advisor.case.readings import Reading, Readings
from advisor.case.schema import case_schema
from advisor.case.toml_text import dumps_case, loads_case

__all__ = [
    "ABSENT",
    "Case",
    "ChangedOnDisk",
    "Lot",
    "Observation",
    "Reading",
    "Readings",
    "case_schema",
    "dumps_case",
    "load_case",
    "load_with_stamp",
    "loads_case",
    "save_case",
    "stamp",
]
