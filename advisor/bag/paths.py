"""From arrays over samples to paths and bands a person can read."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.bag.banded import Band, Path
from advisor.bag.course import Run
from advisor.bag.respiration import N_MG, O2_MG
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2

Array = npt.NDArray[np.float64]


def quantities(result: Run, volume_l: Array, temperature_c: Array) -> dict[str, Array]:
    """The quantities of a forecast from amounts, each (times, samples)."""
    return {
        "ph": result.log_h / -LN10,
        "tan_mg_l": result.tan / volume_l * N_MG,
        "nh3_n_mg_l": result.nh3 * N_MG,
        "co2_mg_l": result.co2 * CO2,
        "do_mg_l": result.o2 / volume_l * O2_MG,
        "temperature_c": np.broadcast_to(temperature_c, result.o2.shape),
        "alkalinity_mg_l_caco3": result.alkalinity / volume_l * CACO3_MG_PER_MEQ,
    }


def path_of(values: Array) -> Path:
    """Central run and 5-95 % band of one quantity, (times, samples)."""
    middle = values[:, 0]
    if values.shape[1] == 1:
        low = high = middle
    else:
        low, high = quantile_ends(values[:, 1:])
        low, high = np.minimum(low, middle), np.maximum(high, middle)
    return Path(tuple(middle.tolist()), tuple(low.tolist()), tuple(high.tolist()))


def quantile_ends(values: Array) -> tuple[Array, Array]:
    """5 and 95 % points along the last axis, between the two nearest samples."""
    count = values.shape[-1]
    at = 0.05 * (count - 1)
    below, part = int(at), at - int(at)
    above = min(below + 1, count - 1)
    marks = sorted({below, above, count - 1 - below, count - 1 - above})
    ranked = np.partition(values, marks, axis=-1)
    low = ranked[..., below] * (1.0 - part) + ranked[..., above] * part
    high = ranked[..., -1 - below] * (1.0 - part) + ranked[..., -1 - above] * part
    return low, high


def band_of(values: Array) -> Band:
    """Central value and 5-95 % band of one number per sample."""
    return path_of(np.atleast_2d(values)).at(0)
