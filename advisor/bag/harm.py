"""What waiting costs the fish of a shut bag: the bag that costs most is opened first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from advisor.bag.banded import Band
from advisor.bag.outcomes import Harm, OxygenOutlook
from advisor.wording.numbers import fixed


class ShutBag(Protocol):
    """What is asked of a forecast: the water now, and its oxygen."""

    @property
    def end(self) -> Mapping[str, Band]: ...
    @property
    def oxygen(self) -> OxygenOutlook | None: ...


@dataclass(frozen=True, kw_only=True)
class HarmLimits:
    """Limits a bag's water is held against: the caller's, from its rules.

    nh3_n_mg_l  : un-ionised ammonia [mg N/L] at which harm begins
    co2_mg_l    : free CO2 at which fish show it
    do_mg_l     : oxygen a bag should still hold
    oxygen_hours: fewer hours of stored oxygen than this is a strain
    ph_low      : pH under which fish suffer
    low_c, high_c : temperatures under and over which fish begin to be harmed
    degrees     : °C beyond low_c or high_c that count as one limit
    """

    nh3_n_mg_l: float
    co2_mg_l: float
    do_mg_l: float
    oxygen_hours: float
    ph_low: float
    low_c: float
    high_c: float
    degrees: float


#: Share of its strain, and the most, that water poor under a full gas counts with. Judgement.
_STILL_SHARE = 0.5
_STILL_MOST = 4.0

_REASONS = {
    "oxygen": "oxygen is low or nearly used up ({do} mg/L, about {hours} h left)",
    "crossing": "oxygen is left in the gas but does not get into the water ({do} mg/L): turn "
    "the bag gently",
    "co2": "carbon dioxide is highest against its limit ({co2} mg/L)",
    "nh3": "un-ionised ammonia is already high in the shut bag ({nh3} mg N/L)",
    "acid": "the water is very acid (pH {ph})",
    "temperature": "the water is too cold or too warm ({temperature} °C)",
}


def harm_of(bag: ShutBag, limits: HarmLimits) -> Harm:
    """What waiting costs the fish of a shut bag, to order several by: the most first.

    Each strain is a central value against its limit (1 = at the limit). Strains are a way to
    order bags, not a measured harm. Water that is poor only because the surface lies still
    counts at half: turning the bag mends it in a minute, opening is not needed.
    """
    end, oxygen = bag.end, bag.oxygen
    do = end["do_mg_l"].value
    now = limits.do_mg_l / max(do, 0.05)
    turn = oxygen is not None and oxygen.turn_gently
    hours = 0.0 if oxygen is None else oxygen.store_hours.value
    strains = {
        "oxygen": max(0.0 if turn else now, limits.oxygen_hours / max(hours, 0.05)),
        "crossing": min(_STILL_SHARE * now, _STILL_MOST) if turn else 0.0,
        "co2": end["co2_mg_l"].value / limits.co2_mg_l,
        "nh3": end["nh3_n_mg_l"].value / limits.nh3_n_mg_l,
        "acid": 10.0 ** (limits.ph_low - end["ph"].value),
        "temperature": _temperature_strain(end["temperature_c"].value, limits),
    }
    driver = max(strains, key=lambda key: strains[key])
    reason = _REASONS[driver].format(
        do=fixed(do, 1),
        hours=fixed(hours),
        co2=fixed(end["co2_mg_l"].value),
        nh3=fixed(end["nh3_n_mg_l"].value, 3),
        ph=fixed(end["ph"].value, 1),
        temperature=fixed(end["temperature_c"].value, 1),
    )
    if oxygen is None:
        return Harm(score=0.0, driver="none", reason="no fish in it", strains=strains)
    return Harm(score=strains[driver], driver=driver, reason=reason, strains=strains)


def _temperature_strain(temperature_c: float, limits: HarmLimits) -> float:
    off = max(limits.low_c - temperature_c, temperature_c - limits.high_c, 0.0)
    return off / limits.degrees
