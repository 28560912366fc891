"""What a run starts from, what is imposed on it, its time steps, and what comes out."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from advisor.bag.gases import Film
from advisor.bag.step_chemistry import WaterConstants

Array = npt.NDArray[np.float64]


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

    hours       : the time grid [h], shape (times,) where all samples share it
    volume_l    : water volume [L]
    use         : full oxygen use [mmol/h]
    quotient    : mol N per mol O2, over the step that ends at each time
    dead_n      : ammonia from the dead [mmol/h], over the step that ends at each time
    rq          : mol CO2 per mol O2, shape (samples,)
    half_rate   : oxygen concentration of half use [mmol/L], shape (samples,)
    air_share   : share of oxygen taken from the gas, shape (samples,)
    narcosis    : share of use that CO2 can take away, shape (samples,)
    ko, kc      : exchange of O2 and CO2 [1/h]
    beta        : oxygen solubility [mmol/L/atm]
    constants   : of the water, over the same grid
    closed      : whether the water stands under a gas of its own, or open to the air
    jar         : 1 where the volume of the gas stays (a jar), 0 where its pressure does (a bag)
    dry_atm     : pressure of the dry gas [atm]
    jar_atm_per_mmol : RT/V of a jar's gas [atm/mmol]
    film        : None for a wall that lets nothing through, or open water
    inflow      : None unless dripped
    """

    hours: Array
    volume_l: Array
    use: Array
    quotient: Array
    dead_n: Array
    rq: Array
    half_rate: Array
    air_share: Array
    narcosis: Array
    ko: Array
    kc: Array
    beta: Array
    constants: WaterConstants
    closed: bool
    jar: Array
    dry_atm: Array
    air_o2_atm: Array
    air_co2_atm: Array
    jar_atm_per_mmol: Array
    film: Film | None = None
    inflow: Inflow | None = None


class Run(NamedTuple):
    """What came out, each (times, samples): amounts [mmol, meq] in the whole bag.

    log_h is ln of the hydrogen-ion activity; nh3 and co2 are concentrations
    [mmol/L]; lost_o2 and lost_co2 went out through the film.
    """

    used_o2: Array
    made_co2: Array
    o2: Array
    tan: Array
    alkalinity: Array
    dic: Array
    gas_o2: Array
    gas_co2: Array
    gas_n2: Array
    lost_o2: Array
    lost_co2: Array
    log_h: Array
    nh3: Array
    co2: Array

    def oxygen(self) -> Run:
        """Only what a second run of the same fish takes from the first."""
        none: Any = None
        return self._replace(**{name: none for name in EVERY if name not in LIKE})


#: What can be kept over time: everything, what a second run needs, what is shown.
EVERY = Run._fields
LIKE = ("used_o2", "made_co2", "o2", "gas_o2", "gas_n2", "lost_o2")
SHOWN = ("o2", "tan", "alkalinity", "log_h", "nh3", "co2")


class Steps(NamedTuple):
    """Weights of BDF2 steps: of now, of the step before, of the rate, and what extrapolates.

    bend, earlier : for a guess through three points, what the change of change counts for
                    and the ratio of the step before
    """

    dt: Any
    h: Any
    now: Any
    before: Any
    ratio: Any
    bend: Any
    earlier: Any

    def rows(self) -> list[Steps]:
        """Every step; plain numbers where all samples share the grid."""
        plain = self.dt.ndim == 1
        parts = (part.tolist() for part in self) if plain else self
        return [Steps(*row) for row in zip(*parts, strict=True)]


def steps_of(hours: Array) -> Steps:
    """The steps of a time grid (times,) or (times, samples); times that repeat do nothing."""
    grid = np.asarray(hours, float)
    dt = np.diff(grid, axis=0, prepend=grid[:1])
    last = np.concatenate([dt[:1], dt[:-1]])
    ratio = np.where((dt > 0.0) & (last > 0.0), dt / np.where(last > 0.0, last, 1.0), 0.0)
    whole = 1.0 + 2.0 * ratio
    h = dt * (1.0 + ratio) / whole
    earlier = np.concatenate([0.0 * ratio[:1], ratio[:-1]])
    bend = ratio * (1.0 + ratio) * earlier / (1.0 + earlier)
    return Steps(dt, h, (1.0 + ratio) ** 2 / whole, -(ratio**2) / whole, ratio, bend, earlier)


class Grid(NamedTuple):
    """Products of the course that every step needs, over the time grid.

    exchange_o2, exchange_co2 : share exchanged in a step; held_o2, held_co2 : what the water
    then takes per atmosphere [mmol]; wanted : oxygen wanted from the water [mmol]; half : half
    rate as an amount [mmol]; per_l : one over the volume [1/L]
    """

    exchange_o2: Any
    held_o2: Any
    wanted: Any
    half: Any
    exchange_co2: Any
    held_co2: Any
    per_l: Any


def grid_of(c: Course, h: Any) -> Grid:
    """Worked out for all times at once; ``h`` weighs the rates of each step, (times, 1 or more)."""
    exchange_o2, exchange_co2 = h * c.ko, h * c.kc
    return Grid(
        exchange_o2,
        exchange_o2 * c.volume_l * c.beta,
        h * c.use * (1.0 - c.air_share),
        c.half_rate * c.volume_l,
        exchange_co2,
        exchange_co2 * c.volume_l * c.constants.kh_mmol,
        1.0 / c.volume_l,
    )
