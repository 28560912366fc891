"""Ammonia criteria of the US EPA for fresh water, as total ammonia nitrogen.

Protective limits for wild communities, not thresholds of harm to one fish.
"""

from __future__ import annotations

from advisor.water.formulas import published
from advisor.water.input_checks import check

_EPA_2013 = (
    "US EPA (2013) Aquatic Life Ambient Water Quality Criteria for Ammonia - Freshwater, "
    "EPA 822-R-13-001; equation read in public code of state agencies, checked against the "
    "adopted tables"
)
_RANGES = {"ph": (6.5, 9.0, ""), "temperature_c": (0.0, 30.0, "°C")}


def _two_sided(ph: float, turn: float, low: float, high: float) -> float:
    """low/(1 + 10^(turn - pH)) + high/(1 + 10^(pH - turn))."""
    return float(low / (1.0 + 10.0 ** (turn - ph)) + high / (1.0 + 10.0 ** (ph - turn)))


@published(
    _EPA_2013,
    equation="0.7249 (0.0114/(1 + 10^(7.204 - {ph})) + 1.6181/(1 + 10^({ph} - 7.204)))"
    " min(51.93, 23.12 10^(0.036 (20 - {temperature_c}))); with salmonids at most"
    " 0.275/(1 + 10^(7.204 - {ph})) + 39.0/(1 + 10^({ph} - 7.204))",
    unit="mg/L TAN as N",
    ranges=_RANGES,
)
def acute_criterion_tan_mg_l(ph: float, temperature_c: float, salmonids_present: bool) -> float:
    """Acute criterion: the one-hour mean that may be passed once in three years."""
    check("ph", ph)
    check("temperature_c", temperature_c)
    by_temperature = 23.12 * 10.0 ** (0.036 * (20.0 - temperature_c))
    invertebrates = 0.7249 * _two_sided(ph, 7.204, 0.0114, 1.6181)
    if not salmonids_present:
        return float(invertebrates * min(51.93, by_temperature))
    return float(min(_two_sided(ph, 7.204, 0.275, 39.0), invertebrates * by_temperature))


@published(
    _EPA_2013,
    equation="0.8876 (0.0278/(1 + 10^(7.688 - {ph})) + 1.1994/(1 + 10^({ph} - 7.688)))"
    " 2.126 10^(0.028 (20 - max({temperature_c}, 7)))",
    unit="mg/L TAN as N",
    ranges=_RANGES,
)
def chronic_criterion_tan_mg_l(ph: float, temperature_c: float) -> float:
    """Chronic criterion: the 30-day mean (the same with and without salmonids)."""
    check("ph", ph)
    check("temperature_c", temperature_c)
    by_temperature = 2.126 * 10.0 ** (0.028 * (20.0 - max(temperature_c, 7.0)))
    return float(0.8876 * _two_sided(ph, 7.688, 0.0278, 1.1994) * by_temperature)
