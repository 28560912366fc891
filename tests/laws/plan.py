"""One lot's published advice, read by its shown words.

``Plan.orders("warm")`` answers with the lines that order it. What an action is called plays no
part, so a renamed action cannot slip past; "no food" feeds nobody, and a NOT NOW line orders
nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tests.laws.clauses import Clause, clauses, sentences
from tests.laws.verbs import matches


@dataclass(frozen=True)
class Line:
    """One shown step; ``at`` counts from 0."""

    at: int
    text: str
    when: str = "now"
    emergency: bool = False
    because: str = ""
    amounts: tuple[Mapping[str, Any], ...] = ()

    @cached_property
    def parts(self) -> tuple[Clause, ...]:
        return clauses(self.text)

    @cached_property
    def _joined(self) -> dict[str, list[str]]:
        """Clauses of one mood within each sentence, joined again: object and goal may be apart."""
        found: dict[str, list[str]] = {"order": [], "if": [], "forbid": []}
        for sentence in sentences(self.text):
            for mood, texts in found.items():
                some = [c.text for c in clauses(sentence) if c.mood == mood]
                texts.extend(some)
                if len(some) > 1:
                    texts.append(", ".join(some))
        return found

    def orders(self, verb: str, conditional: bool = False) -> bool:
        moods = ("order", "if") if conditional else ("order",)
        return any(matches(verb, text) for mood in moods for text in self._joined[mood])

    def forbids(self, verb: str) -> bool:
        """Whether the line says not to do it. Verbs may be conjugated: "nobody nets them"."""
        for text in self._joined["forbid"]:
            plain = _without_not(text)
            if matches(verb, plain) or matches(verb, text):
                return True
            bare = re.sub(r"\b(\w{2,}[^s\W])s\b", r"\1", plain)
            if re.search(r"\b(nobody|no one)\b", self.text, re.I) and matches(verb, bare):
                return True
        return False

    def stands(self, verb: str) -> bool:
        """Whether any clause, order or prohibition as it stands, matches ("no food")."""
        return any(matches(verb, text) for texts in self._joined.values() for text in texts)


@dataclass(frozen=True)
class Plan:
    """What is shown for one lot: steps in order, held steps, notices, cautions, vet lines."""

    lines: tuple[Line, ...]
    held: tuple[Line, ...] = ()
    asides: tuple[str, ...] = ()
    vet: tuple[str, ...] = ()
    headline: str = ""
    causes: tuple[tuple[str, str], ...] = ()
    not_enough: bool = False
    measure_next: tuple[str, ...] = ()

    def orders(self, verb: str, first: int | None = None, conditional: bool = False) -> list[Line]:
        """The lines, of the first ``first`` ones if given, that order ``verb``."""
        return [line for line in self.lines[:first] if line.orders(verb, conditional)]

    def any_of(self, *verbs: str, first: int | None = None, conditional: bool = False) -> bool:
        return any(self.orders(verb, first, conditional) for verb in verbs)

    def forbids(self, verb: str, first: int | None = None) -> list[Line]:
        """The lines that say not to do it."""
        return [line for line in self.lines[:first] if line.forbids(verb)]

    def holds(self, verb: str) -> list[Line]:
        """The NOT NOW lines whose held step is ``verb``."""
        return [line for line in self.held if line.orders(verb, conditional=True)]

    def place_of(self, *verbs: str, conditional: bool = False) -> int | None:
        """Where the first line stands that orders any of ``verbs``; None if none does."""
        at = [line.at for v in verbs for line in self.orders(v, conditional=conditional)]
        return min(at, default=None)

    def says(self, pattern: str) -> bool:
        """Whether any shown word, of steps, notices, cautions or vet lines, matches."""
        shown = (*(line.text for line in self.lines), *self.asides, *self.vet)
        return any(re.search(pattern, text, re.IGNORECASE) for text in shown)

    @property
    def emergency(self) -> bool:
        return any(line.emergency for line in self.lines)

    @property
    def top_causes(self) -> tuple[str, ...]:
        return tuple(name for name, _ in self.causes[:3])


def plan_of(result: Mapping[str, Any]) -> Plan:
    """The plan in one entry of ``lots`` of the published JSON result."""
    return Plan(
        lines=tuple(_line(at, step) for at, step in enumerate(result.get("actions", ()))),
        held=tuple(_line(at, step) for at, step in enumerate(result.get("withheld", ()))),
        asides=tuple(
            part["text"] for name in ("notices", "cautions") for part in result.get(name, ())
        ),
        vet=tuple(part["text"] for part in result.get("vet", ())),
        headline=result.get("headline") or "",
        causes=tuple((c["id"], c["standing"]) for c in result.get("causes", ())),
        not_enough=bool(result.get("not_enough")),
        measure_next=tuple(
            part.get("label") or part.get("name", "") for part in result.get("measure_next", ())
        ),
    )


#: What shuts off one of several named sources: a hand's turn, that makes no other one late.
_STOPS = (
    "cut_power", "stop_hose", "stop_co2", "stop_source", "stop_gas", "stop_heater",
    "unplug_heater", "stop_filter",
)  # fmt: skip


def soon(p: Plan, *verbs: str, first: int) -> bool:
    """Whether ``verbs`` are ordered early, not counting lines that shut off another source."""
    counted = [
        line
        for line in p.lines
        if any(line.orders(v) for v in verbs)
        or not any(line.orders(v, conditional=True) for v in _STOPS)
    ]
    return any(line.orders(v) for line in counted[:first] for v in verbs)


def written(*steps: str | Line, held: Sequence[str] = (), **more: Any) -> Plan:
    """A plan from plain sentences, for tests. A leading ``!`` is the word emergency."""
    lines = [
        Line(at, s.lstrip("!"), emergency=s.startswith("!")) if isinstance(s, str) else s
        for at, s in enumerate(steps)
    ]
    return Plan(tuple(lines), tuple(Line(at, s) for at, s in enumerate(held)), **more)


def _line(at: int, step: Mapping[str, Any]) -> Line:
    text = step.get("text") or step.get("action") or ""
    return Line(
        at,
        text,
        step.get("when") or "now",
        bool(step.get("emergency")),
        step.get("because") or "",
        tuple(step.get("amounts", ())),
    )


def _without_not(text: str) -> str:
    """A forbidding clause without its "not", so that its verb stands as in a command."""
    text = re.sub(r"\b(do not|don't|never|not|nobody|no one|without|avoid|cannot)\b ?", "", text)
    return re.sub(r"^no |\bno ", "", text).strip()
