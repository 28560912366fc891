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

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
