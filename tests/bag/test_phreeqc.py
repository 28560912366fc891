"""Sealed, under its gas and opened: pH and NH3 against PHREEQC (phreeqpython, vitens.dat).

The bag gives alkalinity, TAN, inorganic carbon and temperature; PHREEQC works
out the water from the same amounts. |dpH| <= 0.02, NH3 within 5 %.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest

from advisor.bag import (
    OPENING_METHODS,
    SealedBag,
    TankWater,
    compare_openings,
    forecast_sealed,
)
from advisor.bag.draws import Draws
from advisor.bag.integrator import run
from advisor.bag.seal import seal
from advisor.water.masses import CACO3_MG_PER_MEQ, N

phreeqpython = pytest.importorskip("phreeqpython")

GRID = [
    # temperature, alkalinity, fish in 2 L, gas L
    (t, alkalinity, fish, gas)
    for t, alkalinity in itertools.product((12.0, 25.0, 31.0), (15.0, 80.0, 300.0))
    for fish, gas in ((0, 2.0), (10, 0.5), (30, 6.0))
]


@pytest.fixture(scope="module")
def engine() -> Any:
    return phreeqpython.PhreeqPython()


def bag(t: float, alkalinity: float, fish: int, gas: float) -> SealedBag:
    return SealedBag(
        water_l=2.0, gas_l=gas, fish_count=fish, fish_mass_g=1.0, hours=24.0, temperature=t,
        fasted_hours=36.0, sedated=False, ph=7.0 if alkalinity < 50 else 7.6,
        alkalinity_mg_l_caco3=alkalinity, tan_mg_l=0.5, oxygen_use_factor=1.0, rigid=True,
    )  # fmt: skip


def water(engine: Any, alkalinity: float, tan_mg_l: float, carbon_mmol_l: float, t: float) -> Any:
    """The bag's water for PHREEQC: NaHCO3 for the alkalinity, the rest of the carbon as CO2.

    TAN as ``AmmHCl``: ammonium that takes no part in redox (PHREEQC would turn some to N2).
    """
    meq = alkalinity / CACO3_MG_PER_MEQ
    return engine.add_solution_simple(
        {"NaHCO3": meq, "AmmHCl": tan_mg_l / N, "CO2": carbon_mmol_l - meq}, t
    )


@pytest.mark.parametrize("case", GRID)
def test_water_of_the_sealed_bag(engine: Any, case: tuple[float, float, int, float]) -> None:
    forecast = forecast_sealed(bag(*case), samples=0)
    end = {name: band.value for name, band in forecast.end.items()}
    carbon = float(forecast.state.dic[0])
    theirs = water(engine, end["alkalinity_mg_l_caco3"], end["tan_mg_l"], carbon, case[0])
    assert end["ph"] == pytest.approx(theirs.pH, abs=0.02)
    assert end["nh3_n_mg_l"] == pytest.approx(N * theirs.molality("Amm"), rel=0.05)


@pytest.mark.parametrize("case", GRID)
def test_gas_and_water_share_carbon_as_phreeqc_has_it(
    engine: Any, case: tuple[float, float, int, float]
) -> None:
    """All carbon of the jar put into PHREEQC's water, then brought to equilibrium with the gas.

    Ours exchanges at a finite rate, so the jar first stands fish-free for ten days.
    """
    t, alkalinity, _, gas = case
    sealed = seal(
        SealedBag(
            water_l=2.0, gas_l=gas, fish_count=0, hours=240.0, temperature=t, gas="air",
            ph=6.4, alkalinity_mg_l_caco3=alkalinity, tan_mg_l=3.0, rigid=True,
        ),
        Draws(0, 0),
    )  # fmt: skip
    done = run(sealed.start, sealed.course, 1)
    carbon = float((done.dic[-1, 0] + done.gas_co2[-1, 0]) / 2.0)
    theirs = water(engine, alkalinity, 3.0, carbon, t)
    headspace = engine.add_gas(
        {"N2(g)": 0.96, "CO2(g)": 0.0}, pressure=0.96, volume=gas / 2.0,
        fixed_pressure=False, fixed_volume=True,
    )  # fmt: skip
    theirs.interact(headspace)
    assert float(done.log_h[-1, 0]) / -math.log(10.0) == pytest.approx(theirs.pH, abs=0.02)


@pytest.mark.parametrize("case", GRID[::3])
def test_bag_opened_and_aerated_comes_to_air(
    engine: Any, case: tuple[float, float, int, float]
) -> None:
    """Ten hours of an air stone without fish: PHREEQC at the same CO2 pressure."""
    t, alkalinity, _, gas = case
    forecast = forecast_sealed(bag(t, alkalinity, 0, gas), samples=0)
    tank = TankWater(volume_l=100.0, temperature_c=t, alkalinity_mg_l_caco3=80.0)
    aerated = tuple(method for method in OPENING_METHODS if method.kind == "aerated")
    result = compare_openings(forecast, tank, aerated, minutes=600.0)[0]
    theirs = water(engine, alkalinity, forecast.end["tan_mg_l"].value, 1.1 * alkalinity / 50.0, t)
    vapour = 1.0 - math.exp(11.8571 - 3840.70 / (t + 273.15) - 216961.0 / (t + 273.15) ** 2)
    theirs.equalize(["CO2(g)"], [math.log10(0.00042 * vapour)], [10.0])
    assert result.paths["ph"].value[-1] == pytest.approx(theirs.pH, abs=0.02)
