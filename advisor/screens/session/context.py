"""What a prompt may use: the talk, the rules, the case so far, and lines with keys handled."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from advisor.advice.facts.sheet import FactSheet
from advisor.ask.answers.phrases import SignBook
from advisor.case import Case, Lot
from advisor.case.readings import Kit
from advisor.rulebase import RuleBase
from advisor.screens.session.talk import Talk


@dataclass
class Habits:
    """What was said once and holds from then on: kinds of kit, and what they count in."""

    kits: dict[str, Kit | None] = field(default_factory=dict)
    basis: dict[str, str] = field(default_factory=dict)
    hinted: bool = False


@dataclass
class Context:
    """One question being put.

    line   : the next line typed that is an answer; keys (?, b, s, ...) are handled inside
    misread: tells the session that a line could not be used
    again  : readings to be taken again although the case holds one
    """

    talk: Talk
    base: RuleBase
    book: SignBook
    case: Case
    lot: Lot
    sheet: FactSheet
    habits: Habits
    number: int
    about: str
    line: Callable[[], str]
    misread: Callable[[], None]
    drawn: bool = False
    again: frozenset[str] = frozenset()

    def complain(self, sentence: object) -> None:
        """Say what was not understood."""
        self.misread()
        self.talk.say(str(sentence))
