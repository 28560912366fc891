"""The words of readings: parameters, waters, units; and what in a line is no reading at all."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re

#: Words and the parameter that they name.
PARAMETERS: tuple[tuple[str, str], ...] = (
    ("nitrite_mg_l", r"nitrites?|nitrit|no2-n|no2n|no2"),
    ("nitrate_mg_l", r"nitrates?|nitrat|no3-n|no3n|no3"),
    ("tan_mg_l", r"total ammonia nitrogen|total ammonia|ammonia|ammonium|ammoniak|amm|amonia|tan|nh3/nh4|nh3-n|nh4-n|nh3|nh4|amoniaco|ammo"),
    ("alkalinity_mg_l_caco3", r"carbonate hardness|alkalinity|alk|d?kh|karbonathärte"),
    ("hardness_mg_l_caco3", r"general hardness|total hardness|d?gh|gesamthärte|hardness"),
    ("temperature_c", r"temperature|temp|thermometer|temperatur"),
    ("ph", r"p\.?h\.?(?![a-z])|ph-wert"),
    ("do_mg_l", r"dissolved oxygen|oxygen|d\.?o\.?(?![a-z])|o2|sauerstoff|oxy"),
    ("salinity_g_kg", r"salinity|specific gravity|sg|salt|ppt|salz"),
    ("chlorine_mg_l", r"chlorine|cl2|chlor(?![a-z])|total chlorine"),
    ("chloride_mg_l", r"chloride|cl-(?=\s)|chlorid"),
    ("co2_mg_l", r"carbon dioxide|co2|co(?=\s\d)"),
    ("copper_mg_l", r"copper|cu(?![a-z])|kupfer"),
    ("sulfide_mg_l", r"sulfide|sulphide|h2s|hydrogen sulfide"),
    ("total_gas_pressure_pct", r"total gas pressure|tgp|gas pressure|delta p"),
    ("conductivity_us_cm", r"conductivity|ec(?![a-z])|leitwert|leitfähigkeit|tds|cond"),
)  # fmt: skip
WATERS = (
    (
        "bag",
        r"bags?|beutel|packets?|bolsas?|im beutel|box(?:es)?|transport water|shipping water|pouch(?:es)?|sacks?",
    ),
    (
        "tap",
        r"tap|mains|supply|leitung(?:swasser)?|hose|faucet|change water|from the pipe|osmos\w+|ro water|ro unit",
    ),
    (
        "tank",
        r"tanks?|aqua|becken|aquarium|systems?|sys|sump|vats?|ponds?|main|display|acuario|teich|qt|quarantine|q\d|[vtr]\d|reef|tub|bucket|holding|receiving|our water|cuve|bac",
    ),
)
BY_UNIT = (
    ("alkalinity_mg_l_caco3", r"°?\s*d\s?kh|meq(?:/l)?|mval"),
    ("hardness_mg_l_caco3", r"°?\s*d\s?gh"),
    ("temperature_c", r"°\s*[cf]|deg(?:rees?)?\s*[cf]?|[cf](?![a-z])|grad|celsius|fahrenheit"),
    ("conductivity_us_cm", r"[uµμ]s(?:/cm)?|ms(?:/cm)?"),
    ("salinity_g_kg", r"ppt|g/l|grams? per lit\w+|psu|‰"),
)  # fmt: skip
#: What is no reading: times, other places, a temperature that another reading was taken at.
_NO_READING: tuple[tuple[str, str], ...] = (
    (r"\b(p\.?h\.?|kh|gh|ec|do|co2)(?=\d)", r"\1 "),
    (r"(?<![\w.])b ?[:=]? ?(?=\d)", "bag "),
    (r"[()\[\]]", " , "),
    (r"(?<=[a-z\d]) ?= ?(?=\d)", " "),
    (r"(?<![\w.,])(\d+) and (?:an? )?half\b", r"\1.5"),
    (r"\b(?:(?:kit|test|card|chart|strip|meter) )?(?:only )?(?:goes|reads|go) (?:up )?to (?=\d)|\b(?:maxes|tops|maxed|topped) out at (?=\d)", "over "),
    (r"\band a (?:bit|touch|little)\b|\b(?:or so|ish|roughly|exactly|approx\w*|steady|right now)\b", " "),
    (r"\bbetween (\d+(?:[.,]\d+)?) and (\d)", r"\1-\2"),
    (r"\b(?:at|after|since|by|within)?\s*\d{1,2}:\d\d(?:\s*[ap]m)?\b", " "),
    (r"(?<![\w.])(?:at |after |within |since )?\d+(?:[.,]\d+)?\s*(?:min(?:ute)?s?|hours?|hrs?|sec\w*|days?|weeks?|h)\b(?: ago| after| later| old)?(?: opening)?", " "),
    (r"\b(?:at|@|on|hour|day|week|no\.?|number|x|times)\s*(?:hour |day |week )\d+\b", " "),
    (r"\b(?:room|heater set|set|outside|air|van|car|truck|lorry|cabin|cargo|warehouse|was|setting|thermostat|label|earlier|yesterday|last \w+|before)(?: to| at| is| said| says| it was)? \d+(?:[.,]\d+)?\s*°?\s*[cf]?\b", " "),
    (r"\b(bag|box|tank|vat|tub|bucket)s?\s*#?(?:\d|[a-h])\b(?=\s*[:,]?\s+\d)", r"\1 "),
    (r"\b(?:bag|tap|tank|box)s?\s+(?:water )?(?:nothing|none|empty|gone|all gone|unknown|not \w+|no \w+|dont know|havent|thrown|poured|wasnt|untested|didnt|couldnt)\b[^,;]*", " "),
)  # fmt: skip


#: "9.1 mg/l @ 16", "1.0245 at 25 C": the temperature at which something else was read.
_TAKEN_AT = re.compile(
    r"(\d(?:\s*(?:mg/l|ppm|ppt|psu|%|sg|g/l|[uµm]s(?:/cm)?))?)\s*(?:@|\bat)\s*\d+(?:[.,]\d+)?(?:\s*(?:°|deg\w*))?(?:\s*[cf]\b)?(?!\s*(?:ppm|mg|ug))"
    r"|\bat\s*\d+(?:[.,]\d+)?\s*(?:°\s*[cf]?|deg\w*(?:\s*[cf])?|[cf])(?![a-z])"
)


def tidied(text: str, *, zeros: bool, warm: bool) -> str:
    """Names parted from figures; times, settings and other places' readings left out.

    zeros : "no ammonia" is a reading of zero; warm : a temperature may be what was asked
    """
    for form, put in _NO_READING:
        text = re.sub(form, put, text)
    if not warm:
        text = _TAKEN_AT.sub(r"\1 ", text)
    if not zeros:
        return text
    return re.sub(
        r"\bno (?=(?:ammonia|nitrite|nitrate|copper|sulfide|chlorine)\b(?! (?:test|kit|meter|reading)))(\w+)",
        r"\1 0 ",
        text,
    )
