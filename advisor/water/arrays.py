"""The pH solve and NH3 over whole numpy arrays, for bands over many samples.

Same equations and coefficients as :mod:`advisor.water.carbonate` (see there for
meaning and cover), same answer to 1e-6 in pH. All arguments broadcast against
each other. This module imports numpy: import it only where arrays are used.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.errors import AdvisorError
from advisor.water import masses
from advisor.water.balance import IONIC_PER_G_KG, SETTLED, SODIUM_PER_G_KG
from advisor.water.carbonate import OUTDOOR_PCO2_ATM
from advisor.water.constants import EMERSON, GAS_CONSTANT_L_ATM, KELVIN, LN10, LOG_K, SODIUM_PAIRS
from advisor.water.inputs import BOUNDS, check_between
from advisor.water.salinity import eos80_kg_m3
from advisor.water.seawater import SEA_FROM_G_KG, fits

Array = npt.NDArray[np.float64]
Values = npt.ArrayLike

#: Elements worked on at a time, so that the work stays in the processor's cache.
_BLOCK = 2048


class Solutions(NamedTuple):
    """As :class:`advisor.water.carbonate.Solution`, one array each."""

    ph: Array
    co2_mg_l: Array
    nh3_mg_l: Array
    dic_mmol_l: Array
    ionic_strength_mol_l: Array


class ConstantsArrays(NamedTuple):
    """Fresh-water constants at infinite dilution, as advisor.water.constants, the Davies A,
    and the association constants of sodium with bicarbonate and carbonate."""

    k1: Array
    k2: Array
    kh: Array
    kw: Array
    kn: Array
    davies_a: Array
    pair1: Array
    pair2: Array


class Media(NamedTuple):
    """What temperature and salinity decide: constants per kilogram, borate, Davies -ln(10) A,
    ionic strength of the salt, density, and sodium's pairs."""

    k1: Array
    k2: Array
    kh: Array
    kw: Array
    kn: Array
    kb: Array
    borate: Array
    davies: Array
    salt_ionic: Array
    kg_per_l: Array
    pair1: Array
    pair2: Array
    salt_sodium: Array


def ph_from_arrays(
    alkalinity_mg_l_caco3: Values,
    dic_mmol_l: Values,
    tan_mg_l: Values,
    temperature_c: Values,
    salinity_g_kg: Values = 0.0,
) -> Array:
    """pH of sealed waters; arguments as in :func:`advisor.water.carbonate.solve`."""
    return solve_arrays(
        alkalinity_mg_l_caco3, dic_mmol_l, tan_mg_l, temperature_c, salinity_g_kg
    ).ph


def solve_arrays(
    alkalinity_mg_l_caco3: Values,
    dic_mmol_l: Values,
    tan_mg_l: Values,
    temperature_c: Values,
    salinity_g_kg: Values = 0.0,
    *,
    gas_to_water: Values = 0.0,
    ph_guess: Values | None = None,
) -> Solutions:
    """pH, free CO2 and NH3 of sealed waters.

    dic_mmol_l   : inorganic carbon [mmol per litre of water], what is in the gas included
    gas_to_water : litres of headspace per litre of water, 0 without one
    ph_guess     : a pH near the answer (the last time step's), to save work

    Raises AdvisorError for a negative, impossible or not-a-number element.
    """
    media = media_arrays(temperature_c, salinity_g_kg)
    carbon = _not_negative("dic_mmol_l", dic_mmol_l) * 1e-3 / media.kg_per_l
    rt = GAS_CONSTANT_L_ATM * (np.asarray(temperature_c, float) + KELVIN)
    spread = 1.0 + _not_negative("gas_to_water", gas_to_water) / (media.kh * media.kg_per_l * rt)
    return _solve(alkalinity_mg_l_caco3, carbon, tan_mg_l, media, spread, False, ph_guess)


def solve_with_air_arrays(
    alkalinity_mg_l_caco3: Values,
    tan_mg_l: Values,
    temperature_c: Values,
    pco2_atm: Values = OUTDOOR_PCO2_ATM,
    salinity_g_kg: Values = 0.0,
    *,
    ph_guess: Values | None = None,
) -> Solutions:
    """The same waters once in equilibrium with air of this pCO2 [atm]."""
    media = media_arrays(temperature_c, salinity_g_kg)
    co2 = media.kh * _not_negative("pco2_atm", pco2_atm)
    return _solve(alkalinity_mg_l_caco3, co2, tan_mg_l, media, np.ones(()), True, ph_guess)


