"""Each draw is given the numbers that meet its readings, and pays for them by the slope.

Met: the bag is simulated anew and read. Slope: the change of variable of importance sampling is
the derivative of the number by the reading, taken here by finite differences.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from advisor.bag import Band, Measured, SealedBag, TemperaturePath
from advisor.bag.batch import run_all
from advisor.bag.condition import computed, readings_in, told
from advisor.bag.draws import Draws
from advisor.bag.integrator import run
from advisor.bag.seal import seal
from advisor.errors import AdvisorError

BAG = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=60, fish_mass_g=1.0, hours=30.0,
    temperature=TemperaturePath(),
)  # fmt: skip
PH, TAN, ALKALINITY = Band(6.7, 6.6, 6.8), Band(4.0, 3.6, 4.4), Band(150.0, 140.0, 160.0)
SETS: dict[str, dict[str, Band]] = {
    "ammonia": {"tan_mg_l": TAN},
    "alkalinity": {"alkalinity_mg_l_caco3": ALKALINITY},
    "pH": {"ph": PH},
    "pH and alkalinity": {"ph": PH, "alkalinity_mg_l_caco3": ALKALINITY},
    "ammonia and alkalinity": {"tan_mg_l": TAN, "alkalinity_mg_l_caco3": ALKALINITY},
    "all": {"tan_mg_l": TAN, "ph": PH, "alkalinity_mg_l_caco3": ALKALINITY},
}


def aimed(given: dict[str, Band], bag: SealedBag = BAG, by: float = 0.0) -> tuple[Any, Any]:
    """The bag as it is made to meet its readings, and these, moved ``by``."""
    sealed = seal(bag, Draws(60, 2))
    readings = tuple(r._replace(value=r.value + by) for r in readings_in(Measured(**given)))
    return told(sealed, run(*sealed.job()[:3]), readings), readings


@pytest.mark.parametrize("dead", [0, 6])
@pytest.mark.parametrize("given", SETS.values(), ids=SETS)
def test_simulated_anew_each_draw_reads_what_it_was_aimed_at(
    given: dict[str, Band], dead: int
) -> None:
    case, readings = aimed(given, replace(BAG, dead_count=dead) if dead else BAG)
    done = run_all([case.job])[0]
    volume = case.sealed.course.volume_l[-1]
    for reading in readings:
        if reading.name == "ph" and "ph" in case.cost:
            meant = case.cost["ph"] < 1e4
        else:
            meant = np.ones(61, bool)
        target = np.broadcast_to(reading.targets(case.sealed.draws), (61,))
        got = np.broadcast_to(computed(reading.name, done, volume), (61,))
        off = np.abs(got - target)[meant] / min(reading.below, reading.above)
        assert meant.mean() > 0.8
        assert np.median(off) < 0.25, (reading.name, np.median(off))


@pytest.mark.parametrize(
    ("given", "moved", "number"),
    [
        ({"tan_mg_l": TAN}, "tan_mg_l", lambda c: c.fish.nitrogen_times),
        ({"alkalinity_mg_l_caco3": ALKALINITY}, "alkalinity_mg_l_caco3",
         lambda c: c.job.start.alkalinity_meq),
    ],
    ids=["ammonia", "alkalinity"],
)  # fmt: skip
def test_the_slope_is_the_derivative_of_the_number_by_the_reading(
    given: dict[str, Band], moved: str, number: Any
) -> None:
    def logarithm(by: float) -> Any:
        return np.log(np.broadcast_to(number(aimed(given, by=by)[0]), (61,)))

    step = 1e-4 * given[moved].value
    slope = (logarithm(step) - logarithm(-step)) / (2 * step)
    case = aimed(given)[0]
    inside = np.broadcast_to(case.cost[moved], (61,)) < 1e3
    found = np.broadcast_to(case.log_slope, (61,))[inside] - np.log(np.abs(slope[inside]))
    assert inside.mean() > 0.8
    assert np.ptp(found) < 0.02, "the same but for a factor that all draws share"


def test_the_slope_of_ph_beside_alkalinity_is_that_of_the_carbon_made() -> None:
    given = {"ph": PH, "alkalinity_mg_l_caco3": ALKALINITY}

    def carbon(by: float) -> Any:
        sealed = seal(BAG, Draws(60, 2))
        readings = [
            r._replace(value=r.value + by) if r.name == "ph" else r
            for r in readings_in(Measured(**given))
        ]
        case = told(sealed, run(*sealed.job()[:3]), tuple(readings))
        return np.log(np.broadcast_to(case.fish.carbon_found, (61,)))

    slope = (carbon(1e-4) - carbon(-1e-4)) / 2e-4
    case = aimed(given)[0]
    inside = np.broadcast_to(case.cost["ph"], (61,)) < 1e4
    packed = np.broadcast_to(case.job.start.alkalinity_meq, (61,))  # alkalinity's own slope
    found = np.broadcast_to(case.log_slope, (61,)) + np.log(packed) - np.log(np.abs(slope))
    assert inside.mean() > 0.8
    assert np.ptp(found[inside]) < 0.02


def test_a_packing_ph_that_was_told_stays_whatever_alkalinity_is_found() -> None:
    read = {"alkalinity_mg_l_caco3": ALKALINITY}
    kept = aimed(read, replace(BAG, ph=7.4))[0].job.start
    free = aimed(read)[0].job.start
    assert np.allclose(kept.ph, 7.4)
    assert np.ptp(np.broadcast_to(free.ph, (61,))) > 0.1, "where it was not, it follows the CO2"


def test_readings_that_no_alkalinity_carries_are_refused() -> None:
    """pH 10.9 is 0.8 meq/L of hydroxide alone, 40 mg/L as CaCO3 (charge balance)."""
    from advisor.bag.condition import refuse_contradiction

    with pytest.raises(AdvisorError, match="can carry"):
        refuse_contradiction(Measured(ph=10.9, alkalinity_mg_l_caco3=5.0))
    refuse_contradiction(Measured(ph=Band(10.9, 7.0, 11.0), alkalinity_mg_l_caco3=5.0))
    refuse_contradiction(Measured(ph=10.9))
    refuse_contradiction(Measured(alkalinity_mg_l_caco3=5.0))
