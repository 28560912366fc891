"""Fresh and salted water against PHREEQC, an independent and much fuller model.

phreeqpython with its vitens.dat, ammonium uncoupled from redox: NaHCO3 equal to
the alkalinity, NH4Cl equal to the TAN, CO2 added. Wanted everywhere: pH within
0.02 and un-ionised ammonia within 5 %. ``pytest -s`` shows the worst found.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import product

import pytest

from advisor.water import masses
from advisor.water.carbonate import (
    Solution,
    Water,
    mix,
    ph_from,
    solve,
    solve_with_air,
    solve_with_headspace,
)

phreeqpython = pytest.importorskip("phreeqpython")

# the ends of the ranges and points between: 700 waters
GRID = list(
    product(
        (5.0, 20.0, 50.0, 100.0, 200.0, 300.0, 400.0),  # alkalinity
        (0.0, 1.0, 5.0, 20.0),  # TAN
        (0.0, 5.0, 20.0, 60.0, 200.0),  # added CO2
        (5.0, 12.0, 18.0, 25.0, 32.0),  # °C
    )
)
GAS_L = 2.0
PCO2 = 0.00042


@pytest.fixture(scope="module")
def engine():
    return phreeqpython.PhreeqPython()


def dic(alkalinity: float, co2: float) -> float:
    return alkalinity / masses.CACO3_MG_PER_MEQ + co2 / masses.CO2


def dissolve(engine, alkalinity: float, tan: float, co2: float, celsius: float, salt: float = 0.0):
    salts = {
        "NaHCO3": alkalinity / masses.CACO3_MG_PER_MEQ,
        "[N-3]H4Cl": tan / masses.N,
        "CO2": co2 / masses.CO2,
        "NaCl": 1e3 * salt / masses.NACL,
    }
    present = {name: amount for name, amount in salts.items() if amount > 0.0}
    return engine.add_solution_simple(present, temperature=celsius)


def sealed(engine, solution, alkalinity, tan, co2, celsius) -> Solution:
    return solve(alkalinity, dic(alkalinity, co2), tan, celsius)


def headspace(engine, solution, alkalinity, tan, co2, celsius) -> Solution:
    gas = engine.add_gas(
        {"CO2(g)": 0.0}, volume=GAS_L, pressure=0.0, fixed_volume=True, fixed_pressure=False
    )
    solution.interact(gas)
    return solve_with_headspace(alkalinity, dic(alkalinity, co2), tan, celsius, 1.0, GAS_L)


def opened(engine, solution, alkalinity, tan, co2, celsius) -> Solution:
    solution.equalize(["CO2(g)"], [math.log10(PCO2)], [10])
    return solve_with_air(alkalinity, tan, celsius, PCO2)


def differences(engine, way: Callable[..., Solution]) -> Iterator[tuple[float, float, tuple]]:
    """(pH difference, relative NH3 difference, water) over the grid."""
    for water in GRID:
        theirs = dissolve(engine, *water)
        ours = way(engine, theirs, *water)
        nh3 = 0.0
        if water[1] > 0.0:
            nh3 = ours.nh3_mg_l / (theirs.species["[N-3]H3"] * 1e3 * masses.N) - 1.0
        yield abs(ours.ph - theirs.pH), abs(nh3), water
        theirs.forget()


def test_the_grid_is_wide_enough() -> None:
    assert len(GRID) >= 500


@pytest.mark.parametrize("way", [sealed, headspace, opened])
def test_ph_and_ammonia_over_the_grid(engine, way: Callable[..., Solution]) -> None:
    found = list(differences(engine, way))
    ph = max(found, key=lambda row: row[0])
    nh3 = max(found, key=lambda row: row[1])
    print(f"\n{way.__name__}: worst pH {ph[0]:.4f} at {ph[2]}, worst NH3 {nh3[1]:.2%} at {nh3[2]}")
    assert ph[0] <= 0.02
    assert nh3[1] <= 0.05


@pytest.mark.parametrize("salt_g_kg", [0.5, 1.0, 3.0, 4.9])
def test_salted_fresh_water(engine, salt_g_kg: float) -> None:
    """Bag water with plain salt: the same limits, up to where sea water takes over."""
    for alkalinity, co2, celsius in product((20.0, 100.0, 300.0), (0.0, 20.0, 100.0), (12.0, 28.0)):
        theirs = dissolve(engine, alkalinity, 2.0, co2, celsius, salt_g_kg)
        ours = solve(alkalinity, dic(alkalinity, co2), 2.0, celsius, salt_g_kg)
        assert ours.ph == pytest.approx(theirs.pH, abs=0.02)
        assert ours.nh3_mg_l == pytest.approx(theirs.species["[N-3]H3"] * 1e3 * masses.N, rel=0.05)
        theirs.forget()


def test_mixing_two_waters(engine) -> None:
    """PHREEQC mixes the two and solves afresh; a mean of the pH values would be far off."""
    worst_mean = 0.0
    bags = product((20.0, 200.0), (30.0, 100.0), (18.0, 28.0))
    for (alk, co2, celsius), tank_alk, share in product(bags, (60.0, 300.0), (0.1, 0.5, 0.8)):
        bag = dissolve(engine, alk, 5.0, co2, celsius)
        tank = dissolve(engine, tank_alk, 0.0, 2.0, 25.0)
        both = bag * share + tank * (1.0 - share)
        mixed = mix(
            [
                Water(share, alk, dic(alk, co2), 5.0, celsius),
                Water(1.0 - share, tank_alk, dic(tank_alk, 2.0), 0.0, 25.0),
            ]
        )
        assert ph_from(*mixed[1:]) == pytest.approx(both.pH, abs=0.02)
        mean = share * bag.pH + (1.0 - share) * tank.pH
        worst_mean = max(worst_mean, abs(mean - both.pH))
    assert worst_mean > 0.5


def test_davies_coefficient_at_25_c(engine) -> None:
    """Against PHREEQC's own coefficient of Cl- at 0.1 mol/kg (0.755; Davies is good to 3 %)."""
    from advisor.water.constants import log_gamma1_davies

    salt = engine.add_solution_simple({"NaCl": 100.0}, temperature=25)
    theirs = salt.activity("Cl-") / salt.molality("Cl-")
    assert 10 ** log_gamma1_davies(0.1, 25.0) == pytest.approx(theirs, rel=0.04)
