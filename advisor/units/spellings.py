"""How people spell units, for each family of parameters.

Short unit names on the left are those of ``registry.PINT_NAME``, or are handled
in ``conversion``; spellings are lower case, separated by "|".
"""

from __future__ import annotations

from functools import cache

from advisor.units.atoms import cut, normalise
from advisor.units.parameters import Family

_MASS_CONCENTRATION = {
    "mg/L": "mg/l|mg/liter|mg/litre|mg/ltr|mg l|mgl|mg l-1|mg.l-1|mg per l|mg per liter"
    "|mg per litre|milligrams per liter|milligrams per litre|milligram per liter"
    "|milligram per litre|ppm|parts per million|g/m3|mg/dm3|mg",
    "ug/L": "ug/l|ug/liter|ug/litre|mcg/l|ug l-1|micrograms per liter|micrograms per litre"
    "|ppb|parts per billion|mg/m3",
    "g/L": "g/l|g/liter|g/litre|g l-1|grams per liter|grams per litre|gram per liter",
}
_MOLAR = {
    "mmol/L": "mmol/l|mmol|mmol l-1|millimolar|mm|mmol/liter|mmol/litre",
    "umol/L": "umol/l|umol|umol l-1|micromolar|um",
}
_CHARGE = {"meq/L": "meq/l|meq|meql|mval/l|mval|milliequivalents per liter|meq/liter|meq/litre"}
_HARD = {
    "fH": "fh|°fh|° f|°f|f|french degrees|french degree|°tf|tf",
    "eH": "°e|e|eh|°eh|clark|clarks|°clark|degrees clark|clark degrees|english degrees"
    "|english degree",
    "gpg": "gpg|grains per gallon|grain per gallon|grains/gallon|grains/gal|gr/gal|grains",
}
_GERMAN = "dh|°dh|d|°d|german degrees|german degree|degrees german|degrees|degree|degs|deg|°"

