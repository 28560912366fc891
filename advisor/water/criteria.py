"""Ammonia criteria of the US EPA for fresh water, as total ammonia nitrogen.

Protective limits for wild communities, not thresholds of harm to one fish.
"""

from __future__ import annotations

from advisor.water.formulas import published
from advisor.water.input_checks import check, check_not_negative

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


@published(_EPA_2013, equation="2.5 * {chronic_tan_mg_l}", unit="mg/L TAN as N")
def highest_four_day_mean_tan_mg_l(chronic_tan_mg_l: float) -> float:
    """The highest four-day mean allowed within the 30 days."""
    check_not_negative("chronic_tan_mg_l", chronic_tan_mg_l, "mg/L")
    return 2.5 * chronic_tan_mg_l


@published(
    "US EPA (1999) Update of Ambient Water Quality Criteria for Ammonia, EPA-822-R-99-014; "
    "equation as in South Dakota ARSD 74:51:01 Appendix A",
    equation="0.275/(1 + 10^(7.204 - {ph})) + 39.0/(1 + 10^({ph} - 7.204)) with salmonids,"
    " 0.411/(1 + 10^(7.204 - {ph})) + 58.4/(1 + 10^({ph} - 7.204)) without",
    unit="mg/L TAN as N",
    ranges={"ph": (6.5, 9.0, "")},
)
def acute_criterion_1999_tan_mg_l(ph: float, salmonids_present: bool) -> float:
    """The acute criterion that the one of 2013 replaced; no temperature term."""
    check("ph", ph)
    low, high = (0.275, 39.0) if salmonids_present else (0.411, 58.4)
    return _two_sided(ph, 7.204, low, high)


@published(
    "US EPA (1999) Update of Ambient Water Quality Criteria for Ammonia, EPA-822-R-99-014; "
    "equation as in South Dakota ARSD 74:51:01 Appendix A",
    equation="(0.0577/(1 + 10^(7.688 - {ph})) + 2.487/(1 + 10^({ph} - 7.688)))"
    " 1.45 10^(0.028 (25 - {temperature_c})), the last at most 2.85 with early life stages; without"
    " them 1.45 10^(0.028 (25 - max({temperature_c}, 7)))",
    unit="mg/L TAN as N",
    ranges=_RANGES,
)
def chronic_criterion_1999_tan_mg_l(
    ph: float, temperature_c: float, early_life_stages_present: bool
) -> float:
    """The chronic criterion (30-day mean) that the one of 2013 replaced."""
    check("ph", ph)
    check("temperature_c", temperature_c)
    warmth = temperature_c if early_life_stages_present else max(temperature_c, 7.0)
    by_temperature = 1.45 * 10.0 ** (0.028 * (25.0 - warmth))
    if early_life_stages_present:
        by_temperature = min(2.85, by_temperature)
    return float(_two_sided(ph, 7.688, 0.0577, 2.487) * by_temperature)
