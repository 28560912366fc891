"""The bag's balance written out as plain differential equations for scipy.

An independent check of the project's own integrator: other unknowns (what is
in the gas is integrated, not inferred), another method (Radau), another pH
solve (advisor.water's scalar one), everything evaluated at the exact time.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.integrate import solve_ivp

from advisor.bag import defaults as d
from advisor.bag import fish_defaults as f
from advisor.bag.respiration import N_MG, O2_MG
from advisor.bag.seal import Sealed
from advisor.water.carbonate import solve
from advisor.water.constants import equilibrium_constants
from advisor.water.masses import CACO3_MG_PER_MEQ, CO2
from advisor.water.oxygen import (
    STANDARD_MMHG,
    oxygen_saturation_mg_l,
    vapour_pressure_mmhg,
)


def temperature(sealed: Sealed, t: float) -> float:
    """Central temperature at any time, from the first and last rows of the course."""
    path = sealed.bag.temperature
    if not hasattr(path, "start_c"):
        return float(path)
    return path.outside_c + (path.start_c - path.outside_c) * math.exp(-t / path.time_constant_h)


def final_state(sealed: Sealed, rtol: float = 1e-9) -> dict[str, float]:
    """Central run integrated by scipy to the end; pH, TAN, oxygen, CO2, alkalinity."""
    course, start = sealed.course, sealed.start
    volume = float(course.volume_l[0, 0])
    fish = sealed.fish
    one = [float(np.ravel(part)[0]) for part in start]
    o2, dic, tan, alk, gas_o2, gas_co2, gas_n2, _ = one
    velocity = float(course.ko[0, 0]) / d.EXCHANGE_PER_C ** (temperature(sealed, 0.0) - 20.0)
    routine, ceiling, peak, tau, q10, heat, still = (
        float(np.ravel(x)[0])
        for x in (
            fish.routine_mmol_h, fish.ceiling_mmol_h, fish.peak, fish.peak_h, fish.q10,
            fish.heat_limit, fish.narcosis,
        )
    )  # fmt: skip
    rq, half = float(np.ravel(fish.co2_per_o2)[0]), float(np.ravel(fish.half_rate)[0])
    jar = float(course.jar_atm_per_mmol[0, 0]) if float(course.jar[0]) else None
    film = [0.0] * 3 if course.film is None else [float(np.ravel(x)[0]) for x in course.film]

    def metabolism(t: float, temp: float, x: float, co2: float) -> tuple[float, float, float]:
        """Oxygen used [mmol/h]; CO2 and ammonia per oxygen, as the published figures have it."""
        fed = 1.0
        if fish.fasted_h is not None:
            hours, value = np.array(f.FEEDING_BY_FAST).T[:2]
            fed = float(np.interp(fish.fasted_h + t, hours, value))
        over = max(temp - heat, 0.0)
        use = q10 ** ((temp - over - f.REFERENCE_C) / 10.0) * max(1.0 - over / 8.0, 0.0)
        use *= min(routine * fed * (1.0 + (peak - 1.0) * math.exp(-t / tau)), ceiling)
        low, high = f.NARCOSIS_CO2_MG_L
        use *= 1.0 - still * min(max((co2 * CO2 - low) / (high - low), 0.0), 1.0)
        share = x / (x + half * volume)
        q = float(fish.quotient(np.array([t]))[0, 0])
        mg = max(x / volume * O2_MG, 1e-6)
        lack = min(max(math.log(2.0 / mg), 0.0) / math.log(2.0 / 0.6), 1.0)
        made = max(min(rq * (8.0 / rq) ** lack, f.MOST_CO2_WITHOUT_O2 * rq / share), rq)
        given = max(min(q * (1.0 / q) ** lack, f.MOST_N_WITHOUT_O2 * q / share), q)
        return use * share, made, given

    def slopes(t: float, y: np.ndarray) -> list[float]:
        x, go, gn, dw, gc, n, a, _used = y
        temp = temperature(sealed, t)
        vapour = vapour_pressure_mmhg(temp) / STANDARD_MMHG
        beta = oxygen_saturation_mg_l(temp) / O2_MG / (d.AIR_O2 * (1.0 - vapour))
        kh = 1e3 * equilibrium_constants(temp).kh
        water = solve(a / volume * CACO3_MG_PER_MEQ, dw / volume, n / volume * N_MG, temp)
        co2 = water.co2_mg_l / CO2
        gas = max(go + gc + gn, 1e-12)
        per_mmol = (1.0 - vapour) / gas if jar is None else jar
        ko = velocity * d.EXCHANGE_PER_C ** (temp - 20.0)
        use, made, given = metabolism(t, temp, x, co2)
        into_water = ko * (volume * beta * per_mmol * go - x)
        co2_in = d.CO2_TO_O2_EXCHANGE * ko * volume * (kh * per_mmol * gc - co2)
        dry = 1.0 - vapour
        out_o2 = film[0] * (per_mmol * go - d.AIR_O2 * dry)
        out_co2 = film[1] * (per_mmol * gc - d.AIR_CO2 * dry)
        in_n2 = film[2] * ((1.0 - d.AIR_O2) * dry - per_mmol * gn)
        return [
            into_water - use, -into_water - out_o2, in_n2, co2_in + made * use, -co2_in - out_co2,
            given * use, given * use, use,
        ]  # fmt: skip

    y0 = [o2, gas_o2, gas_n2, dic, gas_co2, tan, alk, 0.0]
    done = solve_ivp(
        slopes, (0.0, sealed.bag.hours), y0, method="Radau", rtol=rtol, atol=1e-10, first_step=1e-4
    )
    x, _, _, dw, _, n, a, used = done.y[:, -1]
    water = solve(
        a / volume * CACO3_MG_PER_MEQ, dw / volume, n / volume * N_MG,
        temperature(sealed, sealed.bag.hours),
    )  # fmt: skip
    return {
        "ph": water.ph,
        "tan_mg_l": n / volume * N_MG,
        "do_mg_l": x / volume * O2_MG,
        "co2_mg_l": water.co2_mg_l,
        "used_mmol": used,
    }
