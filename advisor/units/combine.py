"""From a statement to bands: which meanings its units can have, and how its numbers join."""

from __future__ import annotations

import re
from collections.abc import Callable

from advisor.units.conversion import ConvertedBand, Surroundings, to_stored
from advisor.units.grammar import Term, UnitStatement
from advisor.units.parameters import Parameter
from advisor.units.quantity import UnitError
from advisor.units.substances import CHOICES, basis_label, factor

Convert = Callable[[float, str | None], ConvertedBand]

_BARE_GRAVITY = re.compile(r"1[.,]0[0-9]{2,3}")
_GRAVITY_OR_G_KG = re.compile(r"1[.,]0[0-9]")
# Below this a number without unit can as well be degrees as mg/L.
_DEGREES_OR_MG_L = 30.0
# Families whose units add up when written one after the other: 1 h 30 min, 5 ft 6 in.
_ADDING = ("time", "mass", "length", "volume")


def ways(
    said: UnitStatement, parameter: Parameter, around: Surroundings
) -> list[tuple[str, Convert]]:
    """Each meaning the units can have: its label, and how it turns a number into a band."""

    def plain(number: float, unit: str | None) -> ConvertedBand:
        return to_stored(number, unit, parameter, around)

    def in_unit(unit: str) -> Convert:
        return lambda number, _: to_stored(number, unit, parameter, around)

    bare = all(not term.unit for term in said.terms)
    written = said.terms[0].numeral.text
    largest = max(abs(v) for term in said.terms for v in term.numeral.values)
    if parameter.key == "minutes" and said.joints[1:] == ["colon"] and bare:
        return [("hours and minutes", plain), ("minutes and seconds", in_unit("minute"))]
    if "TDS" in said.substances and bare:
        return [("", in_unit("tds"))]
    if parameter.family == "salinity" and bare and _BARE_GRAVITY.fullmatch(written):
        return [("", in_unit("sg"))]
    if parameter.family == "salinity" and bare and _GRAVITY_OR_G_KG.fullmatch(written):
        return [("as specific gravity", in_unit("sg")), ("g/kg", plain)]
    if parameter.family in ("alkalinity", "hardness") and bare and not said.substances:
        if 0 < largest <= _DEGREES_OR_MG_L:
            return [("degrees (dKH or dGH)", in_unit("dH")), ("mg/L (ppm) as CaCO3", plain)]
        return [("", plain)]
    return _by_basis(said, parameter, plain, is_zero=largest == 0)


def _by_basis(
    said: UnitStatement, parameter: Parameter, plain: Convert, *, is_zero: bool
) -> list[tuple[str, Convert]]:
    """The stated basis, or every basis that ammonia, nitrite or nitrate can be counted in."""

    def scaled(times: float, note: str) -> Convert:
        def convert_one(number: float, unit: str | None) -> ConvertedBand:
            band = plain(number, unit)
            told = "; ".join(filter(None, (band.note, note)))
            return ConvertedBand(band.value * times, band.low * times, band.high * times, told)

        return convert_one

    if all(term.unit in ("mmol/L", "umol/L") for term in said.terms):
        return [("", plain)]  # a count of atoms has no basis
    for substance in said.substances:
        times = factor(parameter, substance)
        if times is not None:
            return [("", scaled(times, basis_label(parameter, substance)))]
    if parameter.key in CHOICES and not is_zero:
        return [(b.label, scaled(b.factor, b.label)) for b in CHOICES[parameter.key]]
    return [("", plain)]


def combine(
    said: UnitStatement, numbers: list[float], parameter: Parameter, convert_one: Convert
) -> ConvertedBand:
    """One number, a range, a value with its error, a clock time, or units that add up.

    Raises UnitError when the numbers do not join to one value or one range.
    """
    units = [term.unit for term in said.terms]
    joints = said.joints[1:]
    if len(numbers) == 1:
        band = convert_one(numbers[0], units[0])
        is_about = "about" in said.senses
        return _about(band, numbers[0], said.terms[0], convert_one) if is_about else band
    if len(numbers) == 2 and joints[0] == "plus_minus":
        return _with_error(numbers, units[0], convert_one)
    if parameter.family == "time" and len(numbers) <= 3 and set(joints) == {"colon"}:
        return _clock(numbers, units, parameter, convert_one)
    adding = parameter.family in _ADDING and None not in units and len(set(units)) == len(units)
    if adding and all(joint in ("none", "plus", "range") for joint in joints):
        parts = [convert_one(n, u) for n, u in zip(numbers, units, strict=True)]
        total = [sum(getattr(part, end) for part in parts) for end in ("value", "low", "high")]
        return ConvertedBand(total[0], total[1], total[2])
    if len(numbers) == 2 and (joints[0] in ("range", "slash") or "between" in said.senses):
        return _range(convert_one(numbers[0], units[0]), convert_one(numbers[1], units[1]))
    raise UnitError(
        f"{parameter.key}: there are {len(numbers)} numbers here; "
        f"write one value or one range, such as {parameter.write}."
    )


def _range(one: ConvertedBand, other: ConvertedBand) -> ConvertedBand:
    low, high = min(one.low, other.low), max(one.high, other.high)
    return ConvertedBand(low + (high - low) / 2, low, high, one.note)


def _with_error(numbers: list[float], unit: str | None, convert_one: Convert) -> ConvertedBand:
    """7.2 ± 0.1"""
    centre, error = numbers[0], abs(numbers[1])
    middle, low, high = (convert_one(centre + step, unit) for step in (0.0, -error, error))
    return ConvertedBand(
        middle.value, min(middle.low, low.low), max(middle.high, high.high), middle.note
    )


def _about(band: ConvertedBand, number: float, term: Term, convert_one: Convert) -> ConvertedBand:
    """ "About" opens the band by half the last digit written, at most by a tenth (judgement)."""
    half = min(term.numeral.place / 2 or abs(number) / 10, abs(number) / 10)
    low, high = convert_one(number - half, term.unit), convert_one(number + half, term.unit)
    return ConvertedBand(band.value, min(band.low, low.low), max(band.high, high.high), band.note)


def _clock(
    numbers: list[float], units: list[str | None], parameter: Parameter, convert_one: Convert
) -> ConvertedBand:
    """1:30 is one hour and thirty minutes; 1:30:00 the same."""
    small = all(0 <= n < 60 for n in numbers[1:])
    if any(units[:-1]) or units[-1] not in (None, "hour") or not small:
        raise UnitError(f"{parameter.key}: write a time like 1:30 (hours and minutes), or 90 min.")
    return convert_one(sum(n / 60**power for power, n in enumerate(numbers)), "hour")
