"""Oxygen that water holds under air."""

from __future__ import annotations

from advisor.water.oxygen import oxygen_from_percent_mg_l


def saturated_mg_l(temperature_c: float) -> float:
    """Oxygen of fresh water at 100 % of saturation at sea level [mg/L]; 0 to 40 °C."""
    return oxygen_from_percent_mg_l(100.0, temperature_c)
