"""From what a person writes to a quantity, or to one clear sentence why not."""

from __future__ import annotations

from advisor.errors import AdvisorError
from advisor.units.bounds import check_physical
from advisor.units.combine import combine, ways
from advisor.units.conversion import ConvertedBand, Surroundings
from advisor.units.grammar import UnitStatement, read
from advisor.units.parameters import DIFFERENCE, Parameter, look_up
from advisor.units.quantity import AmbiguousBasis, Quantity, UnitError, WordNotReading
from advisor.units.spellings import MEASURES, UNITS
from advisor.units.substances import CHOICES, factor
from advisor.units.words import is_unknown
from advisor.wording.nearest import nearest
from advisor.wording.numbers import exact

MAX_TEXT = 200

_SOLUTES = ("nitrogen", "solute", "alkalinity", "hardness", "oxygen")
_HALF_LIMIT = "half the limit stands in as the value"


def parse(
    text: str,
    parameter: str,
    *,
    temperature_c: float | None = None,
    salinity_g_kg: float | None = None,
    pressure_mmhg: float | None = None,
) -> Quantity:
    """The quantity that ``text`` gives for ``parameter``, in its stored unit.

    text          : what a person wrote: "78 F", "6 dKH", "0.5 ppm as NO2", ">8", "6.8-7.0"
    parameter     : a key of PARAMETERS
    temperature_c,
    salinity_g_kg,
    pressure_mmhg : of the same water and the air over it, used only for oxygen in % of saturation;
                    without them fresh water at sea level

    A number without unit is taken in the stored unit. Raises AmbiguousBasis when
    the number can mean several amounts, WordNotReading for words (unknown ones
    too: ask ``is_unknown`` first), another AdvisorError for everything else.

    >>> round(parse("78 F", "temperature_c").value, 3)
    25.556
    >>> parse("6.8-7.0", "ph").low
    6.8
    """
    return _parse(
        text, look_up(parameter), Surroundings(temperature_c, salinity_g_kg, pressure_mmhg)
    )


def parse_difference(text: str) -> Quantity:
    """A step between two temperatures in °C; in °F it is scaled without the 32.

    >>> round(parse_difference("5 F").value, 3)
    2.778
    """
    return _parse(text, DIFFERENCE, Surroundings())


def _parse(text: str, parameter: Parameter, around: Surroundings) -> Quantity:
    entered = text.strip()
    if len(entered) > MAX_TEXT:
        raise UnitError(
            f"{parameter.key}: {len(entered)} characters is too long; "
            f"write the number and its unit, such as {parameter.write}."
        )
    if is_unknown(entered):
        raise WordNotReading(parameter.key, entered, "Leave it unknown, or give the number.")
    said = read(entered, parameter.family)
    _check_words(said, entered, parameter)
    if not said.terms:
        return _without_number(said, entered, parameter)
    _share_unit(said)
    meanings = _meanings(said, entered, parameter, around)
    if len(meanings) == 1:
        return meanings[0][1]
    raise AmbiguousBasis(parameter.key, _question(said, entered, parameter), tuple(meanings))


def _check_words(said: UnitStatement, entered: str, parameter: Parameter) -> None:
    """Refuse units of another kind, other substances, and what is in no table."""
    if said.terms and said.foreign:
        unit, family = said.foreign[0]
        raise UnitError(
            f'{parameter.key}: "{unit}" is a unit of {MEASURES[family]}; '
            f"write the {parameter.name} like {parameter.write}."
        )
    for substance in said.substances:
        try:
            factor(parameter, substance)
        except KeyError:
            raise UnitError(_other_substance(substance, parameter)) from None
    if said.strange and (said.terms or not said.questions):
        raise UnitError(_strange(said.strange[0], entered, parameter, bool(said.terms)))


def _other_substance(substance: str, parameter: Parameter) -> str:
    if substance == "free NH3" and parameter.key == "tan_mg_l":
        return (
            "tan_mg_l: free (un-ionised) ammonia is only a part of the total; "
            "give the total ammonia reading, or leave it unknown."
        )
    return (
        f"{parameter.key}: {substance} is not {parameter.name}; "
        f"write the {parameter.name} like {parameter.write}."
    )


def _strange(word: str, entered: str, parameter: Parameter, has_number: bool) -> str:
    known = [s for joined in UNITS[parameter.family].values() for s in joined.split("|")]
    hint = nearest(word, known).replace("; did", " Did") if has_number else ""
    if word[0].isdecimal():
        what = f'"{word}" is not one number'
    elif has_number:
        what = f'"{word}" is not a unit of {parameter.name}'
    else:
        what = f'"{entered}" holds no number'
    return f"{parameter.key}: {what}.{hint} Write it like {parameter.write}."


