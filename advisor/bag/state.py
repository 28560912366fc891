"""The samples of a bag at one moment: where a forecast ends and an opening begins."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from advisor.bag.chemistry import (
    WaterConstants,
    carbonate_step,
    conditional,
    settled_water,
    water_constants,
)
from advisor.bag.draws import Draws
from advisor.bag.respiration import Metabolism
from advisor.errors import AdvisorError
from advisor.water.constants import LN10
from advisor.water.masses import CACO3_MG_PER_MEQ

Array = npt.NDArray[np.float64]
_ENDLESS = 1e7
#: Carbonate alkalinity this far under zero [meq/L] is a reading's step, not a contradiction.
_SLACK_MEQ_L = 0.02


@dataclass(frozen=True, eq=False)
class BagState:
    """A bag's water and fish; arrays over samples (or of one element), entry 0 central.

    Concentrations: o2, dic, tan [mmol/L], alkalinity [meq/L].
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
    fish: Metabolism
    hours: float
    draws: Draws

    @property
    def width(self) -> int:
        """Length of the sample axis."""
        return 1 + self.draws.samples

    def with_carbon(self) -> BagState:
        """The same water with inorganic carbon worked out anew from its pH and alkalinity."""
        c = water_constants(self.temperature_c[None], self.salinity_g_kg[None]).at(0)
        dic = carbon_from_ph(c, self.ph, self.alkalinity, self.tan)
        return replace(self, dic=dic)

    def with_ph(self) -> BagState:
        """The same water with pH worked out anew from its inorganic carbon."""
        c = water_constants(self.temperature_c[None], self.salinity_g_kg[None]).at(0)
        guess = np.asarray(self.ph * -LN10)
        water = settled_water(c, self.alkalinity, self.dic, self.tan, guess)
        return replace(self, ph=np.asarray(water.log_h / -LN10))


def carbon_from_ph(c: WaterConstants, ph: Array, alkalinity: Array, tan: Array) -> Array:
    """Inorganic carbon [mmol/L] of a water of this pH and alkalinity.

    Raises AdvisorError when in the central case the pH is higher than the
    alkalinity can carry; a sample in which it is so gets no carbon.
    """
    h = 10.0**-ph
    ions = np.asarray(alkalinity + tan, float)
    for _ in range(4):
        k1, k2, kn, kw, free = conditional(c, ions, alkalinity)
        nh3 = tan * kn / (kn + h)
        held = alkalinity - kw / h + free * h - nh3 - c.borate * c.kb / (c.kb + h)
        hco3 = np.maximum(held, 0.0) / (1.0 + 2.0 * k2 / h)
        ions = alkalinity + tan - nh3 + free * h + hco3 * k2 / h
    if held.flat[0] < -_SLACK_MEQ_L:
        raise AdvisorError(
            f"ph: {ph.flat[0]:g} is higher than an alkalinity of "
            f"{alkalinity.flat[0] * CACO3_MG_PER_MEQ:.0f} mg/L as CaCO3 can carry; "
            "measure pH and alkalinity again."
        )
    return np.asarray(hco3 * (1.0 + k2 / h + h / k1))


def carbon_from_pco2(
    c: WaterConstants, pco2_atm: Array, alkalinity: Array, tan: Array
) -> tuple[Array, Array]:
    """Inorganic carbon [mmol/L] and pH of a water in equilibrium with this CO2 pressure."""
    # a gas that takes 1e7 times what the water does holds its pressure
    carbon = c.kh_mmol * pco2_atm * _ENDLESS
    water = carbonate_step(c, alkalinity, carbon, tan, _ENDLESS, np.full(1, -7.0 * LN10))
    ph = -water.log_h / LN10
    return carbon_from_ph(c, ph, alkalinity, tan), ph
