"""In which order to open several bags: the one whose fish lose most by waiting comes first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from advisor.bag.bands import Band
from advisor.bag.results import HarmRank
from advisor.errors import AdvisorError


class ShutBag(Protocol):
    """What is asked of a forecast: the water now, and how long its oxygen lasts."""

    @property
    def end(self) -> Mapping[str, Band]: ...
    @property
    def oxygen_hours_left(self) -> Band | None: ...


@dataclass(frozen=True, kw_only=True)
class HarmLimits:
    """Limits a bag's water is held against; the caller's rules may bring their own.

    nh3_n_mg_l  : un-ionised ammonia [mg N/L]; harm begins near 0.05 (Tucker 1984,
                  in Fundamentals of Aquatic Veterinary Medicine)
    co2_mg_l    : signs of CO2 in sudden exposure, 40 (hobby page, low confidence)
    do_mg_l     : aim for at least 4 at the end (Kaiser & Vine 1998)
    oxygen_hours: fewer hours of oxygen than this is a strain; judgement
    ph_low      : growth of most fish suffers below 6 (Baldisserotto 2011)
    low_c, high_c : tropical fish 22-30 °C kept, losses under 18 (Froese)
    degrees     : °C beyond low_c or high_c that count as one limit; judgement
    """

    nh3_n_mg_l: float = 0.05
    co2_mg_l: float = 40.0
    do_mg_l: float = 4.0
    oxygen_hours: float = 4.0
    ph_low: float = 6.0
    low_c: float = 18.0
    high_c: float = 30.0
    degrees: float = 3.0


_REASONS = {
    "oxygen": "oxygen is low or nearly used up ({do:.1f} mg/L, about {hours:.0f} h left)",
    "co2": "CO2 is highest against its limit ({co2:.0f} mg/L)",
    "nh3": "un-ionised ammonia is already high in the shut bag ({nh3:.3f} mg N/L)",
    "acid": "the water is very acid (pH {ph:.1f})",
    "temperature": "the water is too cold or too warm ({temperature:.1f} °C)",
}


def harm_order(
    bags: Mapping[str, ShutBag], limits: HarmLimits | None = None
) -> tuple[HarmRank, ...]:
    """Bags in the order to open them, worst first, with the reason.

    Each strain is a central value against its limit (1 = at the limit); a bag
    ranks by its worst, ties by the sum. Strains are a way to order bags, not
    a measured harm.

    Raises AdvisorError without bags.
    """
    if not bags:
        raise AdvisorError("bags: none given; harm_order needs at least one forecast.")
    limits = limits or HarmLimits()
    ranks = [_rank(name, bag, limits) for name, bag in bags.items()]
    return tuple(sorted(ranks, key=lambda r: (-r.score, -sum(r.strains.values()), r.name)))


def _rank(name: str, bag: ShutBag, limits: HarmLimits) -> HarmRank:
    end = bag.end
    strains = {
        "oxygen": _oxygen_strain(end["do_mg_l"], bag.oxygen_hours_left, limits),
        "co2": end["co2_mg_l"].value / limits.co2_mg_l,
        "nh3": end["nh3_n_mg_l"].value / limits.nh3_n_mg_l,
        "acid": 10.0 ** (limits.ph_low - end["ph"].value),
        "temperature": _temperature_strain(end["temperature_c"].value, limits),
    }
    driver = max(strains, key=lambda key: strains[key])
    left = bag.oxygen_hours_left
    reason = _REASONS[driver].format(
        do=end["do_mg_l"].value,
        hours=left.value if left else 0.0,
        co2=end["co2_mg_l"].value,
        nh3=end["nh3_n_mg_l"].value,
        ph=end["ph"].value,
        temperature=end["temperature_c"].value,
    )
    score = strains[driver]
    if left is None:
        score, driver, reason = 0.0, "none", "no fish in it"
    return HarmRank(name=name, score=score, driver=driver, reason=reason, strains=strains)


def _oxygen_strain(oxygen: Band, left: Band | None, limits: HarmLimits) -> float:
    now = limits.do_mg_l / max(oxygen.value, 0.05)
    soon = 0.0 if left is None else limits.oxygen_hours / max(left.value, 0.05)
    return max(now, soon)


def _temperature_strain(temperature_c: float, limits: HarmLimits) -> float:
    off = max(limits.low_c - temperature_c, temperature_c - limits.high_c, 0.0)
    return off / limits.degrees
