"""Every physiological and physical number the simulations assume, with range and source.

These are the figures of a small warm-water fish in a plastic bag. What differs
between kinds of fish (oxygen use, air breathing) comes in as an argument; no
species is named in the code. ``low`` and ``high`` are taken as 5 % and 95 %
points. "Judgement" marks a figure nobody measured for a bag.
"""

from __future__ import annotations

from advisor.bag.bands import Range

LUCAS = "Lucas & Priede 1992, zebrafish 0.43-0.55 g at 24 °C"
AGUILAR = "Aguilar et al. 2017, pacu 17-1050 g"
ZAKES = "Zakes & Karpinski 1999, starved pikeperch 0.0132-0.0137"
JUDGEMENT = "judgement"
PRACTICE = "common practice, no source"

# --- oxygen use -------------------------------------------------------------

#: Reference mass and temperature of OXYGEN_USE.
REFERENCE_MASS_G = 0.5
REFERENCE_C = 24.0

OXYGEN_USE = Range(
    "oxygen_use",
    "oxygen use of a 0.5 g fish at 24 °C",
    400.0,
    200.0,
    560.0,
    "mg O2/kg/h",
    f"between standard 364 and group routine 560 ({LUCAS}); low end sluggish cyprinids, "
    "goldfish calorimetry about half",
)
#: Spread that is left once the kind of fish is known.
OXYGEN_USE_KNOWN = Range(
    "oxygen_use_known",
    "oxygen use against that of the kind of fish",
    1.0,
    0.85,
    1.35,
    "times",
    f"standard and group routine against single routine ({LUCAS})",
)
MASS_EXPONENT = Range(
    "mass_exponent",
    "exponent of oxygen use per kg with body mass",
    -0.2,
    -0.214,
    -0.106,
    "",
    f"-0.212 ({AGUILAR}); -0.075 to -0.136 in three species (Beamish, respiration of fishes II)",
    log=False,
)
Q10 = Range(
    "q10",
    "oxygen use multiplies by this for 10 °C more",
    2.06,
    1.9,
    2.3,
    "",
    f"2.06 ({AGUILAR}); 2.11 in mosquitofish (Cech et al.); 2 in extension advice (Swann MX392)",
)
HANDLING_PEAK = Range(
    "handling_peak",
    "oxygen use just after handling, against routine",
    2.0,
    1.5,
    2.8,
    "times",
    f"1110 after transfer against 421-560 routine ({LUCAS})",
)
HANDLING_HOURS = Range(
    "handling_hours", "time in which the excitement falls to 37 %", 1.0, 0.5, 2.0, "h", JUDGEMENT
)
#: Ceiling at 0.5 g and 24 °C, scaled like routine use. Lucas & Priede 1992: 1223 (s.d. 157).
OXYGEN_USE_CEILING = 1200.0
HALF_RATE_DO = Range(
    "half_rate_do",
    "dissolved oxygen at which use has fallen to half",
    0.5,
    0.3,
    1.2,
    "mg/L",
    "critical oxygen 1.12 mg/L in largemouth bass at 20 °C (Fishes 2023, 8:565), "
    "taken as 70 % of full use",
)
SEDATION = Range(
    "sedation",
    "oxygen use of a sedated fish against unsedated",
    0.8,
    0.5,
    1.0,
    "times",
    "no difference in goldfish (Kaiser & Vine 1998), slower fall of oxygen in barbs "
    "(Pramod et al. 2010)",
)
SEDATION_UNKNOWN = Range(
    "sedation",
    "oxygen use, should the fish have been sedated or not",
    1.0,
    0.7,
    1.0,
    "times",
    JUDGEMENT,
)
AIR_SHARE = Range(
    "air_share",
    "share of its oxygen an air breather takes from the gas",
    0.5,
    0.3,
    0.8,
    "",
    "from memory",
    log=False,
)
#: Oxygen pressure of the gas [atm] at which an air breather gets half of what it wants. Judgement.
AIR_HALF_RATE_ATM = 0.02

# --- carbon dioxide and ammonia ---------------------------------------------

RESPIRATORY_QUOTIENT = Range(
    "respiratory_quotient",
    "CO2 given off per O2 used",
    0.9,
    0.8,
    1.0,
    "mol/mol",
    "0.8-1.0 above 3 mg/L oxygen; 1.0 in tilapia at 30 °C",
    log=False,
)

#: mg N as ammonia per mg O2, by hours since the last meal; straight in the logarithm between.
#: Columns: hours, value, low, high.
NITROGEN_BY_FAST = (
    (0.0, 0.065, 0.05, 0.0875),
    (12.0, 0.05, 0.035, 0.0875),
    (20.0, 0.035, 0.02, 0.05),
    (24.0, 0.018, 0.011, 0.04),
    (36.0, 0.013, 0.009, 0.022),
)
NITROGEN_SOURCE = (
    f"{ZAKES} (starved), 0.04-0.06 fed; 0.0875 at most (tilapia quotient 0.2 mol/mol); "
    "still raised 32 h after a meal in channel catfish (Chisolm & Ott 2024)"
)
NITROGEN_UNKNOWN = Range(
    "nitrogen_quotient",
    "ammonia-N given off per oxygen used, last meal unknown (usually a day or two before)",
    0.016,
    0.009,
    0.05,
    "mg N/mg O2",
    NITROGEN_SOURCE,
)

