"""What the simulations hand back: frozen, plain numbers, units in the names."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, NamedTuple

from advisor.bag.banded import Assumption, Band, Distance, Path

if TYPE_CHECKING:
    from advisor.bag.state import BagState


class OxygenOutlook(NamedTuple):
    """What runs short in a shut bag: the oxygen, or its way into the water.

    store_hours    : until what water and gas hold is used, the bag being turned now and then
    still_hours    : until the water falls under the limit with the surface left as it is
    crossing_share : what crosses that surface at the limit over what the settled fish use;
                     under 1 the water grows poor though gas is left
    gas_left_share : of the oxygen packed in the gas
    crossing_short : "surely" (95 % of samples or more), "not" (5 % or fewer), else "possibly"
    turn_gently    : gas is left but does not get into the water: turning the bag gently helps
    """

    store_hours: Band
    still_hours: Band
    crossing_share: Band
    gas_left_share: Band
    crossing_short: Literal["surely", "possibly", "not"]
    turn_gently: bool


@dataclass(frozen=True, kw_only=True)
class SealedForecast:
    """The water of a sealed bag from packing until now.

    hours     : times [h]
    paths     : one Path, over ``hours``, of ph, tan_mg_l and nh3_n_mg_l (as N), co2_mg_l, do_mg_l,
                temperature_c and alkalinity_mg_l_caco3
                (empty when asked for without paths)
    end       : one Band per name, now, in agreement with every plausible reading
    untold    : the same before any reading was known
    oxygen    : hours of the store and of the crossing, told apart; None without fish
    oxygen_hours_left : hours of the store; 240 stands for 240 or more; None without fish
    oxygen_ran_out_h  : hour at which it did so already in the central run, or None
    assumptions : every number that was not given, with range and source
    distances : for each reading, how far it lies from the forecast without it, and
                whether any draw explains it
    doubts    : what was told of the packing that can hardly be, in sentences
    draws_that_agree : how many draws carry the band after the readings weighed them
    notices   : sentences the person should see
    state     : the samples at the end, for ``compare_openings``
    """

    hours: tuple[float, ...]
    paths: dict[str, Path]
    end: dict[str, Band]
    untold: dict[str, Band]
    oxygen: OxygenOutlook | None
    oxygen_ran_out_h: float | None
    low_do_mg_l: float
    assumptions: tuple[Assumption, ...]
    distances: tuple[Distance, ...]
    notices: tuple[str, ...]
    doubts: tuple[str, ...] = ()
    draws_that_agree: float = 0.0
    state: BagState = field(repr=False, compare=False)

    @property
    def oxygen_hours_left(self) -> Band | None:
        """Hours of the store."""
        return None if self.oxygen is None else self.oxygen.store_hours

    @property
    def implausible(self) -> tuple[Distance, ...]:
        """Readings that no draw explains; the forecast stands without them."""
        return tuple(found for found in self.distances if not found.plausible)


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


class Harm(NamedTuple):
    """What waiting costs the fish of a shut bag.

    score  : the worst of its strains, each a value against its limit (1 = at the limit)
    driver : the quantity behind the score
    strains: all of them
    """

    score: float
    driver: str
    reason: str
    strains: dict[str, float]
