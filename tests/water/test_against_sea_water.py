"""Brackish and sea water against PyCO2SYS and the TEOS-10 toolbox (gsw)."""

from __future__ import annotations

import math
from functools import cache
from itertools import product

import numpy as np
import pytest

from advisor.water import masses
from advisor.water.ammonia import pka_seawater
from advisor.water.carbonate import solve, solve_from_ph
from advisor.water.oxygen import oxygen_saturation_mg_l
from advisor.water.salinity import (
    density_kg_l,
    salinity_from_conductivity,
    salinity_from_specific_gravity,
    specific_gravity,
)

gsw = pytest.importorskip("gsw")

WATERS = list(
    product(
        (6.0, 10.0, 20.0, 30.0, 35.0, 40.0),  # salinity
        (10.0, 18.0, 25.0, 30.0),  # °C
        (80.0, 130.0, 200.0),  # alkalinity, mg/L as CaCO3
        (0.85, 0.95, 1.05, 1.3),  # inorganic carbon per equivalent of alkalinity
        (0.0, 2.0),  # TAN
    )
)


@cache
def pyco2(carbonic: int) -> list[tuple[float, float, float]]:
    """pH on the free scale, CO2 and NH3-N [mg/L] of all WATERS, by PyCO2SYS in one call."""
    library = pytest.importorskip("PyCO2SYS")
    salt, celsius, alkalinity, ratio, tan = np.array(WATERS).T
    litre = np.array([density_kg_l(t, s) for s, t, *_ in WATERS])
    meq = alkalinity / masses.CACO3_MG_PER_MEQ
    result = library.sys(
        par1=1e3 * meq / litre,
        par2=1e3 * meq * ratio / litre,
        par1_type=1,
        par2_type=2,
        salinity=salt,
        temperature=celsius,
        total_ammonia=1e3 * tan / masses.N / litre,
        opt_pH_scale=3,
        opt_k_carbonic=carbonic,
        opt_total_borate=2,
    )
    co2 = result["CO2"] * litre / 1e3 * masses.CO2
    nh3 = result["alkalinity_ammonia"] * litre / 1e3 * masses.N
    return list(zip(*(a.tolist() for a in (result["pH"], co2, nh3)), strict=True))


def ours(salt: float, celsius: float, alkalinity: float, ratio: float, tan: float):
    meq = alkalinity / masses.CACO3_MG_PER_MEQ
    return solve(alkalinity, meq * ratio, tan, celsius, salt)


def test_same_constants_give_the_same_answer() -> None:
    """Option 14, Millero (2010): the same fits, so this checks the solving and the scales."""
    for water, (ph, co2, nh3) in zip(WATERS, pyco2(14), strict=True):
        found = ours(*water)
        assert found.ph == pytest.approx(ph, abs=0.002)
        assert found.co2_mg_l == pytest.approx(co2, rel=0.005)
        if water[-1]:  # Bell's ammonium against Clegg & Whitfield's
            assert found.nh3_mg_l == pytest.approx(nh3, rel=0.05)


def test_other_constants_agree_from_19_g_kg() -> None:
    """Option 10, Lueker et al. (2000), another data set, holds for 19 to 43 g/kg."""
    for water, (ph, co2, _) in zip(WATERS, pyco2(10), strict=True):
        if water[0] >= 19.0:
            found = ours(*water)
            assert found.ph == pytest.approx(ph, abs=0.02)
            assert found.co2_mg_l == pytest.approx(co2, rel=0.05)


@pytest.mark.parametrize(
    ("salt", "celsius", "alkalinity", "ratio", "ph_free", "co2"),
    # PyCO2SYS 1.8.3.4, option 10 (Lueker et al. 2000), borate Lee et al. (2010), free scale
    [
        (35.0, 25.0, 125.0, 0.92, 7.9340, 0.9797),
        (35.0, 25.0, 125.0, 1.05, 7.1254, 7.225),
        (30.0, 20.0, 100.0, 0.95, 7.8494, 1.109),
        (20.0, 28.0, 90.0, 1.0, 7.5119, 2.26),
        (35.0, 18.0, 160.0, 1.2, 6.6817, 28.75),
        (38.0, 30.0, 200.0, 0.88, 8.0845, 0.9481),
    ],
)
def test_pinned_sea_water(salt, celsius, alkalinity, ratio, ph_free, co2) -> None:
    """The same with the library's figures written down, for where it is not installed."""
    found = ours(salt, celsius, alkalinity, ratio, 0.0)
    assert found.ph == pytest.approx(ph_free, abs=0.02)
    assert found.co2_mg_l == pytest.approx(co2, rel=0.05)


