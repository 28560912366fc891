"""The samples of a bag at one moment: where a forecast ends and an opening begins."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
import numpy.typing as npt

from advisor.bag.draws import Draws
from advisor.bag.respiration import Metabolism, picked
from advisor.bag.step_chemistry import (
    WaterConstants,
    carbonate_step,
    water_at_ph,
)
from advisor.errors import AdvisorError
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ
from advisor.wording.numbers import exact, fixed

Array = npt.NDArray[np.float64]
_ENDLESS = 1e7
#: Carbonate alkalinity this far under zero [meq/L] is a reading's step, not a contradiction.
_SLACK_MEQ_L = 0.02


@dataclass(frozen=True, eq=False)
class BagState:
    """A bag's water and fish; arrays over samples (or of one element), entry 0 central.

    Concentrations: o2, dic, tan [mmol/L], alkalinity [meq/L].
    depth_told : the depth of the water was told, not taken from how bags lie
    hours : since packing
    """

    water_l: Array
    o2: Array
    dic: Array
    tan: Array
    alkalinity: Array
    ph: Array
    temperature_c: Array
    salinity_g_kg: Array
    conductivity_us_cm: Array | None
    depth_cm: Array
    depth_told: bool
    fish: Metabolism
    hours: float
    draws: Draws

    def picked(self, order: npt.NDArray[np.intp]) -> BagState:
        """The same bag with its samples in another order."""
        parts = {
            field.name: picked(getattr(self, field.name), order)
            for field in fields(self)
            if field.name not in ("fish", "hours", "draws", "depth_told")
        }
        return replace(self, fish=self.fish.picked(order), **parts)

    @property
    def width(self) -> int:
        """Length of the sample axis."""
        return 1 + self.draws.samples


def carbon_from_ph(c: WaterConstants, ph: Array, alkalinity: Array, tan: Array) -> Array:
    """Inorganic carbon [mmol/L] of a water of this pH and alkalinity.

    Raises AdvisorError when in the central case the pH is higher than the
    alkalinity can carry; a sample in which it is so gets no carbon.
    """
    water = water_at_ph(c, ph, alkalinity, tan)
    if water.left.flat[0] < -_SLACK_MEQ_L:
        raise AdvisorError(
            f"ph: {exact(ph.flat[0])} is higher than an alkalinity of "
            f"{fixed(alkalinity.flat[0] * CACO3_MG_PER_MEQ)} mg/L as CaCO3 can carry; "
            "measure pH and alkalinity again."
        )
    h = 10.0**-ph
    return np.asarray(water.hco3 * (1.0 + water.k2 / h + h / water.k1))


def carbon_from_pco2(
    c: WaterConstants, pco2_atm: Array, alkalinity: Array, tan: Array
) -> tuple[Array, Array]:
    """Inorganic carbon [mmol/L] and pH of a water in equilibrium with this CO2 pressure."""
    # a gas that takes 1e7 times what the water does holds its pressure
    carbon = c.kh_mmol * pco2_atm * _ENDLESS
    water = carbonate_step(c, alkalinity, carbon, tan, _ENDLESS, np.full(1, -7.0 * LN10))
    ph = -water.log_h / LN10
    return carbon_from_ph(c, ph, alkalinity, tan), ph
