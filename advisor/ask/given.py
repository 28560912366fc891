"""Answers of this sitting, so that one that was taken back can be shown and kept."""

from __future__ import annotations

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from advisor.ask.answered import NOT_KNOWN, answers
from advisor.ask.answers.replies import Reply, Unknown
from advisor.case import Case
from advisor.rulebase import RuleBase


@dataclass(frozen=True)
class GivenAnswer:
    """A reply with what its line told besides; ``words`` as the case kept it.

    reply : None for an answer of an earlier sitting, which the case alone holds
    """

    reply: Reply | None
    told: tuple[dict[str, Any], ...]
    words: str = ""


@dataclass
class GivenAnswers:
    """Replies by the key of their question, and those that were taken back by "b"."""

    _given: dict[str, GivenAnswer] = field(default_factory=dict)
    _order: list[tuple[Case, str]] = field(default_factory=list)
    _back: dict[str, GivenAnswer] = field(default_factory=dict)

    def note(self, key: str, reply: Reply, told: Sequence[dict[str, Any]], case: Case) -> None:
        """A reply that made ``case``."""
        self._back.pop(key, None)
        self._order.append((case, key))
        self._given[key] = GivenAnswer(reply, tuple(deepcopy(list(told))))

    def take_back(self, newer: Case, older: Case, base: RuleBase) -> None:
        """The answers that made ``newer`` of ``older`` are to be asked anew."""
        keys = {key for case, key in self._order if case is newer}
        keys = keys or set(newer.session.answered) - set(older.session.answered)
        kept = {each.key: each.kept for each in answers(newer, base)}
        for key in keys & set(self._given):
            given = self._given.pop(key)
            if not isinstance(given.reply, Unknown):
                self._back[key] = GivenAnswer(given.reply, given.told, kept.get(key, ""))

    def on_file(self, key: str, case: Case, base: RuleBase) -> None:
        """The answer a case holds is offered to be kept."""
        kept = {each.key: each.kept for each in answers(case, base)}
        if kept.get(key, NOT_KNOWN) != NOT_KNOWN:
            self._back[key] = GivenAnswer(None, (), kept[key])

    def taken_back(self, key: str) -> GivenAnswer | None:
        """The answer of that key that was taken back and not given anew."""
        return self._back.get(key)
