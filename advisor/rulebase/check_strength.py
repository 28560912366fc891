"""How strong a rule may be is bounded by what carries it.

    decisive    a measurement or a definition by law or standard, seen where it is printed
    strong      that, or a controlled or repeated finding, seen; something told alike by two
                works that were seen; or worked out from a measurement
    supporting  a report or common teaching, seen or worked out; a practice of the trade
    weak        anything

``seen`` is a basis of read, abstract or opening. What is worked out from a passage
(``derived``) carries one step less than what stands there. A rule that is stronger says by
its ``exception`` why; one whose passages speak of some kinds only, and not of all the rule
or its cause speaks of, says whom it is ``stretched_to``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from advisor.rulebase.base import RuleBase
from advisor.rulebase.entries import Rule, Strength
from advisor.rulebase.remarks import Remark, fault
from advisor.rulebase.works import ANY_KIND, Citation

SEEN = frozenset({"read", "abstract", "opening"})
WORDS: tuple[Strength, ...] = get_args(Strength)
#: What a passage that nobody opened may show: somebody's account, or what is taught.
TOLD = frozenset({"reported", "taught"})
#: So many works that tell the same are a repeated finding.
ALIKE = 2
#: What a passage shows -> the strongest word it carries where it was seen.
CARRIES: dict[str, Strength] = {
    "measured": "decisive",
    "defined": "decisive",
    "trial": "strong",
    "repeated": "strong",
    "reported": "supporting",
    "taught": "supporting",
}
#: The same for what is worked out from the passage.
DERIVED: dict[str, Strength] = {
    "measured": "strong",
    "defined": "strong",
    "trial": "supporting",
    "repeated": "supporting",
    "reported": "supporting",
    "taught": "supporting",
}


def strength_remarks(base: RuleBase) -> Iterator[Remark]:
    """Rules stronger or wider than what carries them, and citations that contradict a passage."""
    for rule in base.rules.values():
        yield from _too_strong(rule, base)
        yield from _too_wide(rule, base)
    yield from _unlike_passages(base)


def rests_on_read(rule: Rule, base: RuleBase) -> bool:
    """Whether a passage somebody opened says it, or it is worked out from one."""
    return any(_seen(cited, base) for cited in rule.source)


def carried(rule: Rule, base: RuleBase) -> Strength:
    """The strongest word that one of its citations carries, or two works together."""
    words = [_carries(cited, base) for cited in rule.source]
    telling = {
        passage.ref
        for cited in rule.source
        if cited.basis != "derived" and (passage := base.passage(cited)) is not None
        if passage.basis in SEEN
    }
    if len(telling) >= ALIKE:
        words.append("strong")
    return max(words, key=WORDS.index)


def _seen(cited: Citation, base: RuleBase) -> bool:
    passage = base.passage(cited)
    how = cited.basis if passage is None else passage.basis
    return how in SEEN


def _carries(cited: Citation, base: RuleBase) -> Strength:
    passage = base.passage(cited)
    if passage is None:
        undescribed = cited.basis in SEEN or cited.basis in ("derived", "practice")
        return "supporting" if undescribed else "weak"
    if passage.basis not in SEEN:
        return "weak"
    return (DERIVED if cited.basis == "derived" else CARRIES)[passage.shows]


def _too_strong(rule: Rule, base: RuleBase) -> Iterator[Remark]:
    bound = carried(rule, base)
    over = WORDS.index(rule.strength) > WORDS.index(bound)
    if over and rule.exception is None:
        text = f"is {rule.strength}, but its sources carry no more than {bound}; give a better "
        yield fault(
            "rule", rule, text + "source, a lower strength, or an exception with its reason"
        )
    if not over and rule.exception is not None:
        yield fault("rule", rule, "gives an exception, but its sources carry its strength")


def _too_wide(rule: Rule, base: RuleBase) -> Iterator[Remark]:
    passages = [p for p in (base.passage(c) for c in rule.source) if p is not None]
    if not passages:
        return
    # what alone carries so strong a word says of whom it holds; else all of them together
    enough = WORDS[WORDS.index(rule.strength) :]
    carrying = [base.passage(c) for c in rule.source if _carries(c, base) in enough]
    passages = [p for p in carrying if p is not None] or passages
    spoken = {kind for passage in passages for kind in passage.kinds}
    struck = rule.kinds or base.causes[rule.supports or rule.opposes or ""].kinds
    wide = ANY_KIND not in spoken and not set(struck) <= spoken
    if wide and rule.stretched_to is None:
        text = f"its sources speak of {', '.join(sorted(spoken))} only; say whom it is stretched_to"
        yield fault("rule", rule, text)
    if rule.stretched_to is not None and not wide:
        yield fault("rule", rule, "says stretched_to, but its sources speak of all it can strike")


def _unlike_passages(base: RuleBase) -> Iterator[Remark]:
    """A citation may be derived from its passage, but not be read further than it was."""
    for told in base.passages.values():
        if told.basis not in SEEN and told.shows not in TOLD:
            text = f"shows {told.shows}, but is known by {told.basis} only: say reported or taught"
            yield fault("passage", told, text)
    for rule in base.rules.values():
        for cited in rule.source:
            passage = base.passage(cited)
            if passage is not None and cited.basis not in (passage.basis, "derived"):
                text = f"cites {passage.id} as {cited.basis}; the passage says {passage.basis}"
                yield fault("rule", rule, text)


def by_passage(base: RuleBase) -> dict[str, int]:
    """How many rules rest on something opened, and how many citations are described."""
    cited = [c for rule in base.rules.values() for c in rule.source]
    return {
        "rules on something read": sum(rests_on_read(r, base) for r in base.rules.values()),
        "citations described": sum(base.passage(c) is not None for c in cited),
        "citations": len(cited),
    }
