"""The charge balance of a water, closed by Newton's method.

The working part behind :mod:`advisor.water.carbonate`, where the meaning and
the cover of the model are told.
"""

from __future__ import annotations

import math
from functools import lru_cache
from math import exp, sqrt
from typing import Any, NamedTuple

from advisor.errors import AdvisorError
from advisor.water import masses
from advisor.water.constants import (
    GAS_CONSTANT_L_ATM,
    KELVIN,
    LN10,
    davies_a,
    infinite_dilution,
    sodium_pairs,
)
from advisor.water.input_checks import check
from advisor.water.salinity import density_kg_l
from advisor.water.seawater import SEA_FROM_G_KG, sea_constants
from advisor.wording.numbers import exact

#: Ionic strength [mol/L] per g/kg of salt (DOE 1994, sea salt; NaCl gives 0.017).
IONIC_PER_G_KG = 0.0199
#: Sodium [mol/L] per g/kg of salt (NaCl).
SODIUM_PER_G_KG = 1.0 / masses.NACL
#: Ionic strength has settled when it moves by less than this times its root: then pH moves < 1e-6.
SETTLED = 4e-7


class Solution(NamedTuple):
    """A solved water. nh3_mg_l is un-ionised ammonia as N; dic_mmol_l what is in the water."""

    ph: float
    co2_mg_l: float
    nh3_mg_l: float
    dic_mmol_l: float
    ionic_strength_mol_l: float


class Medium(NamedTuple):
    """What temperature and salinity alone decide; concentrations per kilogram."""

    k1: float
    k2: float
    kh: float
    kw: float
    kn: float
    kb: float
    borate: float
    davies: float  # -ln(10) A, 0 where the constants are conditional already
    salt_ionic: float
    kg_per_l: float
    pair1: float  # sodium with bicarbonate and with carbonate, 0 in sea water
    pair2: float
    salt_sodium: float


@lru_cache(maxsize=512)
def medium(temperature_c: float, salinity_g_kg: float) -> Medium:
    """Fresh or salted water under ``SEA_FROM_G_KG``, sea water from there."""
    check("salinity_g_kg", salinity_g_kg)
    ionic = IONIC_PER_G_KG * salinity_g_kg
    if salinity_g_kg < SEA_FROM_G_KG:
        check("temperature_c", temperature_c)
        k1, k2, kh, kw, kn = infinite_dilution(temperature_c)
        a = -LN10 * davies_a(temperature_c)
        pairs, sodium = sodium_pairs(temperature_c), SODIUM_PER_G_KG * salinity_g_kg
        return Medium(k1, k2, kh, kw, kn, 1.0, 0.0, a, ionic, 1.0, *pairs, sodium)
    c = sea_constants(temperature_c, salinity_g_kg)
    return Medium(*c, 0.0, ionic, density_kg_l(temperature_c, salinity_g_kg), 0.0, 0.0, 0.0)


def start(
    alkalinity_mg_l_caco3: float, tan_mg_l: float, temperature_c: float, salinity_g_kg: float
) -> tuple[float, float, Medium]:
    """Alkalinity [eq/kg] and TAN [mol/kg] of a checked water, and its constants."""
    check("alkalinity_mg_l_caco3", alkalinity_mg_l_caco3)
    check("tan_mg_l", tan_mg_l)
    m = medium(temperature_c, salinity_g_kg)
    per = 1e-3 / m.kg_per_l
    return (
        alkalinity_mg_l_caco3 * (per / masses.CACO3_MG_PER_MEQ),
        tan_mg_l * (per / masses.N),
        m,
    )


class Conditional(NamedTuple):
    """Constants of one water at its ionic strength: activity and sodium's ion pairs in.

    ``free`` turns the activity of the hydrogen ion into a concentration in the unit
    of the alkalinity; kw gives hydroxide in that unit.
    """

    k1: Any
    k2: Any
    kn: Any
    kw: Any
    free: Any


def conditional(
    m: Any, ionic: Any, sodium: Any, per: float, exp: Any = exp, sqrt: Any = sqrt
) -> Conditional:
    """For numbers and, with numpy's exp and sqrt, for arrays.

    m             : a ``Medium``, or what has its k1, k2, kn, kw, davies, pair1 and pair2
    ionic, sodium : [mol/kg]
    per           : 1 where concentrations are per mol, 1000 where they are in mmol
    """
    root = sqrt(ionic)
    gamma = exp(m.davies * (root / (1.0 + root) - 0.3 * ionic))
    squared = gamma * gamma
    bound = 1.0 + m.pair1 * squared * sodium
    k2 = m.k2 * (1.0 + m.pair2 * squared * squared * sodium) / (bound * squared * gamma)
    return Conditional(m.k1 * bound / gamma, k2, m.kn * gamma, m.kw / gamma, per / gamma)


class Charges(NamedTuple):
    """The balance at one hydrogen ion: its gap, the slope of the gap over -ln h, and the ions."""

    gap: Any
    slope: Any
    co2: Any
    hco3: Any
    co3: Any
    nh3: Any
    hydrogen: Any
    freed: Any


