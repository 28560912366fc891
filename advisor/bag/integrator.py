"""The balance of oxygen, carbon, ammonia and alkalinity over time, for all samples at once.

Unknowns are amounts in the whole bag: oxygen used (U), oxygen in the water
(X), TAN (N), alkalinity (A) and inorganic carbon in the water (D), mmol or
meq. What the gas holds follows from conservation, so oxygen, carbon and
nitrogen balance to rounding whatever the step:

    dU/dt = M [(1-s) f(X) + s g]           f = X / (X + X_half), s share taken from the gas
    dX/dt = ko V (beta pO2 - X/V) - M (1-s) f + inflow
    dD/dt = kc V (KH pCO2 - [CO2]) + RQ dU/dt + inflow
    dN/dt = q dU/dt + inflow,  dA/dt = q dU/dt + inflow   (excreted NH3 is a base)

Second-order backward differences (BDF2) with the time grid given, because
exchange and oxygen shortage are stiff. Each step has a closed form for X and
one equation for pH, in which the implicit exchange acts like a headspace; so
a time step costs one pH solve. Temperature, use rates and constants are laid
out over the grid beforehand.
"""

from __future__ import annotations

from typing import Any, NamedTuple, TypeVar

import numpy as np
import numpy.typing as npt

from advisor.bag.chemistry import WaterConstants, carbonate_step, settled_water
from advisor.bag.defaults import AIR_HALF_RATE_ATM
from advisor.water.constants import LN10

Array = npt.NDArray[np.float64]
R = TypeVar("R", bound=tuple[Any, ...])


class Start(NamedTuple):
    """Amounts at the first time; each an array over samples (or of one element).

    o2_mmol, dic_mmol, tan_mmol, alkalinity_meq : in the water
    gas_o2_mmol, gas_co2_mmol, gas_n2_mmol      : in the gas, 0 when open to air
    ph                                          : a guess that starts the solver
    """

    o2_mmol: Array
    dic_mmol: Array
    tan_mmol: Array
    alkalinity_meq: Array
    gas_o2_mmol: Array
    gas_co2_mmol: Array
    gas_n2_mmol: Array
    ph: Array


class Inflow(NamedTuple):
    """Water dripped in, per hour: mmol/h (meq/h) of what it carries."""

    o2: Array
    dic: Array
    tan: Array
    alkalinity: Array


class Course(NamedTuple):
    """What is imposed on the water. Arrays are (times, samples), either may be 1 in ``samples``.

    hours       : the time grid [h], shape (times,)
    volume_l    : water volume [L]
    use         : full oxygen use [mmol/h]
    quotient    : mol N per mol O2, over the step that ends at each time
    rq          : mol CO2 per mol O2, shape (samples,)
    half_rate   : oxygen concentration of half use [mmol/L], shape (samples,)
    air_share   : share of oxygen taken from the gas, shape (samples,)
    ko, kc      : exchange of O2 and CO2 [1/h]
    beta        : oxygen solubility [mmol/L/atm]
    constants   : of the water, over the same grid
    gas         : "bag" (pressure stays), "jar" (volume stays), "open" (air above)
    dry_atm     : pressure of the dry gas [atm]
    jar_atm_per_mmol : RT/V of a jar's gas [atm/mmol]
    inflow      : None unless dripped
    """

    hours: Array
    volume_l: Array
    use: Array
    quotient: Array
    rq: Array
    half_rate: Array
    air_share: Array
    ko: Array
    kc: Array
    beta: Array
    constants: WaterConstants
    gas: str
    dry_atm: Array
    air_o2_atm: Array
    air_co2_atm: Array
    jar_atm_per_mmol: Array
    inflow: Inflow | None = None


class Run(NamedTuple):
    """What came out, each (times, samples): amounts [mmol, meq] in the whole bag.

    log_h is ln of the hydrogen-ion activity; nh3 and co2 are concentrations [mmol/L].
    """

    used_o2: Array
    o2: Array
    tan: Array
    alkalinity: Array
    dic: Array
    gas_o2: Array
    gas_co2: Array
    log_h: Array
    nh3: Array
    co2: Array


#: Smallest amount of gas [mmol] a pressure is worked out from.
_TINY = 1e-9


