"""One entry of the rule base on the screen, in its own words and with what uses it."""

from __future__ import annotations

from typing import Any

from rich.console import Console

from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.load import conditions_of
from advisor.screens.words import condition_words
from advisor.wording.layout import styled
from advisor.wording.names import citation_words
from advisor.wording.numbers import exact

_SKIP = {"id", "file", "source", "when", "requires", "forbidden", "ask_when", "because", "amount"}


def show_entry(kind: str, entry: Any, base: RuleBase, console: Console) -> None:
    """Print an entry: its fields, its condition in words, its sources, and what uses it."""
    console.print(styled(f"{kind} {entry.id}", "bold") + styled(f"   rules/{entry.file}", "italic"))
    if getattr(entry, "because", None):
        console.print(styled(entry.because))
    for name, value in entry.model_dump(exclude_none=True, exclude_defaults=True).items():
        if name not in _SKIP and value not in ((), {}):
            console.print(styled(f"  {name.replace('_', ' ')}: {_value(value)}"))
    for later, condition in conditions_of(entry):
        node = conditions.read(condition, base.names, later=later)
        console.print(styled(f"  when: {condition_words(node, base)}"))
    for forbid in getattr(entry, "forbidden", ()):
        console.print(styled(f"  never, because: {forbid.because}"))
    for citation in getattr(entry, "source", ()):
        console.print(styled(f"  source: {citation_words(citation, base.sources)}", "italic"))
    if kind == "cause":
        _cause_rules(entry.id, base, console)


def _cause_rules(cause: str, base: RuleBase, console: Console) -> None:
    for word, pick in (("for", "supports"), ("against", "opposes")):
        mine = [rule for rule in base.rules.values() if getattr(rule, pick) == cause]
        console.print(styled(f" {word}:", "bold"))
        for rule in mine:
            node = conditions.read(rule.when, base.names)
            console.print(styled(f"  {rule.id} ({rule.strength}): {condition_words(node, base)}"))
    actions = [a for a in base.actions.values() if cause in a.needed_for]
    console.print(styled(" actions: ", "bold") + styled(", ".join(a.id for a in actions)))


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(
            f"{k} {exact(v)}" if isinstance(v, float) else f"{k} {v}" for k, v in value.items()
        )
    if isinstance(value, (list, tuple)):
        return ", ".join(str(v) for v in value)
    return exact(value) if isinstance(value, float) else str(value)
