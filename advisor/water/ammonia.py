"""Un-ionised ammonia: the share of total ammonia that passes a gill easily.

``ph`` is what a meter calibrated in the ordinary (NBS/NIST) buffers reads. In
sea water that reading lies close to the free hydrogen-ion scale; a constant on
the *total* scale would overstate NH3 by 15 to 26 % and is never mixed with it.
"""

from __future__ import annotations

import math

from advisor.water.constants import EMERSON, KELVIN, log_gamma1_davies
from advisor.water.formulas import published
from advisor.water.input_checks import check
from advisor.water.seawater import SEA_FROM_G_KG

_PH = {"ph": (0.0, 14.0, "")}
_FRESH = {"temperature_c": (0.0, 50.0, "°C")}


@published(
    "Emerson K, Russo RC, Lund RE, Thurston RV (1975) J. Fish. Res. Board Can. 32:2379-2383",
    equation="0.09018 + 2729.92 / ({temperature_c} + 273.15)",
    unit="1",
    ranges=_FRESH,
)
def pka_fresh(temperature_c: float) -> float:
    """pKa of ammonium in fresh water. (One web page misprints 2729.92 as 2727.92.)"""
    check("temperature_c", temperature_c)
    return EMERSON[0] + EMERSON[1] / (temperature_c + KELVIN)


@published(
    "Bell TG, Johnson MT, Jickells TD, Liss PS (2008) Environ. Chem. 5:258 "
    "(corrigendum to 4:183-186)",
    equation="10.0423 - 0.0315536 * {temperature_c} + 0.003071 * {salinity_g_kg}",
    unit="1",
    ranges={"temperature_c": (10.0, 30.0, "°C"), "salinity_g_kg": (5.0, 35.0, "g/kg")},
)
def pka_seawater(temperature_c: float, salinity_g_kg: float) -> float:
    """pKa of ammonium in sea and brackish water, for pH as an ordinary meter reads it.

    Temperature in °C, not kelvin. Over the range covered within 0.02 of Clegg
    & Whitfield (1995) on the free scale.
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    return 10.0423 - 0.0315536 * temperature_c + 0.003071 * salinity_g_kg


@published(
    "Clegg SL, Whitfield M (1995) Geochim. Cosmochim. Acta 59:2403-2421, eq. 18; "
    "coefficients read in PyCO2SYS",
    equation="Clegg-Whitfield(t = {temperature_c}, S = {salinity_g_kg}), total scale",
    unit="1",
    ranges={"temperature_c": (-2.0, 40.0, "°C"), "salinity_g_kg": (0.0, 40.0, "g/kg")},
)
def pka_total_scale(temperature_c: float, salinity_g_kg: float) -> float:
    """pKa of ammonium for pH on the *total* scale (tris buffers in sea water, dyes).

    Never for a meter calibrated in NBS/NIST buffers.
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    t, s = temperature_c + KELVIN, salinity_g_kg
    root_t = t**0.5
    pk = 9.244605 - 2729.33 * (1.0 / 298.15 - 1.0 / t)
    pk += (0.04203362 - 11.24742 / t) * s**0.25
    pk += (-13.6416 + 1.176949 * root_t - 0.02860785 * t + 545.4834 / t) * s**0.5
    pk += (-0.1462507 + 0.0090226468 * root_t - 0.0001471361 * t + 10.5425 / t) * s**1.5
    pk += (0.004669309 - 0.0001691742 * root_t - 0.5677934 / t) * s**2
    pk += (-2.354039e-05 + 0.009698623 / t) * s**2.5
    return float(pk - math.log10(1.0 - 0.001005 * s))  # per kg of water to per kg of sea water


