"""Constants of brackish and sea water, 5 to 45 g/kg, on the free hydrogen-ion scale.

An ordinary meter, set in the NBS/NIST buffers, reads in sea water within a few
hundredths of the free scale (junction potential differs between electrodes,
so +/-0.05 at best). Constants published on the total or sea-water scale are
brought to the free scale through bisulfate and hydrogen fluoride.

Covered: carbonate, borate, water, ammonium, in water with the proportions of
sea salt. Not covered: phosphate, silicate, sulfide, organic acids, waters salted
with plain NaCl (use the fresh-water model), hydrostatic pressure.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, NamedTuple

from advisor.water.constants import KELVIN
from advisor.water.formulas import published
from advisor.water.input_checks import check

#: From here up the sea-water constants are used [g/kg].
SEA_FROM_G_KG = 5.0

_COVERS = {"temperature_c": (0.0, 40.0, "°C"), "salinity_g_kg": (5.0, 45.0, "g/kg")}


class SeaConstants(NamedTuple):
    """Constants on the free scale [mol/kg sea water; kh mol/kg/atm], and total borate [mol/kg]."""

    k1: Any
    k2: Any
    kh: Any
    kw: Any
    kn: Any
    kb: Any
    borate: Any


class Scales(NamedTuple):
    """What turns free [H+] into the other scales: total = free * total_over_free, and so on."""

    total_over_free: Any
    seawater_over_free: Any


@lru_cache(maxsize=512)
@published(
    "K1, K2 Millero FJ (2010) Mar. Freshw. Res. 61:139-142; Kw Millero FJ (1995) Geochim. "
    "Cosmochim. Acta 59:661-677; KB Dickson AG (1990) Deep-Sea Res. 37:755-766; KH Weiss RF (1974) "
    "Mar. Chem. 2:203-215; ammonium Bell et al. (2008); borate Lee et al. (2010) Geochim. "
    "Cosmochim. Acta 74:1801-1811; coefficients read in PyCO2SYS",
    equation="published fits at t = {temperature_c}, S = {salinity_g_kg}, free scale",
    unit="mol/kg",
    ranges=_COVERS,
)
def sea_constants(temperature_c: float, salinity_g_kg: float) -> SeaConstants:
    """Carbonate, borate, water and ammonium constants of sea water, free scale.

    Raises AdvisorError outside -2 to 50 °C or 0 to 50 g/kg.
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    t = temperature_c + KELVIN
    return fits(t, salinity_g_kg, math.log(t), math.exp)


def fits(t: Any, s: Any, ln_t: Any, exp: Any) -> SeaConstants:
    """The fits themselves, for numbers and for arrays (t in kelvin)."""
    root = s**0.5
    total, sws = _scales(t, s, ln_t, exp)
    ln10 = math.log(10.0)
    pk1 = -126.34048 + 6320.813 / t + 19.568224 * ln_t
    pk1 += 13.4038 * root + 0.03206 * s - 5.242e-5 * s * s
    pk1 += (-530.659 * root - 5.8210 * s) / t - 2.0664 * root * ln_t
    pk2 = -90.18333 + 5143.692 / t + 14.613358 * ln_t
    pk2 += 21.3728 * root + 0.1218 * s - 3.688e-4 * s * s
    pk2 += (-788.289 * root - 19.189 * s) / t - 3.374 * root * ln_t
    ln_kw = 148.9802 - 13847.26 / t - 23.6521 * ln_t
    ln_kw += (-5.977 + 118.67 / t + 1.0495 * ln_t) * root - 0.01615 * s
    ln_kb = (-8966.9 - 2890.53 * root - 77.942 * s + 1.728 * root * s - 0.0996 * s * s) / t
    ln_kb += 148.0248 + 137.1942 * root + 1.62142 * s + 0.053105 * root * t
    ln_kb -= (24.4344 + 25.085 * root + 0.2474 * s) * ln_t
    hundreds = t / 100.0
    ln_kh = -60.2409 + 93.4517 / hundreds + 23.3585 * (ln_t - math.log(100.0))
    ln_kh += s * (0.023517 - 0.023656 * hundreds + 0.0047036 * hundreds * hundreds)
    pkn = 10.0423 - 0.0315536 * (t - KELVIN) + 0.003071 * s
    return SeaConstants(
        exp(-ln10 * pk1) / sws,
        exp(-ln10 * pk2) / sws,
        exp(ln_kh),
        exp(ln_kw) / sws,
        exp(-ln10 * pkn),
        exp(ln_kb) / total,
        0.0004326 * s / 35.0,
    )


def _scales(t: Any, s: Any, ln_t: Any, exp: Any) -> Scales:
    ionic = 19.924 * s / (1000.0 - 1.005 * s)
    root = ionic**0.5
    per_kg = 1.0 - 0.001005 * s  # from per kg of water to per kg of sea water
    ln_ks = -4276.1 / t + 141.328 - 23.093 * ln_t
    ln_ks += (-13856.0 / t + 324.57 - 47.986 * ln_t) * root
    ln_ks += (35474.0 / t - 771.54 + 114.723 * ln_t) * ionic
    ln_ks += (-2698.0 * ionic * root + 1776.0 * ionic * ionic) / t
    ln_kf = 1590.2 / t - 12.641 + 1.525 * root
    sulfate = 0.14 / 96.062 * s / 1.80655
    fluoride = 0.000067 / 18.998 * s / 1.80655
    total = 1.0 + sulfate / (exp(ln_ks) * per_kg)
    return Scales(total, total + fluoride / (exp(ln_kf) * per_kg))
