"""Amounts in the measures of the United States beside the metric ones, where that is set.

Factors: NIST Handbook 44 (2024), appendix C: 1 gal = 3.785 411 784 L, 1 fl oz = 29.573 529 56 mL,
1 oz = 28.349 523 125 g, 1 lb = 453.592 37 g; 1 in = 2.54 cm (all exact but the second).
"""

from __future__ import annotations

from advisor.wording.numbers import short
from advisor.wording.settings import setting

L_GAL, ML_FLOZ, G_OZ, KG_LB, CM_IN = 3.785411784, 29.5735295625, 28.349523125, 0.45359237, 2.54
#: A level teaspoon of fine plain salt [g]: common practice, no source.
G_TEASPOON = 6.0
#: What takes more teaspoons is weighed.
MOST_TEASPOONS = 24
#: Unit -> its name and how much of the metric unit it is.
_US = {
    "L": ("gal", L_GAL), "mL": ("fl oz", ML_FLOZ), "g": ("oz", G_OZ), "kg": ("lb", KG_LB),
    "cm": ("in", CM_IN), "L/h": ("gal/h", L_GAL),
}  # fmt: skip


def with_us(text: str, value: float, unit: str) -> str:
    """``340 g`` as ``340 g (12 oz)`` where US units are set; unchanged where they are not."""
    said = in_us(value, unit) if setting("units") == "us" else ""
    return f"{text} ({said})" if said else text


def salt_in_teaspoons(grams: float) -> str:
    """``roughly 2 level teaspoons ...`` where teaspoons are set, else empty.

    For plain salt alone: a spoon of anything else weighs something else.
    """
    if setting("teaspoons") != "yes":
        return ""
    spoons = grams / G_TEASPOON
    if spoons > MOST_TEASPOONS:
        return f"more than {MOST_TEASPOONS} level teaspoons of fine plain salt: weigh it"
    return (
        f"roughly {short(spoons)} level teaspoons of fine plain salt (about {short(G_TEASPOON)} g "
        "each: common practice, no source); a scale is better"
    )


def in_us(value: float, unit: str) -> str:
    """The same amount in US units; empty for a unit that has none."""
    if unit == "°C":
        return f"{short(value * 9 / 5 + 32)} °F"
    if unit not in _US:
        return ""
    name, size = _US[unit]
    return f"{short(value / size)} {name}"
