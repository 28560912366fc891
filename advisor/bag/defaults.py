"""Every physical number of a bag, its water and its surroundings, with range and source.

Those of the fish are in :mod:`advisor.bag.fish_defaults`. ``low`` and ``high``
are taken as 5 % and 95 % points. "Judgement" marks a figure nobody measured for
a bag.
"""

from __future__ import annotations

from advisor.bag.banded import Range

JUDGEMENT = "judgement"
PRACTICE = "common practice, no source"

# --- exchange between water and gas ------------------------------------------

BAI = "Bai et al. 2019, rocked bags at up to 20 rpm about 3.5 per hour, abstract read"
QUIET_WATER = (
    "7.2 cm/h in a closed gas exchange tank with little turbulence (Norouzi & Pereira, abstract "
    "read), about 7 on a small lake in light wind (Heiskanen et al. 2014, abstract read)"
)
#: Velocities are for oxygen at 20 °C; kLa = velocity / depth. By how the bag was moved.
TRANSIT_EXCHANGE = {
    "still": Range(
        "transit_exchange",
        "gas transfer velocity in a shut bag standing still, stirred by its fish",
        8.0,
        3.0,
        16.0,
        "cm/h",
        f"{QUIET_WATER}; the fish as stirrers: judgement",
    ),
    "carried": Range(
        "transit_exchange",
        "gas transfer velocity in a bag carried and driven",
        16.0,
        6.0,
        36.0,
        "cm/h",
        f"judgement, between quiet water and a rocked bag: {BAI}, over some 6 cm: 21 cm/h",
    ),
    "rocked": Range(
        "transit_exchange",
        "gas transfer velocity in a bag rocked or shaken all the way",
        21.0,
        12.0,
        60.0,
        "cm/h",
        f"{BAI}, over some 6 cm of water (the depth is judgement); far more once waves break",
    ),
}
#: Not told: carried, with quiet hours.
TRANSIT_UNKNOWN = Range(
    "transit_exchange",
    "gas transfer velocity in a bag on its way, not told how it was moved",
    14.0,
    3.0,
    36.0,
    "cm/h",
    "judgement: between a bag standing still and one carried",
)
#: Turned gently now and then: the rate that still counts as the surface being renewed.
TURNED_EXCHANGE = TRANSIT_EXCHANGE["rocked"]
OPEN_EXCHANGE = Range(
    "open_exchange",
    "gas transfer velocity of an opened bag standing still",
    10.0,
    5.0,
    18.0,
    "cm/h",
    f"{QUIET_WATER}; upper end rippled water, as a gently rocked bag ({BAI})",
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
#: Water depth against the edge of a cube of that water, by how the bag lies.
DEPTH = {
    "lying": Range(
        "depth",
        "water depth of a bag lying in its box against the edge of a cube of its water",
        0.34,
        0.25,
        0.5,
        "times",
        "8 L in a 40 x 30 cm box (Froese) stand 6.7 cm: 0.33; the band is judgement",
    ),
    "standing": Range(
        "depth",
        "water depth of a bag standing upright against the edge of a cube of its water",
        0.55,
        0.45,
        0.9,
        "times",
        "5.7-7.6 L in a bag 18 inches flat, so 29 cm round (Swann MX392), stand 10 cm: 0.53; "
        "the band is judgement",
    ),
    "jar": Range(
        "depth", "water depth in a jar or drum against the edge of a cube of its water", 0.7, 0.5,
        1.0, "times", JUDGEMENT,
    ),
}  # fmt: skip
DEPTH_UNKNOWN = Range(
    "depth",
    "water depth of a bag, lying or standing, against the edge of a cube of its water",
    0.42,
    0.27,
    0.75,
    "times",
    "judgement: between a lying and a standing bag",
)
#: Through the wall of the bag. O2 300-600 and CO2 1200-3000 cm3 mil/100 in2/day/atm at 25 °C in
#: low-density polyethylene (Food Package Engineering, table 11.2 of Biosystems Engineering, page
#: read); nitrogen about 0.35 of oxygen (from memory). One number scales all three.
FILM_CM3_MIL = {"o2": 450.0, "co2": 2000.0, "n2": 157.0}
FILM = Range(
    "film",
    "gas through the film of the bag against one bag of 3 mil, free on all sides",
    0.5,
    0.15,
    1.0,
    "times",
    "judgement: double bags (half), lying wall against wall in a shut box; 3 mil: Swann MX392; "
    "permeability of low-density polyethylene from a table that was read, see FILM_CM3_MIL",
)
FILM_MIL = 3.0
#: Surface of a blown-up bag against volume^(2/3); 4.8 is a ball, 6 a cube. Judgement.
FILM_SHAPE = 6.5
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
BAG_CO2 = Range(
    "bag_co2",
    "free CO2 of a shipped bag known by its readings alone",
    45.0,
    10.0,
    160.0,
    "mg/L",
    "judgement around 53-95 mg/L in sealed jars and bags (Jones 1955; Cheng et al.) and 36-80 in "
    "hauls (Colt & Fornshell 2014), abstracts read",
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
#: CO2 [mg/L] of water that stood open is 0.5 to 30 (wells up to 100, from memory); a pH told of
#: packing that asks for more is questioned, and refused over what one atmosphere of CO2 dissolves.
PACKING_CO2_MOST_MG_L = 150.0
PACKING_CO2_IMPOSSIBLE_MG_L = 1500.0
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
START_SATURATION_GASSED = Range(
    "start_do",
    "oxygen of water packed under oxygen against air saturation",
    1.5,
    0.9,
    3.0,
    "fraction",
    "judgement: oxygen is blown in over or through the water and the bag is handled; pure oxygen "
    "would give 4.8 times air saturation",
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
