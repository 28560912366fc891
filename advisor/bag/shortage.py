"""What shortage of oxygen and too much CO2 do to the metabolism, for numbers and arrays."""

from __future__ import annotations

from typing import Any

from advisor.bag import defaults as d
from advisor.bag.chemistry import Working
from advisor.water import masses
from advisor.water.masses import CO2

_O2_MG = 2.0 * masses.O

#: Oxygen [mmol/L] under which the quotients rise, and CO2 [mmol/L] from which fish grow quiet.
SHORT_OF_O2 = d.QUOTIENTS_RISE_MG_L / _O2_MG
NARCOSIS_FROM = d.NARCOSIS_CO2_MG_L[0] / CO2
_NARCOSIS_FULL = d.NARCOSIS_CO2_MG_L[1] / CO2
_LOWEST = d.QUOTIENTS_TOP_MG_L / _O2_MG


def quotients(o2: Any, rq: Any, nitrogen: Any, half_rate: Any, w: Working) -> tuple[Any, Any]:
    """CO2 and ammonia given off per oxygen used [mol/mol] at this oxygen [mmol/L].

    They rise, straight in the logarithms, from 2 mg/L to the published top at
    0.6 mg/L; but what is given off stays under so many times what the fish
    give off with oxygen ample, since they live on reserves then.
    """
    o2 = w.maximum(o2, 1e-6)
    lack = w.minimum(w.maximum(w.log(SHORT_OF_O2 / o2), 0.0) / w.log(SHORT_OF_O2 / _LOWEST), 1.0)
    still_used = o2 / (o2 + half_rate)

    def risen(usual: Any, top: float, most: float) -> Any:
        usual = w.maximum(usual, 1e-9)
        up = usual * w.exp(lack * w.maximum(w.log(top / usual), 0.0))
        return w.maximum(w.minimum(up, most * usual / still_used), usual)

    return (
        risen(rq, d.RQ_WITHOUT_O2, d.MOST_CO2_WITHOUT_O2),
        risen(nitrogen, d.NITROGEN_WITHOUT_O2, d.MOST_N_WITHOUT_O2),
    )


def narcosis(co2: Any, share: Any, w: Working) -> Any:
    """Share of the full oxygen use that this CO2 [mmol/L] leaves a fish."""
    part = (co2 - NARCOSIS_FROM) / (_NARCOSIS_FULL - NARCOSIS_FROM)
    return 1.0 - share * w.minimum(w.maximum(part, 0.0), 1.0)
