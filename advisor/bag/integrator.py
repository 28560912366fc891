"""The balance of oxygen, carbon, ammonia and alkalinity over time, for all samples at once.

Samples of one bag, and of many bags, stand side by side in the last axis; each
may have a time grid of its own. Unknowns are amounts in the whole bag: oxygen
used (U), CO2 made (P), oxygen in the water (X), TAN (N), alkalinity (A) and
inorganic carbon in the water (D), mmol or meq. What the gas holds follows from
conservation, so oxygen, carbon and nitrogen balance to rounding whatever the step:

    dU/dt = M n [(1-s) f(X) + s g]         f = X / (X + X_half), s share taken from the gas
    dX/dt = ko V (beta pO2 - X/V) - M n (1-s) f + inflow
    dP/dt = RQ dU/dt                       RQ and q rise as oxygen runs out
    dD/dt = kc V (KH pCO2 - [CO2]) + dP/dt + inflow
    dN/dt = q dU/dt + dead + inflow,  dA/dt = the same   (NH3 given off is a base)

n is what CO2 leaves of the fish's activity. Through the film the gas loses
oxygen and CO2 and takes in nitrogen, in proportion to the pressures.

Second-order backward differences (BDF2) with the time grid given, because
exchange and oxygen shortage are stiff. Each step has a closed form for X and
one equation for pH, in which the implicit exchange acts like a headspace; so
a time step costs one pH solve. Temperature, use rates and constants are laid
out over the grid beforehand. A second run of the same bag with other ammonia
and alkalinity keeps the oxygen of the first (``like``).
"""

from __future__ import annotations

from typing import Any, TypeVar

import numpy as np

from advisor.bag.course import EVERY, Course, Grid, Run, Start, Steps, grid_of, steps_of
from advisor.bag.defaults import AIR_O2
from advisor.bag.fish_defaults import (
    AIR_HALF_RATE_ATM,
    MOST_CO2_WITHOUT_O2,
    MOST_N_WITHOUT_O2,
)
from advisor.bag.shortage import NARCOSIS_FROM, SHORT_OF_O2, narcosis, rises
from advisor.bag.step_chemistry import (
    ARRAYS,
    NUMBERS,
    WaterConstants,
    carbonate_step,
    settled_water,
)
from advisor.water.constants import LN10

R = TypeVar("R", bound=tuple[Any, ...])


#: Smallest amount of gas [mmol] a pressure is worked out from.
_TINY = 1e-9


def run(
    start: Start,
    course: Course,
    samples: int,
    like: Run | None = None,
    keep: tuple[str, ...] = EVERY,
) -> Run:
    """Integrate over ``course.hours``; ``samples`` is the width of the result.

    like : a run of the same fish whose oxygen is kept; only the water's chemistry is new
    keep : what is given over time; of the rest only the end, (1, samples)
    """
    times = len(course.hours)
    steps = steps_of(course.hours)
    grid = grid_of(course, steps.h if steps.h.ndim == 2 else steps.h[:, None])
    plain = samples == 1 and times > 1
    if plain:
        start, course, grid = _single(start), _single(course), _single(grid)
        like = None if like is None else _single(like)
    state = _State(start, course, grid, steps.rows(), plain, like)
    kept = [place for place, name in enumerate(EVERY) if name in keep]
    if plain:
        return _as_columns(state, times, kept)
    out = np.empty((len(kept), times, samples))
    for i in range(times):
        if i:
            state.step(i)
        amounts = state.amounts()
        for row, place in zip(out, kept, strict=True):
            row[i] = amounts[place]
    ends = [np.broadcast_to(np.asarray(each, float), (1, samples)) for each in state.amounts()]
    for row, place in zip(out, kept, strict=True):
        ends[place] = row
    return Run(*ends)


def _as_columns(state: _State, times: int, kept: list[int]) -> Run:
    """The run of one sample, gathered as plain numbers."""
    rows = [state.amounts()]
    for i in range(1, times):
        state.step(i)
        rows.append(state.amounts())
    columns = np.array(rows)
    ends = [columns[-1:, place, None] for place in range(len(EVERY))]
    for place in kept:
        ends[place] = columns[:, place, None]
    return Run(*ends)


