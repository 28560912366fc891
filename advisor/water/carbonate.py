"""Inorganic carbon, alkalinity and ammonia in fresh water.

pH here is -log10 of the hydrogen-ion *activity*, which is what a meter
calibrated in the ordinary buffers reads in fresh water. It is always solved
from three things that mix and add up - alkalinity, inorganic carbon and total
ammonia - and never averaged. CO2 that comes or goes changes the inorganic
carbon, never the alkalinity.

The charge balance, with NH4+ and dissolved CO2 as the zero level of
alkalinity:

    Alk = [HCO3-] + 2 [CO3--] + [OH-] - [H+] + [NH3]

Ammonia put in as an ammonium salt adds no alkalinity; ammonia given off by
fish as NH3 adds one equivalent per mole (3.57 mg/L as CaCO3 per mg N), which
the caller adds.

One litre is taken as one kilogram (0.3 % at 25 °C). Borate, phosphate,
organic acids and ion pairs are left out; for more than about 1 g/kg of sea
salt use :mod:`advisor.water.seawater`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from advisor.errors import AdvisorError
from advisor.water.inputs import check, check_not_negative, check_positive

#: mg of CaCO3 per milliequivalent: 100.087 / 2 (IUPAC atomic masses).
CACO3_MG_PER_MEQ = 50.0435
#: mg of nitrogen per millimole (IUPAC).
N_MG_PER_MMOL = 14.0067
#: mg of CO2 per millimole (IUPAC).
CO2_MG_PER_MMOL = 44.0095
#: Gas constant [L atm / (mol K)] (CODATA 2018, 8.314462618 J/(mol K) over 101.325 J/(L atm)).
GAS_CONSTANT_L_ATM = 0.082057366
#: CO2 in outdoor air [atm], taken as the actual partial pressure.
OUTDOOR_PCO2_ATM = 0.00042

KELVIN = 273.15
_LN10 = math.log(10.0)


class Constants(NamedTuple):
    """Equilibrium constants [mol/L; kh mol/L/atm] at one temperature and ionic strength.

    ``h`` in each is hydrogen-ion activity, the other species concentrations:
    k1 = h [HCO3-]/[CO2], k2 = h [CO3--]/[HCO3-], kw = h [OH-],
    kn = h [NH3]/[NH4+], kh = [CO2]/pCO2. ``gamma1`` is the activity
    coefficient of a singly charged ion, so [H+] = h / gamma1.
    """

    k1: float
    k2: float
    kh: float
    kw: float
    kn: float
    gamma1: float


class Solution(NamedTuple):
    """A solved water: pH, free CO2, un-ionised ammonia, and what they rest on."""

    ph: float
    co2_mg_l: float
    nh3_mg_l: float
    dic_mmol_l: float
    ionic_strength_mol_l: float


class Water(NamedTuple):
    """An amount of water by the quantities that add up on mixing."""

    volume_l: float
    alkalinity_mg_l_caco3: float
    dic_mmol_l: float
    tan_mg_l: float
    temperature_c: float


@lru_cache(maxsize=512)
def equilibrium_constants(temperature_c: float, ionic_strength_mol_l: float = 0.0) -> Constants:
    """Carbonate, water and ammonium constants of fresh water.

    temperature_c        : water temperature [°C], 0 to 50
    ionic_strength_mol_l : ionic strength [mol/L], 0 to 0.5

    log10 K = a + b T + c/T + d log10 T + e/T^2, T in kelvin: Plummer &
    Busenberg (1982) Geochim. Cosmochim. Acta 46:1011-1040 for CO2; the Kw of
    the same form in the wateq4f and phreeqc data files; Emerson et al. (1975)
    for ammonium. Charged species corrected with :func:`log_gamma1_davies`.

    Raises AdvisorError outside -2 to 50 °C.
    """
    check("temperature_c", temperature_c)
    check("ionic_strength_mol_l", ionic_strength_mol_l)
    t = temperature_c + KELVIN
    log_t = math.log10(t)
    k1 = 10.0 ** (
        -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * log_t - 1684915.0 / t**2
    )
    k2 = 10.0 ** (-107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * log_t - 563713.9 / t**2)
    kh = 10.0 ** (108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * log_t + 669365.0 / t**2)
    kw = 10.0 ** (-283.9710 - 0.05069842 * t + 13323.00 / t + 102.24447 * log_t - 1119669.0 / t**2)
    kn = 10.0 ** -(0.09018 + 2729.92 / t)
    return _corrected(Constants(k1, k2, kh, kw, kn, 1.0), temperature_c, ionic_strength_mol_l)


def log_gamma1_davies(ionic_strength_mol_l: float, temperature_c: float) -> float:
    """log10 of the activity coefficient of a singly charged ion.

    Davies CW (1962) Ion Association: log g = -A z^2 (sqrt I/(1 + sqrt I) - 0.3 I),
    with A = 1.82e6 (e T)^-1.5 and the permittivity of water
    e = 60954/(T + 116) - 68.937 (as in Stumm & Morgan 1996, from memory).
    Holds to I = 0.5 mol/L. For a doubly charged ion multiply by 4.
    """
    t = temperature_c + KELVIN
    a = 1.82e6 * ((60954.0 / (t + 116.0) - 68.937) * t) ** -1.5
    root = math.sqrt(ionic_strength_mol_l)
    return -a * (root / (1.0 + root) - 0.3 * ionic_strength_mol_l)


def solve(
    alkalinity_mg_l_caco3: float, dic_mmol_l: float, tan_mg_l: float, temperature_c: float
) -> Solution:
    """pH, free CO2 and un-ionised ammonia of a sealed fresh water.

    alkalinity_mg_l_caco3 : total alkalinity [mg/L as CaCO3], 0 or more
    dic_mmol_l            : inorganic carbon [mmol/L], 0 or more
    tan_mg_l              : total ammonia nitrogen [mg N/L], 0 or more
    temperature_c         : water temperature [°C]

    Ionic strength is that of NaHCO3 water with the TAN as NH4Cl. Raises
    AdvisorError for a negative or impossible input.
    """
    check("dic_mmol_l", dic_mmol_l)
    return _solve_shared(alkalinity_mg_l_caco3, dic_mmol_l, tan_mg_l, temperature_c, 0.0)


def solve_with_air(
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    pco2_atm: float = OUTDOOR_PCO2_ATM,
) -> Solution:
    """The same water once its CO2 is in equilibrium with air of this pCO2 [atm].

    Alkalinity and TAN stay; the inorganic carbon is what the air allows.
    Henry's law, [CO2] = KH pCO2.
    """
    check_not_negative("pco2_atm", pco2_atm, "atm")
    _check_water(alkalinity_mg_l_caco3, tan_mg_l, temperature_c)
    co2 = equilibrium_constants(temperature_c).kh * pco2_atm
    return _solve(alkalinity_mg_l_caco3, co2, tan_mg_l, temperature_c, None)


def solve_with_headspace(
    alkalinity_mg_l_caco3: float,
    dic_total_mmol: float,
    tan_mg_l: float,
    temperature_c: float,
    water_l: float,
    gas_l: float,
) -> Solution:
    """A sealed water that shares its CO2 with the gas above it.

    dic_total_mmol : inorganic carbon in water and gas together [mmol]
    water_l, gas_l : volumes [L]; water_l more than 0

    Henry's law and the ideal gas law; the gas keeps its volume.
    ``dic_mmol_l`` of the result is what is left in the water.
    """
    check_positive("water_l", water_l, "L")
    check_not_negative("gas_l", gas_l, "L")
    check_not_negative("dic_total_mmol", dic_total_mmol, "mmol")
    share = gas_share(temperature_c, water_l, gas_l)
    return _solve_shared(
        alkalinity_mg_l_caco3, dic_total_mmol / water_l, tan_mg_l, temperature_c, share
    )


def gas_share(temperature_c: float, water_l: float, gas_l: float) -> float:
    """Moles of CO2 in the gas per mole of free CO2 in the water: V_gas/(V_water KH R T)."""
    kh = equilibrium_constants(temperature_c).kh
    return gas_l / (water_l * kh * GAS_CONSTANT_L_ATM * (temperature_c + KELVIN))


def ph_from(
    alkalinity_mg_l_caco3: float, dic_mmol_l: float, tan_mg_l: float, temperature_c: float
) -> float:
    """pH of a sealed fresh water; arguments as in :func:`solve`."""
    return solve(alkalinity_mg_l_caco3, dic_mmol_l, tan_mg_l, temperature_c).ph


def ph_with_air(
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    pco2_atm: float = OUTDOOR_PCO2_ATM,
) -> float:
    """pH after equilibrium with air; arguments as in :func:`solve_with_air`."""
    return solve_with_air(alkalinity_mg_l_caco3, tan_mg_l, temperature_c, pco2_atm).ph


def ph_with_headspace(
    alkalinity_mg_l_caco3: float,
    dic_total_mmol: float,
    tan_mg_l: float,
    temperature_c: float,
    water_l: float,
    gas_l: float,
) -> float:
    """pH of water under a headspace; arguments as in :func:`solve_with_headspace`."""
    return solve_with_headspace(
        alkalinity_mg_l_caco3, dic_total_mmol, tan_mg_l, temperature_c, water_l, gas_l
    ).ph


def solve_from_ph(
    ph: float, alkalinity_mg_l_caco3: float, tan_mg_l: float, temperature_c: float
) -> Solution:
    """Free CO2, inorganic carbon and NH3 from a measured pH and alkalinity.

    Raises AdvisorError when the pH is higher than this alkalinity can carry
    (one of the two readings is then wrong).
    """
    check("ph", ph)
    _check_water(alkalinity_mg_l_caco3, tan_mg_l, temperature_c)
    alk, tan = _mol(alkalinity_mg_l_caco3, tan_mg_l)
    plain = equilibrium_constants(temperature_c)
    h = 10.0**-ph
    ionic = alk + tan
    for _ in range(50):
        c = _corrected(plain, temperature_c, ionic)
        nh3 = tan * c.kn / (c.kn + h)
        carbonate_alk = alk - c.kw / h + h / c.gamma1 - nh3
        hco3 = carbonate_alk / (1.0 + 2.0 * c.k2 / h)
        co3 = hco3 * c.k2 / h
        new = max(0.0, alk + tan - nh3 + h / c.gamma1 + max(0.0, co3))
        if abs(new - ionic) <= 1e-13:
            break
        ionic = min(new, 1.0)
    if carbonate_alk < 0.0:
        raise AdvisorError(
            f"ph: {ph:g} is higher than an alkalinity of {alkalinity_mg_l_caco3:g} mg/L as CaCO3 "
            "can carry; measure pH and alkalinity again."
        )
    co2 = hco3 * h / c.k1
    return Solution(
        ph, co2 * CO2_MG_PER_MMOL * 1e3, nh3 * N_MG_PER_MMOL * 1e3, (co2 + hco3 + co3) * 1e3, ionic
    )


def co2_mg_l_from(
    ph: float, alkalinity_mg_l_caco3: float, tan_mg_l: float, temperature_c: float
) -> float:
    """Free CO2 [mg/L] from pH and alkalinity; arguments as in :func:`solve_from_ph`."""
    return solve_from_ph(ph, alkalinity_mg_l_caco3, tan_mg_l, temperature_c).co2_mg_l


def dic_mmol_l_from(
    ph: float, alkalinity_mg_l_caco3: float, tan_mg_l: float, temperature_c: float
) -> float:
    """Inorganic carbon [mmol/L] from pH and alkalinity; as in :func:`solve_from_ph`."""
    return solve_from_ph(ph, alkalinity_mg_l_caco3, tan_mg_l, temperature_c).dic_mmol_l


def mix(waters: Sequence[Water]) -> Water:
    """Several waters poured together, without gas exchange.

    Alkalinity, inorganic carbon, TAN and heat are shared out by volume. Raises
    AdvisorError without any water.
    """
    for water in waters:
        check_not_negative("volume_l", water.volume_l, "L")
    volume = math.fsum(water.volume_l for water in waters)
    check_positive("volume_l", volume, "L")

    def mean(values: Sequence[float]) -> float:
        parts = (v * w.volume_l for v, w in zip(values, waters, strict=True))
        return math.fsum(parts) / volume

    return Water(
        volume,
        mean([w.alkalinity_mg_l_caco3 for w in waters]),
        mean([w.dic_mmol_l for w in waters]),
        mean([w.tan_mg_l for w in waters]),
        mean([w.temperature_c for w in waters]),
    )


def ph_after_mixing(waters: Sequence[Water]) -> float:
    """pH just after mixing, before any gas exchange (never a mean of pH values)."""
    _, alkalinity, dic, tan, temperature = mix(waters)
    return ph_from(alkalinity, dic, tan, temperature)


def _check_water(alkalinity_mg_l_caco3: float, tan_mg_l: float, temperature_c: float) -> None:
    check("alkalinity_mg_l_caco3", alkalinity_mg_l_caco3)
    check("tan_mg_l", tan_mg_l)
    check("temperature_c", temperature_c)


def _mol(alkalinity_mg_l_caco3: float, tan_mg_l: float) -> tuple[float, float]:
    """Alkalinity [eq/L] and TAN [mol/L]."""
    return alkalinity_mg_l_caco3 / CACO3_MG_PER_MEQ * 1e-3, tan_mg_l / N_MG_PER_MMOL * 1e-3


def _corrected(c: Constants, temperature_c: float, ionic_strength_mol_l: float) -> Constants:
    """Constants of infinite dilution made conditional (neutral species: coefficient 1)."""
    g1 = 10.0 ** log_gamma1_davies(ionic_strength_mol_l, temperature_c)
    return Constants(c.k1 / g1, c.k2 / g1**3, c.kh, c.kw / g1, c.kn * g1, g1)


def _solve_shared(
    alkalinity_mg_l_caco3: float, carbon_mmol_l: float, tan_mg_l: float, temperature_c: float, share: float
) -> Solution:
    _check_water(alkalinity_mg_l_caco3, tan_mg_l, temperature_c)
    return _solve(alkalinity_mg_l_caco3, carbon_mmol_l * 1e-3, tan_mg_l, temperature_c, share)


def _solve(
    alkalinity_mg_l_caco3: float,
    carbon: float,
    tan_mg_l: float,
    temperature_c: float,
    share: float | None,
) -> Solution:
    """Solve the charge balance, bringing ionic strength along.

    carbon : inorganic carbon [mol per litre of water] shared between water and
             gas, or the fixed free CO2 [mol/L] when ``share`` is None
    """
    alk, tan = _mol(alkalinity_mg_l_caco3, tan_mg_l)
    plain = equilibrium_constants(temperature_c)
    ionic = alk + tan
    log_h = math.nan
    for _ in range(50):
        c = _corrected(plain, temperature_c, ionic)
        before = log_h
        log_h = _root(alk, carbon, tan, c, share, before)
        h = math.exp(log_h)
        co2 = carbon if share is None else carbon / (1.0 + share + c.k1 / h * (1.0 + c.k2 / h))
        hco3 = co2 * c.k1 / h
        co3 = hco3 * c.k2 / h
        nh3 = tan * c.kn / (c.kn + h)
        ionic = min(1.0, alk + tan - nh3 + h / c.gamma1 + co3)
        if abs(log_h - before) < 1e-9:
            break
    return Solution(
        -log_h / _LN10,
        co2 * CO2_MG_PER_MMOL * 1e3,
        nh3 * N_MG_PER_MMOL * 1e3,
        (co2 + hco3 + co3) * 1e3,
        ionic,
    )


def _root(
    alk: float, carbon: float, tan: float, c: Constants, share: float | None, start: float
) -> float:
    """ln h at which the charge balance closes: Newton kept inside a bracket.

    The balance falls steadily with h, so there is exactly one root.
    """
    k1, k2, _, kw, kn, g1 = c
    low, high = -39.0, 5.0
    x = start if start == start else _first_guess(alk, carbon, c, share)
    for _ in range(200):
        h = math.exp(x)
        if share is None:
            hco3 = carbon * k1 / h
            co3 = hco3 * k2 / h
            slope = hco3 + 4.0 * co3
        else:
            d = (1.0 + share) * h * h + k1 * h + k1 * k2
            hco3 = carbon * k1 * h / d
            co3 = carbon * k1 * k2 / d
            co2 = (1.0 + share) * carbon * h * h / d
            # d(HCO3 + 2 CO3)/d ln h of a shared total
            slope = (hco3 * (co2 + co3) + 4.0 * co2 * co3) / carbon if carbon > 0.0 else 0.0
        oh = kw / h
        free_h = h / g1
        nh3 = tan * kn / (kn + h)
        gap = hco3 + 2.0 * co3 + oh - free_h + nh3 - alk
        if gap > 0.0:
            low = x
        else:
            high = x
        step = gap / (slope + oh + free_h + nh3 * h / (kn + h))
        x += step
        if not low <= x <= high:
            x = 0.5 * (low + high)
        elif abs(step) < 1e-11:
            break
    return x


def _first_guess(alk: float, carbon: float, c: Constants, share: float | None) -> float:
    """ln h from the carbonate terms alone, which carry most waters."""
    if share is None:
        # alk h^2 - k1 co2 h - 2 k1 k2 co2 = 0
        first, middle, last = alk, -c.k1 * carbon, -2.0 * c.k1 * c.k2 * carbon
    else:
        first = alk * (1.0 + share)
        middle, last = c.k1 * (alk - carbon), c.k1 * c.k2 * (alk - 2.0 * carbon)
    if alk < 1e-6:
        return 0.5 * math.log(c.k1 * carbon + c.kw)
    if last >= 0.0:  # more alkalinity than carbonate can hold: hydroxide
        return math.log(c.kw / (alk - 2.0 * carbon + 1e-7)) if share is not None else -16.0
    return math.log((math.sqrt(middle * middle - 4.0 * first * last) - middle) / (2.0 * first))
