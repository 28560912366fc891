"""A line that names fish, made ready to be cut: what is denied, sums of sexes, ordered and got."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.ask.hear.kind_names import name_of
from advisor.ask.hear.line import with_numbers
from advisor.rulebase import RuleBase

_GOT = re.compile(
    r"\b(?:ordered|invoiced?|paid for|listed|(?:list|label|note|sheet|invoice) says|should (?:be|have been)|expected):?\s+(\d+)\b"
    r"(.*?)\b(?:got|received|came|counted|only|actually|found|there are):?\s+(\d+)\b(?:\s*(?:live|alive))?"
)


@dataclass(frozen=True)
class LotsLine:
    """The line in small letters and figures; ``gone``: kinds that are denied; ``parts``: a colon or
    brackets lead from a whole to its parts; ``ask``: what has to be asked back."""

    text: str
    gone: tuple[str, ...]
    parts: bool
    ask: tuple[str, ...]


def ready(text: str, base: RuleBase) -> LotsLine:
    """See :class:`LotsLine`. text: as typed, its capitals kept."""
    ask: list[str] = []
    text = re.sub(
        r",? *\b(?:no idea|not sure|dont know|don't know|unsure|dunno)(?: which| what)?\b[^,;.]*",
        "",
        text,
        flags=re.I,
    )
    text, gone = _denied(text)
    text = _PARTS.sub(_without_parts, text)
    text = re.sub(
        r"^\s*(?:i |we )?ordered \d+[^,;]*? but (?:they |he |she |it |we )?(?:sent|got|received|was|were|came|delivered)\s+",
        "",
        text,
        flags=re.I,
    )
    text = re.sub(r"^\s*(\w+) each (?:of )?(.+)$", _each_of, text)
    text = re.sub(
        r",? (?:\d+|one|two|three) of (?:which|them|these) (?:is |are |was |were )?(?:dead|doa)\b",
        "",
        text,
        flags=re.I,
    )
    label = re.match(r"\s*([A-Za-z]{2,12}):\s+(?=\S)", text)
    if label and name_of(label[1].casefold(), base) is None:
        text = text[label.end() :]
    parts = bool(re.search(r"[:(]", text))
    text = re.sub(r"\bA\.? (?=([a-z]{5,})\b)", lambda hit: _initial(hit, base), text)
    text = re.sub(r"(?<![\w.])(\d+)\.(\d+)(?:\.(\d+))?(?=\s+[A-Z][a-z]{3,}\s+[a-z])", _sexes, text)
    text = re.sub(r"(?<![\w.])(\d+)\.(\d+)\.(\d+)(?![\d.])", _sexes, text)
    text = re.sub(r"(?<=[a-z] )(\d+)\.(\d+)(?=\s*[,;])", _sexes, text)
    text = re.sub(r"[()\[\]]", " , ", text)
    text = re.sub(
        r"\b(?:TL|SL|FL|tl|sl)\b|\bcentimet\w+", lambda hit: "cm" if hit[0][0] == "c" else " ", text
    )
    text = with_numbers(re.sub(r"\b([lL])\s?[-]?(\d{1,3}[a-z]?)\b", r"\1\2", text))
    text = re.sub(r"\bx\s*(?=\d)|(?<=\d)\s*x\b|\bof (?:em|them|those|these)\b", " ", text)
    text = re.sub(
        r"\b(?:m|males?)\s*(\d+)[ ,/&+]*(?:f|females?)\s*(\d+)\b",
        lambda hit: str(int(hit[1]) + int(hit[2])),
        text,
    )
    text = re.sub(
        r"\b(\d+)\s*(?:m|males?)\b[ ,/&+]*(\d+)\s*(?:f|females?)\b",
        lambda hit: str(int(hit[1]) + int(hit[2])),
        text,
    )
    if re.search(r"\bminus\b|(?<!\w)-\d", text):
        ask.append("How many are there of each?")
        text = re.sub(r"\bminus\s+\d+|(?<!\w)-\d+", "", text)
    ordered = _GOT.search(text)
    if ordered:
        text = text[: ordered.start()] + f"{ordered[3]} {ordered[2]}" + text[ordered.end() :]
    text = re.sub(
        r"(^|[,;+]|\b(?:and|also|plus)\b)\s*an? (?!few|lot|load|bunch|handful|good)(?=[a-z])",
        r"\1 1 ",
        text,
    )
    return LotsLine(text, tuple(gone), parts, tuple(ask))


#: "no sturgeon this time", "pandas, not peppered": kinds named to say that they are not there.
_DENIED = re.compile(
    r"(?:^|(?<=[,;.]))\s*(?:correction,? )?(?:no|not|none of|without)(?: the| any)? ((?:[a-z]+ ){0,2}[a-z]+?)(?: (?:this time|today|arrived|came|left|here|ones?|yet))?(?=\s*(?:[,;.]|$))"
    r"|(?<=[a-z]) not (?:the )?((?:[a-z]+ )?[a-z]+)(?=\s*(?:[,;.]|$))",
    re.I,
)


def _denied(text: str) -> tuple[str, list[str]]:
    """The line without kinds that are denied, and their names."""
    gone: list[str] = []

    def drop(hit: re.Match[str]) -> str:
        name = hit[1] or hit[2]
        if re.search(
            r"\b(?:sure|idea|clue|known?|counted|certain|more|less|than|bags?|dead|down|wait|sorry|far|only|just|all|yet|labell?ed|said|told|record|name)\b",
            name,
            re.I,
        ):
            return hit[0]
        gone.append(name.casefold())
        return " , "

    return _DENIED.sub(drop, text), gone


#: "8 angelfish (4 koi, 4 silver)": strains of one lot, that make its number.
_PARTS = re.compile(r"(\d+)([^()\d]*)\(([^()]*\d[^()]*)\)")


def _without_parts(hit: re.Match[str]) -> str:
    parts = [int(n) for n in re.findall(r"\d+", hit[3])]
    return f"{hit[1]}{hit[2]}" if len(parts) > 1 and sum(parts) == int(hit[1]) else hit[0]


def _each_of(hit: re.Match[str]) -> str:
    """ "10 each of cardinals, neons and embers": so many of every one."""
    number = with_numbers(hit[1])
    names = re.split(r"\s*(?:,|&|\band\b)\s*", hit[2])
    if not number.isdecimal() or re.search(r"\d", hit[2]):
        return hit[0]
    return ", ".join(f"{number} {name}" for name in names if name)


def _initial(hit: re.Match[str], base: RuleBase) -> str:
    """ "A leucosternon" is a scientific name, "A goldfish" one goldfish."""
    return "a. " if name_of(f"a. {hit[1]}", base) else hit[0]


def _sexes(hit: re.Match[str]) -> str:
    """ "2.3" and "0.0.4" before or after a name: males, females and young, as collections write."""
    return str(sum(int(n) for n in hit.groups() if n))