def _single(record: R) -> R:
    """A record without its sample axis, as plain numbers: numpy works far slower on one."""
    parts = (
        _single(part) if isinstance(part, tuple) else _plain(part) if _has_samples(part) else part
        for part in record
    )
    return type(record)(*parts)


def _plain(part: Any) -> Any:
    return part[..., 0].tolist()


def _has_samples(part: object) -> bool:
    return isinstance(part, np.ndarray) and part.shape[-1] == 1


class _State:
    """Amounts now and one step before, and the steps between."""

    def __init__(
        self, start: Start, course: Course, grid: Grid, steps: list[Steps], plain: bool,
        like: Run | None,
    ) -> None:  # fmt: skip
        self.course, self.like, self.grid, self.steps = course, like, grid, steps
        self.w = NUMBERS if plain else ARRAYS
        rows = zip(*course.constants, strict=True) if plain else None
        self.constants = (
            course.constants.rows() if rows is None else [WaterConstants(*row) for row in rows]
        )
        self.salted = bool(np.any(np.asarray(course.constants.borate)))
        self.breathes_air = bool(np.any(np.asarray(course.air_share) > 0.0))
        self.narcotised = like is None and bool(np.any(np.asarray(course.narcosis) > 0.0))
        film = course.film
        self.film = film if film is not None and np.any(np.asarray(film.co2) > 0.0) else None
        self.used = self.used_before = 0.0 * start.o2_mmol
        self.made = self.made_before = self.made_part = self.used
        self.lost_o2 = self.lost_o2_before = self.used
        self.lost_co2 = self.lost_co2_before = self.used
        self.n2 = self.n2_before = start.gas_n2_mmol
        self.o2 = self.o2_before = start.o2_mmol
        self.dic = self.dic_before = start.dic_mmol
        self.tan, self.alkalinity = start.tan_mmol, start.alkalinity_meq
        self.gas_o2 = self.gas_o2_before = start.gas_o2_mmol
        self.gas_co2 = self.gas_co2_before = start.gas_co2_mmol
        self.has_gas: Any = 1.0 * (np.asarray(start.gas_o2_mmol) > 0.0)
        if plain:
            self.has_gas = float(self.has_gas)
        self.all_o2 = start.o2_mmol + start.gas_o2_mmol
        self.all_carbon = start.dic_mmol + start.gas_co2_mmol
        self.rise: Any = (1.0, 1.0)
        self.made_now = self.given_now = self.used
        self.pressure = self.pressure_before = self._gas_atm_per_mmol(0)
        volume = course.volume_l[0]
        self.water = settled_water(
            self.constants[0], self.alkalinity / volume, self.dic / volume, self.tan / volume,
            start.ph * -LN10, self.w,
        )  # fmt: skip
        self.water_before = self.water
        self.moved_before: Any = 0.0

    def amounts(self) -> tuple[Any, ...]:
        """What a ``Run`` holds, now."""
        w = self.water
        return (
            self.used, self.made, self.o2, self.tan, self.alkalinity, self.dic, self.gas_o2,
            self.gas_co2, self.n2, self.lost_o2, self.lost_co2, w.log_h, w.nh3, w.co2,
        )  # fmt: skip

    def step(self, i: int) -> None:
        """One BDF2 step to time ``i`` (the first is backward Euler)."""
        s = self.steps[i]
        pressure = self.pressure + s.ratio * (self.pressure - self.pressure_before)
        if self.like is not None:
            self._as_before(i, self.like)
        else:
            self._oxygen(i, s, pressure)
        self._ammonia(i, s)
        self._carbon(i, s, pressure)
        if self.course.closed:
            self.pressure_before, self.pressure = self.pressure, self._gas_atm_per_mmol(i)

    def _as_before(self, i: int, like: Run) -> None:
        """Oxygen, what was made of it and what the film lost of it, from the first run."""
        s, used = self.steps[i], self.used
        self.made_part = s.now * like.made_co2[i - 1] + s.before * like.made_co2[max(i - 2, 0)]
        self.used, self.made = like.used_o2[i], like.made_co2[i]
        self.o2, self.gas_o2 = like.o2[i], like.gas_o2[i]
        self.n2, self.lost_o2 = like.gas_n2[i], like.lost_o2[i]
        self._gave(i, self.o2 * self.grid.per_l[i], self.used - used, self.course.use[i])

    def _oxygen(self, i: int, s: Steps, pressure: Any) -> None:
        """Oxygen in the water from a quadratic, what was used, and the CO2 made of it."""
        c, w, grid = self.course, self.w, self.grid
        use, wanted = c.use[i], grid.wanted[i]
        if self.narcotised:
            activity = self._activity(i, s)
            use, wanted = use * activity, wanted * activity
        exchange, held, half = grid.exchange_o2[i], grid.held_o2[i], grid.half[i]
        used_part = s.now * self.used + s.before * self.used_before
        part = s.now * self.o2 + s.before * self.o2_before
        if c.inflow is not None:
            part = part + s.h * c.inflow.o2
        gulps: Any = 0.0
        all_o2 = self.all_o2
        if c.closed:
            if self.film is not None:
                all_o2 = all_o2 - self._film_o2(i, s, pressure)
            held = held * pressure
            if self.breathes_air:
                gulps = self._gulps_per_mmol(s.h * use * c.air_share, pressure)
                held = held / (1.0 + gulps)
            supply = part + held * (all_o2 - used_part)
            lead, pull = 1.0 + exchange + held, wanted * (1.0 + held)
        else:
            air = c.air_o2_atm[i]
            if self.breathes_air:
                part_of_air = air / (air + AIR_HALF_RATE_ATM)
                used_part = used_part + s.h * use * c.air_share * part_of_air
            supply = part + held * air
            lead, pull = 1.0 + exchange, wanted
        supply = w.maximum(supply, 0.0)
        least = lead * half
        middle = least + pull - supply
        o2 = (w.sqrt(middle * middle + 4.0 * least * supply) - middle) / (2.0 * lead)
        used = used_part + wanted * (o2 / (o2 + half))
        self.o2_before, self.o2 = self.o2, o2
        if c.closed:
            if self.breathes_air:
                used = (used + gulps * (all_o2 - o2)) / (1.0 + gulps)
            # the parts of BDF2 may overshoot by a hair as the last oxygen goes
            used = w.minimum(used, all_o2 - o2)
            self.gas_o2_before, self.gas_o2 = self.gas_o2, all_o2 - used - o2
        self._gave(i, o2 * grid.per_l[i], used - self.used, use)
        self.made_part = s.now * self.made + s.before * self.made_before
        self.made_before, self.made = self.made, self.made + self.made_now
        self.used_before, self.used = self.used, used

    def _gave(self, i: int, o2: Any, used: Any, use: Any) -> None:
        """CO2 and ammonia given off in the step that uses this much oxygen [mmol].

        use : what the fish would have used with oxygen ample [mmol/h]
        """
        c, w = self.course, self.w
        rq, quotient = c.rq, c.quotient[i]
        made, given = rq * used, quotient * used
        lowest = o2 if w is NUMBERS else o2.min()
        rise: Any = (1.0, 1.0)
        if lowest < SHORT_OF_O2:
            rise, demand = rises(o2, rq, quotient, w), self.steps[i].dt * use
            most_co2, most_n = (
                MOST_CO2_WITHOUT_O2 * rq * demand,
                MOST_N_WITHOUT_O2 * quotient * demand,
            )
            mean = [0.5 * (was + now) for was, now in zip(self.rise, rise, strict=True)]
            made = w.maximum(made, w.minimum(made * mean[0], most_co2))
            given = w.maximum(given, w.minimum(given * mean[1], most_n))
        self.rise = rise
        self.made_now, self.given_now = made, given

    def _activity(self, i: int, s: Steps) -> Any:
        """Share of full use that the CO2 of the last steps leaves."""
        co2 = self.water.co2 + s.ratio * (self.water.co2 - self.water_before.co2)
        if self.w.largest(co2) < NARCOSIS_FROM:
            return 1.0
        return narcosis(co2, self.course.narcosis, self.w)

    def _film_o2(self, i: int, s: Steps, pressure: Any) -> Any:
        """Oxygen the film has let out by the end of the step; nitrogen comes in beside it."""
        c, film = self.course, self.film
        assert film is not None
        gas = self.gas_o2 + s.ratio * (self.gas_o2 - self.gas_o2_before)
        out = s.h * film.o2 * (self.w.maximum(gas, 0.0) * pressure - c.air_o2_atm[i])
        lost = s.now * self.lost_o2 + s.before * self.lost_o2_before + out
        self.lost_o2_before, self.lost_o2 = self.lost_o2, lost
        n2 = self.n2 + s.ratio * (self.n2 - self.n2_before)
        come = s.h * film.n2 * ((1.0 - AIR_O2) * c.dry_atm[i] - n2 * pressure)
        self.n2_before, self.n2 = self.n2, s.now * self.n2 + s.before * self.n2_before + come
        return lost

    def _gulps_per_mmol(self, wanted: Any, pressure: Any) -> Any:
        """Share of the gas's oxygen gulped in this step: what is wanted, less as it runs out.

        With the half-rate pressure as an amount, wanted * gas / (gas + half) is taken with
        the gas of the end of the step above and of its start below, so none is overdrawn.
        """
        w = self.w
        half = AIR_HALF_RATE_ATM / w.maximum(pressure, _TINY)
        return self.has_gas * wanted / (w.maximum(self.gas_o2, 0.0) + half)

    def _ammonia(self, i: int, s: Steps) -> None:
        """Excreted NH3 adds to TAN and, as a base, to alkalinity; so does that of the dead."""
        inflow = self.course.inflow
        excreted = self.given_now + s.dt * self.course.dead_n[i]
        self.tan = self.tan + excreted
        self.alkalinity = self.alkalinity + excreted
        if inflow is not None:
            self.tan = self.tan + s.dt * inflow.tan
            self.alkalinity = self.alkalinity + s.dt * inflow.alkalinity

    def _carbon(self, i: int, s: Steps, pressure: Any) -> None:
        """Inorganic carbon and pH: the implicit exchange acts like a headspace."""
        c, grid = self.course, self.grid
        exchange, held, per_l = grid.exchange_co2[i], grid.held_co2[i], grid.per_l[i]
        part = s.now * self.dic + s.before * self.dic_before + self.made - self.made_part
        if c.inflow is not None:
            part = part + s.h * c.inflow.dic
        all_carbon: Any = 0.0
        if c.closed:
            held = held * pressure
            all_carbon = self.all_carbon + self.made
            if self.film is not None:
                all_carbon = all_carbon - self._film_co2(i, s, pressure)
            carbon, share = (part + held * all_carbon) / (1.0 + held), exchange / (1.0 + held)
        else:
            carbon, share = part + held * c.air_co2_atm[i], exchange
        now, moved = self.water, self.water.log_h - self.water_before.log_h
        guess = now.log_h + s.ratio * moved + s.bend * (moved - s.earlier * self.moved_before)
        self.water_before, self.moved_before = now, moved
        self.water = carbonate_step(
            self.constants[i], self.alkalinity * per_l, carbon * per_l, self.tan * per_l,
            share, guess, now.more_ions, self.salted, self.w,
        )  # fmt: skip
        self.dic_before, self.dic = self.dic, carbon - share * c.volume_l[i] * self.water.co2
        if c.closed:
            self.gas_co2_before, self.gas_co2 = self.gas_co2, all_carbon - self.dic

    def _film_co2(self, i: int, s: Steps, pressure: Any) -> Any:
        """CO2 the film has let out by the end of the step."""
        film = self.film
        assert film is not None
        gas = self.gas_co2 + s.ratio * (self.gas_co2 - self.gas_co2_before)
        out = s.h * film.co2 * (self.w.maximum(gas, 0.0) * pressure - self.course.air_co2_atm[i])
        lost = s.now * self.lost_co2 + s.before * self.lost_co2_before + out
        self.lost_co2_before, self.lost_co2 = self.lost_co2, lost
        return lost

    def _gas_atm_per_mmol(self, i: int) -> Any:
        """Pressure one mmol of gas exerts [atm]: by the amount of gas in a bag, fixed in a jar."""
        c = self.course
        if not c.closed:
            return 0.0 * self.o2
        gas = self.gas_o2 + self.gas_co2 + self.n2
        pressure = c.dry_atm[i] / self.w.maximum(gas, _TINY)
        return pressure + c.jar * (c.jar_atm_per_mmol[i] - pressure)
