"""Speed of the bag simulation, as ratios within one run on one machine.

    python -m tests.benchmarks.bag_speed

Compared: a 48 h bag with two hours of opening against PHREEQC (phreeqpython)
taken through the same output times, against scipy's Radau and LSODA on the
same equations, and the cost of a band. Best of several repeats of each, in
turn, by the processor time of this process. Needs the test extra and scipy.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Any

from phreeqpython import PhreeqPython

from advisor.bag import (
    OPENING_METHODS,
    Band,
    Measured,
    SealedBag,
    SealedForecast,
    TankWater,
    TemperaturePath,
    compare_openings,
    forecast_many,
    forecast_sealed,
)
from advisor.bag.draws import Draws
from advisor.bag.seal import seal
from tests.bag.odes import final_state

BAG = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=40, fish_mass_g=1.0, hours=48.0,
    temperature=TemperaturePath(start_c=26.0, outside_c=17.0, time_constant_h=20.0),
    fasted_hours=36.0, sedated=False, ph=7.2, alkalinity_mg_l_caco3=60.0, tan_mg_l=0.1,
    do_mg_l=7.5, oxygen_use_factor=1.0,
)  # fmt: skip
TANK = TankWater(volume_l=200.0, temperature_c=25.0, alkalinity_mg_l_caco3=80.0, ph=7.6)
LEFT_OPEN = OPENING_METHODS[:1]
READ = Measured(ph=Band(6.3, 6.1, 6.5), tan_mg_l=Band(3.0, 2.0, 4.5))
#: Bags of one delivery, each with readings, and the draws of each.
MANY, MANY_DRAWS = 20, 120
#: CO2 that leaves the opened bag: 0.9 of 10 cm/h over some 7 cm of water.
OPEN_PER_H = 0.9 * 10.0 / 7.0


def ours(samples: int) -> tuple[SealedForecast, Any]:
    """A sealed run and the bag left open, with this many samples beside the central run."""
    forecast = forecast_sealed(BAG, samples)
    return forecast, compare_openings(forecast, TANK, LEFT_OPEN)[0]


def phreeqc(forecast: SealedForecast, opened: Any, engine: PhreeqPython) -> tuple[float, float]:
    """The same bag by PHREEQC at the same times; respiration is given, it solves the water.

    Sealed: CO2 and NH3 of each interval go in, and the water comes to
    equilibrium with the headspace. Open: they go in and the CO2 that leaves in
    the interval goes out. Temperature follows the bag's. pH and NH3 are read after each.
    Returns pH at the end of both parts.
    """
    litres = float(BAG.water_l)  # type: ignore[arg-type]
    water = engine.add_solution_simple({"NaHCO3": 1.199, "CO2": 0.19, "AmmHCl": 0.007}, 26.0)
    gas = engine.add_gas(
        {"N2(g)": 0.98, "CO2(g)": 0.0001}, pressure=1.0, volume=4.0 / litres,
        fixed_pressure=False, fixed_volume=True,
    )  # fmt: skip
    tan = forecast.paths["tan_mg_l"].value
    co2_per_n = 0.9 / (0.013 * 32.0 / 14.0)
    read = []
    warmth = forecast.paths["temperature_c"].value
    for before, after, warm in zip(tan[:-1], tan[1:], warmth[1:], strict=True):
        nitrogen = (after - before) / 14.007
        water.change_temperature(warm)
        water.change({"Amm": nitrogen, "CO2": nitrogen * co2_per_n})
        water.interact(gas)
        read.append((water.pH, water.molality("Amm")))
    sealed_ph = water.pH
    tan, minutes = opened.paths["tan_mg_l"].value, opened.minutes
    warmth = opened.paths["temperature_c"].value
    for i in range(1, len(minutes)):
        nitrogen = (tan[i] - tan[i - 1]) / 14.007
        water.change_temperature(warmth[i])
        leaves = OPEN_PER_H * (minutes[i] - minutes[i - 1]) / 60.0 * water.molality("CO2")
        water.change({"Amm": nitrogen, "CO2": nitrogen * co2_per_n - leaves})
        read.append((water.pH, water.molality("Amm")))
    open_ph = water.pH
    water.forget()
    engine.remove_gases([gas.number])
    return sealed_ph, open_ph


def best(runs: dict[str, Callable[[], Any]], repeats: int) -> dict[str, float]:
    """Least processor time of each [s], the runs taken in turn."""
    least = dict.fromkeys(runs, float("inf"))
    for _ in range(repeats):
        for name, run in runs.items():
            begin = time.process_time()
            run()
            least[name] = min(least[name], time.process_time() - begin)
    return least


def times_of(repeats: int) -> dict[str, float]:
    """Least processor time [s] of each run."""
    engine = PhreeqPython()
    forecast, opened = ours(0)
    runs: dict[str, Callable[[], Any]] = {
        "single": lambda: ours(0),
        "phreeqc": lambda: phreeqc(forecast, opened, engine),
        "sealed single": lambda: forecast_sealed(BAG, 0),
        "weighted single": lambda: forecast_sealed(BAG, 0, measured=READ),
        "weighted 300": lambda: forecast_sealed(BAG, 300, measured=READ),
        "one by one": lambda: [
            forecast_sealed(BAG, MANY_DRAWS, measured=READ) for _ in range(MANY)
        ],
        "together": lambda: forecast_many([BAG] * MANY, [READ] * MANY, MANY_DRAWS),
        **{f"sealed {n}": lambda n=n: forecast_sealed(BAG, n) for n in (300, 1200, 4800)},
    }
    return best(runs, repeats)


def growth_of(t: dict[str, float]) -> float:
    """Cost of 4500 more samples over that of 900 more; 5 is linear."""
    return (t["sealed 4800"] - t["sealed 300"]) / (t["sealed 1200"] - t["sealed 300"])


def main() -> int:
    """Measure and print."""
    engine = PhreeqPython()
    forecast, opened = ours(0)
    sealed = seal(BAG, Draws(0, 0))
    t = times_of(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
    radau = best({"radau": lambda: final_state(sealed, rtol=1e-6)}, 3)["radau"]
    times = len(forecast.hours) + len(opened.minutes) - 2
    print(f"48 h sealed + 2 h open, {times} output times: {1e3 * t['single']:.1f} ms")
    print(
        f"PHREEQC over the same times:             {t['phreeqc'] / t['single']:.1f} times as long"
    )
    print(
        f"scipy Radau, sealed part only, rtol 1e-6: {radau / t['sealed single']:.1f} times as long"
    )
    print(f"sealed 48 h alone: {1e3 * t['sealed single']:.1f} ms")
    for n in (300, 1200, 4800):
        print(
            f"  with a band of {n} samples: {t[f'sealed {n}'] / t['sealed single']:.1f} single runs"
        )
    print(f"readings, one run: {1e3 * t['weighted single']:.1f} ms")
    print(
        f"  with a band of 300 weighted draws: {t['weighted 300'] / t['weighted single']:.1f} of "
        f"these, {t['weighted 300'] / t['sealed single']:.1f} runs without readings"
    )
    print(
        f"{MANY} bags with readings, {MANY_DRAWS} draws: one by one "
        f"{t['one by one'] / t['together']:.1f} times as long as together "
        f"({1e3 * t['together'] / MANY:.1f} ms a bag)"
    )
    print(f"cost of 4500 more samples over that of 900 more: {growth_of(t):.2f} (5 is linear)")
    print("pH, ours and PHREEQC (coarser physics there):", end=" ")
    print(
        f"{forecast.end['ph'].value:.2f} {opened.paths['ph'].value[-1]:.2f}",
        " ".join(f"{ph:.2f}" for ph in phreeqc(forecast, opened, engine)),
    )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
