"""A tub of still water: how long its oxygen lasts when the air stops."""

from __future__ import annotations

import numpy as np

from advisor.bag.draws import Draws
from advisor.bag.respiration import O2_MG, metabolism
from advisor.water.oxygen import oxygen_saturation_mg_l

#: Oxygen at which most fish gulp [mg/L]: Francis-Floyd, UF/IFAS FA27.
GULPING_MG_L = 2.0


def oxygen_minutes(
    volume_l: float, fish_count: int, fish_mass_g: float, temperature_c: float
) -> float:
    """Minutes from full saturation to ``GULPING_MG_L`` without air, by the central figures.

    volume_l [L], fish_mass_g [g, of one fish], temperature_c [°C]; what crosses the still
    surface meanwhile is left out, so the figure is on the safe side.
    """
    fish = metabolism(
        Draws(1, 0), fish_count=fish_count, fish_mass_g=fish_mass_g, oxygen_use_factor=None,
        sedated=False, air_breather=False, fasted_hours=24.0,
    )  # fmt: skip
    use = float(fish.use(np.array([1.0]), np.full((1, 1), temperature_c)).flat[0]) * O2_MG
    store = (oxygen_saturation_mg_l(temperature_c) - GULPING_MG_L) * volume_l
    return 60.0 * max(0.0, store) / max(use, 1e-9)
