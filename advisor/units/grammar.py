"""From written text to a statement: numbers with units, how they are joined, what else is said.

Nothing is converted here. Each piece of the text is looked up in the tables of
spellings and words, longest phrase first; what is in no table is kept as
``strange`` and refused later with the nearest name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from typing import Literal, cast

from advisor.units.atoms import Atom, cut, normalise
from advisor.units.numerals import Numeral, exact, read_numeral
from advisor.units.parameters import Family
from advisor.units.spellings import Key, foreign_names, unit_names
from advisor.units.substances import substance_names
from advisor.units.words import HOW_MUCH, NUMBER_WORDS, phrases, questions

Kind = Literal["number", "unit", "foreign", "substance", "sense", "question", "strange"]
Joint = Literal["none", "range", "plus_minus", "colon", "plus", "slash"]

_AND_A_HALF = re.compile(r"(?:\band a|&|\band) half\b")
_UNIT_AND_A_PART = re.compile(r"(?:^|\b(\d+|[a-z]+) )([a-z]+) (?:and|&) an? (half|quarter)\b")
_PARTS = {"half": "1/2", "quarter": "1/4"}
_SYMBOL_JOINTS: dict[str, Joint] = {":": "colon", "+": "plus", "/": "slash"}


@dataclass(frozen=True, slots=True)
class Piece:
    """One understood piece: its kind, what it means, and the text it came from."""

    kind: Kind
    meaning: str
    text: str
    spaced: bool
    numeral: Numeral | None = None


@dataclass(slots=True)
class Term:
    """One number, with the unit written at it (None when there is none)."""

    numeral: Numeral
    unit: str | None = None


@dataclass(slots=True)
class UnitStatement:
    """What the text says.

    terms     : the numbers in order
    joints    : how each number is joined to the one before it
    senses    : "at_least", "at_most", "about", "trace" ... as found
    substances: bases and substances named
    questions : what to ask about words that are not readings
    foreign   : units of another kind, as (text, family)
    strange   : what is in no table
    """

    terms: list[Term] = field(default_factory=list)
    joints: list[Joint] = field(default_factory=list)
    senses: set[str] = field(default_factory=set)
    substances: list[str] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)
    foreign: list[tuple[str, Family]] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)


def read(text: str, family: Family) -> UnitStatement:
    """The statement that ``text`` makes about a parameter of this family."""
    normal = _UNIT_AND_A_PART.sub(_part_to_its_number, normalise(text))
    normal = _AND_A_HALF.sub(" 1/2", normal)
    pieces = _merge_numbers(_understand(cut(normal), family))
    return _assemble(pieces, family)


def _part_to_its_number(found: re.Match[str]) -> str:
    """ "two days and a half" as "two 1/2 days", "an hour and a quarter" as "1 1/4 hour"."""
    number, unit, part = found.groups()
    if number in (None, "a", "an"):
        number = "1"
    elif not number.isdecimal() and number not in NUMBER_WORDS:
        return found[0]
    if unit in NUMBER_WORDS:
        return found[0]
    return f"{number} {_PARTS[part]} {unit}"


@cache
def _lexicon(family: Family) -> tuple[dict[Key, tuple[Kind, str]], int]:
    """All known phrases for this family and the length of the longest; own units win."""
    table: dict[Key, tuple[Kind, str]] = {}
    for key, other in foreign_names().items():
        table[key] = ("foreign", other)
    for key, ask in questions().items():
        table[key] = ("question", ask)
    for key, sense in phrases().items():
        table[key] = ("sense", sense)
    for key, substance in substance_names().items():
        table[key] = ("substance", substance)
    for key, unit in unit_names(family).items():
        table[key] = ("unit", unit)
    return table, max(len(key) for key in table)


def _understand(atoms: list[Atom], family: Family) -> list[Piece]:
    table, longest = _lexicon(family)
    pieces: list[Piece] = []
    at = 0
    while at < len(atoms):
        atom = atoms[at]
        for length in range(min(longest, len(atoms) - at), 0, -1):
            found = table.get(tuple(a.text for a in atoms[at : at + length]))
            if found is not None:
                words = "".join(" " * a.spaced + a.text for a in atoms[at : at + length]).strip()
                pieces.append(Piece(found[0], found[1], words, atom.spaced))
                break
        else:
            length = 1
            pieces.append(_single(atom))
        at += length
    return pieces


def _single(atom: Atom) -> Piece:
    numeral = None
    if atom.kind == "number":
        numeral = read_numeral(atom.text)
    elif atom.text in NUMBER_WORDS:
        numeral = exact(NUMBER_WORDS[atom.text], atom.text)
    if numeral is not None:
        return Piece("number", "", atom.text, atom.spaced, numeral)
    if atom.text in "-:+/":
        return Piece("sense", atom.text, atom.text, atom.spaced)
    return Piece("strange", "", atom.text, atom.spaced)


def _merge_numbers(pieces: list[Piece]) -> list[Piece]:
    """Fractions, mixed numbers, thousands set off by spaces, and minus signs."""
    out: list[Piece] = []
    at = 0
    while at < len(pieces):
        piece, width = _fraction(pieces, at)
        if piece.numeral is not None:
            before = out[-1] if out else None
            if before is not None and before.numeral is not None:
                joined = _joined(before.numeral, piece.numeral, is_fraction=width == 3)
                if joined is not None:
                    out[-1] = Piece("number", "", joined.text, before.spaced, joined)
                    at += width
                    continue
            if before is not None and _is_minus(out, piece):
                out.pop()
                piece = Piece("number", "", piece.text, before.spaced, piece.numeral.negated())
        out.append(piece)
        at += width
    return out


def _fraction(pieces: list[Piece], at: int) -> tuple[Piece, int]:
    here = pieces[at]
    if at + 2 < len(pieces) and pieces[at + 1].meaning == "/":
        over, under = here.text, pieces[at + 2].text
        small = over.isdecimal() and under in {"2", "3", "4", "8"} and int(over) < int(under)
        if small:
            text = f"{over}/{under}"
            value = exact(int(over) / int(under), text)
            return Piece("number", "", text, here.spaced, value), 3
    return here, 1


def _joined(first: Numeral, second: Numeral, *, is_fraction: bool) -> Numeral | None:
    """ "2 1/2" and "1 000" as one number; None when they stand for two."""
    whole = first.values[0]
    if is_fraction and len(first.values) == 1 and whole == int(whole) and "/" not in first.text:
        return exact(whole + second.values[0], f"{first.text} {second.text}")
    groups = first.text.split(" ")
    is_group = len(second.text) == 3 and second.text.isdecimal()
    if is_group and all(g.isdecimal() for g in groups) and re.match("[1-9][0-9]{0,2}$", groups[0]):
        text = f"{first.text} {second.text}"
        return Numeral(text, (float(text.replace(" ", "")),), second.place)
    return None


def _is_minus(out: list[Piece], number: Piece) -> bool:
    """A dash is a sign at the start, or after a space and no number, and close to its number."""
    if out[-1].meaning != "-" or number.spaced:
        return False
    return len(out) == 1 or (out[-1].spaced and not any(p.kind == "number" for p in out))


def _assemble(pieces: list[Piece], family: Family) -> UnitStatement:
    said = UnitStatement()
    leading_unit: str | None = None
    joint: Joint = "none"
    if family == "time":
        pieces = _one_for_a(pieces)
    for index, piece in enumerate(pieces):
        if piece.numeral is not None:
            said.terms.append(Term(piece.numeral, leading_unit))
            said.joints.append(joint)
            leading_unit, joint = None, "none"
        elif piece.kind == "unit":
            if said.terms and said.terms[-1].unit is None:
                said.terms[-1].unit = piece.meaning
            else:
                leading_unit = piece.meaning
        elif piece.kind == "substance":
            said.substances.append(piece.meaning)
        elif piece.kind == "question":
            said.questions.append(piece.meaning)
            if piece.meaning == HOW_MUCH:
                said.senses.add("about")  # "low 7", "high, 8.4"
        elif piece.kind == "foreign":
            said.foreign.append((piece.text, cast("Family", piece.meaning)))
        elif piece.kind == "strange":
            said.strange.append(piece.text)
        else:
            joint = _sense(said, piece, joint, number_follows=_number_follows(pieces, index))
    if leading_unit is not None and not said.terms:
        said.foreign.append((leading_unit, family))
    return said


def _sense(said: UnitStatement, piece: Piece, joint: Joint, *, number_follows: bool) -> Joint:
    """Take note of a sense; return how the next number will be joined."""
    meaning = piece.meaning
    if piece.text == "+" and number_follows:
        return "plus" if said.terms else joint
    if meaning in _SYMBOL_JOINTS and meaning != "+":
        return _SYMBOL_JOINTS[meaning] if said.terms else joint
    if meaning in ("-", "range", "or"):
        return "range" if said.terms else joint
    if meaning == "plus_minus":
        return "plus_minus"
    if meaning == "filler":
        return "colon" if piece.text == ":" and said.terms and number_follows else joint
    said.senses.add("at_least" if meaning == "+" else meaning)
    return joint


def _number_follows(pieces: list[Piece], index: int) -> bool:
    return index + 1 < len(pieces) and pieces[index + 1].numeral is not None


def _one_for_a(pieces: list[Piece]) -> list[Piece]:
    """ "a day", "a day and 6 hours": one of it, but not in "half a day"."""
    return [
        Piece("number", "", p.text, p.spaced, exact(1.0, p.text))
        if p.text in ("a", "an")
        and at + 1 < len(pieces)
        and pieces[at + 1].kind == "unit"
        and (at == 0 or pieces[at - 1].numeral is None)
        else p
        for at, p in enumerate(pieces)
    ]
