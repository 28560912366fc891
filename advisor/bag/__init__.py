"""Sealed bag, ways of opening it, and the tank after stocking: computed, with bands.

Inputs are frozen records of plain values (``SealedBag``, ``TemperaturePath``,
``Measured``, ``TankWater``); a number may be exact or a ``Band``, None is
unknown and widens the result. Results are frozen records of plain numbers.

    forecast = forecast_sealed(SealedBag(water_l=2.0, gas_l=4.0, fish_count=40,
                               fish_mass_g=0.4, hours=30, temperature=24.0))
    forecast.end["tan_mg_l"]                      # Band(value, low, high)
    compare_openings(forecast, TankWater(volume_l=200, temperature_c=25.0,
                                         alkalinity_mg_l_caco3=80.0, ph=7.6))

==========================  =====================================================
``forecast_sealed``         a bag from packing until now; readings condition it
``forecast_many``           many bags as one array
``compare_openings``        the water fish meet in each of ``OPENING_METHODS``
``compare_many``            the same for many bags as one array
``times_left_open``         when ammonia passes a limit in many bags left open
``harm_order``              which of several bags to open first, and why
``float_minutes``           floating time from bag size or two readings
``tank_after_stocking``     ammonia, nitrite and the water changes they call for
==========================  =====================================================

Importing this package imports neither numpy nor the simulations; each name
is loaded when it is first used. Numbers that are assumed stand in ``defaults``
and ``stocking_defaults`` with their sources, and come back with every result.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.bag.bands import Amount, Assumption, Band, Distance, Path, Range
    from advisor.bag.exposure import OpeningResult
    from advisor.bag.floating import float_minutes
    from advisor.bag.harm import HarmLimits, harm_order
    from advisor.bag.inputs import Measured, SealedBag, TankWater, TemperaturePath
    from advisor.bag.methods import (
        ALL_METHODS,
        MORE_METHODS,
        OPENING_METHODS,
        OpeningMethod,
        SlowChange,
    )
    from advisor.bag.opening import compare_many, compare_openings, times_left_open
    from advisor.bag.results import (
        QUANTITIES,
        FloatTime,
        HarmRank,
        LimitTime,
        OxygenOutlook,
        SealedForecast,
    )
    from advisor.bag.sealed import forecast_many, forecast_sealed
    from advisor.bag.stocking import (
        SCHEDULES,
        ChangeAdvice,
        TankForecast,
        WaterChange,
        tank_after_stocking,
    )

#: Module of each name.
_HOMES = {
    "bands": "Amount Assumption Band Distance Path Range",
    "inputs": "Measured SealedBag TankWater TemperaturePath",
    "methods": "ALL_METHODS MORE_METHODS OPENING_METHODS OpeningMethod SlowChange",
    "results": "QUANTITIES FloatTime HarmRank LimitTime OxygenOutlook SealedForecast",
    "exposure": "OpeningResult",
    "floating": "float_minutes",
    "harm": "HarmLimits harm_order",
    "opening": "compare_many compare_openings times_left_open",
    "sealed": "forecast_many forecast_sealed",
    "stocking": "SCHEDULES ChangeAdvice TankForecast WaterChange tank_after_stocking",
}
_LAZY = {name: home for home, names in _HOMES.items() for name in names.split()}

__all__ = [
    "ALL_METHODS",
    "MORE_METHODS",
    "OPENING_METHODS",
    "QUANTITIES",
    "SCHEDULES",
    "Amount",
    "Assumption",
    "Band",
    "ChangeAdvice",
    "Distance",
    "FloatTime",
    "HarmLimits",
    "HarmRank",
    "LimitTime",
    "Measured",
    "OpeningMethod",
    "OpeningResult",
    "OxygenOutlook",
    "Path",
    "Range",
    "SealedBag",
    "SealedForecast",
    "SlowChange",
    "TankForecast",
    "TankWater",
    "TemperaturePath",
    "WaterChange",
    "compare_many",
    "compare_openings",
    "float_minutes",
    "forecast_many",
    "forecast_sealed",
    "harm_order",
    "tank_after_stocking",
    "times_left_open",
]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module 'advisor.bag' has no attribute {name!r}")
    return getattr(import_module(f"advisor.bag.{_LAZY[name]}"), name)