# --- exchange between water and gas ------------------------------------------

#: Velocities are for oxygen at 20 °C; kLa = velocity / depth.
TRANSIT_EXCHANGE = Range(
    "transit_exchange",
    "gas transfer velocity in a bag on its way",
    10.0,
    3.0,
    30.0,
    "cm/h",
    "judgement: 2 on lakes without wind (Cole & Caraco 1998, from memory), far more when shaken; "
    "trade loads of about 100 g/L for a day (Amend et al. 1982) need about 1 exchange per hour",
)
OPEN_EXCHANGE = Range(
    "open_exchange",
    "gas transfer velocity of an opened bag standing still",
    4.0,
    2.0,
    8.0,
    "cm/h",
    "judgement: 2 cm/h without wind (Cole & Caraco 1998, from memory), stirred by the fish",
)
AERATED_EXCHANGE = Range(
    "aerated_exchange",
    "oxygen transfer coefficient of an air stone in a bag",
    8.0,
    3.0,
    20.0,
    "1/h",
    "judgement: about 10 for 1 L/min in 2 L by the bubble-column rule 0.32 u^0.7 "
    "(Heijnen & Van 't Riet 1984, from memory)",
)
TANK_EXCHANGE = Range(
    "tank_exchange",
    "oxygen transfer coefficient of a filtered tank",
    1.5,
    0.5,
    4.0,
    "1/h",
    JUDGEMENT,
)
DEPTH = Range(
    "depth",
    "water depth of a bag lying in a box against the edge of a cube of its water",
    0.7,
    0.4,
    1.0,
    "times",
    JUDGEMENT,
)
#: CO2 against O2 transfer: root of the diffusivity ratio about 0.95; 0.9 in aeration practice.
CO2_TO_O2_EXCHANGE = 0.9
#: Transfer coefficients grow by this factor per °C (standard aeration correction, 1.024^(T-20)).
EXCHANGE_PER_C = 1.024
OXYGEN_FILL = Range(
    "oxygen_fill",
    "oxygen in the gas of a bag filled with oxygen",
    0.93,
    0.8,
    0.98,
    "fraction",
    "judgement: air is squeezed out by hand before filling",
    log=False,
)
#: Dry air (US Standard Atmosphere for O2; 420 ppm CO2 as elsewhere in this project).
AIR_O2 = 0.20946
AIR_CO2 = 0.00042

# --- water as packed, when nobody measured it --------------------------------

START_ALKALINITY = Range(
    "start_alkalinity",
    "alkalinity of the packing water",
    60.0,
    15.0,
    220.0,
    "mg/L as CaCO3",
    "judgement: soft to hard fresh water",
)
START_ALKALINITY_SEA = Range(
    "start_alkalinity",
    "alkalinity of the packing sea water",
    115.0,
    95.0,
    160.0,
    "mg/L as CaCO3",
    "ocean surface about 2.3 meq/kg; kept systems vary",
)
START_CO2 = Range(
    "start_pco2",
    "CO2 pressure of the packing water",
    0.001,
    0.00045,
    0.004,
    "atm",
    "judgement: stocked water holds more than air would give",
)
ROOM_CO2 = Range(
    "room_co2",
    "CO2 pressure of the air over a tank whose pH was not read",
    0.0006,
    0.00042,
    0.0012,
    "atm",
    "judgement: outdoor 420 ppm to a closed room",
)
START_TAN = Range(
    "start_tan", "total ammonia of the packing water", 0.1, 0.02, 0.5, "mg/L as N", JUDGEMENT
)
START_SATURATION = Range(
    "start_do",
    "oxygen of the packing water against air saturation",
    0.95,
    0.75,
    1.05,
    "fraction",
    JUDGEMENT,
    log=False,
)
START_TEMPERATURE = Range(
    "start_temperature",
    "water temperature at packing",
    24.0,
    21.0,
    27.0,
    "°C",
    "tropical fish 22-30 °C (Froese)",
    log=False,
)

# --- heat --------------------------------------------------------------------

UNKNOWN_OUTSIDE = Range(
    "unknown_outside",
    "air around the box against the water at packing, not known",
    -1.0,
    -8.0,
    5.0,
    "°C",
    JUDGEMENT,
    log=False,
)
BOX_TIME_CONSTANT_H = Range(
    "box_time_constant",
    "time in which a foam box loses 63 % of its gap to the air",
    22.0,
    10.0,
    40.0,
    "h",
    "Froese, foam boxes: 0.11 Ws/Wv per h, 21.8 h for 8 L in a 40 x 30 cm box of 2.5 cm foam",
)
#: Of a bag of FLOAT_REFERENCE_L; grows with the edge of the bag (volume^(1/3)).
FLOAT_TIME_CONSTANT_MIN = Range(
    "float_time_constant",
    "time in which a floating 2.5 L bag closes 63 % of its gap",
    37.0,
    20.0,
    60.0,
    "min",
    "about 30 min for 4-5 °C down to 2 °C (ornamental packaging review; wording of "
    "Lim et al. 2003)",
)
FLOAT_REFERENCE_L = 2.5
#: Common practice, no source.
FLOAT_PRACTICE_MIN = 20.0
