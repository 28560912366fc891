"""Reading one written number: decimal point or comma, thousands, fractions."""

from __future__ import annotations

import re
from dataclasses import dataclass

_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+|[1-9][0-9]{0,2}(?:\.[0-9]{3}){2,}")
_ENGLISH = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+")
_EUROPEAN = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+")
_PLAIN = re.compile(r"[0-9]*[.,]?[0-9]+(?:e[+-]?[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number as written and what it can mean.

    text   : as written, without sign
    values : the meanings; two only for "1,500", which is 1500 or 1.5
    place  : place value of the last digit that is not zero, for "about"
    """

    text: str
    values: tuple[float, ...]
    place: float

    def negated(self) -> Numeral:
        """The same with a minus in front."""
        return Numeral("-" + self.text, tuple(-v for v in self.values), self.place)


def read_numeral(text: str) -> Numeral | None:
    """The number that ``text`` writes, or None when it is not one number."""
    if _ENGLISH.fullmatch(text):
        plain = text.replace(",", "")
        return Numeral(text, (float(plain),), _place(plain))
    if _EUROPEAN.fullmatch(text):
        plain = text.replace(".", "").replace(",", ".")
        return Numeral(text, (float(plain),), _place(plain))
    meanings: list[str] = []
    if _THOUSANDS.fullmatch(text):
        meanings.append(text.replace(",", "").replace(".", ""))
    if _PLAIN.fullmatch(text):
        meanings.append(text.replace(",", "."))
    if not meanings:
        return None
    return Numeral(text, tuple(float(m) for m in meanings), _place(meanings[-1]))


def exact(value: float, text: str) -> Numeral:
    """A number that has no written digits to judge by (a word, a fraction)."""
    return Numeral(text, (value,), 0.0)


def _place(plain: str) -> float:
    mantissa, _, exponent = plain.partition("e")
    whole, _, decimals = mantissa.partition(".")
    if decimals.strip("0"):
        power = -len(decimals.rstrip("0"))
    else:
        power = len(whole) - len(whole.rstrip("0")) if whole.strip("0") else 0
    return float(10.0 ** max(-300, min(300, power + int(exponent or 0))))