UNITS: dict[Family, dict[str, str]] = {
    "temperature": {
        "degC": "c|°c|deg c|degree c|degrees c|celsius|degrees celsius|degree celsius|centigrade"
        "|degrees centigrade|cel",
        "degF": "f|°f|deg f|degree f|degrees f|fahrenheit|degrees fahrenheit|degree fahrenheit"
        "|farenheit|fahrenheight|degrees farenheit",
        "K": "k|kelvin|kelvins|°k|deg k",
        "": "°|degrees|degree|deg|degs",
    },
    "difference": {
        "delta_degC": "c|°c|deg c|degree c|degrees c|celsius|degrees celsius"
        "|degree celsius|centigrade|k|kelvin|kelvins",
        "delta_degF": "f|°f|deg f|degree f|degrees f|fahrenheit|degrees fahrenheit"
        "|degree fahrenheit|farenheit",
        "": "°|degrees|degree|deg|degs",
    },
    "ph": {"ph": "units|unit|ph units|ph unit|su"},
    "nitrogen": {**_MASS_CONCENTRATION, **_MOLAR},
    "solute": _MASS_CONCENTRATION,
    "oxygen": {
        **_MASS_CONCENTRATION,
        "saturation": "%|percent|pct|% sat|% saturation|percent saturation|% saturated"
        "|percent saturated|% air saturation|pct sat",
    },
    "alkalinity": {
        **_MASS_CONCENTRATION, **_MOLAR, **_CHARGE, **_HARD,
        "dH": _GERMAN + "|dkh|°dkh|kh|°kh|degrees kh|degree kh|degrees dkh|deg kh|deg dkh"
        "|d kh|dk",
    },
    "hardness": {
        **_MASS_CONCENTRATION, **_MOLAR, **_CHARGE, **_HARD,
        "dH": _GERMAN + "|dgh|°dgh|gh|°gh|degrees gh|degree gh|degrees dgh|deg gh|deg dgh|d gh",
    },
    "conductivity": {
        "uS/cm": "us/cm|us|micros/cm|microsiemens|microsiemens/cm|microsiemens per cm"
        "|microsiemens per centimeter|umho/cm|umhos/cm|umhos|umho|micromhos|micromhos/cm|us cm-1",
        "mS/cm": "ms/cm|ms|millisiemens|millisiemens/cm|millisiemens per cm|mmho/cm|mmhos/cm"
        "|ms cm-1|ds/m|decisiemens per meter",
        "mS/m": "ms/m|millisiemens per meter|ms m-1",
        "S/m": "s/m|siemens per meter|s m-1",
        "tds": "ppm|mg/l|mg/liter|mg/litre|parts per million|ppm tds|tds ppm|tds mg/l|mg/l tds",
    },
    "salinity": {
        "permille": "ppt|‰|g/kg|parts per thousand|parts per mille|permille|per mille|promille"
        "|o/oo|0/00|grams per kilogram",
        "psu": "psu|pss|pss-78",
        "percent": "%|percent|pct|% salt|percent salt",
        "ppm": "ppm|mg/kg|parts per million",
        "g/L": "g/l|g/liter|g/litre|g l-1|grams per liter|grams per litre|gram per liter|kg/m3",
        "mg/L": "mg/l|mg/liter|mg/litre|mg l-1",
        "sg": "sg|s.g.|s.g|specific gravity|spec grav|specific gravity of|sp gr|sp.gr.",
    },
    "percent": {"percent": "%|percent|pct|% sat|% saturation|percent saturation"},
    "volume": {
        "liter": "l|lt|ltr|ltrs|lts|liter|liters|litre|litres|litter|litters|dm3"
        "|cubic decimeters",
        "mL": "ml|mls|milliliter|milliliters|millilitre|millilitres|cc|ccm|cm3|cubic centimeters",
        "cL": "cl|centiliter|centilitre|centiliters|centilitres",
        "dL": "dl|deciliter|decilitre",
        "m3": "m3|m^3|cubic meter|cubic meters|cubic metre|cubic metres|cu m|cum|cbm|kl",
        "ft3": "ft3|ft^3|cubic feet|cubic foot|cu ft|cuft|cu.ft.|cubic ft",
        "in3": "in3|in^3|cubic inches|cubic inch|cu in",
        "us_gal": "gal|gals|gallon|gallons|us gal|us gals|us gallon|us gallons|u.s. gallons"
        "|u.s. gallon|u.s. gal|usg|american gallons|american gallon|gal us|gallons us|gal.|g",
        "imp_gal": "imp gal|imp gals|imp. gal|imp gallon|imp gallons|imp. gallons|imperial gal"
        "|imperial gals|imperial gallon|imperial gallons|uk gal|uk gals|uk gallon|uk gallons"
        "|u.k. gallons|british gallons|british gallon|gal imp|gallons imperial|gallons uk|gal uk"
        "|canadian gallons|igal",
        "us_qt": "qt|qts|quart|quarts|us qt|us quart|us quarts",
        "imp_qt": "imp qt|imp quart|imp quarts|imperial quart|imperial quarts|uk quart|uk quarts",
        "us_pt": "us pt|us pint|us pints",
        "imp_pt": "imp pt|imp pint|imp pints|imperial pint|imperial pints|uk pint|uk pints",
        "us_cup": "cup|cups",
        "us_floz": "fl oz|fl. oz.|fl.oz.|floz|fluid ounce|fluid ounces|oz|ozs|ounce|ounces"
        "|us fl oz",
        "imp_floz": "imp fl oz|imperial fl oz|uk fl oz|imp oz|imperial fluid ounces"
        "|uk fluid ounces",
    },
    "mass": {
        "gram": "g|gr|gm|gms|grm|gram|grams|gramme|grammes",
        "mg": "mg|milligram|milligrams",
        "kg": "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes",
        "oz": "oz|ozs|ounce|ounces|oz.",
        "lb": "lb|lbs|pound|pounds|lb.|lbs.",
    },
    "length": {
        "centimeter": "cm|cms|centimeter|centimeters|centimetre|centimetres",
        "mm": "mm|mms|millimeter|millimeters|millimetre|millimetres",
        "m": "m|meter|meters|metre|metres",
        "inch": 'in|ins|inch|inches|"|in.',
        "ft": "ft|foot|feet|'|ft.",
    },
    "time": {
        "second": "s|sec|secs|second|seconds",
        "minute": "min|mins|minute|minutes|m|min.|mins.|'",
        "hour": "h|hr|hrs|hour|hours|h.|hr.|hrs.|std",
        "day": "d|day|days",
        "week": "wk|wks|week|weeks|w",
        "month": "month|months",
        "year": "yr|yrs|year|years",
    },
}  # fmt: skip

#: What each family measures, for "that is a unit of ...".
MEASURES: dict[Family, str] = {
    "temperature": "temperature", "difference": "temperature", "ph": "pH",
    "nitrogen": "concentration", "solute": "concentration", "oxygen": "concentration",
    "alkalinity": "alkalinity", "hardness": "hardness", "conductivity": "conductivity",
    "salinity": "salinity", "percent": "percent", "volume": "volume", "mass": "mass",
    "length": "length", "time": "time",
}  # fmt: skip

Key = tuple[str, ...]


def key_of(spelling: str) -> Key:
    """A spelling as the text cutter sees it."""
    return tuple(atom.text for atom in cut(normalise(spelling)))


@cache
def unit_names(family: Family) -> dict[Key, str]:
    """Every spelling of the family's units, cut into atoms -> short unit name."""
    return {
        key_of(spelling): unit
        for unit, spellings in UNITS[family].items()
        for spelling in spellings.split("|")
    }


@cache
def foreign_names() -> dict[Key, Family]:
    """Every unit spelling of any family -> the first family that uses it."""
    found: dict[Key, Family] = {}
    order: tuple[Family, ...] = (
        "temperature", "volume", "length", "mass", "time", "conductivity", "salinity",
        "hardness", "solute", "oxygen", "nitrogen", "alkalinity",
    )  # fmt: skip
    for family in order:
        for key in unit_names(family):
            found.setdefault(key, family)
    return found
