"""The form of an audit: statements, and the tables their chains lead into.

A statement names what was said and the grounds it stood on. Grounds hold the
comparisons that were made; each comparison names the fact, finding or cause it
was made with, and those stand once in the tables of the :class:`Audit`, however
many statements lead to them. ``advisor why --json`` prints exactly these models;
``format`` names their version.

Keys: a fact's are ``reading:tank_ph``, ``computed:ph_step``,
``sign:gasping_at_surface``, ``history:filter_state``, ``trait:marine``,
``phase:phase``; a finding's ``finding:limp``, a cause's ``cause:cold``, an
action's ``action:air_tank``. Limits and sources go by their ids.
"""

from __future__ import annotations

from typing import Literal

from advisor.advice.results import AmountResult, FactResult, Result, RuleBaseMark
from advisor.rulebase.conditions import Op, Value
from advisor.rulebase.entries import Strength
from advisor.rulebase.works import Citation, Passage

FORMAT: Literal["advisor-why-1"] = "advisor-why-1"

Kind = Literal[
    "cause", "action", "caution", "vet", "notice", "question", "finding", "rule", "fact",
    "move", "fit", "doubt",
]  # fmt: skip
#: Where a statement stands. "shown": on the screen; "held_back": an action with a bar;
#: "silent": nothing called for it; "holds", "fails", "open": a finding, rule or fact.
Verdict = Literal["shown", "held_back", "silent", "holds", "fails", "open"]


class Comparison(Result):
    """One comparison of a condition, and how it came out.

    kind, name : the fact compared, as conditions name it ("low" and "high" are
                 the ends of a reading's band, "known" whether it is known at all)
    op, asked  : the comparison; ``limit`` is the id of the number's entry
    found      : the value compared; None when it is not known
    holds      : None when that cannot be told
    short_by   : how far a number missed, in the fact's unit; for a standing in decibans
    key        : entry of the audit's tables it rests on; None for a fact not known
    """

    kind: str
    name: str
    op: Op
    asked: Value
    limit: str | None = None
    found: Value | None = None
    holds: bool | None
    short_by: float | None = None
    key: str | None = None


class ConditionGround(Result):
    """A condition that held, or the alternative of it that came nearest to holding.

    entry : its engine id, such as ``rule:nh3-high`` or ``forbid:feed:2``
    also  : other alternatives: those that held too, or the other ways it could have held
    """

    entry: str
    because: str
    holds: bool | None
    compared: tuple[Comparison, ...]
    also: tuple[tuple[Comparison, ...], ...] = ()
    sources: tuple[Citation, ...] = ()
    file: str = ""


class Weighed(ConditionGround):
    """A rule's condition with the weight it brings, or would have brought.

    stretched_to : fish it speaks of beyond those of its sources, which is judgement
    exception    : why it may be stronger than its sources carry
    """

    rule: str
    cause: str
    strength: Strength
    decibans: float
    counts: bool
    group: str | None = None
    known_problems: str | None = None
    stretched_to: str | None = None
    exception: str | None = None


class Balance(Result):
    """How a cause's figure came about, in decibans (judgement, not probability)."""

    phase: str
    prior: float
    for_it: float
    against_it: float
    total: float
    place: int


class Statement(Result):
    """One thing that was said, or was not said, and why.

    text, because : the rule base's own words
    word          : the standing of a cause, the time of an action, else empty
    grounds       : what called for it (for a silent one: what came nearest)
    evidence_for, evidence_against : of a cause
    bars          : what holds an action back
    missing       : rules for a cause (or waiting for a reading) that did not fire
    leads_to      : ids of what rests on it: a caution's actions, a finding's rules
    """

    kind: Kind
    id: str
    verdict: Verdict
    text: str
    because: str = ""
    word: str = ""
    balance: Balance | None = None
    grounds: tuple[ConditionGround, ...] = ()
    evidence_for: tuple[Weighed, ...] = ()
    evidence_against: tuple[Weighed, ...] = ()
    bars: tuple[ConditionGround, ...] = ()
    missing: tuple[Weighed, ...] = ()
    amounts: tuple[AmountResult, ...] = ()
    leads_to: tuple[str, ...] = ()
    always: bool = False
    sources: tuple[Citation, ...] = ()
    file: str = ""


class FactTrace(Result):
    """A fact, what it was worked out from (keys), and what its meaning rests on."""

    fact: FactResult
    rests_on: tuple[str, ...] = ()
    sources: tuple[Citation, ...] = ()


class LimitTrace(Result):
    """A number with a meaning, as a condition used it."""

    id: str
    value: float
    unit: str
    meaning: str
    published: str | None = None
    exposure: str | None = None
    applies_to: str | None = None
    sources: tuple[Citation, ...]


class SourceTrace(Result):
    """A work cited, how much of it was seen, and what the cited places say in our words."""

    id: str
    citation: str
    where: str = ""
    seen: str = ""
    passages: tuple[Passage, ...] = ()


class Standing(Result):
    """How a saved assessment and today's stand to each other, for one cause."""

    cause: str
    name: str
    then: str
    now: str
    decibans_then: float | None
    decibans_now: float | None


class Moved(Result):
    """What moved since a saved assessment.

    same_rules, same_program, same_inputs : None when the saved form does not say
    reproduced : the result is the same to the last character; None when not to be expected
    """

    made: str
    program: str
    rulebase: RuleBaseMark
    same_rules: bool
    same_program: bool
    same_inputs: bool | None
    reproduced: bool | None
    standings: tuple[Standing, ...]
    actions_new: tuple[str, ...]
    actions_gone: tuple[str, ...]


class Audit(Result):
    """Statements about one lot with everything their chains lead to.

    statements : what was asked for
    below      : the findings, causes and actions they rest on, by key
    """

    format: Literal["advisor-why-1"] = FORMAT
    program: str
    rulebase: RuleBaseMark
    title: str
    lot: str
    label: str
    phase: str
    weights: str
    not_enough: str | None
    statements: tuple[Statement, ...]
    below: dict[str, Statement]
    facts: dict[str, FactTrace]
    limits: dict[str, LimitTrace]
    sources: dict[str, SourceTrace]
    moved: tuple[Moved, ...] = ()
