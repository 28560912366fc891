"""How fish lie and breathe, said where their kinds are asked for: no kind, and heads of its own."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re

_THEIR = r"(?:the |there |theyre |thier |ther |their |its |his |her |a |one )?"
_HOW_MANY = r"(?:\d+|some|a few|few|several|most|many|half|a couple|couple|all|one|two|three|four|five|six|seven|eight|nine|ten)(?: of (?:them|em|these))?(?: fish)?"
_DOING = r"(?:(?:are|is|r|were|all|just|now|still|with|ly(?:ing)|lieing|laying|laid|sitting|hanging|swimming|floating|stuck|gasping|gulping|panting|breathing|resting) )*"
_POSE = (
    rf"on {_THEIR}(?:sides?|backs?|bot+[ou]m|bell(?:y|ies)|floor|surfa?[ci]e?s?|top)\b|(?:on|in) (?:the |there |their |thier )?sides?\b|upside[ -]?down\b(?! ?(?:cat|syno))"
    rf"|(?:at|near|up) {_THEIR}(?:top|surf\w+|bot+[ou]m)\b|{_THEIR}fins? clamp\w*|clamp\w* (?:up )?fins?\b|belly up\b"
    r"|(?:gasping|gulping|panting|flashing|dying|limp|breathing (?:fast|hard|heavy|heavily|quick\w*))\b(?: for air)?"
)
_SAID = re.compile(rf"(?:\b{_HOW_MANY} )?\b{_DOING}(?:{_POSE})", re.I)


def without_poses(text: str) -> tuple[str, list[str]]:
    """The line without "5 on their sides", and those words."""
    said = [hit[0].strip() for hit in _SAID.finditer(text)]
    return (_SAID.sub(" , ", text), said) if said else (text, [])