def _without_number(said: UnitStatement, entered: str, parameter: Parameter) -> Quantity:
    """A trace, or none found, is a band below the first mark; other words open a question."""
    mark = parameter.first_mark
    if mark is not None and said.senses & {"trace", "undetected"}:
        value = mark / 2 if "trace" in said.senses else 0.0
        note = f"below the first mark of a card, taken as {exact(mark)} {parameter.unit}"
        return Quantity(value, 0.0, mark, entered, note, at_most=True)
    if said.senses & {"at_least", "at_most"}:
        example = parameter.write.split(" or ")[0]
        ask = f"What number stands at that mark? Write it like >{example}."
    elif said.questions:
        ask = said.questions[0]
    else:
        ask = f"Write a number, such as {parameter.write}."
    raise WordNotReading(parameter.key, entered, ask)


def _share_unit(said: UnitStatement) -> None:
    """A range names its unit once: "78-80 F", "70 F to 75"."""
    if len(said.terms) == 2 and said.joints[1] in ("range", "slash", "plus_minus"):
        first, second = said.terms
        first.unit = first.unit if first.unit is not None else second.unit
        second.unit = second.unit if second.unit is not None else first.unit


def _question(said: UnitStatement, entered: str, parameter: Parameter) -> str:
    if parameter.key in CHOICES and all(len(t.numeral.values) == 1 for t in said.terms):
        return f'"{entered}" does not say what it is counted as; the kit\'s leaflet does.'
    return f'"{entered}" can be read in more than one way.'


def _meanings(
    said: UnitStatement, entered: str, parameter: Parameter, around: Surroundings
) -> list[tuple[str, Quantity]]:
    """Every meaning within the physical bounds, with its label; at least one."""
    found: list[tuple[str, Quantity]] = []
    refused: list[AdvisorError] = []
    for number_label, numbers in _number_choices(said):
        for unit_label, convert_one in ways(said, parameter, around):
            try:
                band = combine(said, numbers, parameter, convert_one)
                quantity = _quantity(said, band, entered, parameter)
            except AdvisorError as error:
                refused.append(error)
            else:
                found.append((f"{number_label} {unit_label}".strip(), quantity))
    if not found:
        raise refused[0]
    same = len({(q.value, q.low, q.high) for _, q in found}) == 1
    return found[:1] if same else found


def _number_choices(said: UnitStatement) -> list[tuple[str, list[float]]]:
    """ "1,500" stands for two numbers; everything else for one each."""
    if all(len(term.numeral.values) == 1 for term in said.terms):
        return [("", [term.numeral.values[0] for term in said.terms])]
    choices = []
    for pick in (0, -1):
        numbers = [term.numeral.values[pick] for term in said.terms]
        choices.append((" to ".join(exact(n, 8) for n in numbers), numbers))
    return choices


def _quantity(
    said: UnitStatement, band: ConvertedBand, entered: str, parameter: Parameter
) -> Quantity:
    """Bounds checked, and "over" and "under" given their band."""
    bare = all(not term.unit for term in said.terms)
    shown = said.terms[0].numeral.text if bare and len(said.terms) == 1 else entered
    ends = (band.low, band.high) if "range" in said.joints else ()
    for stated in (band.value, *ends):
        check_physical(stated, shown, parameter, bare=bare and len(said.terms) == 1)
    value, note = band.value + 0.0, band.note  # never minus zero
    low = min(max(band.low + 0.0, parameter.low), value)
    high = max(min(band.high, parameter.high), value)
    if parameter.family in ("volume", "mass", "length") and bare:
        note = f"no unit given; taken as {parameter.unit}"
    bound = said.senses & {"at_least", "at_most"}
    if len(bound) == 2:
        raise UnitError(
            f'{parameter.key}: "{entered}" says both over and under; write a range like 2-4.'
        )
    if "about" in said.senses or not bound:
        return Quantity(value, low, high, entered, note)
    if bound == {"at_least"}:
        top = parameter.odd_high if high <= parameter.odd_high else parameter.high
        return Quantity(value, low, top, entered, note, at_least=True)
    bottom = parameter.odd_low if low >= parameter.odd_low else parameter.low
    if parameter.family in _SOLUTES:
        # The usual substitution for a value below a limit.
        value, note = value / 2, "; ".join(filter(None, (note, _HALF_LIMIT)))
    return Quantity(value, min(bottom, value), high, entered, note, at_most=True)
