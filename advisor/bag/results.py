"""What the simulations hand back: frozen, plain numbers, units in the names."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

from advisor.bag.bands import Assumption, Band, Distance, Path

if TYPE_CHECKING:
    from advisor.bag.state import BagState

#: What a forecast gives over time and at its end, with units.
QUANTITIES: dict[str, str] = {
    "ph": "",
    "tan_mg_l": "mg/L as N",
    "nh3_n_mg_l": "mg/L as N",
    "co2_mg_l": "mg/L",
    "do_mg_l": "mg/L",
    "temperature_c": "°C",
    "alkalinity_mg_l_caco3": "mg/L as CaCO3",
}


@dataclass(frozen=True, kw_only=True)
class SealedForecast:
    """The water of a sealed bag from packing until now.

    hours     : times [h]
    paths     : one Path per name in ``QUANTITIES``, over ``hours``
    end       : one Band per name, now; measured values where there are any
    oxygen_hours_left : until dissolved oxygen falls under ``low_do_mg_l`` if the
                bag stays shut; 240 stands for 240 or more; None without fish
    oxygen_ran_out_h  : hour at which it did so already in the central run, or None
    assumptions : every number that was not given, with range and source
    distances : for each reading, how far it lies from the forecast without it
    notices   : sentences the person should see
    state     : the samples at the end, for ``compare_openings``
    """

    hours: tuple[float, ...]
    paths: dict[str, Path]
    end: dict[str, Band]
    oxygen_hours_left: Band | None
    oxygen_ran_out_h: float | None
    low_do_mg_l: float
    assumptions: tuple[Assumption, ...]
    distances: tuple[Distance, ...]
    notices: tuple[str, ...]
    state: BagState = field(repr=False, compare=False)


class LimitTime(NamedTuple):
    """When a limit is passed: minutes after opening, or days after stocking.

    passed   : "surely" (95 % of samples or more), "not" (5 % or fewer), else "possibly"
    minutes  : in the central run, None if it is not passed there
    earliest : 5 % point over samples, None if not passed even then
    latest   : 95 % point, None if some samples never pass it
    """

    passed: Literal["surely", "possibly", "not"]
    minutes: float | None
    earliest: float | None
    latest: float | None


class FloatTime(NamedTuple):
    """How long to float a closed bag; ``basis`` says what the figure rests on."""

    minutes: Band
    basis: str


class HarmRank(NamedTuple):
    """A bag's place in the opening order.

    score  : the worst of its strains, each a value against its limit (1 = at the limit)
    driver : the quantity behind the score
    strains: all of them
    """

    name: str
    score: float
    driver: str
    reason: str
    strains: dict[str, float]
