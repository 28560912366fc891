"""The outcome of an assessment, as frozen models.

This is the published form: ``advisor assess --json`` prints exactly these
models, ``format`` names their version, and the JSON Schema is made from them.
Decibans are weights of evidence by judgement, not probabilities.
"""

# No postponed annotations in this file: pydantic evaluates them at once, and as text
# each would have to be compiled first, at every start.

from collections.abc import Callable
from functools import cache
from typing import Literal, ParamSpec, TypeVar, cast

from pydantic import BaseModel, ConfigDict

from advisor.rulebase.conditions import Value
from advisor.rulebase.entries import Standing, Strength, When
from advisor.rulebase.works import Citation

P = ParamSpec("P")
R = TypeVar("R")
FORMAT: Literal["advisor-assessment-1"] = "advisor-assessment-1"


class Result(BaseModel):
    """Base of every part of a result."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


def unchecked(kind: Callable[P, R]) -> Callable[P, R]:
    """``kind``, built of values of our own without pydantic checking them.

    mypy checks these calls; a test checks whole results. At a start the checker of each
    part would have to be built first, and every part takes half the time this way.
    Results read from a file are checked.
    """
    return cast("Callable[P, R]", _maker(cast("type[BaseModel]", kind)))


@cache
def _maker(kind: type[BaseModel]) -> Callable[..., BaseModel]:
    defaults = {name: field.default for name, field in kind.model_fields.items()}
    put = object.__setattr__  # the models are frozen
    names: dict[tuple[str, ...], set[str]] = {}  # and share what pydantic keeps of their making

    def made(**given: object) -> BaseModel:
        one = kind.__new__(kind)
        put(one, "__dict__", defaults | given)
        put(one, "__pydantic_fields_set__", names.setdefault(tuple(given), set(given)))
        put(one, "__pydantic_extra__", None)
        put(one, "__pydantic_private__", None)
        return one

    return made


class MatchedFact(Result):
    """A fact a rule matched: ``trace`` names the records it leads back to."""

    kind: str
    name: str
    value: Value


class Evidence(Result):
    """One rule that fired for or against a cause.

    decibans : signed weight
    counts   : False when a stronger rule of the same group stands for it
    """

    rule: str
    strength: Strength
    decibans: float
    counts: bool
    group: str | None
    because: str
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]
    known_problems: str | None = None


class CauseResult(Result):
    """A cause with its balance. ``decibans`` = ``prior`` + counted evidence.

    prior : starting odds on that day [decibans], lower while nothing speaks for the cause
    """

    id: str
    name: str
    standing: Standing
    decibans: float
    prior: float
    evidence_for: tuple[Evidence, ...]
    evidence_against: tuple[Evidence, ...]
    summary: str
    prove: str
    reportable: bool = False

    @property
    def is_likely(self) -> bool:
        """Whether it is likely or more."""
        return self.standing in ("likely", "very_likely")


class AmountResult(Result):
    """A worked-out quantity, or what is missing to work it out."""

    label: str
    value: float | None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    working: str = ""
    source: str = ""
    missing: tuple[str, ...] = ()


class CautionResult(Result):
    id: str
    text: str
    protects: Literal["people", "fish", "law"]
    always: bool
    sources: tuple[Citation, ...]


class ActionResult(Result):
    """Something to do. ``causes`` are those it was proposed for; empty for a duty or emergency."""

    id: str
    when: When
    text: str
    because: str
    emergency: bool
    step: Literal["rescue", "treatment", "comfort", "duty", "look"] = "comfort"
    authority: Literal["keeper", "vet", "official"]
    causes: tuple[str, ...]
    facts: tuple[MatchedFact, ...]
    amounts: tuple[AmountResult, ...]
    cautions: tuple[str, ...]
    sources: tuple[Citation, ...]


class Withheld(Result):
    """An action that would have been proposed, and what holds it back.

    by    : what kind of bar it is
    rival : the action it would undo
    moot  : it does not apply here, rather than being held back by a harm
    emergency : it was done in an emergency, and nobody has looked since
    """

    @property
    def shown(self) -> str:
        """The step as a person reads it: never an order."""
        return f"NOT NOW: {self.text}"

    action: str
    by: Literal["forbidden", "requires", "not_enough", "undoes", "done", "doubted"]
    rival: str | None = None
    moot: bool = False
    emergency: bool = False
    text: str
    because: str
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class VetResult(Result):
    id: str
    text: str
    because: str
    urgency: Literal["now", "today", "when_convenient"]
    who: Literal["vet", "authority", "lab"]
    prepare: tuple[str, ...]
    ask: tuple[str, ...]
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class NoticeResult(Result):
    id: str
    text: str
    because: str
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class FactResult(Result):
    """A fact of the case with its trace (see ``advisor.advice.facts.record``).

    ``within`` : it measures how far a bound is passed, and surely the bound is not passed
    """

    kind: str
    name: str
    label: str
    value: Value
    low: float | None = None
    high: float | None = None
    unit: str = ""
    how: str
    where: tuple[str, ...] = ()
    entered: str | None = None
    formula: str | None = None
    working: str | None = None
    inputs: tuple[str, ...] = ()
    source: str | None = None
    note: str | None = None
    within: bool = False


class FindingResult(Result):
    """A finding that held, and on which facts."""

    id: str
    name: str
    holds: bool
    because: str
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]
    certain: str | None = None


class Measure(Result):
    """A reading worth taking next, and the causes it would tell apart."""

    name: str
    label: str
    worth: float
    cost_seconds: float
    tells_apart: tuple[str, ...]
    how: str


class DoubtResult(Result):
    """Readings that something contradicts, to be taken again before any step on them."""

    id: str
    because: str
    readings: tuple[str, ...]
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class FitResult(Result):
    """One dimension in which the next water fits the fish, or does not, or is not known.

    of    : what is unfit: the water itself, the step into it, or the days in it
    kills : not known, it may kill: it is read before anyone goes in
    reads : readings that would tell; asks: history items that would
    """

    dimension: str
    name: str
    state: Literal["fit", "not_known", "not_fit"]
    of: Literal["water", "step", "days"]
    kills: bool
    because: str
    reads: tuple[str, ...]
    asks: tuple[str, ...]
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class WayResult(Result):
    """One way of moving the fish: taken, called for as well, barred, or not called for."""

    move: str
    name: str
    state: Literal["chosen", "called", "not_called", "barred"]
    because: str
    facts: tuple[MatchedFact, ...]
    sources: tuple[Citation, ...]


class MoveResult(Result):
    """The way chosen for fish that are not settled, and why not the others.

    hours_left   : of oxygen in the shut bag, foreseen [h]; None where it cannot be
    minutes      : afloat [min]
    would_change : what is not known, or unfit, that would change the choice
    """

    chosen: str
    name: str
    because: str
    hours_left: float | None
    hours_left_low: float | None
    hours_left_high: float | None
    minutes: float | None
    ways: tuple[WayResult, ...]
    would_change: tuple[str, ...]


class LotResult(Result):
    """The assessment of one lot at one time.

    day : in words, which day of its stay it is, and when it was looked at last if that is another
    """

    lot: str
    label: str
    kind_of_fish: str | None
    group: str | None
    phase: str
    headline: str
    not_enough: bool
    not_enough_because: str | None
    causes: tuple[CauseResult, ...]
    actions: tuple[ActionResult, ...]
    withheld: tuple[Withheld, ...]
    cautions: tuple[CautionResult, ...]
    vet: tuple[VetResult, ...]
    notices: tuple[NoticeResult, ...]
    measure_next: tuple[Measure, ...]
    facts: tuple[FactResult, ...]
    findings: tuple[FindingResult, ...]
    computed: tuple[FactResult, ...]
    place: str = "unknown"
    fit: tuple[FitResult, ...] = ()
    move: MoveResult | None = None
    doubts: tuple[DoubtResult, ...] = ()
    day: str = ""

    @property
    def urgent(self) -> bool:
        """Whether an emergency stands against it, or stood and nobody has looked since."""
        steps = any(action.emergency for action in self.actions)
        return steps or any(held.emergency for held in self.withheld)

    @property
    def urgency(self) -> tuple[bool, int]:
        """What lots are sorted by, the most urgent first."""
        return not self.urgent, -sum(action.when == "now" for action in self.actions)


class RuleBaseMark(Result):
    version: str
    fingerprint: str

    def __str__(self) -> str:
        return f"{self.version} ({self.fingerprint})"


class OpeningPlace(Result):
    """Place of a sealed lot in the order of opening, and the move of its fish.

    tied : nothing known sets it behind the one before
    """

    lot: str
    place: int
    because: str
    move: str | None = None
    tied: bool = False


class Assessment(Result):
    """Everything said about one delivery.

    remarks : what is odd in the case as written, and was taken as it stands
    """

    format: Literal["advisor-assessment-1"] = FORMAT
    program: str
    rulebase: RuleBaseMark
    title: str
    weights: str
    lots: tuple[LotResult, ...]
    opening_order: tuple[OpeningPlace, ...] = ()
    remarks: tuple[str, ...] = ()
