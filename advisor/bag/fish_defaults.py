"""What a fish in a bag uses and gives off: every number, with range and source.

These are the figures of a small warm-water fish. What differs between kinds of
fish (oxygen use, air breathing) comes in as an argument; no species is named
in the code. ``low`` and ``high`` are taken as 5 % and 95 % points. "Judgement"
marks a figure nobody measured for a bag.
"""

from __future__ import annotations

from advisor.bag.banded import Range
from advisor.bag.defaults import JUDGEMENT

LUCAS = "Lucas & Priede 1992, zebrafish 0.43-0.55 g at 24 °C"
AGUILAR = "Aguilar et al. 2017, pacu 17-1050 g"
ZAKES = "Zakes & Karpinski 1999, starved pikeperch 0.0132-0.0137"

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

#: Oxygen use of a fed fish against a fasted one, by hours since the last meal; straight between.
#: Columns: hours, value, low, high. The first row is measured, how it fades is judgement.
FEEDING_BY_FAST = (
    (0.0, 2.1, 1.85, 2.44),
    (12.0, 1.6, 1.3, 2.2),
    (24.0, 1.15, 1.0, 1.6),
    (36.0, 1.05, 1.0, 1.3),
    (48.0, 1.0, 1.0, 1.15),
    (72.0, 1.0, 1.0, 1.0),
)
FEEDING_SOURCE = (
    "fed against starved 2.1 at 20 and 2.4 at 24 °C (Zakes & Karpinski 1999), 1.85 at 20 and "
    "23 °C (Zakes et al., Eurasian perch), abstracts read; how it fades with hours is judgement"
)
FEEDING_UNKNOWN = Range(
    "feeding",
    "oxygen use against a fasted fish's, last meal unknown (usually a day or two before)",
    1.0,
    1.0,
    1.4,
    "times",
    FEEDING_SOURCE,
)
#: Above this the metabolism no longer grows with warmth but fails, to nothing at 8 °C more.
HEAT_LIMIT = Range(
    "heat_limit",
    "temperature above which oxygen use no longer grows",
    34.0,
    32.0,
    37.0,
    "°C",
    "judgement: half of cardinal tetras die at 33.3 °C (Oliveira et al. 2008, abstract read)",
    log=False,
)
HEAT_FAILS_WITHIN_C = 8.0
#: Free CO2 [mg/L] from which fish grow quiet, and at which they lie still. Judgement.
NARCOSIS_CO2_MG_L = (60.0, 200.0)
NARCOSIS = Range(
    "narcosis",
    "share of oxygen use that full CO2 narcosis takes away",
    0.35,
    0.15,
    0.5,
    "fraction",
    "judgement: activity is the difference of group routine 560 and standard 364 "
    f"({LUCAS}); CO2 stills carp for transport (abstracts on CO2 anaesthesia of carp)",
    log=False,
)

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

#: What of the CO2 made is met again. Bodies hold some back: tissue buffers of 30 to 50 mmol/kg/pH
#: (from memory) take up 12 to 17 mmol/kg at 100 and 29 to 37 at 340 mg/L, which is 10 to 20 % at
#: 90 g/L. That alone does not explain what was read in heavily loaded jars.
CARBON_FOUND = Range(
    "carbon_found",
    "CO2 that water and gas hold against what the oxygen used would make",
    1.0,
    0.5,
    1.05,
    "times",
    "judgement: low end between what bodies hold back and the rows goldfish-26c and goldfish-16c "
    "(Jones 1955), where 0.2 to 0.3 of the forecast was read; used for this choice",
)

#: Oxygen under which both quotients rise, where they are highest [mg/L], and those tops [mol/mol]:
#: Mozambique tilapia at 30 °C, rise below 2 ppm, RQ 8 and ammonia quotient 1.0 at 0.6 ppm
#: (Respiratory quotient and ammonia excretion in Tilapia mossambica, abstract read).
QUOTIENTS_RISE_MG_L = 2.0
QUOTIENTS_TOP_MG_L = 0.6
RQ_WITHOUT_O2 = 8.0
NITROGEN_WITHOUT_O2 = 1.0
#: What is then given off against a fish with ample oxygen, at most: the quotients rise because
#: the oxygen falls. Judgement: goldfish without any oxygen make 200 of 700 J/h (J. Exp. Biol.
#: 142:325), and crowded matrinxa under 4 mg/L gave off no more ammonia (rows matrinxa-125 to
#: -206 of tests/reference/transport.toml were used for this choice).
MOST_CO2_WITHOUT_O2 = 1.2
MOST_N_WITHOUT_O2 = 1.0

#: mg N as ammonia per mg O2, by hours since the last meal; straight in the logarithm between.
#: Columns: hours, value, low, high.
NITROGEN_BY_FAST = (
    (0.0, 0.057, 0.05, 0.0875),
    (12.0, 0.05, 0.035, 0.0875),
    (20.0, 0.035, 0.02, 0.05),
    (24.0, 0.015, 0.007, 0.04),
    (36.0, 0.013, 0.006, 0.03),
)
NITROGEN_SOURCE = (
    f"{ZAKES} (starved), 0.0626 and 0.0514 fed; 0.0875 at most (tilapia quotient 0.2 mol/mol); "
    "still raised 32 h after a meal in channel catfish (Chisolm & Ott 2024); high ends of the "
    "fasted: half of a fed fish's after 63 h (Fish Hatchery Management p. 357, page read); sockeye "
    "at 15 °C, starved for 22 days, lie beyond: 8.2 mg N over 170 mg O2 per kg and hour (Brett & "
    "Zala 1975, abstract read); low ends by the rows matrinxa-83 to -206, "
    "1.1-1.7 mg/L at any load"
)
NITROGEN_UNKNOWN = Range(
    "nitrogen_quotient",
    "ammonia-N given off per oxygen used, last meal unknown (usually a day or two before)",
    0.016,
    0.007,
    0.05,
    "mg N/mg O2",
    NITROGEN_SOURCE,
)

DEAD_N = Range(
    "dead_n",
    "ammonia-N from dead fish per gram and day, 24 °C",
    0.4,
    0.1,
    1.2,
    "mg N/g/day",
    "judgement: trout carcasses lose 1.5 %/day at 4 and 4.9 %/day at 9 °C (stream study, abstract "
    "read) of some 25 mg N/g (from memory), but of what fillets released in 5 days 94 % of the "
    "nitrogen was organic, not ammonia (Notothenia, abstract read)",
)
#: When the dead died: at this share of the journey, not known when.
DEAD_SINCE = Range(
    "dead_since", "when they died, share of the journey", 0.5, 0.1, 0.9, "", JUDGEMENT, log=False
)
