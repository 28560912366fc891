"""Readings weigh the draws: mass balance holds in each, and what none explains is not believed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.bag import (
    Band,
    Measured,
    SealedBag,
    TemperaturePath,
    forecast_many,
    forecast_sealed,
)
from advisor.errors import AdvisorError
from advisor.water.carbonate import solve_from_ph
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2, N

#: A bag of which only what a person can see is known.
BAG = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=25, fish_mass_g=1.0, hours=30.0,
    temperature=TemperaturePath(),
)  # fmt: skip


def close(band: Band, value: float, rel: float) -> bool:
    return abs(band.value - value) <= rel * value


def test_low_ph_means_soft_water_not_impossible_co2() -> None:
    """pH read low, alkalinity unknown: CO2 stays what the fish can have made (finding 2)."""
    before = forecast_sealed(BAG)
    most = before.untold["co2_mg_l"].high  # a 95 % point; the reading picks among the rest
    told = forecast_sealed(BAG, measured=Measured(ph=Band(5.8, 5.6, 6.0)))
    assert 5.6 < told.end["ph"].value < 6.05
    assert told.end["co2_mg_l"].high <= 1.3 * most
    assert told.end["alkalinity_mg_l_caco3"].high < before.end["alkalinity_mg_l_caco3"].value


def test_ph_the_fish_cannot_have_made_is_not_believed() -> None:
    """pH 4.2 in packing water of 80 mg/L would take more CO2 than an atmosphere of it dissolves."""
    known = replace(BAG, alkalinity_mg_l_caco3=Band(80.0, 70.0, 90.0))
    told = forecast_sealed(known, measured=Measured(ph=4.2))
    assert [found.quantity for found in told.implausible] == ["ph"]
    assert "read it again" in told.implausible[0].text
    assert told.end["ph"] == told.untold["ph"]
    assert told.end["co2_mg_l"] == told.untold["co2_mg_l"]


def test_total_ammonia_brings_its_alkalinity() -> None:
    """3.57 mg/L as CaCO3 per mg N (one equivalent a mole of NH3: 50.04 / 14.007)."""
    known = replace(BAG, alkalinity_mg_l_caco3=60.0, tan_mg_l=0.1)
    without = forecast_sealed(known)
    told = forecast_sealed(known, measured=Measured(tan_mg_l=Band(6.0, 5.5, 6.5)))
    rise = told.end["tan_mg_l"].value - without.end["tan_mg_l"].value
    assert rise > 2.0
    alkalinity = told.end["alkalinity_mg_l_caco3"].value
    gained = alkalinity - without.end["alkalinity_mg_l_caco3"].value
    assert gained == pytest.approx(rise * CACO3_MG_PER_MEQ / N, rel=1e-3)


def test_alkalinity_read_keeps_the_co2_of_the_fish() -> None:
    """Alkalinity read higher than usual: free CO2 stays, so no alkaline bag after 30 h."""
    without = forecast_sealed(BAG)
    told = forecast_sealed(BAG, measured=Measured(alkalinity_mg_l_caco3=Band(240.0, 220.0, 260.0)))
    assert close(told.end["alkalinity_mg_l_caco3"], 240.0, 0.05)
    assert close(told.end["co2_mg_l"], without.end["co2_mg_l"].value, 0.1)
    assert told.end["ph"].high < 8.0
    water = solve_from_ph(told.end["ph"].value, 240.0, told.end["tan_mg_l"].value, 24.0)
    assert water.co2_mg_l == pytest.approx(told.end["co2_mg_l"].value, rel=0.1)


def test_ph_and_alkalinity_read_say_the_co2() -> None:
    """Both read: CO2 is what the charge balance gives, less than the fish would make of it."""
    crowded = replace(BAG, fish_count=120)
    untold = forecast_sealed(crowded)
    read = Measured(ph=Band(6.5, 6.4, 6.6), alkalinity_mg_l_caco3=Band(160.0, 150.0, 170.0))
    told = forecast_sealed(crowded, measured=read)
    water = solve_from_ph(6.5, 160.0, told.end["tan_mg_l"].value, 24.0)
    assert water.co2_mg_l < 0.7 * untold.end["co2_mg_l"].value
    assert not told.implausible
    assert told.end["ph"].value == pytest.approx(6.5, abs=0.15)
    assert told.end["co2_mg_l"].low <= water.co2_mg_l <= told.end["co2_mg_l"].high
    assert told.end["co2_mg_l"].high < untold.end["co2_mg_l"].high


def test_every_draw_keeps_its_mass_balance_with_less_co2_found() -> None:
    """CO2 is scaled as made, not taken from the water: carbon balances in each draw."""
    from advisor.bag.batch import run_all
    from advisor.bag.condition import readings_in, told
    from advisor.bag.draws import Draws
    from advisor.bag.integrator import run
    from advisor.bag.seal import seal

    read = Measured(ph=Band(6.6, 6.4, 6.8), alkalinity_mg_l_caco3=Band(160.0, 150.0, 170.0))
    sealed = seal(replace(BAG, fish_count=120), Draws(80, 2))
    case = told(sealed, run(*sealed.job()[:3]), readings_in(read))
    assert set(case.cost) == {"ph", "alkalinity_mg_l_caco3"}
    done = run_all([case.job])[0]
    start = case.job.start
    carbon = start.dic_mmol + start.gas_co2_mmol + done.made_co2
    held = done.dic + done.gas_co2 + done.lost_co2
    np.testing.assert_allclose(held, np.broadcast_to(carbon, held.shape), rtol=1e-6)


def test_every_draw_keeps_its_mass_balance() -> None:
    """What is in water and gas is what was packed and what the fish made, in each draw."""
    from advisor.bag.batch import run_all
    from advisor.bag.condition import readings_in, told
    from advisor.bag.draws import Draws
    from advisor.bag.integrator import run
    from advisor.bag.seal import seal

    read = Measured(ph=Band(6.3, 6.1, 6.5), tan_mg_l=Band(5.0, 3.0, 8.0))
    sealed = seal(BAG, Draws(80, 2))
    first = run(*sealed.job()[:3])
    case = told(sealed, first, readings_in(read))
    done = run_all([case.job])[0]
    start = case.job.start
    carbon = start.dic_mmol + start.gas_co2_mmol + done.made_co2
    held = done.dic + done.gas_co2 + done.lost_co2
    np.testing.assert_allclose(held, np.broadcast_to(carbon, held.shape), rtol=1e-6)
    excreted = done.tan - start.tan_mmol
    np.testing.assert_allclose(done.alkalinity - start.alkalinity_meq, excreted, rtol=1e-6)
    oxygen = done.o2 + done.gas_o2 + done.used_o2 + done.lost_o2
    np.testing.assert_allclose(oxygen, np.broadcast_to(oxygen[:1], oxygen.shape), rtol=1e-6)


def test_bands_narrow_with_what_is_read() -> None:
    def width(band: Band) -> float:
        return band.high - band.low

    without = forecast_sealed(BAG)
    told = forecast_sealed(
        BAG, measured=Measured(ph=Band(6.4, 6.3, 6.5), tan_mg_l=Band(3.0, 2.5, 3.5))
    )
    for name in ("ph", "tan_mg_l", "nh3_n_mg_l", "alkalinity_mg_l_caco3"):
        assert width(told.end[name]) < width(without.end[name]), name
    assert told.draws_that_agree > 30.0
    assert told.paths["ph"].at(-1) == told.end["ph"]


def test_oxygen_read_tells_how_the_surface_was() -> None:
    """A dense bag read at 5 mg/L of oxygen: little crosses, so turning it gently is worth it."""
    dense = replace(BAG, fish_count=120, hours=20.0)
    told = forecast_sealed(dense, measured=Measured(do_mg_l=Band(4.0, 3.5, 4.5)))
    assert told.end["do_mg_l"].low < 6.0
    without = forecast_sealed(dense)
    assert told.oxygen is not None and without.oxygen is not None
    assert told.oxygen.crossing_share.value < without.oxygen.crossing_share.value


def test_readings_no_draw_explains_together() -> None:
    """Much ammonia and hardly any alkalinity cannot be one water: one reading is left out."""
    read = Measured(tan_mg_l=Band(14.0, 13.0, 15.0), alkalinity_mg_l_caco3=Band(8.0, 7.0, 9.0))
    told = forecast_sealed(BAG, measured=read)
    assert len(told.implausible) == 1


def test_arrival_temperature_bends_the_way() -> None:
    """A box that came at 17 °C, packing unknown: warmer on the way, so more in it than at 17."""
    came = forecast_sealed(BAG, measured=Measured(temperature_c=17.0))
    cold = forecast_sealed(replace(BAG, temperature=17.0))
    assert came.end["temperature_c"] == Band(17.0, 17.0, 17.0)
    assert came.paths["temperature_c"].value[0] > 18.0
    assert came.end["tan_mg_l"].value > 1.1 * cold.end["tan_mg_l"].value


def test_many_bags_give_what_each_gives_alone() -> None:
    bags = [replace(BAG, hours=hours, rigid=rigid) for hours in (3.0, 30.0) for rigid in (0, 1)]
    read = [None, Measured(ph=6.5), Measured(tan_mg_l=3.0), None]
    together = forecast_many(bags, read, samples=40)
    for bag, measured, one in zip(bags, read, together, strict=True):
        assert not isinstance(one, AdvisorError)
        alone = forecast_sealed(bag, 40, measured=measured)
        for name, band in alone.end.items():
            assert one.end[name] == pytest.approx(band, rel=1e-5, abs=1e-9), name


def test_one_impossible_bag_does_not_stop_the_others() -> None:
    sour = replace(BAG, ph=3.2, alkalinity_mg_l_caco3=100.0)
    found = forecast_many([BAG, sour, BAG], samples=0, paths=False)
    assert isinstance(found[1], AdvisorError) and "ph: 3.2" in str(found[1])
    assert not isinstance(found[0], AdvisorError) and found[0].end == found[2].end  # type: ignore[union-attr]


@pytest.mark.parametrize("ph, fault", [(3.5, "refused"), (4.6, "refused"), (5.6, "doubted")])
def test_packing_ph_outside_what_water_can_be(ph: float, fault: str) -> None:
    """At 80 mg/L: 3.5 asks for 200 g/L of CO2, 5.6 for 400 mg/L; open water holds 0.5 to 30."""
    bag = replace(BAG, ph=ph, alkalinity_mg_l_caco3=80.0)
    if fault == "refused":
        with pytest.raises(AdvisorError, match="at packing with an alkalinity of 80"):
            forecast_sealed(bag, samples=0)
    else:
        assert "would need" in forecast_sealed(bag, samples=0).doubts[0]
    assert not forecast_sealed(replace(bag, ph=7.2), samples=0).doubts


def test_packing_ph_with_unknown_alkalinity_gives_soft_water() -> None:
    acid = forecast_sealed(replace(BAG, ph=5.5, hours=0.0))
    assert acid.end["alkalinity_mg_l_caco3"].high < 60.0
    assert acid.end["co2_mg_l"].high < 300.0
    assert pytest.approx(44.01, rel=1e-3) == CO2
