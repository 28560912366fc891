"""Emergencies stand on the screen: shown once in full, then as one line until done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from advisor.advice.results import ActionResult
from advisor.case import Case, Lot
from advisor.screens.session.talk import Talk

_MOST_REMINDED = 3
#: A reminder is cut at a comma when longer than this.
_SHORT = 60


@dataclass
class Standing:
    """shown: action -> its text; gone: actions done; called_for: those that still hold."""

    shown: dict[str, str] = field(default_factory=dict)
    gone: set[str] = field(default_factory=set)
    called_for: set[str] = field(default_factory=set)

    def open(self) -> list[tuple[str, str]]:
        """(action, short text) of everything shown, still called for and not done."""
        return [
            (action, short(text))
            for action, text in self.shown.items()
            if action in self.called_for and action not in self.gone
        ]

    def done(self, action: str) -> None:
        self.gone.add(action)


def short(text: str) -> str:
    """The first order of an action: up to its first stop or dash."""
    for stop in (". ", " - ", ": "):
        text = text.split(stop)[0]
    if len(text) > _SHORT and "," in text[:_SHORT]:
        text = text[: text.rindex(",", 0, _SHORT)]
    return text.strip(" .,")


def announce(
    talk: Talk,
    standing: Standing,
    found: Sequence[tuple[str, ActionResult]],
    lots: Mapping[str, Lot],
    case: Case,
) -> None:
    """Show each emergency the moment it becomes certain, for whichever lots it holds."""
    by_action: dict[str, list[str]] = {}
    texts: dict[str, ActionResult] = {}
    for lot, action in found:
        by_action.setdefault(action.id, []).append(lot)
        texts[action.id] = action
    standing.gone |= {action for look in case.observation for action in look.done}
    standing.called_for = set(by_action)
    for name, where in by_action.items():
        if name in standing.shown:
            continue
        action = texts[name]
        standing.shown[name] = action.text
        if name in standing.gone:
            continue
        which = "" if len(where) == len(lots) else f" ({', '.join(where)})"
        talk.say()
        talk.say(f"!! DO NOW{which}: {action.text}", hang=3, strong=True)
        talk.say(action.because, indent=3)
        for amount in action.amounts:
            if amount.value is not None:
                talk.say(f"{amount.label}: {amount.value:.3g} {amount.unit}", indent=3)
        talk.say("(d when done)", indent=3)


def remind(talk: Talk, standing: Standing) -> None:
    """One line for each emergency that is not done yet."""
    waiting = standing.open()
    if not waiting:
        return
    talk.say()
    if len(waiting) == 1:
        talk.say(f"!! Still to do now: {waiting[0][1]} (d = done)", hang=3, strong=True)
        return
    parts = [f"{at} {text}" for at, (_, text) in enumerate(waiting[:_MOST_REMINDED], 1)]
    more = f"; and {len(waiting) - _MOST_REMINDED} more" if len(waiting) > _MOST_REMINDED else ""
    talk.say(f"!! Still to do now: {'; '.join(parts)}{more} (d 1 = done)", hang=3, strong=True)
