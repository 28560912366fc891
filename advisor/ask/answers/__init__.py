"""From what a person types to a case that holds it.

Reading a line (``choosing``, ``phrases``, ``numbers``, ``kits``, ``lots``) is apart
from writing it down (``apply``): a line becomes a reply, and a reply gives a new
frozen case. Nothing here prints or asks.
"""

from advisor.ask.answers.apply import apply, asked_key
from advisor.ask.answers.choosing import NotUnderstood, Picked, pick
from advisor.ask.answers.parts import Place
from advisor.ask.answers.phrases import PhraseHits, SignBook
from advisor.ask.answers.replies import (
    UNKNOWN,
    Counted,
    Filled,
    Lots,
    Read,
    Reply,
    Seen,
    Settled,
    Unknown,
)

__all__ = [
    "UNKNOWN",
    "Counted",
    "Filled",
    "Lots",
    "NotUnderstood",
    "PhraseHits",
    "Picked",
    "Place",
    "Read",
    "Reply",
    "Seen",
    "Settled",
    "SignBook",
    "Unknown",
    "apply",
    "asked_key",
    "pick",
]
