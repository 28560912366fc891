"""One entry of the rule base on the screen, in its own words and with what uses it."""

from __future__ import annotations

from typing import Any

from rich.console import Console

from advisor.rulebase import RuleBase
from advisor.rulebase.base import GROUNDS
from advisor.rulebase.cited_words import (
    SHOWS,
    citation_words,
    exception_words,
    passage_words,
    stretched_words,
)
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.works import Citation
from advisor.screens.condition_words import condition_words
from advisor.screens.figure_words import figure_words
from advisor.screens.show_sources import show_source
from advisor.wording.layout import hanging, styled
from advisor.wording.numbers import exact

#: Parts of an entry that hold a reason and a condition each.
WORDS = {"forbidden": "NEVER", "calls": "called for", "bars": "BARRED"}
PROOF = {
    "sure": "surely so: holds back a rescue too, where another way out stands",
    "possible": "possibly so: holds back a treatment, never a rescue",
    "moot": "of no use here",
    "missing": "not known yet",
    "people": "people are in danger",
}
#: Conditions of an entry, and how each is called.
WHEN = {
    "when": "when",
    "requires": "only when",
    "ask_when": "asked when",
    "opening_when": "among the first when",
    "fits": "fits when",
    "kills_when": "may kill when",
    "emergency_when": "an emergency when",
}
#: Words of a rule that say how far it goes beyond its sources.
RULE_WORDS = {"exception": exception_words, "stretched_to": stretched_words}
_SKIP = {*GROUNDS, *WHEN, "id", "file", "source", "because", "amount"}


def show_entry(kind: str, entry: Any, base: RuleBase, console: Console) -> None:
    """Print an entry: its fields, its condition in words, its sources, and what uses it."""
    console.print(styled(f"{kind} {entry.id}", "bold") + styled(f"   rules/{entry.file}", "italic"))
    if getattr(entry, "because", None):
        hanging("", styled(entry.because), console)
    for name, value in entry.model_dump(exclude_none=True, exclude_defaults=True).items():
        if kind == "rule" and name in RULE_WORDS:
            hanging("  ", styled(RULE_WORDS[name](value)), console)
        elif name == "stretched_to":
            hanging("  ", styled(stretched_words(_value(value))), console)
        elif name not in _SKIP and value not in ((), {}):
            hanging(f"  {name.replace('_', ' ')}: ", styled(_value(value)), console)
    if getattr(entry, "amount", None):
        hanging("  amount: ", styled(figure_words(entry.amount, base)), console)
    for name, lead in WHEN.items():
        condition = getattr(entry, name, None)
        if isinstance(condition, dict) and condition:
            said = condition_words(read_condition(condition, base.names, later=True), base)
            hanging(f"  {lead}: ", styled(said), console)
    for name in GROUNDS:
        for ground in getattr(entry, name, ()):
            said = condition_words(read_condition(ground.when, base.names, later=True), base)
            hanging(f"  {WORDS.get(name, name)}: ", styled(ground.because), console)
            hanging("    when: ", styled(said), console)
            proof = getattr(ground, "proof", "")
            if proof:
                console.print(styled(f"    proof: {PROOF.get(proof, proof)}"))
            for citation in ground.source:
                _show_citation(citation, base, console, "    ")
    for citation in getattr(entry, "source", ()):
        _show_citation(citation, base, console, "  ")
    if kind == "cause":
        _cause_rules(entry.id, base, console)
    if kind == "source":
        show_source(entry, base, console)


def _show_citation(citation: Citation, base: RuleBase, console: Console, margin: str) -> None:
    """A source, and under it what the cited place says in our words and where it was seen."""
    said = citation_words(citation, base.sources)
    hanging(f"{margin}source: ", styled(said, "italic"), console)
    passage = base.passage(citation)
    if passage is not None:
        said = f"{passage_words(passage)} ({SHOWS[passage.shows]})"
        hanging(f"{margin}  says: ", styled(said), console)
    work = base.sources.get(citation.ref)
    if work is not None and work.where:
        seen = f" ({work.seen})" if work.seen else ""
        # an address broken over two lines cannot be followed
        console.print(styled(f"{margin}  where: {work.where}{seen}"), soft_wrap=True)


def _cause_rules(cause: str, base: RuleBase, console: Console) -> None:
    for word, pick in (("for", "supports"), ("against", "opposes")):
        mine = [rule for rule in base.rules.values() if getattr(rule, pick) == cause]
        console.print(styled(f" {word}:", "bold"))
        for rule in mine:
            node = read_condition(rule.when, base.names)
            said = condition_words(node, base)
            hanging("  - ", styled(f"{rule.id} ({rule.strength}): {said}"), console)
    actions = [a for a in base.actions.values() if cause in a.needed_for]
    hanging(" actions: ", styled(", ".join(a.id for a in actions)), console)


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(
            f"{k} {exact(v)}" if isinstance(v, float) else f"{k} {v}" for k, v in value.items()
        )
    if isinstance(value, (list, tuple)):
        return ", ".join(str(v) for v in value)
    return exact(value) if isinstance(value, float) else str(value)
