"""How much, how long: quantities for the actions, worked out for this tank.

Pure functions of plain numbers. What fish bear comes in as an argument, from
``amount.given`` in the rules; the chemistry is that of :mod:`advisor.water`.
"""

from __future__ import annotations

from advisor.advice.amounts.work_out import FORMULAS, changes_water, unknown_names, work_out
from advisor.advice.amounts.worked import NotWorkedOut, Worked

__all__ = ["FORMULAS", "NotWorkedOut", "Worked", "changes_water", "unknown_names", "work_out"]
