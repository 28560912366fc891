"""What shortage of oxygen and too much CO2 do to the metabolism, for numbers and arrays."""

from __future__ import annotations

import math
from typing import Any

from advisor.bag import fish_defaults as f
from advisor.bag.respiration import O2_MG
from advisor.bag.step_chemistry import Working
from advisor.water.masses import CO2

#: Oxygen [mmol/L] under which the quotients rise, and CO2 [mmol/L] from which fish grow quiet.
SHORT_OF_O2 = f.QUOTIENTS_RISE_MG_L / O2_MG
NARCOSIS_FROM = f.NARCOSIS_CO2_MG_L[0] / CO2
_NARCOSIS_FULL = f.NARCOSIS_CO2_MG_L[1] / CO2
_WHOLE_LACK = math.log(f.QUOTIENTS_RISE_MG_L / f.QUOTIENTS_TOP_MG_L)


def rises(o2: Any, rq: Any, nitrogen: Any, w: Working) -> tuple[Any, Any]:
    """How many times the quotients of CO2 and ammonia [mol/mol] rise at this oxygen [mmol/L].

    Straight in the logarithms, from 2 mg/L to the published tops at 0.6 mg/L.
    What is given off in all is bounded besides, see ``MOST_CO2_WITHOUT_O2``.
    """
    o2 = w.maximum(o2, 1e-6)
    lack = w.minimum(w.maximum(w.log(SHORT_OF_O2 / o2), 0.0) / _WHOLE_LACK, 1.0)

    def rise(usual: Any, top: float) -> Any:
        return w.exp(lack * w.maximum(w.log(top / w.maximum(usual, 1e-9)), 0.0))

    return rise(rq, f.RQ_WITHOUT_O2), rise(nitrogen, f.NITROGEN_WITHOUT_O2)


def narcosis(co2: Any, share: Any, w: Working) -> Any:
    """Share of the full oxygen use that this CO2 [mmol/L] leaves a fish."""
    part = (co2 - NARCOSIS_FROM) / (_NARCOSIS_FULL - NARCOSIS_FROM)
    return 1.0 - share * w.minimum(w.maximum(part, 0.0), 1.0)