def pka(temperature_c: float, salinity_g_kg: float = 0.0) -> float:
    """pKa of ammonium at any salinity, for pH as an ordinary meter reads it.

    Fresh water by Emerson, from 5 g/kg by Bell; between them a straight line
    in salinity, which is ours, so that the value does not jump.
    """
    if salinity_g_kg >= SEA_FROM_G_KG:
        return pka_seawater(temperature_c, salinity_g_kg)
    check("salinity_g_kg", salinity_g_kg)
    fresh = pka_fresh(temperature_c)
    sea = pka_seawater(temperature_c, SEA_FROM_G_KG)
    return fresh + (sea - fresh) * salinity_g_kg / SEA_FROM_G_KG


def _pka_formula(salinity_g_kg: float) -> str:
    return "pka_seawater" if salinity_g_kg >= SEA_FROM_G_KG else "pka_fresh"


_EQUILIBRIUM = (
    "acid-base equilibrium with the pKa of Emerson et al. (1975) in fresh water, "
    "Bell et al. (2008) in sea water"
)


@published(
    _EQUILIBRIUM,
    equation="1 / (1 + 10^({pka} - {ph}))",
    unit="fraction of TAN",
    ranges=_PH,
    parts={"pka": pka},
    rests_on=_pka_formula,
)
def unionised_fraction(ph: float, temperature_c: float, salinity_g_kg: float = 0.0) -> float:
    """Share of total ammonia present as NH3, 0 to 1.

    ph            : pH as an ordinary meter or kit reads it, 0 to 14
    temperature_c : water temperature [°C]
    salinity_g_kg : salinity [g/kg], 0 for fresh water

    Raises AdvisorError outside those bounds.
    """
    check("ph", ph)
    return float(1.0 / (1.0 + 10.0 ** (pka(temperature_c, salinity_g_kg) - ph)))


@published(
    _EQUILIBRIUM,
    equation="{tan_mg_l} / (1 + 10^({pka} - {ph}))",
    unit="mg N/L",
    ranges=_PH,
    parts={"pka": pka},
    rests_on=_pka_formula,
)
def unionised_ammonia_mg_l(
    tan_mg_l: float, ph: float, temperature_c: float, salinity_g_kg: float = 0.0
) -> float:
    """Un-ionised ammonia [mg N/L] from total ammonia nitrogen [mg N/L].

    As the handbook tables, and the limits built on them, do: without a
    correction for dissolved salts in fresh water.

    >>> round(unionised_ammonia_mg_l(2.0, ph=7.8, temperature_c=26.0), 4)
    0.0739
    """
    check("tan_mg_l", tan_mg_l)
    return tan_mg_l * unionised_fraction(ph, temperature_c, salinity_g_kg)


@published(
    "Emerson et al. (1975) with the activity coefficient of Davies (1962) on NH4+",
    equation="1 / (1 + 10^({pka} - {log_gamma} - {ph}))",
    unit="fraction of TAN",
    ranges=_FRESH | _PH | {"ionic_strength_mol_l": (0.0, 0.5, "mol/L")},
    parts={"pka": pka_fresh, "log_gamma": log_gamma1_davies},
)
def unionised_fraction_with_activity(
    ph: float, temperature_c: float, ionic_strength_mol_l: float
) -> float:
    """The fresh-water share corrected for dissolved ions: 0.92 times at 7 mmol/L.

    What a solved water uses (:func:`advisor.water.carbonate.solve`); tables do not.
    """
    check("ph", ph)
    check("ionic_strength_mol_l", ionic_strength_mol_l)
    shift = -log_gamma1_davies(ionic_strength_mol_l, temperature_c)
    return float(1.0 / (1.0 + 10.0 ** (pka_fresh(temperature_c) + shift - ph)))


def fraction_total_scale(ph_total: float, temperature_c: float, salinity_g_kg: float) -> float:
    """Share of total ammonia present as NH3, for a pH on the *total* scale only."""
    check("ph", ph_total)
    return float(1.0 / (1.0 + 10.0 ** (pka_total_scale(temperature_c, salinity_g_kg) - ph_total)))
