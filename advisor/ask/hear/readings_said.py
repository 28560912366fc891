"""Readings in a line: which water, which parameter, the number, its unit and the kit.

A number takes the parameter named before it (else by its unit, else in the order of the
question) and the water named beside it; what it is worth is read by ``advisor.units``.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from advisor.ask.answers.typed_reading import kit_in
from advisor.ask.hear.water_words import BY_UNIT, PARAMETERS, WATERS, tidied
from advisor.ask.hear.which_water import Token, parameter_of, value_is_named, water_of
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question
from advisor.units import AmbiguousBasis, Quantity, WordNotReading, is_odd, parse

_WORD_ZERO = r"zero|nil|none(?: detected)?|undetect\w+|not detect\w+|no trace"
_VALUE = re.compile(
    rf"(?P<limit>>=?|<=?|≥|≤|\b(?:over|above|more than|under|below|less than|at least|up to|off (?:the )?(?:card|chart|scale))\b)?\s*(?:the\s+)?"
    rf"(?P<n>(?<![\w.,])[.]?\d+(?:[.,]\d+)?(?:\s*(?:-|to)\s*\d+(?:[.,]\d+)?)?|\b(?:{_WORD_ZERO})\b)"
)


_EITHER_OR = re.compile(r"(?<![\w.,])\d+(?:[.,]\d+)? or (?:maybe )?\d+(?:[.,]\d+)?(?![\w.,]*\d)")


@dataclass(frozen=True)
class SaidReading:
    """A reading: ``limit`` "above" or "below" where only a bound was said."""

    water: str
    parameter: str
    quantity: Quantity
    kit: str | None = None


@dataclass
class Waters:
    """Readings found and what has to be asked back."""

    readings: dict[tuple[str, str], SaidReading] = field(default_factory=dict)
    ask: list[str] = field(default_factory=list)
    twice: set[tuple[str, str]] = field(default_factory=set)


def readings(
    text: str,
    question: Question | None,
    base: RuleBase,
    around: Mapping[str, float],
    first: tuple[str, str] | None = None,
) -> Waters:
    """Every reading said.

    text     : small letters, numbers in figures
    question : the one it answers; numbers without a name are taken in its order
    around   : temperature of the tank, where it is known
    first    : water and parameter of the prompt; a number without a name is that one's
    """
    found = Waters()
    wanted = [] if question is None else [base.quantities[name] for name in question.reading]
    order: list[tuple[str, str]] = [((q.water or "tank"), q.parameter or q.id) for q in wanted]
    asked = question is not None and bool(question.reading)
    warm = not asked or any(parameter == "temperature_c" for _, parameter in order)
    percent = re.search(r"(?:@|\bat)\s*(\d+(?:[.,]\d+)?)\s*°?\s*c\b", text)
    if percent and "%" in text:
        around = {**around, "temperature_c": float(percent[1].replace(",", "."))}
    if first is not None:
        order = [first, *(each for each in order if each != first)]
    text = tidied(text, zeros=asked, warm=warm)
    if "mg" in text and any(parameter == "do_mg_l" for _, parameter in order):
        text = re.sub(r"\d+(?:[.,]\d+)? ?%(?: ?sat\w*\.?)?", " ", text)  # said twice
    if _EITHER_OR.search(text):
        found.ask.append("Which of the two numbers is it?")
        text = _EITHER_OR.sub(" ", text)
    tokens = _tokens(text)
    values = [t for t in tokens if t.kind == "value"]
    if not values:
        return found
    kit = kit_in(text)
    used: list[tuple[str, str]] = []
    for at, value in enumerate(values):
        parameter = parameter_of(value, tokens, values, at, order, used, text)
        if parameter is None:
            continue
        named = value_is_named(value, tokens, text)
        if not order and not (named and (parameter not in _NEEDS_UNIT or _has_unit(value, tokens))):
            continue
        if not order and parameter == "temperature_c" and not _beside_water(value, tokens):
            continue  # of the air, the box or a heater
        if order and not named and _either(parameter, order):
            found.ask.append("Is that KH or GH, and in degrees or ppm?")
            continue
        if "tds" in text and parameter == "conductivity_us_cm":
            found.ask.append("A meter that shows TDS multiplies by a factor: which, 0.5 or 0.64?")
            continue
        if len(order) > 2 and not named and len(values) < len(order):
            found.ask.append(f'What is "{value.text}": which of the readings?')
            continue
        other = order and parameter not in {p for _, p in order} and len(values) == 1
        if other and (not any(t.kind == "parameter" for t in tokens) or order[0][1] == "ph"):
            found.ask.append("Which of the two is that number?")
            continue
        water = water_of(value, parameter, tokens, values, order, used, text)
        piece = _piece(value, parameter, tokens, values, at, text)
        _read(water, parameter, piece, kit, around, found, prose=bool(order))
        used.append((water, parameter))
    for of in found.twice:
        found.readings.pop(of, None)
    bare_zero = re.fullmatch(_WORD_ZERO, values[0].name) and not any(
        t.kind in ("parameter", "water") for t in tokens
    )
    if (bare_zero or re.search(r"\bboth\b", text)) and len(found.readings) == 1 and len(order) > 1:
        (one,) = found.readings.values()
        for water, parameter in order:
            if parameter == one.parameter or one.quantity.value == 0:
                found.readings.setdefault(
                    (water, parameter), SaidReading(water, parameter, one.quantity, one.kit)
                )
    return found


#: Read beside another question only with their unit: their names have other uses.
_NEEDS_UNIT = frozenset(["do_mg_l", "co2_mg_l", "salinity_g_kg", "chlorine_mg_l", "temperature_c"])


def _has_unit(value: Token, tokens: Sequence[Token]) -> bool:
    return any(t.kind == "unit" and t.start == value.end for t in tokens)


def _beside_water(value: Token, tokens: Sequence[Token]) -> bool:
    return any(t.kind == "water" and abs(t.start - value.start) < 16 for t in tokens)


def _either(parameter: str, order: Sequence[tuple[str, str]]) -> bool:
    """Whether a bare number may be KH as well as GH."""
    names = {p for _, p in order}
    hard = {"alkalinity_mg_l_caco3", "hardness_mg_l_caco3"}
    return parameter in hard and hard <= names


def _tokens(text: str) -> list[Token]:
    found: list[Token] = []
    for name, form in WATERS:
        found += [
            Token("water", name, hit[0], *hit.span())
            for hit in re.finditer(rf"(?<![\w-])(?:{form})(?![\w-])", text)
        ]
    for name, form in PARAMETERS:
        for hit in re.finditer(rf"(?<![a-z])(?:{form})(?![a-z])", text):
            if not any(t.kind == "parameter" and t.start <= hit.start() < t.end for t in found):
                found.append(Token("parameter", name, hit[0], *hit.span()))
    for hit in _VALUE.finditer(text):
        inside = any(t.kind == "parameter" and t.start <= hit.start("n") < t.end for t in found)
        if not inside and not re.match(
            r"\s*(?:h\b|hrs?\b|hours?|min|days?|d\b|weeks?|pcs|(?:bags|boxes)\b(?!\s*(?:at |are )?\d)|fish|dead|down|%\s*wc)",
            text[hit.end() :],
        ):
            found.append(Token("value", hit["n"], hit[0].strip(), hit.start(), hit.end()))
            for name, form in BY_UNIT:
                unit = re.match(rf"\s*(?:{form})(?![a-z])", text[hit.end() :])
                if unit:
                    found.append(Token("unit", name, unit[0], hit.end(), hit.end() + unit.end()))
                    break
    return sorted(found, key=lambda t: (t.start, t.end))


def _piece(
    value: Token,
    parameter: str,
    tokens: Sequence[Token],
    values: Sequence[Token],
    at: int,
    text: str,
) -> str:
    """The number with its own unit and basis: up to the next number, water or other name."""
    stop = values[at + 1].start if at + 1 < len(values) else len(text)
    first = values[at - 1].end if at else 0
    names = [t for t in tokens if t.kind == "parameter" and first <= t.start < value.start]
    ends = [
        t.start
        for t in tokens
        if value.end <= t.start < stop
        and (t.kind == "water" or (t.kind == "parameter" and t.name != parameter))
    ]
    after = text[value.end : min([stop, *ends])]
    cut = re.search(
        r"[,;:]|\b(?:and|und|but|both|left|nothing|new|still|too|each|is|are|was)\b", after
    )
    after = after[: cut.start()] if cut else after
    formula = re.search(r"no[23]|nh[34]|-n|nitrogen|^tan$", names[-1].text) if names else None
    return f"{value.text}{after}|{names[-1].text if formula and names else ''}"


_CHEMICAL = {"nh3": "NH3", "nh4": "NH4", "no2": "NO2", "no3": "NO3"}


def _read(
    water: str,
    parameter: str,
    piece: str,
    kit: str | None,
    around: Mapping[str, float],
    found: Waters,
    *,
    prose: bool,
) -> None:
    text, _, lead = piece.partition("|")
    text = re.sub(rf"^(?:{_WORD_ZERO})\b", "0", text)
    for form, put in (
        (r"\bm(?:illi)?g (?:no[23]|nh[34])?-?n ?/ ?l\b", "mg/L as N"), (r"\bsat(?:uration|urated)?\b\.?", " "),
        (r"\bgerman degrees\b", "dH"), (r"\bper cents?\b|\bpct\b", "%"), (r"\bmilligrams?\b(?: (?:per|a|/) ?l\w*)?(?!/)", "mg/L"), (r"\bclark\b", "degrees clark"), (r"\bals\b", "as"),
        (r"\b(?:meter|strip|card|drops?|kit|probe|total|free|in|detected|though|new filter|test)\b", " "),
        (r"\b(?:g|grams?) (?:per|a|to the) (?:l|lit\w+)\b", "g/L"), (r"\bmg\b(?!/)", "mg/L"), (r"\bug/l\b", "ug/L"),
    ):  # fmt: skip
        text = re.sub(form, put, text)
    basis = next((put for name, put in _CHEMICAL.items() if name in lead), "")
    if re.search(r"-n\b|nitrogen|no[23]n|nh[34]n|^tan$", lead):
        basis = "as N"
    elif basis:
        basis = f"as {basis}"
    if parameter in ("tan_mg_l", "nitrite_mg_l", "nitrate_mg_l") and not re.search(
        r"\b(?:n|nh[34]|no[23])\b|as", text
    ):
        text = f"{text} {basis}"
    if parameter == "total_gas_pressure_pct" and re.search(r"%\s*(?:over|above|super\w*)", text):
        text = re.sub(r"(\d+(?:[.,]\d+)?).*", lambda hit: f"{100 + float(hit[1])} %", text)
    if parameter == "alkalinity_mg_l_caco3" or parameter == "hardness_mg_l_caco3":
        text = _hardness(text, kit)
    try:
        quantity = (_parsed if prose else _strictly)(text.strip(), parameter, around)
    except AmbiguousBasis as doubt:
        if quantity_is_zero(text):
            quantity = doubt.widened
        else:
            found.ask.append(doubt.question)
            return
    except WordNotReading as fault:
        found.ask.append(fault.ask)
        return
    except AdvisorError as fault:
        if parameter == "do_mg_l" and "%" in text and (water, parameter) in found.readings:
            return
        fahrenheit = re.fullmatch(r"([5-9]\d(?:[.,]\d+)?)\W*", text.strip())
        if parameter != "temperature_c" or fahrenheit is None:
            found.ask.append(str(fault))
            return
        quantity = parse(f"{fahrenheit[1]} F", parameter)  # no fish lives at so many °C
    before = found.readings.get((water, parameter))
    if before is not None and parameter == "do_mg_l" and "%" in text:
        return  # said twice, the second time of saturation
    if before is not None and abs(before.quantity.value - quantity.value) > 1e-9:
        found.ask.append(f"Two figures for one water ({before.quantity.entered}, {text}): which?")
        found.twice.add((water, parameter))
        return
    if is_odd(quantity.value, parameter) and parameter in ("ph", "temperature_c", "salinity_g_kg"):
        found.ask.append(str(is_odd(quantity.value, parameter)))
        return
    found.readings[(water, parameter)] = SaidReading(water, parameter, quantity, kit)


_PROSE = re.compile(r"[a-z+.,:-]{3,}|[@.,:;|+~-]+|a|an|is|to|in|of|my|on|by|at|or|so")
#: Words behind a number that change what it says.
_COUNTS = re.compile(
    r"gal|tbsp|tsp|tea|table|spoon|lit|cup|handful|inch|fish|bags?\b|dead|down|weeks?|over|under|above|below|more|less|than|satur|super|times|grain|drop|degree|per|not|no\b|minus|plus|percent|hundred|thousand|point|half|about|max|min\b|too|or\b|squares?|blocks?"
)


def _strictly(text: str, parameter: str, around: Mapping[str, float]) -> Quantity:
    return parse(text, parameter, **around)


def _parsed(text: str, parameter: str, around: Mapping[str, float]) -> Quantity:
    """The quantity; prose behind the number and its unit is left out, word by word."""
    first: AdvisorError | None = None
    words = text.split()
    while words:
        try:
            return parse(" ".join(words), parameter, **around)
        except (AmbiguousBasis, WordNotReading):
            raise
        except AdvisorError as fault:
            first = first or fault
        last = words[-1]
        counted = len(words) == 2 and re.fullmatch(r"[a-z]{3,}s", last)  # "2 airstones"
        if not _PROSE.fullmatch(last) or _COUNTS.match(last) or counted:
            break  # perhaps a unit that is not known here
        words.pop()
    raise first or AdvisorError(f"{parameter}: a number is missing.")


def quantity_is_zero(text: str) -> bool:
    number = re.search(r"\d+(?:[.,]\d+)?", text)
    return number is not None and float(number[0].replace(",", ".")) == 0.0


def _hardness(text: str, kit: str | None) -> str:
    """A hardness without a unit: degrees where it is small, as kits in drops count them."""
    text = re.sub(r"^\s*(?:under|below|less than)\s+", "< ", text)
    text = re.sub(r"^\s*(?:over|above|more than)\s+", "> ", text)
    number = re.match(
        r"\s*(?P<sign>[<>]?)\s*(?P<n>\d+(?:[.,]\d+)?)\s*(?:°|degrees?|deg)?(?:\s+(?:on|by|with|in|an?|the|my))*\s*$",
        text,
    )
    if number is None:
        return text
    value = float(number["n"].replace(",", "."))
    if kit == "strip" and value >= 20:
        return f"{number['sign']} {number['n']} ppm".strip()
    return f"{number['sign']} {number['n']} dH".strip() if value <= 30 else text
