"""Molar masses [g/mol] from the IUPAC abridged atomic masses (2021)."""

from __future__ import annotations

H, C, N, O = 1.008, 12.011, 14.007, 15.999  # noqa: E741
NA, S, CL, CA = 22.990, 32.06, 35.45, 40.078

CO2 = C + 2 * O
HCO3 = H + C + 3 * O
CACO3 = CA + C + 3 * O
CAO = CA + O
NAHCO3 = NA + HCO3
NACL = NA + CL
NH3 = N + 3 * H
NH4 = N + 4 * H
NO2 = N + 2 * O
NO3 = N + 3 * O
CL2 = 2 * CL
#: Sodium thiosulfate pentahydrate, the crystals sold for dechlorination.
NA2S2O3_5H2O = 2 * NA + 2 * S + 3 * O + 5 * (2 * H + O)

#: mg of CaCO3 per milliequivalent.
CACO3_MG_PER_MEQ = CACO3 / 2
