"""How much cheaper a pH solve is here than in PHREEQC, measured in one run.

    python tests/benchmarks/water_speed.py

PHREEQC is asked through phreeqpython, by two routes: the solution given by its
totals and charge balance (the quicker), and salts added to water one by one.
Every water is new to each side. The rounds alternate, so that a busy machine
slows both; printed are medians over the rounds.

Wanted: one solve at least 12 times quicker.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
from phreeqpython import PhreeqPython

from advisor.water import masses
from advisor.water.carbonate import ph_from

ROUNDS = 7
WATERS = 300
Water = tuple[float, float, float, float]


def waters(seed: int, count: int = WATERS) -> list[Water]:
    """(alkalinity, inorganic carbon, TAN, temperature): 5-400, CO2 0-200, 0-20 mg/L, 5-32 °C."""
    random = np.random.default_rng(seed)
    alkalinity = random.uniform(5, 400, count)
    carbon = alkalinity / masses.CACO3_MG_PER_MEQ + random.uniform(0, 200, count) / masses.CO2
    tan, celsius = random.uniform(0, 20, count), random.uniform(5, 32, count)
    return list(zip(*(a.tolist() for a in (alkalinity, carbon, tan, celsius)), strict=True))


def phreeqc_totals(engine: PhreeqPython, batch: list[Water]) -> None:
    for alkalinity, carbon, tan, celsius in batch:
        ammonium = tan / masses.N
        totals = {
            "-temp": celsius,
            "units": "mmol/kgw",
            "pH": "7 charge",
            "Na": alkalinity / masses.CACO3_MG_PER_MEQ,
            "C(4)": carbon,
            "[N-3]": ammonium,
            "Cl": ammonium,
        }
        solution = engine.add_solution(totals)
        _ = solution.pH
        solution.forget()


def phreeqc_salts(engine: PhreeqPython, batch: list[Water]) -> None:
    for alkalinity, carbon, tan, celsius in batch:
        bicarbonate = alkalinity / masses.CACO3_MG_PER_MEQ
        salts = {
            "NaHCO3": bicarbonate,
            "[N-3]H4Cl": tan / masses.N,
            "CO2": carbon - bicarbonate,
        }
        solution = engine.add_solution_simple(salts, temperature=celsius)
        _ = solution.pH
        solution.forget()


def scalar(batch: list[Water]) -> None:
    for water in batch:
        ph_from(*water)


def seconds_each(work: Callable[[], object], count: int) -> float:
    begin = time.perf_counter()
    work()
    return (time.perf_counter() - begin) / count


def start_seconds(code: str) -> float:
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True)
    return time.perf_counter() - begin


def seconds_of(rounds: int) -> dict[str, list[float]]:
    """Seconds a solve of each way, in every round."""
    engine = PhreeqPython()
    found: dict[str, list[float]] = {}
    for turn in range(rounds):
        batch = waters(turn)
        times = {
            "PHREEQC, totals": seconds_each(lambda b=batch: phreeqc_totals(engine, b), WATERS),
            "PHREEQC, salts": seconds_each(lambda b=batch: phreeqc_salts(engine, b), WATERS),
            "one solve": seconds_each(lambda b=batch: scalar(b), WATERS),
        }
        for name, value in times.items():
            found.setdefault(name, []).append(value)
    return found


def times_quicker(found: dict[str, list[float]], name: str) -> float:
    """Median over the rounds of PHREEQC's time, by totals, over this way's."""
    pairs = zip(found["PHREEQC, totals"], found[name], strict=True)
    return statistics.median(theirs / ours for theirs, ours in pairs)


def main() -> None:
    found = seconds_of(ROUNDS)
    print(f"{'':18}{'µs a solve':>12}{'times quicker than PHREEQC by totals':>40}")
    for name, values in found.items():
        each = 1e6 * statistics.median(values)
        print(f"{name:18}{each:12.2f}{times_quicker(found, name):40.1f}")

    bare = statistics.median(start_seconds("pass") for _ in range(5))
    with_water = statistics.median(
        start_seconds("import advisor.water.carbonate, advisor.water.ammonia") for _ in range(5)
    )
    print(f"importing the scalar chemistry: {1e3 * (with_water - bare):.0f} ms over a bare start")


if __name__ == "__main__":
    main()
