"""Chlorine and chloramine: what thiosulfate takes up, and the ammonia that is freed.

Amounts of chlorine are as Cl2, which is how kits read both free and total.
"""

from __future__ import annotations

from advisor.water import masses
from advisor.water.formulas import published
from advisor.water.input_checks import check_not_negative

#: mg of sodium thiosulfate pentahydrate per mg of Cl2. To sulfate is the least that can
#: work (0.88); to tetrathionate (7.0) is what to count on.
THIOSULFATE_TO_SULFATE = masses.NA2S2O3_5H2O / (4 * masses.CL2)
THIOSULFATE_TO_TETRATHIONATE = 2 * masses.NA2S2O3_5H2O / masses.CL2


@published(
    "2 S2O3-- + Cl2 -> S4O6-- + 2 Cl- (7.0 mg/mg), at best S2O3-- + 4 Cl2 + 5 H2O -> 2 SO4-- + "
    "8 Cl- + 10 H+ (0.88 mg/mg); molar masses, IUPAC",
    equation="{chlorine_mg_l} * {volume_l} * {mg_per_mg} / 1000",
    unit="g",
)
def thiosulfate_g(
    chlorine_mg_l: float, volume_l: float, mg_per_mg: float = THIOSULFATE_TO_TETRATHIONATE
) -> float:
    """Sodium thiosulfate pentahydrate that takes up the chlorine in this much water."""
    check_not_negative("chlorine_mg_l", chlorine_mg_l, "mg/L")
    check_not_negative("volume_l", volume_l, "L")
    check_not_negative("mg_per_mg", mg_per_mg)
    return chlorine_mg_l * volume_l * mg_per_mg / 1000.0


@published(
    "NH2Cl counted as Cl2 holds one N per Cl2; molar masses, IUPAC",
    equation="{chloramine_mg_l} * 14.007 / 70.90",
    unit="mg N/L",
)
def ammonia_freed_mg_l(chloramine_mg_l: float) -> float:
    """Total ammonia nitrogen left when monochloramine (as Cl2) is broken by a dechlorinator."""
    check_not_negative("chloramine_mg_l", chloramine_mg_l, "mg/L")
    return chloramine_mg_l * masses.N / masses.CL2
