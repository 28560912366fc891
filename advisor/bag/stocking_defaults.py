"""Numbers the forecast of a stocked tank assumes, with range and source.

Nitrification in a fish tank is far less certain than respiration in a bag:
how much a filter carries when the fish go in is the widest range of all.
"""

from __future__ import annotations

from advisor.bag.banded import Range
from advisor.bag.defaults import JUDGEMENT, PRACTICE

#: kg TAN per kg of feed and per unit of protein: 0.092 (Timmons & Ebeling, Recirculating
#: Aquaculture, from memory).
TAN_PER_PROTEIN = Range(
    "tan_per_protein",
    "ammonia-N given off per protein fed",
    0.092,
    0.07,
    0.11,
    "g/g",
    "Timmons & Ebeling, Recirculating Aquaculture, from memory",
)
PROTEIN = Range(
    "protein",
    "protein in the food",
    0.42,
    0.35,
    0.5,
    "g/g",
    "usual flake and pellet labels, from memory",
    log=False,
)
#: Ammonia a filter can oxidise when the fish go in, against what they give off, by maturity.
CARRIED = {
    "new": Range(
        "filter_carries",
        "share of the new ammonia a new tank can oxidise",
        0.005,
        0.001,
        0.02,
        "times",
        "judgement: about a month to carry a load is " + PRACTICE,
    ),
    "part": Range(
        "filter_carries",
        "share of the new ammonia moved mature media can oxidise",
        1.0,
        0.25,
        3.0,
        "times",
        "judgement: a quarter to a third of a mature filter",
    ),
    "cycled": Range(
        "filter_carries",
        "ammonia a mature filter can oxidise against the new load",
        4.0,
        1.2,
        8.0,
        "times",
        "judgement: a filter in balance with an equal load can take several times that for a while",
    ),
}
#: Nitrite oxidisers against ammonia oxidisers at the start.
NITRITE_CARRIED = Range(
    "nitrite_filter",
    "nitrite oxidation against ammonia oxidation at the start",
    1.0,
    0.5,
    1.5,
    "times",
    JUDGEMENT,
)
AMMONIA_GROWTH = Range(
    "ammonia_growth",
    "growth of ammonia oxidisers with ammonia ample, 25 °C",
    0.35,
    0.2,
    0.6,
    "1/day",
    "judgement from tanks cycling in 3-6 weeks; pure cultures about 1/day (US EPA nitrogen "
    "manual, from memory)",
)
NITRITE_GROWTH = Range(
    "nitrite_growth",
    "growth of nitrite oxidisers with nitrite ample, 25 °C",
    0.28,
    0.15,
    0.5,
    "1/day",
    "judgement: nitrite clears one to three weeks after ammonia (common practice, no source)",
)
DECAY = Range("nitrifier_decay", "loss of nitrifiers", 0.05, 0.03, 0.1, "1/day", JUDGEMENT)
HALF_RATE_N = Range(
    "nitrifier_half_rate",
    "ammonia or nitrite at which oxidation runs at half",
    0.5,
    0.2,
    1.0,
    "mg/L as N",
    "US EPA nitrogen manual, order of 0.5-1 mg/L, from memory",
)
#: Growth per 10 °C away from 25 °C. From memory: exp(0.098 per °C) in the EPA manual.
GROWTH_Q10 = 2.7
