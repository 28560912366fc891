"""Cutting written text into atoms: numbers, words, chemical symbols, signs.

One regular expression without nested repetition, so the time grows with the
length of the text and no input can make it hang.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import Literal

AtomKind = Literal["number", "word", "sign"]

_CHEMICALS = "nh3n|nh4n|no2n|no3n|nh3|nh4|no2|no3|caco3|hco3|h2s|co2|cl2|o2|m3|ft3|in3|cm3|dm3"
_ATOM = re.compile(
    rf"(?P<chemical>(?:{_CHEMICALS})(?![^\W_]))"
    r"|(?P<number>[0-9]+(?:[.,][0-9]+)*(?:e[+-]?[0-9]{1,3}(?![\w.,]))?|[.,][0-9]+)"
    r"|(?P<word>[^\W\d_]+)"
    r"|(?P<sign>\S)"
)
_SAME = str.maketrans(
    {"–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "⁻": "-", "⁺": "+", "⁄": "/", "÷": "/",
     "≈": "~", "∼": "~", "º": "°", "˚": "°", "×": "x",
     "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"',
     "½": " 1/2 ", "¼": " 1/4 ", "¾": " 3/4 ", "_": " "}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Atom:
    """One piece of the text; ``spaced`` when white space stands before it."""

    kind: AtomKind
    text: str
    spaced: bool


def normalise(text: str) -> str:
    """One spelling for signs, digits, sub- and superscripts, micro and case."""
    text = unicodedata.normalize("NFKC", text.translate(_SAME)).translate(_SAME)
    digits = "".join(
        str(unicodedata.decimal(c)) if c.isdecimal() and not c.isascii() else c for c in text
    )
    return digits.lower().replace("μ", "u").replace("°c", "° c").replace("°f", "° f").strip()


def cut(text: str) -> list[Atom]:
    """The atoms of a normalised text, in order."""
    atoms = []
    end = 0
    for match in _ATOM.finditer(text):
        group = match.lastgroup
        kind: AtomKind = "number" if group == "number" else "sign" if group == "sign" else "word"
        atoms.append(Atom(kind, match.group(), spaced=match.start() > end))
        end = match.end()
    return atoms
