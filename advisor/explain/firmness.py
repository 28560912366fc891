"""How firm the advice stands: the form of the answer to ``advisor why --flip``."""

from __future__ import annotations

from typing import Literal

from advisor.advice.results import Result, RuleBaseMark

FORMAT: Literal["advisor-flip-1"] = "advisor-flip-1"


class Answer(Result):
    """One answer changed. ``open``: it is not known yet, so it may still turn out so.

    key : as ``--what-if`` takes it
    """

    key: str
    label: str
    was: str
    becomes: str
    open: bool


class Flip(Result):
    """The fewest changed answers that change the first cause or the first action.

    Each (before, after); None where it stays. ``verified``: a real run of
    the changed case gave the same.
    """

    answers: tuple[Answer, ...]
    first_cause: tuple[str, str] | None
    first_action: tuple[str, str] | None
    verified: bool


class Edge(Result):
    """Where a number changes the advice, and to what. ``at`` is the first value that does."""

    at: float
    first_cause: str
    first_action: str
    verified: bool


class Holds(Result):
    """The span of one number within which first cause and first action stay.

    now         : what it is; None for a reading not taken
    low, high   : the span; the end of the plausible range where there is no edge
    within_band : an edge lies inside the reading's own band: the kit cannot tell
    """

    name: str
    label: str
    unit: str
    now: float | None
    low: float
    high: float
    low_edge: Edge | None
    high_edge: Edge | None
    within_band: bool


class Firmness(Result):
    """What the first cause and the first action of a lot stand and fall with.

    margin    : decibans between the first cause and the second
    pairs     : asked only for what no single answer changes
    foreseen  : changes worked out by plain evaluation; ``ran``: real runs made to confirm
    disagreed : real runs that came out otherwise than foreseen
    """

    format: Literal["advisor-flip-1"] = FORMAT
    program: str
    rulebase: RuleBaseMark
    lot: str
    first_cause: str
    first_action: str
    second_cause: str
    margin: float
    holds: tuple[Holds, ...]
    singles: tuple[Flip, ...]
    pairs: tuple[Flip, ...]
    foreseen: int
    ran: int
    disagreed: int
