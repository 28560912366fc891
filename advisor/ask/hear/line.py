"""A typed line made ready to be heard: words, numbers, clauses, and which words are denied."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from advisor.ask.hear.speech import spoken

#: Longest line that is listened to; the rest is said not to be understood.
MOST_TEXT = 400
_TOKEN = re.compile(
    r"(?:co2|h2o2|o2|h2s|no[23]|nh[34]|ms222|kmno4)(?![^\W_])|\d+(?:[.,:]\d+)*|[^\W\d_]+|[%°\"/+=<>~&?-]"
)
_APOSTROPHE = re.compile(r"['’`´]")
#: Two spellings of a word are taken for one when this few letters differ, by its length.
_SLIPS = ((9, 2), (6, 1))

_ONES = {
    "zero": 0, "nil": 0, "nought": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5,
    "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
    "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
    "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60,
    "seventy": 70, "eighty": 80, "ninety": 90,
}  # fmt: skip
#: The same in languages heard in the trade.
_ELSEWHERE = {
    "eins": 1, "ein": 1, "eine": 1, "zwei": 2, "drei": 3, "vier": 4, "fünf": 5, "sechs": 6,
    "sieben": 7, "acht": 8, "neun": 9, "zehn": 10, "zwölf": 12, "zwanzig": 20, "dreissig": 30,
    "fünfzig": 50,
    "deux": 2, "trois": 3, "quatre": 4, "cinq": 5, "dix": 10, "dos": 2, "tres": 3, "cuatro": 4,
    "due": 2, "tre": 3, "twee": 2, "drie": 3,
}  # fmt: skip


@dataclass(frozen=True)
class Word:
    """A word of the line. ``said`` as typed, ``word`` as it is understood, in small letters."""

    said: str
    word: str


@dataclass(frozen=True)
class Clause:
    """Words that belong together, up to a comma or "but"."""

    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        return " ".join(word.said for word in self.words)


def plain(text: str) -> str:
    """Small letters, no apostrophes, one space between words."""
    return spoken(" ".join(_APOSTROPHE.sub("", text.casefold()[:MOST_TEXT]).split()))


def with_numbers(text: str) -> str:
    """The line with numbers in figures: "twenty five" 25, "half a dozen" 6, "8 point 2" 8.2."""
    text = re.sub(r"(?<=[a-zäöü])-(?=[a-zäöü])", " ", plain(text))
    text = re.sub(r"\bevery one\b", "everyone", text)
    text = re.sub(r"\bno one\b|\bnot one\b", "nobody", text)
    text = re.sub(r"\bhalf (?:a |of a )?dozen\b", "6", text)
    text = re.sub(r"\b(\S+) (?:dozens?|doz|dz)\b", _dozens, text)
    text = re.sub(r"\b(?:dz|doz)\b", "12", text)
    text = re.sub(r"\b(?:a |one )?dozen\b", "12", text)
    text = re.sub(r"\b(?:a |the )?(?:couple|cpl)(?: of)?\b", "2", text)
    text = re.sub(r"(?<!\d )\b(?:a |the )?pair(?: of)?\b", "2", text)
    words: list[str] = []
    spoken: set[int] = set()  # places of numbers that were written as words
    for word in re.findall(r"\S+", text):
        core = word.strip(",.;:()!?")
        tail = word[len(word.rstrip(",.;:()!?")) :] if core else ""
        number = _ONES.get(core, _TENS.get(core, _ELSEWHERE.get(core)))
        if core == "and" and len(words) - 1 in spoken:
            words.append(word)
            spoken.add(len(words) - 1)
            continue
        if core in ("hundred", "hundert", "thousand", "tausend"):
            scale = 100 if core[:4] == "hund" else 1000
            before = int(words.pop()) if words and words[-1].isdecimal() else 1
            if before == 1 and words and words[-1] == "a":
                words.pop()
            # "two thousand five" "hundred": the thousands stand
            thousands = before - before % 1000 if scale == 100 else 0
            words.append(f"{thousands + (before - thousands) * scale}{tail}")
            spoken.add(len(words) - 1)
        elif number is None:
            words.append(word)
        elif len(words) - 1 in spoken and _adds(words, number):
            drop = 2 if words[-1] == "and" else 1
            base = int(words[-drop])
            del words[-drop:]
            words.append(f"{base + number}{tail}")
            spoken.add(len(words) - 1)
        else:
            words.append(f"{number}{tail}")
            spoken.add(len(words) - 1)
    text = " ".join(words)
    return re.sub(r"\b(\d+) (?:point|dot|komma) (\d+)\b", r"\1.\2", text)


def _dozens(hit: re.Match[str]) -> str:
    number = int(hit[1]) if hit[1].isdecimal() else _ONES.get(hit[1])
    return hit[0] if number is None else str(12 * number)


def _adds(words: list[str], number: int) -> bool:
    """Whether a number word belongs to the one before: "twenty" "five", "100 and" "15"."""
    if words[-1] == "and" and len(words) > 1 and words[-2].isdecimal():
        return int(words[-2]) % 100 == 0 and int(words[-2]) > 0 and number < 100
    if not words[-1].isdecimal():
        return False
    last = int(words[-1])
    return (last % 100 >= 20 and last % 10 == 0 and 0 < number < 10) or (
        last > 0 and last % 100 == 0 and 0 < number < 100
    )


def clauses(text: str, joins: Mapping[str, str]) -> list[Clause]:
    """The line cut at commas and the like.

    joins : words that stand for others ("wc" for "water change")
    """
    text = re.sub(r"(?<=[a-z]{3})['’]s\b", " is", text.casefold())  # "the power's out"
    text = plain(text).replace("tank water", "tankwater")
    text = re.sub(
        r"[;!\n()]|\.(?!\d)|,(?!\d)|\s-\s|\bbut\b|\bthough\b|\btho\b|\baber\b", " , ", text
    )
    found: list[Clause] = []
    for part in text.split(" , "):
        words: list[Word] = []
        for token in _TOKEN.findall(part):
            words += [Word(token, each) for each in joins.get(token, token).split()]
        if words:
            found.append(Clause(tuple(words)))
    return found


def mended(clause: Clause, known: frozenset[str]) -> Clause:
    """The clause with slips of the keys put right where one known word is near."""
    return Clause(tuple(Word(each.said, _mended(each.word, known)) for each in clause.words))


def _mended(word: str, known: frozenset[str]) -> str:
    """The word, or the known one it is a slip of; doubtful ones stay as they are."""
    if word in known or len(word) < 5 or not word.isalpha():
        return word
    if word.endswith("in") and _known(f"{word}g", known):
        return f"{word}g"  # "hidin"
    if _known(word, known) or len(word) < 6:
        return word  # it begins as a known word does: "gasping"
    return _nearest(word, known)


def _known(word: str, known: frozenset[str]) -> bool:
    return word in known or any(word[:length] in known for length in range(4, len(word)))


@cache
def _nearest(word: str, known: frozenset[str]) -> str:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    most = next((slips for length, slips in _SLIPS if len(word) >= length), 0)
    near = process.extract(
        word, _of_length(known, len(word)), scorer=OSA.distance, score_cutoff=most, limit=5
    )
    near = [hit for hit in near if hit[0][0] == word[0]]
    if not near or (len(near) > 1 and near[0][1] == near[1][1] and near[0][1] > 1):
        return word
    return str(near[0][0])


@cache
def _of_length(known: frozenset[str], length: int) -> tuple[str, ...]:
    return tuple(sorted(w for w in known if len(w) > 3 and abs(len(w) - length) <= 2))
