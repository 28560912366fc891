"""Words of logs: what columns are called, and how their units are spelled.

Keys are squashed: lower case, no accents, only letters, digits, ``%``, ``°`` and ``‰``. English,
German, French, Spanish, Italian and Dutch names as instruments and sheets have them (common
practice, no source).
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache


def set_of(joined: str) -> frozenset[str]:
    """Words between bars."""
    return frozenset(joined.split("|"))


#: Parameter, or parameter and what the name itself says it is counted as -> names.
_NAMES: dict[str, str] = {
    "temperature_c": "temp|tmp|temperature|water temp|water temperature|probe temp|tank temp"
    "|t|watertemp|temperatur|wassertemperatur|wasser temperatur|temperature de l eau"
    "|temperature eau|temp eau|temperatura|temperatura agua|temperatura del agua|t water|h2o temp"
    "|watertemperatuur|temperatura dell acqua|temperatura acqua",
    "ph": "ph|phvalue|ph wert|ph value|valeur ph|valeur du ph|valor ph|ph waarde",
    "tan_mg_l": "ammonia|total ammonia|ammonium|nh4|nh3|nh3 nh4|nh4 nh3"
    "|ammoniak|ammoniaque|amonio|gesamtammoniak|ammoniac",
    "tan_mg_l as N": "tan|nh4n|nh3n|ammonia n|ammonia nitrogen|total ammonia nitrogen|ammonium n"
    "|ammonium nitrogen|ammoniumstickstoff|tan n",
    "nitrite_mg_l": "nitrite|nitrit|nitrito|nitriet|nitriti",
    "nitrite_mg_l as NO2": "no2",
    "nitrite_mg_l as N": "no2n|nitrite n|nitrite nitrogen|nitritstickstoff|nitrit n",
    "nitrate_mg_l": "nitrate|nitrat|nitrato|nitraat|nitrati",
    "nitrate_mg_l as NO3": "no3",
    "nitrate_mg_l as N": "no3n|nitrate n|nitrate nitrogen|nitratstickstoff|nitrat n",
    "do_mg_l": "do|dissolved oxygen|oxygen|o2|odo|ldo|rdo|do conc|do sat|dosat"
    "|oxygen saturation|o2 sat|o2 saturation|sauerstoff|sauerstoffgehalt|geloster sauerstoff"
    "|sauerstoffsattigung|sauerstoff sattigung|o2 sattigung|oxygene|oxygene dissous"
    "|saturation en oxygene|oxigeno|oxigeno disuelto|ossigeno|ossigeno disciolto|zuurstof"
    "|saturation oxygen|oxygen concentration|do saturation|saturation o2|o2 dissous"
    "|dissolved oxygen saturation|dissolved o2",
    "alkalinity_mg_l_caco3": "alkalinity|total alkalinity|alk|kh|carbonate hardness"
    "|karbonatharte|alkalinitat|alcalinite|tac|alcalinidad|saurebindungsvermogen",
    "hardness_mg_l_caco3": "hardness|total hardness|gh|general hardness|gesamtharte|durete"
    "|th|dureza",
    "conductivity_us_cm": "conductivity|cond|ec|conductance|leitfahigkeit|leitwert"
    "|conductivite|conductividad|conducibilita|geleidbaarheid|elektrische leitfahigkeit",
    "conductivity_us_cm at 25": "specific conductance|spcond|sp cond|spec cond|spc|ec25"
    "|specific conductivity|sc|cond 25|conductivity 25|leitfahigkeit 25|spec conductance",
    "salinity_g_kg": "salinity|sal|salt|salzgehalt|salinitat|salinite|salinidad|salinita"
    "|saliniteit|practical salinity",
    "chlorine_mg_l": "chlorine|cl2|total cl2|free cl2|free chlorine|residual chlorine"
    "|total chlorine|gesamtchlor|chlore total|tcl2",
    "chloride_mg_l": "chloride|chlorid|chlorure",
    "co2_mg_l": "co2|carbon dioxide|kohlendioxid|dissolved co2|carbon dioxide dissolved",
    "copper_mg_l": "copper|cu|kupfer|cuivre",
    "sulfide_mg_l": "sulfide|sulphide|h2s|hydrogen sulfide",
    "total_gas_pressure_pct": "tgp|total gas pressure|total dissolved gas|tdg",
}

#: Role of a column that is no reading of water -> names.
_ROLES: dict[str, str] = {
    "moment": "time|timestamp|date time|datetime|date and time|time stamp|when|measured|taken"
    "|sampled|recorded|sample time|sampling time|measurement time|zeit|zeitpunkt|zeitstempel"
    "|datum zeit|datum uhrzeit|datum und zeit|datum und uhrzeit|messzeit|horodatage"
    "|date heure|date et heure|fecha hora|fecha y hora|data ora|data e ora|datumtijd|measured at"
    "|recorded at|sampled at|local time|reading time|logged at|taken at|sample date time",
    "date": "date|datum|fecha|data|jour|sample date|sampling date|tag",
    "clock": "time of day|uhrzeit|heure|hora|ora|tijd|clock time|clock",
    "am_pm": "am pm|ampm|a m p m",
    "epoch": "unixtime|unix time|epoch|epoch time|posix|posix time|unix timestamp|unix|epochtime",
    "elapsed": "elapsed|elapsed time|runtime|run time|time since start|since start|laufzeit"
    "|minutes|seconds|hours|days|min|sec|s|h|d|hour of run|minutes after opening|time elapsed"
    "|duration|temps ecoule|verstrichene zeit|minutes since start|seconds since start"
    "|hours since start|days since start|hours since opening|minutes since opening"
    "|time from start|test time|at hours|elapsed minutes|elapsed seconds|elapsed hours",
    "after_receipt": "hours after receipt",
    "hour": "hour|stunde|heures|hr",
    "year": "year|jahr|annee|yyyy",
    "month": "month|monat|mois",
    "day": "day",
    "minute": "minute",
    "second": "second",
    "zone": "timezone|time zone|tz|zone|utc offset|offset|zeitzone|fuseau|fuseau horaire",
    "parameter": "parameter|quantity|measurement|variable|analyte|messgrosse|parametre"
    "|parameter name|characteristic",
    "value": "value|reading|result|wert|messwert|valeur|valor|measured value",
    "unit": "unit|units|einheit|unite|unidad|eenheid",
    "site": "site|tank|tank id|location|station|sample id|place|becken|ort|bassin|pond|point"
    "|sample point|sample|position|system|basin|unit id|logger|instrument|probe id|sensor id"
    "|device|device id",
    "water": "water",
    "lot": "lot",
    "index": "record|#|no|nr|row|index|id|sample no|record no|line|seq|sequence|num|number|n"
    "|messung|zeile|rec|reading no|numero",
    "status": "status|flag|qc|quality|state|qualifier|zustand|etat",
    "other_time": "uploaded at|uploaded|upload time|received at|server time|sent at|synced"
    "|synced at|uploaded on|download time|downloaded at|stored at|transmitted|transmitted at"
    "|last update|updated at|created at|ingested at|sync time|saved at|arrived at",
    "air_pressure": "press|pressure|baro|barometer|barometric pressure|air pressure|luftdruck"
    "|baro pressure|atm pressure|barometric|bp|pression|pression atmospherique",
    "other": "orp|redox|battery|batt|voltage|turbidity|turb|depth|chlorophyll|chl|tds|event|note"
    "|notes|remark|remarks|comment|comments|operator|by|user|initials|heater|light|pump|level"
    "|humidity|rh|bemerkung|notiz|remarque|remarques|commentaire|tss|signal|rssi|flow|par|lux"
    "|feeder|relay|outlet|serial|model|firmware|temperature sensor|internal temp|weather|alarm"
    "|dissolved solids|trubung|batterie|tiefe|kommentar|resistivity|sigma|density|lat|lon"
    "|latitude|longitude|gps|nh3 free|free ammonia|unionized ammonia|un ionised ammonia"
    "|un ionized ammonia|free nh3|kits|as written and notes|minutes after opening min|event type"
    "|orp mv|redox potential|cable power|wiper position|hdo|o2 partial pressure",
}  # fmt: skip
#: Words that make any heading something else than a reading of the water.
_ELSEWHERE = set_of(
    "air|alarm|ambient|aussen|battery|board|body|case|controller|cpu|dew|enclosure|exterieur"
    "|free|high|internal|low|luft|lufttemperatur|ma|max|millivolt|min|mv|mvolt|ohm|outdoor"
    "|outside|raum|raumtemperatur|raw|room|sd|sensor_temp|set|setpoint|std|stdev|target"
    "|temperature_air|unionised|unionized|volt|volts"
)
_HARMLESS = set_of(
    "25|actual|as|at|average|avg|basin|ch|channel|compensated|conc|concentration|current|de"
    "|dissolved|du|eau|en|im|in|instant|instrument|la|local|main|mean|measured|meter"
    "|mittelwert|of|pond|probe|reading|sample|sensor|smp|sonde|tank|the|total|utc|value"
    "|wasser|water|wert"
)
_MG = "mgl|mgliter|mglitre|ppm|milligramsperliter|mgdm3|gm3"
#: Family -> unit as ``units.parse`` takes it -> squashed spellings.
_UNITS: dict[str, dict[str, str]] = {
    "temperature": {
        "°C": "c|°c|degc|degreec|degreesc|celsius|degreescelsius|degreecelsius|gradc|gradcelsius"
        "|centigrade|cel|oc|deg.c|grad|degcelsius|degresc|degrescelsius",
        "°F": "f|°f|degf|degreef|degreesf|fahrenheit|degreesfahrenheit|degreefahrenheit|of"
        "|degfahrenheit",
        "K": "k|kelvin|°k|degk",
    },
    "ph": {"": "ph|units|phunits|unit|su|stdunits|standardunits|einheiten|none|phunit"},
    "oxygen": {
        "mg/L": f"{_MG}|mgo2l|mglo2",
        "ug/L": "ugl|ppb",
        "%": "%|pct|percent|prozent|%sat|%saturation|percentsat|percentsaturation|sat%|%airsat"
        "|satpct|pctsat|%airsaturation|%dosat|%o2sat|saturation%|%as|%ls|%local|%dosaturation"
        "|%satlocal|sat|%sattigung|psat|%o2",
        "mL/L": "mll|mlliter|mllitre|mlo2l",
        "umol/L": "umoll|umolo2l",
        "mmol/L": "mmoll",
        "fraction": "fraction|fraktion|satfraction|ratio|01",
    },
    "alkalinity": {
        "meq/L": "meql|mvall|meq|milliequivalentsperliter",
        "dKH": "dkh|°dkh|dh|°dh|kh|°kh|degdkh|degkh|germandegrees",
        "mmol/L": "mmoll|mmol",
        "°fH": "f|°f|fh|°fh|frenchdegrees",
        "°eH": "°e|clark|°clark",
    },
    "hardness": {
        "dGH": "dgh|°dgh|dh|°dh|gh|°gh|germandegrees",
        "mmol/L": "mmoll|mmol",
        "meq/L": "meql",
        "°fH": "f|°f|fh|°fh|frenchdegrees",
        "°eH": "°e|clark|°clark",
        "gpg": "gpg|grainspergallon|grainsgal",
    },
    "conductivity": {
        "uS/cm": "uscm|us|microscm|microsiemenscm|microsiemenspercm|umhocm|umhoscm|uscm25c"
        "|uscm25°c|uscmat25c|uscmat25°c|microsiemens",
        "mS/cm": "mscm|ms|millisiemenscm|mmhocm|mmhoscm|dsm|mscm25c|mscm25°c|mscmat25°c"
        "|millisiemens",
        "mS/m": "msm",
        "S/m": "sm",
    },
    "salinity": {
        "ppt": "ppt|‰|gkg|promille|permille|o00|partsperthousand|000",
        "psu": "psu|pss|pss78|practicalsalinity|psal",
        "percent": "%|percent",
        "g/L": "gl",
        "sg": "sg|specificgravity",
    },
    "percent": {
        "%": "%|pct|percent|%sat|%saturation|prozent",
        "hPa": "hpa|mbar", "mmHg": "mmhg|torr", "kPa": "kpa",
    },
    "solute": {"mg/L": _MG, "ug/L": "ugl|ppb"},
    "time": {
        "s": "s|sec|secs|second|seconds|sekunden|secondes",
        "min": "min|mins|minute|minutes|minuten|m",
        "h": "h|hr|hrs|hour|hours|stunden|std|heures",
        "d": "d|day|days|tage|jours",
        "ms": "ms|millisecond|milliseconds|msec",
    },
    "pressure": {
        "hPa": "hpa|mbar|mb|millibar", "kPa": "kpa", "mmHg": "mmhg|torr", "inHg": "inhg",
        "bar": "bar", "atm": "atm",
    },
}  # fmt: skip
#: What follows a concentration: as which substance it is counted.
BASES = {
    "n": "as N", "asn": "as N", "no2": "as NO2", "asno2": "as NO2", "no2n": "as N", "no3": "as NO3",
    "asno3": "as NO3", "no3n": "as N", "nh3": "as NH3", "asnh3": "as NH3", "nh4": "as NH4",
    "asnh4": "as NH4", "nh3n": "as N", "nh4n": "as N", "caco3": "as CaCO3", "ascaco3": "as CaCO3",
    "nitrogen": "as N", "asnitrogen": "as N", "total": "", "cao": "?", "ofcaco3": "as CaCO3",
    "ofn": "as N",
}  # fmt: skip
_CONCENTRATIONS = {"mgl": "mg/L", "ppm": "mg/L", "ugl": "ug/L", "ppb": "ug/L", "mmoll": "mmol/L",
                   "umoll": "umol/L", "mgdm3": "mg/L", "mgliter": "mg/L"}  # fmt: skip
_AMID = re.compile(r"(mg|ug)(n|no2|no3|nh3|nh4|caco3|no2n|no3n|nh4n|nh3n)l")


@lru_cache(4096)
def squash(text: str) -> str:
    """Lower case, no accents, nothing but letters, digits, %, ° and ‰.

    >>> squash("Température (°C)"), squash("µS/cm"), squash("NO2-N")
    ('temperature°c', 'uscm', 'no2n')
    """
    text = text.replace("º", "°").replace("˚", "°").replace("µ", "u").replace("μ", "u")
    apart = unicodedata.normalize("NFKD", text.replace("‰", "\0"))
    plain = "".join(letter for letter in apart if not unicodedata.combining(letter)).lower()
    return re.sub(r"[^a-z0-9%°\0]+", "", plain.replace("ß", "ss")).replace("\0", "‰")


@cache
def names() -> dict[str, tuple[str, str]]:
    """Squashed name -> (parameter, basis or "at 25")."""
    found: dict[str, tuple[str, str]] = {}
    for key, joined in _NAMES.items():
        parameter, _, basis = key.partition(" ")
        for name in _listed(joined):
            found[name] = (parameter, basis)
    return found


@cache
def names_longest_first() -> tuple[str, ...]:
    return tuple(sorted(names(), key=len, reverse=True))


@cache
def roles() -> dict[str, str]:
    """Squashed name -> role."""
    return {name: role for role, joined in _ROLES.items() for name in _listed(joined)}


def _listed(joined: str) -> set[str]:
    return {squash(part) for part in joined.split("|")}


@cache
def _unit_index(family: str) -> dict[str, str]:
    return {
        spelling: unit
        for unit, joined in _UNITS.get(family, {}).items()
        for spelling in joined.split("|")
    }


def unit_of(text: str, family: str) -> tuple[str, str] | None:
    """(unit as units.parse takes it, basis) for a unit as a log spells it; None when unknown."""
    key = squash(text)
    if not key:
        return None
    found = _unit_index(family).get(key)
    if found is not None:
        return found, ""
    if family in ("nitrogen", "alkalinity", "hardness"):
        amid = _AMID.fullmatch(key)
        if amid:
            return f"{amid[1]}/L", BASES[amid[2]]
        for spelling, unit in _CONCENTRATIONS.items():
            rest = key.removeprefix(spelling)
            if key.startswith(spelling) and (not rest or rest in BASES):
                return unit, BASES.get(rest, "")
    return None


def is_elsewhere(words: list[str]) -> bool:
    return any(word in _ELSEWHERE for word in words)


def is_harmless(word: str) -> bool:
    return word in _HARMLESS or word.isdigit()
