"""Constants of fresh, salted and sea water over whole arrays of temperature and salinity.

The equations and coefficients of :mod:`advisor.water.constants` and
:mod:`advisor.water.seawater`, laid out for a simulation's time grid and draws.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.water.charge_balance import IONIC_PER_G_KG, SODIUM_PER_G_KG
from advisor.water.constants import EMERSON, KELVIN, LN10, LOG_K, SODIUM_PAIRS
from advisor.water.input_checks import BOUNDS, check_between
from advisor.water.salinity import eos80_kg_m3
from advisor.water.seawater import SEA_FROM_G_KG, fits

Array = npt.NDArray[np.float64]
Values = npt.ArrayLike


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


def _fresh(temperature_c: Array, s: Array) -> Media:
    """As advisor.water.constants, for every temperature at once."""
    t = temperature_c + KELVIN
    basis = np.stack([np.ones_like(t), t, 1.0 / t, np.log10(t), 1.0 / t**2])
    log_k = np.asarray(LOG_K) @ basis.reshape(5, -1)
    k1, k2, kh, kw = np.exp(LN10 * log_k).reshape(4, *t.shape)
    kn = np.exp(-LN10 * (EMERSON[0] + EMERSON[1] / t))
    a = 1.82e6 * ((60954.0 / (t + 116.0) - 68.937) * t) ** -1.5
    hotter = 1.0 / 298.15 - 1.0 / t
    pair1, pair2 = (10.0**log_k * np.exp(slope * hotter) for log_k, slope in SODIUM_PAIRS)
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
