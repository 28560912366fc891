"""What has been heard so far of a line, and the facts taken from it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from advisor.ask.hear.patterns import Words
from advisor.case import Case
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question


@dataclass
class Ears:
    """What has been heard so far."""

    question: Question
    base: RuleBase
    case: Case | None
    now: datetime
    text: str
    held: Words
    hour: float | None = None
    out: dict[str, Any] = field(default_factory=dict)
    ask: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    doubt: list[str] = field(default_factory=list)

    @property
    def asked(self) -> str:
        return self.question.id

    @property
    def came(self) -> int | None:
        lots = self.case.lot if self.case else ()
        return lots[0].count if len(lots) == 1 else None

    def differ(self, item: str, value: str) -> None:
        """Two answers to one thing: of the residents the worse one counts, else it is asked."""
        if item == "residents_well":
            self.out["history"][item] = "no"
        elif item != "release_method":
            del self.out["history"][item]
            self.ask.append(f"Which is it: {self.base.history[item].name}?")

    def no_more(self, sign: str) -> None:
        """A sign taken as seen is gone."""
        if sign in self.out.get("signs_seen", ()):
            self.out["signs_seen"].remove(sign)
            self.out.setdefault("signs_not_seen", []).append(sign)

    def fact(self, kind: str, name: str, value: Any) -> None:
        """Take a fact; the first one said of a thing stands."""
        if kind == "sign":
            seen, absent = (
                self.out.setdefault("signs_seen", []),
                self.out.setdefault("signs_not_seen", []),
            )
            if name not in seen and name not in absent:
                (seen if value else absent).append(name)
            elif value and name in absent:
                absent.remove(name)
                seen.append(name)
        elif kind == "history":
            history = self.out.setdefault("history", {})
            if history.setdefault(name, value) != value:
                self.differ(name, value)
        else:
            self.out.setdefault(name, value)


def seen_before(ears: Ears) -> tuple[str, ...]:
    looks = ears.case.observation if ears.case else ()
    return tuple(dict.fromkeys(sign for look in looks for sign in look.seen))


def has_phrase(said: str, phrases: frozenset[str]) -> bool:
    padded = f" {re.sub(r'[^a-zäöü0-9 ]', ' ', said)} "
    padded = re.sub(r"\s+", " ", padded)
    return any(f" {phrase} " in padded for phrase in phrases if len(phrase) > 3)


def rounded(number: float) -> float:
    return round(number, 4)