def run(start: Start, course: Course, samples: int) -> Run:
    """Integrate over ``course.hours``; ``samples`` is the width of the result."""
    if samples == 1 and len(course.hours) > 1:
        start, course = _single(start), _single(course)
    state = _State(start, course)
    out = np.empty((len(Run._fields), len(course.hours), samples))
    state.write(out, 0)
    for i in range(1, len(course.hours)):
        state.step(i)
        state.write(out, i)
    return Run(*out)


def _single(record: R) -> R:
    """A record without its sample axis: numpy works several times faster on plain numbers."""
    parts = (
        _single(part) if isinstance(part, tuple) else part[..., 0] if _has_samples(part) else part
        for part in record
    )
    return type(record)(*parts)


def _has_samples(part: object) -> bool:
    return isinstance(part, np.ndarray) and part.shape[-1] == 1


class _State:
    """Amounts now and one step before, and the steps between."""

    def __init__(self, start: Start, course: Course) -> None:
        self.course = course
        self.times = course.hours.tolist()
        self.constants = course.constants.rows()
        self.salted = bool(np.any(course.constants.borate))
        self.closed = course.gas != "open"
        self.breathes_air = bool(np.any(course.air_share > 0.0))
        self.used = self.used_before = 0.0 * start.o2_mmol
        self.o2 = self.o2_before = start.o2_mmol
        self.dic = self.dic_before = start.dic_mmol
        self.tan, self.alkalinity = start.tan_mmol, start.alkalinity_meq
        self.gas_o2, self.gas_co2 = start.gas_o2_mmol, start.gas_co2_mmol
        self.gas_n2 = start.gas_n2_mmol
        self.has_gas = 1.0 * (start.gas_o2_mmol > 0.0)
        self.all_o2 = start.o2_mmol + start.gas_o2_mmol
        self.all_carbon = start.dic_mmol + start.gas_co2_mmol
        self.share_of_used = 1.0 - course.air_share
        self.pressure = self.pressure_before = self._gas_atm_per_mmol(0)
        volume = course.volume_l[0]
        self.water = settled_water(
            self.constants[0], self.alkalinity / volume, self.dic / volume, self.tan / volume,
            start.ph * -LN10,
        )  # fmt: skip
        self.log_h_before = self.water.log_h

    def write(self, out: Array, i: int) -> None:
        """Put the amounts now into column ``i`` of the result."""
        w = self.water
        amounts = (
            self.used, self.o2, self.tan, self.alkalinity, self.dic, self.gas_o2, self.gas_co2,
            w.log_h, w.nh3, w.co2,
        )  # fmt: skip
        if isinstance(self.o2, float):
            out[:, i, 0] = amounts
        else:
            for row, amount in zip(out, amounts, strict=True):
                row[i] = amount

    def step(self, i: int) -> None:
        """One BDF2 step to time ``i`` (the first is backward Euler)."""
        t = self.times
        dt = t[i] - t[i - 1]
        ratio = dt / (t[i - 1] - t[i - 2]) if i > 1 else 0.0
        whole = 1.0 + 2.0 * ratio
        now, before, h = (1.0 + ratio) ** 2 / whole, -(ratio**2) / whole, dt * (1.0 + ratio) / whole
        pressure = self.pressure + ratio * (self.pressure - self.pressure_before)
        used_part = now * self.used + before * self.used_before
        used = self._oxygen(i, h, now, before, used_part, pressure)
        self._ammonia(i, dt, used)
        self._carbon(i, h, now, before, used, used_part, pressure, ratio)
        self.used_before, self.used = self.used, used
        self.pressure_before, self.pressure = self.pressure, self._gas_atm_per_mmol(i)

    def _oxygen(
        self, i: int, h: float, now: float, before: float, used_part: Array, pressure: Array
    ) -> Array:
        """Oxygen in the water from a quadratic; returns the oxygen used so far."""
        c = self.course
        volume = c.volume_l[i]
        exchange = h * c.ko[i]
        wanted = h * c.use[i] * self.share_of_used
        part = now * self.o2 + before * self.o2_before
        if c.inflow is not None:
            part = part + h * c.inflow.o2
        held = exchange * volume * c.beta[i]
        gulps: Array | float = 0.0
        if self.closed:
            held = held * pressure
            if self.breathes_air:
                gulps = self._gulps_per_mmol(h * c.use[i] * c.air_share, pressure)
                held = held / (1.0 + gulps)
            supply = part + held * (self.all_o2 - used_part)
            lead, pull = 1.0 + exchange + held, wanted * (1.0 + held)
        else:
            air = c.air_o2_atm[i]
            if self.breathes_air:
                part_of_air = air / (air + AIR_HALF_RATE_ATM)
                used_part = used_part + h * c.use[i] * c.air_share * part_of_air
            supply = part + held * air
            lead, pull = 1.0 + exchange, wanted
        supply = np.maximum(supply, 0.0)
        half = c.half_rate * volume
        middle = lead * half + pull - supply
        o2 = (np.sqrt(middle * middle + 4.0 * lead * half * supply) - middle) / (2.0 * lead)
        used: Array = used_part + wanted * (o2 / (o2 + half))
        self.o2_before, self.o2 = self.o2, o2
        if self.closed:
            if self.breathes_air:
                used = (used + gulps * (self.all_o2 - o2)) / (1.0 + gulps)
            # the parts of BDF2 may overshoot by a hair as the last oxygen goes
            used = np.minimum(used, self.all_o2 - o2)
            self.gas_o2 = self.all_o2 - used - o2
        return used

    def _gulps_per_mmol(self, wanted: Array, pressure: Array) -> Array:
        """Share of the gas's oxygen gulped in this step: what is wanted, less as it runs out.

        With the half-rate pressure as an amount, wanted * gas / (gas + half) is taken with
        the gas of the end of the step above and of its start below, so none is overdrawn.
        """
        half = AIR_HALF_RATE_ATM / np.maximum(pressure, _TINY)
        gulps: Array = self.has_gas * wanted / (np.maximum(self.gas_o2, 0.0) + half)
        return gulps

    def _ammonia(self, i: int, dt: float, used: Array) -> None:
        """Excreted NH3 adds to TAN and, as a base, to alkalinity."""
        excreted = self.course.quotient[i] * (used - self.used)
        inflow = self.course.inflow
        if inflow is None:
            self.tan = self.tan + excreted
            self.alkalinity = self.alkalinity + excreted
        else:
            self.tan = self.tan + excreted + dt * inflow.tan
            self.alkalinity = self.alkalinity + excreted + dt * inflow.alkalinity

    def _carbon(
        self, i: int, h: float, now: float, before: float,
        used: Array, used_part: Array, pressure: Array, ratio: float,
    ) -> None:  # fmt: skip
        """Inorganic carbon and pH: the implicit exchange acts like a headspace."""
        c = self.course
        volume = c.volume_l[i]
        exchange = h * c.kc[i]
        part = now * self.dic + before * self.dic_before + c.rq * (used - used_part)
        if c.inflow is not None:
            part = part + h * c.inflow.dic
        held = exchange * volume * self.constants[i].kh_mmol
        if self.closed:
            held = held * pressure
            all_carbon = self.all_carbon + c.rq * used
            carbon, share = (part + held * all_carbon) / (1.0 + held), exchange / (1.0 + held)
        else:
            carbon, share = part + held * c.air_co2_atm[i], exchange
        log_h = self.water.log_h
        guess = log_h + ratio * (log_h - self.log_h_before)
        self.log_h_before = log_h
        self.water = carbonate_step(
            self.constants[i], self.alkalinity / volume, carbon / volume, self.tan / volume,
            share, guess, self.water.more_ions, self.salted,
        )  # fmt: skip
        self.dic_before, self.dic = self.dic, carbon - share * volume * self.water.co2
        if self.closed:
            self.gas_co2 = all_carbon - self.dic

    def _gas_atm_per_mmol(self, i: int) -> Array:
        """Pressure one mmol of gas exerts [atm]: by the amount of gas in a bag, fixed in a jar."""
        c = self.course
        if c.gas == "jar":
            jar: Array = c.jar_atm_per_mmol[i]
            return jar
        if c.gas == "open":
            return 0.0 * self.o2
        gas = self.gas_o2 + self.gas_co2 + self.gas_n2
        pressure: Array = c.dry_atm[i] / np.maximum(gas, _TINY)
        return pressure