def charges(
    h: Any, k: Conditional, alk: Any, tan: Any, carbon: Any, spread: Any, kb: Any, borate: Any
) -> Charges:
    """HCO3 + 2 CO3 + B(OH)4 + OH - H + NH3 against the alkalinity, for numbers and arrays.

    carbon, spread : inorganic carbon, of which water and gas share ``spread`` parts of CO2;
                     spread None where ``carbon`` is the free CO2 itself, held by the air
    borate         : total borate, 0 without
    """
    inverse = 1.0 / h
    r1 = k.k1 * inverse
    r2 = k.k2 * inverse
    co2 = carbon if spread is None else carbon / (spread + r1 * (1.0 + r2))
    hco3 = co2 * r1
    co3 = hco3 * r2
    held = hco3 + 2.0 * co3
    hydroxide = k.kw * inverse
    hydrogen = k.free * h
    freed = k.kn / (k.kn + h)
    nh3 = tan * freed
    gap = held + hydroxide - hydrogen + nh3 - alk
    slope = held + 2.0 * co3 + hydroxide + hydrogen + nh3 * (1.0 - freed)
    if borate is not None:
        dissociated = kb / (kb + h)
        gap = gap + borate * dissociated
        slope = slope + borate * dissociated * (1.0 - dissociated)
    return Charges(gap, slope, co2, hco3, co3, nh3, hydrogen, freed)


def carbonate_left(h: Any, k: Conditional, alk: Any, tan: Any, kb: Any, borate: Any) -> Any:
    """HCO3 + 2 CO3 that the alkalinity leaves at a known hydrogen ion; negative if none."""
    return alk - k.kw / h + k.free * h - tan * (k.kn / (k.kn + h)) - borate * kb / (kb + h)


def solution(ph: float, co2: float, nh3: float, dic: float, ionic: float, m: Medium) -> Solution:
    per = 1e3 * m.kg_per_l
    return Solution(ph, co2 * per * masses.CO2, nh3 * per * masses.N, dic * per, ionic)


def close(
    alkalinity_mg_l_caco3: float,
    carbon_mmol_l: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float,
    gas_to_water: float,
    pco2_atm: float,
) -> Solution:
    """Close the charge balance by Newton on ln h, bringing ionic strength along each round.

    With carbon_mmol_l the inorganic carbon is shared between water and gas;
    with pco2_atm (and no carbon) free CO2 is fixed by the air.

    The balance falls steadily with h, so there is exactly one root; the step
    cap keeps the flat stretch of an unbuffered water from throwing it far.
    """
    alk, tan, m = start(alkalinity_mg_l_caco3, tan_mg_l, temperature_c, salinity_g_kg)
    carbon = carbon_mmol_l * 1e-3 / m.kg_per_l
    spread: float | None = 1.0
    if gas_to_water:
        rt = GAS_CONSTANT_L_ATM * (temperature_c + KELVIN)
        spread = 1.0 + gas_to_water / (m.kh * m.kg_per_l * rt)
    co2 = m.kh * pco2_atm
    base, sodium = alk + tan + m.salt_ionic, alk + m.salt_sodium
    ionic = min(1.0, base)
    k = conditional(m, ionic, sodium, 1.0)
    log_h = _first_guess(alk, carbon, co2, spread or 1.0, k.k1, k.k2, m.kw)
    total, spread = (carbon, spread) if carbon else (co2, None)
    borate = m.borate or None
    for _ in range(100):
        at = charges(exp(log_h), k, alk, tan, total, spread, m.kb, borate)
        slope = at.slope
        if carbon:
            held = at.hco3 + 2.0 * at.co3
            slope -= held * held / carbon
        step = at.gap / slope
        log_h += step if -3.0 < step < 3.0 else math.copysign(3.0, step)
        before, ionic = ionic, min(1.0, base - at.nh3 + at.hydrogen + at.co3)
        # a step may be small by chance while the ionic strength still moves
        if -1e-7 < step < 1e-7 and abs(ionic - before) <= SETTLED * sqrt(before):
            dic = at.co2 + at.hco3 + at.co3
            return solution(-log_h / LN10, at.co2, at.nh3, dic, ionic, m)
        k = conditional(m, ionic, sodium, 1.0)
    raise AdvisorError(
        "The pH of this water could not be solved (alkalinity "
        f"{exact(alkalinity_mg_l_caco3)} mg/L as "
        f"CaCO3, TAN {exact(tan_mg_l)} mg/L, {exact(temperature_c)} °C)."
    )


def _first_guess(
    alk: float, carbon: float, co2: float, spread: float, k1: float, k2: float, kw: float
) -> float:
    """ln h from the carbonate terms alone, which carry most waters."""
    if alk < 1e-6:
        return 0.5 * math.log(k1 * (carbon + co2) + kw)
    if carbon:  # alk = carbon (k1 h + 2 k1 k2) / (spread h^2 + k1 h + k1 k2)
        first = alk * spread
        middle, last = k1 * (alk - carbon), k1 * k2 * (alk - 2.0 * carbon)
    else:  # alk = co2 (k1/h + 2 k1 k2/h^2)
        first, middle, last = alk, -k1 * co2, -2.0 * k1 * k2 * co2
    if last >= 0.0:  # more alkalinity than the carbon can carry: hydroxide
        return math.log(kw / (alk - 2.0 * carbon + 1e-7))
    return math.log((sqrt(middle * middle - 4.0 * first * last) - middle) / (2.0 * first))
