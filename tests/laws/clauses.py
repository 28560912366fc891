"""A shown sentence taken apart: which words are an order, which forbid, which only set a time.

The advice is written in short commands, and this reads no other English than that. A sentence
is cut at its joints; each piece has a mood:

order     : to be done, whatever else holds
if        : to be done under a condition that the same sentence names
forbid    : said not to be done ("no food", "do not drip", "net nobody")
aside     : sets a time or gives a reason ("until bag and tank agree"); no order
question  : asked, not ordered
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

_ASIDE = r"until|before|after|while|because|so that|as soon as|since|in case|which|who|than"
_CONDITION = r"if|unless|when|whenever|once(?= (?:it|they|the|that|this|these|bag|tank|tub)\b)"
_JOINT = re.compile(
    rf"\s*(?P<hard>[,;:()]|\s[-–—]\s|—)\s*|\s+(?P<word>but|and then|then|and|nor|or|instead of|"
    rf"rather than|{_ASIDE}|{_CONDITION})\s+",
    re.IGNORECASE,
)
_NOT = re.compile(
    r"\b(no|not|never|nobody|no one|none|nothing|without|neither|avoid|don't|hands off)\b",
    re.IGNORECASE,
)
_SUBJECT = re.compile(r"^(nobody|no one|nothing|never|do not|don't|not)\b", re.IGNORECASE)
_OBJECT = re.compile(r"\b(nobody|no one|none of (?:these|them|this)|nothing)\b", re.IGNORECASE)
_COURTESY = re.compile(r"\bif (you can|possible|need be|at all possible|at hand)\b", re.IGNORECASE)
_START_ASIDE = re.compile(rf"^({_ASIDE}|as)\b", re.IGNORECASE)
_START_IF = re.compile(rf"^({_CONDITION}|only (?:if|when|once))\b", re.IGNORECASE)


@dataclass(frozen=True)
class Clause:
    """One piece of a sentence: its words in lower case, and its mood."""

    text: str
    mood: str


def sentences(text: str) -> list[str]:
    """The sentences of ``text``; a full stop inside a number or before a small letter stays."""
    return [s.strip() for s in re.split(r"(?<=[.!?])\s+(?=[A-Z0-9\"'])|\n+", text) if s.strip()]


@cache
def clauses(text: str) -> tuple[Clause, ...]:
    """Every clause of ``text`` in order."""
    return tuple(clause for sentence in sentences(text) for clause in _sentence(sentence))


def _sentence(sentence: str) -> list[Clause]:
    if sentence.endswith("?"):
        return [Clause(sentence.rstrip("?").lower(), "question")]
    pieces = _pieces(_COURTESY.sub("", sentence.rstrip(".! ")))
    moods = _moods(pieces)
    _object_negation(pieces, moods)
    return [
        Clause(text.lower(), mood)
        for (_, text), mood in zip(pieces, moods, strict=True)
        if text.strip(" '\"")
    ]


def _pieces(sentence: str) -> list[tuple[str, str]]:
    """(joint before, words) of each piece."""
    found, at, joint = [], 0, ""
    for match in _JOINT.finditer(sentence):
        found.append((joint, sentence[at : match.start()].strip()))
        joint, at = (match["hard"] or match["word"]).strip().lower(), match.end()
    found.append((joint, sentence[at:].strip()))
    return [(joint, text) for joint, text in found if text or joint]


def _moods(pieces: list[tuple[str, str]]) -> list[str]:
    moods: list[str] = []
    later = ""  # what an opening condition makes of the clauses after it
    # "Open them if they gasp": all of it hangs on that. "or once it is open" adds a second way.
    whole = any(
        joint in ("if", "unless")
        or (joint in ("once", "when") and not _alternative(pieces, at + 1))
        for at, (joint, _) in enumerate(pieces[1:])
    )
    spread = False  # a subject such as "nobody" forbids the whole list
    for at, (joint, text) in enumerate(pieces):
        before = moods[-1] if moods else ""
        mood = _own_mood(joint, text)
        if mood == "order" and joint in ("and", "or", "nor") and before in ("aside", "when"):
            mood = before  # "until bag and tank agree": still the aside
        elif mood == "order" and before == "forbid" and _carries(joint, pieces, at, spread):
            mood = "forbid"
        elif mood == "order" and not text:
            mood = "aside"
        if mood == "forbid":
            spread = spread or bool(re.match(r"(nobody|no one|nothing)\b", text, re.IGNORECASE))
        else:
            spread = False
        if mood == "when" and not _alternative(pieces, at):
            later = "if"
        if mood == "order" and (later or whole):
            mood = "if"
        moods.append(mood)
    return ["aside" if mood == "when" else mood for mood in moods]


def _alternative(pieces: list[tuple[str, str]], at: int) -> bool:
    """Whether the condition at this piece only names a second way: "..., or once it is open"."""
    return at > 0 and pieces[at - 1][1].lower() in ("", "or", "and")


def _own_mood(joint: str, text: str) -> str:
    if joint in ("instead of", "rather than"):
        return "forbid"
    if re.fullmatch(_CONDITION.replace("(?=", "(?:"), joint) or joint.startswith("once"):
        return "when"
    if re.fullmatch(_ASIDE, joint):
        return "aside"
    if _START_IF.match(text):
        return "when"
    if _START_ASIDE.match(text):
        return "aside"
    return "forbid" if _NOT.search(text) else "order"


def _carries(joint: str, pieces: list[tuple[str, str]], at: int, spread: bool) -> bool:
    """Whether a "not" before this joint reaches over it."""
    if joint in ("or", "nor"):
        return True
    if spread:
        return joint in (",", "and")
    # "Do not net, chase or lift them": the list goes on to an "or".
    rest = [j for j, _ in pieces[at + 1 :]]
    return joint == "," and bool(rest) and rest[0] in ("or", "nor", ",") and "or" in rest


def _object_negation(pieces: list[tuple[str, str]], moods: list[str]) -> None:
    """ "Net and chase nobody": the object forbids the verbs before it."""
    for at, (_, text) in enumerate(pieces):
        found = _OBJECT.search(text)
        if not found or _SUBJECT.match(text) or moods[at] != "forbid":
            continue
        back = at
        while back > 0 and pieces[back][0] in ("and", "or", ","):
            if pieces[back][0] == "," and len(pieces[back - 1][1].split()) > 1:
                break
            back -= 1
            moods[back] = "forbid"