def test_the_step_at_5_g_kg_is_as_told() -> None:
    """Where the two models meet: pH number down about 0.11, CO2 and NH3 nearly level."""
    for celsius, ratio in product((10.0, 20.0, 30.0), (1.05, 1.3)):
        below, above = (ours(s, celsius, 125.0, ratio, 1.0) for s in (4.9999, 5.0))
        assert 0.05 < below.ph - above.ph < 0.16
        assert above.nh3_mg_l == pytest.approx(below.nh3_mg_l, rel=0.10)
        assert above.co2_mg_l == pytest.approx(below.co2_mg_l, rel=0.05)


def test_density_against_teos_10() -> None:
    for salt, celsius in product((0.0, 10.0, 20.0, 35.0, 40.0), (5.0, 15.0, 25.0, 30.0)):
        absolute = gsw.SA_from_SP(salt, 0, 0, 40)
        theirs = gsw.rho(absolute, gsw.CT_from_t(absolute, celsius, 0), 0) / 1000.0
        assert density_kg_l(celsius, salt) == pytest.approx(theirs, abs=1e-5)


def test_salinity_from_conductivity_against_gsw() -> None:
    for ms_cm, celsius in product((0.5, 1, 2, 5, 10, 20, 40, 53), (5.0, 15.0, 25.0, 30.0)):
        theirs = gsw.SP_from_C(ms_cm, celsius, 0)
        if theirs < 42.0:
            found = salinity_from_conductivity(1000.0 * ms_cm, celsius)
            assert found == pytest.approx(theirs, rel=0.005)


def test_oxygen_against_gsw() -> None:
    """TEOS-10 has the Garcia & Gordon refit of Benson & Krause."""
    for salt, celsius in product((0.0, 10.0, 20.0, 35.0), (5.0, 15.0, 25.0, 32.0)):
        umol_kg = gsw.O2sol_SP_pt(salt, celsius)
        theirs = umol_kg * density_kg_l(celsius, salt) * 31.998 / 1000.0
        assert oxygen_saturation_mg_l(celsius, salt) == pytest.approx(theirs, rel=0.004)


def test_specific_gravity_goes_there_and_back() -> None:
    for salt, celsius in product((0.0, 5.0, 20.0, 35.0), (15.0, 25.0, 28.0)):
        gravity = specific_gravity(celsius, salt)
        assert salinity_from_specific_gravity(gravity, celsius) == pytest.approx(salt, abs=0.01)


def test_specific_gravity_of_sea_water_at_25_c() -> None:
    """35 g/kg at 25/25 °C is 1.0264, by the densities of TEOS-10."""
    absolute = gsw.SA_from_SP(35.0, 0, 0, 40)
    sea = gsw.rho(absolute, gsw.CT_from_t(absolute, 25.0, 0), 0)
    fresh = gsw.rho(0.0, gsw.CT_from_t(0.0, 25.0, 0), 0)
    assert specific_gravity(25.0, 35.0) == pytest.approx(sea / fresh, abs=2e-5)


def test_sea_water_from_ph_goes_there_and_back() -> None:
    for water in WATERS[::7]:
        found = ours(*water)
        salt, celsius, alkalinity, _, tan = water
        back = solve_from_ph(found.ph, alkalinity, tan, celsius, salt)
        assert back.dic_mmol_l == pytest.approx(found.dic_mmol_l, rel=1e-6)


def test_bell_is_close_to_clegg_and_whitfield() -> None:
    """As its authors claim over 10-30 °C and 5-35 g/kg: within 0.02 on the free scale.

    Clegg & Whitfield (1995) by PyCO2SYS, its default; the total scale would be off by 0.11.
    """
    library = pytest.importorskip("PyCO2SYS")
    for celsius, salt in product((10.0, 15.0, 20.0, 25.0, 30.0), (5.0, 15.0, 25.0, 35.0)):
        theirs = library.sys(
            par1=8.0, par1_type=3, salinity=salt, temperature=celsius, opt_pH_scale=3
        )["k_ammonia"]
        assert pka_seawater(celsius, salt) == pytest.approx(-math.log10(theirs), abs=0.02)
