"""Un-ionised ammonia: the share of total ammonia that passes a gill easily.

``ph`` is what a meter calibrated in the ordinary (NBS/NIST) buffers reads. In
sea water that reading lies close to the free hydrogen-ion scale; a constant on
the *total* scale would overstate NH3 by 15 to 26 % and is never mixed with it.
"""

from __future__ import annotations

from advisor.water.constants import EMERSON, KELVIN
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