def unionised_fraction_arrays(
    ph: Values, temperature_c: Values, salinity_g_kg: Values = 0.0
) -> Array:
    """NH3 share of total ammonia, as :func:`advisor.water.ammonia.unionised_fraction`."""
    t = _checked("temperature_c", temperature_c)
    s = _checked("salinity_g_kg", salinity_g_kg)
    fresh = EMERSON[0] + EMERSON[1] / (t + KELVIN)
    sea = 10.0423 - 0.0315536 * t + 0.003071 * np.maximum(s, SEA_FROM_G_KG)
    pka = fresh + (sea - fresh) * np.minimum(s / SEA_FROM_G_KG, 1.0)
    share: Array = 1.0 / (1.0 + np.exp(LN10 * (pka - _checked("ph", ph))))
    return share


def media_arrays(temperature_c: Values, salinity_g_kg: Values = 0.0) -> Media:
    """Constants at each temperature and salinity, fresh and sea water side by side."""
    t = _checked("temperature_c", temperature_c)
    s = _checked("salinity_g_kg", salinity_g_kg)
    at_sea = s >= SEA_FROM_G_KG
    if not at_sea.any():
        return _fresh(t, s)
    sea = _sea(t, s)
    if at_sea.all():
        return sea
    pairs = zip(_fresh(t, s), sea, strict=True)
    return Media(*(np.where(at_sea, salted, fresh) for fresh, salted in pairs))


def constants_arrays(temperature_c: Values) -> ConstantsArrays:
    """Fresh-water constants at infinite dilution at each temperature [°C]."""
    t = _checked("temperature_c", temperature_c) + KELVIN
    basis = np.stack([np.ones_like(t), t, 1.0 / t, np.log10(t), 1.0 / t**2])
    log_k = np.asarray(LOG_K) @ basis.reshape(5, -1)
    k1, k2, kh, kw = np.exp(LN10 * log_k).reshape(4, *t.shape)
    kn = np.exp(-LN10 * (EMERSON[0] + EMERSON[1] / t))
    a = 1.82e6 * ((60954.0 / (t + 116.0) - 68.937) * t) ** -1.5
    hotter = 1.0 / 298.15 - 1.0 / t
    pairs = (10.0**log_k * np.exp(slope * hotter) for log_k, slope in SODIUM_PAIRS)
    return ConstantsArrays(k1, k2, kh, kw, kn, a, *pairs)


def _fresh(t: Array, s: Array) -> Media:
    k1, k2, kh, kw, kn, a, pair1, pair2 = constants_arrays(t)
    one = np.ones(())
    ionic = IONIC_PER_G_KG * s
    return Media(
        k1, k2, kh, kw, kn, one, 0.0 * one, -LN10 * a, ionic, one, pair1, pair2, SODIUM_PER_G_KG * s
    )


def _sea(temperature_c: Array, s: Array) -> Media:
    t = temperature_c + KELVIN
    nothing = np.zeros(())
    constants = fits(t, np.maximum(s, SEA_FROM_G_KG), np.log(t), np.exp)
    density = eos80_kg_m3(temperature_c, s) / 1000.0
    return Media(*constants, nothing, IONIC_PER_G_KG * s, density, nothing, nothing, nothing)


def _checked(name: str, values: Values) -> Array:
    array = np.asarray(values, float)
    low, high, _ = BOUNDS[name]
    good = (array >= low) & (array <= high)
    if not good.all():
        check_between(name, float(array[~good].flat[0]), *BOUNDS[name])
    return array


def _not_negative(name: str, values: Values) -> Array:
    array = np.asarray(values, float)
    if not ((array >= 0.0) & np.isfinite(array)).all():
        raise AdvisorError(f"{name}: give 0 or more.")
    return array


