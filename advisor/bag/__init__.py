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
``harm_of``                 what waiting costs the fish of a shut bag, and why
``float_minutes``           floating time from bag size or two readings
``tank_after_stocking``     ammonia, nitrite and the water changes they call for
==========================  =====================================================

Importing this package imports neither numpy nor the simulations; each name
is loaded when it is first used. Numbers that are assumed stand in ``defaults``
and ``stocking_defaults`` with their sources, and come back with every result.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.first_use import parts_of

if TYPE_CHECKING:
    from advisor.bag.banded import Amount as Amount
    from advisor.bag.banded import Assumption as Assumption
    from advisor.bag.banded import Band as Band
    from advisor.bag.banded import Distance as Distance
    from advisor.bag.banded import Path as Path
    from advisor.bag.banded import Range as Range
    from advisor.bag.exposure import OpeningResult as OpeningResult
    from advisor.bag.floating import float_minutes as float_minutes
    from advisor.bag.harm import HarmLimits as HarmLimits
    from advisor.bag.harm import harm_of as harm_of
    from advisor.bag.inputs import Measured as Measured
    from advisor.bag.inputs import SealedBag as SealedBag
    from advisor.bag.inputs import TankWater as TankWater
    from advisor.bag.inputs import TemperaturePath as TemperaturePath
    from advisor.bag.methods import OPENING_METHODS as OPENING_METHODS
    from advisor.bag.methods import OpeningMethod as OpeningMethod
    from advisor.bag.methods import SlowChange as SlowChange
    from advisor.bag.opening import compare_many as compare_many
    from advisor.bag.opening import compare_openings as compare_openings
    from advisor.bag.opening import times_left_open as times_left_open
    from advisor.bag.outcomes import FloatTime as FloatTime
    from advisor.bag.outcomes import Harm as Harm
    from advisor.bag.outcomes import LimitTime as LimitTime
    from advisor.bag.outcomes import OxygenOutlook as OxygenOutlook
    from advisor.bag.outcomes import SealedForecast as SealedForecast
    from advisor.bag.sealed import forecast_many as forecast_many
    from advisor.bag.sealed import forecast_sealed as forecast_sealed
    from advisor.bag.stocking import SCHEDULES as SCHEDULES
    from advisor.bag.stocking import ChangeAdvice as ChangeAdvice
    from advisor.bag.stocking import TankForecast as TankForecast
    from advisor.bag.stocking import WaterChange as WaterChange
    from advisor.bag.stocking import tank_after_stocking as tank_after_stocking

__getattr__, __dir__ = parts_of(
    __name__,
    {
        "advisor.bag.banded": "Amount Assumption Band Distance Path Range",
        "advisor.bag.exposure": "OpeningResult",
        "advisor.bag.floating": "float_minutes",
        "advisor.bag.harm": "HarmLimits harm_of",
        "advisor.bag.inputs": "Measured SealedBag TankWater TemperaturePath",
        "advisor.bag.methods": "OPENING_METHODS OpeningMethod SlowChange",
        "advisor.bag.opening": "compare_many compare_openings times_left_open",
        "advisor.bag.outcomes": "FloatTime Harm LimitTime OxygenOutlook SealedForecast",
        "advisor.bag.sealed": "forecast_many forecast_sealed",
        "advisor.bag.stocking": "SCHEDULES ChangeAdvice TankForecast WaterChange "
        "tank_after_stocking",
    },
)
