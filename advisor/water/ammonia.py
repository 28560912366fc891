"""Un-ionised ammonia: the share of total ammonia that passes a gill.

``ph`` is what a meter calibrated in the ordinary (NBS/NIST) buffers reads. In
sea water that reading is close to the free hydrogen-ion scale; a constant on
the *total* scale would overstate NH3 by 15 to 26 % and is never mixed with it.
"""

from __future__ import annotations

from advisor.water.carbonate import KELVIN, log_gamma1_davies
from advisor.water.inputs import check

#: Below this salinity [g/kg] the sea-water fit was not measured; between 0 and
#: here the pKa runs straight from the fresh-water to the sea-water equation.
SEAWATER_FROM_G_KG = 5.0


def pka_fresh(temperature_c: float) -> float:
    """pKa of ammonium in fresh water.

    Emerson K, Russo RC, Lund RE, Thurston RV (1975) J. Fish. Res. Board Can.
    32:2379-2383: pKa = 0.09018 + 2729.92 / T, T in kelvin. Holds 0 to 50 °C.
    """
    check("temperature_c", temperature_c)
    return 0.09018 + 2729.92 / (temperature_c + KELVIN)


def pka_seawater(temperature_c: float, salinity_g_kg: float) -> float:
    """pKa of ammonium in sea and brackish water, free (buffer-calibrated) scale.

    Bell TG, Johnson MT, Jickells TD, Liss PS (2008) Environ. Chem. 5:258:
    pKa = 10.0423 - 0.0315536 t + 0.003071 S, t in °C (not kelvin), S in g/kg.
    Holds 10 to 30 °C and 5 to 35 g/kg within 0.02 of Clegg & Whitfield (1995).
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    return 10.0423 - 0.0315536 * temperature_c + 0.003071 * salinity_g_kg


def pka(temperature_c: float, salinity_g_kg: float = 0.0) -> float:
    """pKa of ammonium at any salinity: fresh, sea, or straight between below 5 g/kg.

    The bridge is ours, so that the value does not jump; at its ends it is one
    of the two published equations.
    """
    if salinity_g_kg >= SEAWATER_FROM_G_KG:
        return pka_seawater(temperature_c, salinity_g_kg)
    fresh = pka_fresh(temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    sea = pka_seawater(temperature_c, SEAWATER_FROM_G_KG)
    return fresh + (sea - fresh) * salinity_g_kg / SEAWATER_FROM_G_KG


def unionised_fraction(ph: float, temperature_c: float, salinity_g_kg: float = 0.0) -> float:
    """Share of total ammonia present as NH3 (0 to 1): 1 / (1 + 10^(pKa - pH)).

    ph            : pH as an ordinary meter or kit reads it, 0 to 14
    temperature_c : water temperature [°C]
    salinity_g_kg : salinity [g/kg], 0 for fresh water

    Raises AdvisorError outside those bounds.
    """
    check("ph", ph)
    return 1.0 / (1.0 + 10.0 ** (pka(temperature_c, salinity_g_kg) - ph))


def unionised_ammonia_mg_l(
    tan_mg_l: float, ph: float, temperature_c: float, salinity_g_kg: float = 0.0
) -> float:
    """Un-ionised ammonia [mg N/L] from total ammonia nitrogen [mg N/L].

    As the handbook tables and the limits built on them do, without a
    correction for dissolved salts in fresh water.

    >>> round(unionised_ammonia_mg_l(2.0, ph=7.8, temperature_c=26.0), 4)
    0.0739
    """
    check("tan_mg_l", tan_mg_l)
    return tan_mg_l * unionised_fraction(ph, temperature_c, salinity_g_kg)


def unionised_fraction_at_ionic_strength(
    ph: float, temperature_c: float, ionic_strength_mol_l: float
) -> float:
    """The fresh-water share with the Davies correction on NH4+ (0.92 times at 7 mmol/L).

    What a simulation that carries ionic strength uses; tables do not.
    """
    check("ph", ph)
    check("ionic_strength_mol_l", ionic_strength_mol_l)
    shift = -log_gamma1_davies(ionic_strength_mol_l, temperature_c)
    return 1.0 / (1.0 + 10.0 ** (pka_fresh(temperature_c) + shift - ph))