def _solve(
    alkalinity_mg_l_caco3: Values,
    carbon: Array,
    tan_mg_l: Values,
    media: Media,
    spread: Array,
    open_to_air: bool,
    ph_guess: Values | None,
) -> Solutions:
    """Broadcast everything, solve block by block."""
    per = 1e-3 / media.kg_per_l
    alk = _checked("alkalinity_mg_l_caco3", alkalinity_mg_l_caco3) * (per / masses.CACO3_MG_PER_MEQ)
    tan = _checked("tan_mg_l", tan_mg_l) * (per / masses.N)
    guess = np.asarray(np.nan if ph_guess is None else ph_guess, float)
    parts = np.broadcast_arrays(alk, carbon, tan, spread, guess, *media)
    flat = [part.reshape(-1) for part in parts]
    out = np.empty((5, flat[0].size))
    for begin in range(0, flat[0].size, _BLOCK):
        cut = slice(begin, begin + _BLOCK)
        alk, carbon, tan, spread, guess, *constants = (part[cut] for part in flat)
        out[:, cut] = _solve_block(alk, carbon, tan, spread, guess, Media(*constants), open_to_air)
    return Solutions(*(row.reshape(parts[0].shape) for row in out))


def _solve_block(
    alk: Array, carbon: Array, tan: Array, spread: Array, guess: Array, m: Media, air: bool
) -> tuple[Array, Array, Array, Array, Array]:
    """Newton on ln h for the charge balance, ionic strength brought along each round."""
    total = np.maximum(carbon, 1e-300)
    salted = bool(m.borate.any())
    sodium = alk + m.salt_sodium
    pair1, pair2 = m.pair1 * sodium, m.pair2 * sodium
    base = alk + tan + m.salt_ionic
    ionic = np.minimum(base, 1.0)
    for turn in range(100):
        root = np.sqrt(ionic)
        gamma = np.exp(m.davies * (root / (1.0 + root) - 0.3 * ionic))
        squared = gamma * gamma
        bound = 1.0 + pair1 * squared
        k1 = m.k1 * bound / gamma
        k2 = m.k2 * (1.0 + pair2 * squared * squared) / (gamma * squared * bound)
        if turn == 0:
            h = _first_guess(alk, carbon, spread, k1, k2, m.kw, air)
            h = np.where(np.isnan(guess), h, np.exp(-LN10 * guess))
        r1 = k1 / h
        r2 = k2 / h
        co2 = carbon if air else carbon / (spread + r1 * (1.0 + r2))
        hco3 = co2 * r1
        co3 = hco3 * r2
        carbonate = hco3 + 2.0 * co3
        hydroxide = m.kw / (gamma * h)
        hydrogen = h / gamma
        kn = m.kn * gamma
        freed = kn / (kn + h)
        nh3 = tan * freed
        gap = carbonate + hydroxide - hydrogen + nh3 - alk
        slope = carbonate + 2.0 * co3 + hydroxide + hydrogen + nh3 * (1.0 - freed)
        if salted:
            share = m.kb / (m.kb + h)
            gap += m.borate * share
            slope += m.borate * share * (1.0 - share)
        if not air:
            slope -= carbonate * carbonate / total
        step = gap / slope
        before, ionic = ionic, np.minimum(base - nh3 + hydrogen + co3, 1.0)
        h = h * np.exp(np.minimum(np.maximum(step, -3.0), 3.0))
        # a step may be small by chance while the ionic strength still moves
        small = np.abs(step).max(initial=0.0) < 1e-7
        if small and (np.abs(ionic - before) <= SETTLED * root).all():
            break
    else:
        raise AdvisorError("The pH of one of these waters could not be solved.")
    per = 1e3 * m.kg_per_l
    dic = (co2 + hco3 + co3) * per
    return np.log(h) / -LN10, co2 * per * masses.CO2, nh3 * per * masses.N, dic, ionic


def _first_guess(
    alk: Array, carbon: Array, spread: Array, k1: Array, k2: Array, kw: Array, air: bool
) -> Array:
    """h from the carbonate terms alone, as in the scalar solve."""
    if air:
        first, middle, last = alk, -k1 * carbon, -2.0 * k1 * k2 * carbon
    else:
        first = alk * spread
        middle, last = k1 * (alk - carbon), k1 * k2 * (alk - 2.0 * carbon)
    inside = np.maximum(middle * middle - 4.0 * first * last, 0.0)
    h = (np.sqrt(inside) - middle) / (2.0 * np.maximum(first, 1e-30))
    h = np.where(last < 0.0, h, kw / (np.abs(alk - 2.0 * carbon) + 1e-7))
    return np.where(alk < 1e-6, np.sqrt(k1 * carbon + kw), h)
