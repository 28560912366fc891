"""What a rule base is made of. Every kind of entry in ``rules/*.toml`` has its model here.

Each entry says in its own words why it holds (``because``) and on what it
rests (``source``); works, passages and citations stand in :mod:`advisor.rulebase.works`.
"""

# No postponed annotations in this file: pydantic evaluates them at once, and as text
# each would have to be compiled first, at every start.

from typing import Annotated, Any, Literal

from pydantic import Field, FiniteFloat

from advisor.rulebase.works import (
    ANY_KIND,
    Citation,
    Entry,
    Id,
    Sourced,
    Text,
)

Phase = Literal["arrival", "day_2_4", "day_5_14"]
Strength = Literal["weak", "supporting", "strong", "decisive"]
Standing = Literal["unlikely", "possible", "likely", "very_likely"]
When = Literal["now", "within_hour", "today", "until_48h", "quarantine"]
Condition = dict[str, Any]  # checked and compiled by advisor.rulebase.conditions


class Limit(Sourced):
    """A number with a meaning, used by name in conditions. ``value`` is in ``unit``.

    ``published`` keeps the figure as printed when it was converted. ``says`` puts in our
    words what the cited works say, ``scope`` of what they say it: kind, stage, water.
    ``independent_works`` is how many of them carry the figure without leaning on each
    other: 0, 1 or 2 (two or more). A limit that decides a rescue or a dose must say it.
    """

    parameter: Text
    value: FiniteFloat
    unit: Text
    meaning: Text
    published: str | None = None
    exposure: str | None = None
    applies_to: str | None = None
    says: str | None = None
    scope: str | None = None
    independent_works: Annotated[int, Field(ge=0, le=2)] | None = None


class Sign(Sourced):
    """Something one can see. ``look_for`` is one line; ``phrases`` are how people say it.

    ``scope``: fish (seen on or in a fish), pattern (who, when, in which order),
    water (seen in the tank or bag). ``look``: what it takes - a glance, a close
    look, a gill look, or a memory of what happened. ``needs_flow``: only where water or
    air flows in, which no shut bag has: there it is not offered. ``ends``: signs that fish
    no longer show when a later look says this of them, and that end this one if seen later.
    ``from_phase``: what it tells of the day where nobody can say how long ago the fish came.
    """

    name: Text
    look_for: Text
    scope: Literal["fish", "pattern", "water"] = "fish"
    look: Literal["glance", "close", "gills", "memory"] = "glance"
    needs_flow: bool = False
    ends: tuple[str, ...] = ()
    from_phase: Phase | None = None
    phrases: tuple[str, ...] = ()


class HistoryItem(Sourced):
    """A fact of the journey, the tank or the last days, asked or read from the case.

    ``field`` is its place in the case (default ``history.<id>``; ``lot.x`` is a
    field of the lot at hand, ``lot.history.x`` its own history).
    ``added`` are words of substances put into the receiving water that say yes.
    ``answers`` are the allowed words (default yes, no); ``number`` marks a number.
    ``of_tank`` marks what is said of the tank's water: of fish that have not met it, it
    speaks for the move alone and never for or against a cause.
    """

    name: Text
    field: str | None = None
    added: tuple[str, ...] = ()
    answers: tuple[str, ...] = ("yes", "no")
    number: bool = False
    unit: str | None = None
    of_tank: bool = False


class QuantityEntry(Sourced):
    """A number the rules may ask for: a reading, or a value computed in advisor.advice.facts.

    ``low`` and ``high`` bound what is possible. ``water`` names the water it was
    measured in; computed values have none. ``phases`` says when it can be read,
    if not always, ``kit`` the history item that says whether there is something to read it
    with. An ``excess`` is how far a bound is passed: below zero, it is not.
    The formula stands with the code.
    """

    name: Text
    unit: Text
    low: FiniteFloat
    high: FiniteFloat
    kind: Literal["reading", "computed"]
    water: Literal["bag", "tank", "tap"] | None = None
    parameter: str | None = None
    kit: Id | None = None
    cost_seconds: Annotated[FiniteFloat, Field(ge=0)] = 0
    how_to_read: str | None = None
    phases: tuple[Phase, ...] = ()
    excess: bool = False

    def at_hand(self, phase: str) -> bool:
        """Whether it can still be read at this time after arrival; bag water is gone in a day."""
        return not self.phases or phase in self.phases


class Finding(Sourced):
    """A named conclusion other rules reuse, e.g. breathing distress.

    ``certain``: what may stand at the head of a plan while the cause cannot be told yet.
    """

    name: Text
    because: Text
    when: Condition
    certain: Text | None = None


class Cause(Sourced):
    """A cause of trouble. ``prior`` gives its starting weight in decibans by day (judgement).

    ``first_action`` groups causes by the direction of what one would do first;
    two close causes of different directions make "not enough to tell". ``kinds`` are the
    fish it can strike, named as passages name them.
    """

    name: Text
    summary: Text
    prior: dict[Phase, FiniteFloat]
    direction: Text
    kind: Literal["water", "journey", "handling", "infection", "reportable", "other"]
    prove: Text  # what would confirm it
    infectious: bool = False
    reportable: bool = False
    kinds: tuple[Text, ...] = (ANY_KIND,)


class Rule(Sourced):
    """One piece of evidence for or against one cause.

    Exactly one of ``supports`` and ``opposes`` is given. Of rules sharing a
    ``group`` for one cause only the strongest counts on each side. ``counts_with``
    names rules of the cause that fire whenever this one does: it sees more than they
    do, and both are meant to count. ``kinds`` are the fish its
    condition picks out, where they are not all its cause can strike.
    ``stretched_to`` names the fish it speaks of beyond
    those of its passages, which is judgement; ``exception`` says why it may be stronger
    than they allow (see ``advisor.rulebase.check_strength``).
    """

    supports: Id | None = None
    opposes: Id | None = None
    strength: Strength
    group: Id | None = None
    counts_with: tuple[Id, ...] = ()
    because: Text
    known_problems: str | None = None
    kinds: tuple[Text, ...] = ()
    stretched_to: Text | None = None
    exception: Text | None = None
    when: Condition


class Ground(Entry):
    """A condition with what it means and what that rests on."""

    when: Condition
    because: Text
    source: Annotated[tuple[Citation, ...], Field(min_length=1)]


class Forbid(Ground):
    """What forbids an action. Stronger than any ranking.

    proof : "sure" harm, or only a "possible" one. A rescue is held back by sure and
            greater harm alone, and never when it is the last way out; a treatment by
            either. "people" are in danger, the step is "moot" here, or something that
            it rests on is "missing" (not read, not said): these always hold
    """

    proof: Literal["sure", "possible", "moot", "people", "missing"] = "possible"


class Figure(Entry):
    """A worked-out quantity: ``formula`` names one of the amounts, ``given`` its numbers."""

    formula: Text
    given: dict[str, FiniteFloat | str] = Field(default_factory=dict)


class Amount(Figure):
    """What a step is done with; ``beside`` a second figure, as litres of a tub with hours in it."""

    beside: Figure | None = None


class Action(Sourced):
    """Something to do. The text is an order a wet-handed person can follow.

    needed_for : causes it helps with; it is proposed when one of them is at least likely
    when       : or when this holds, whatever the ranking (an emergency, a duty)
    time       : when to do it
    emergency  : shown the moment it is certain
    gentle     : may be advised while there is not enough to tell: it can be undone
    requires   : must be surely true, else the action is withheld until it is known
    requires_because: said when it is withheld for that reason
    forbidden  : conditions that forbid it
    order      : place among actions of the same time, small first
    step       : rescue (a way out of present harm), treatment, comfort, duty or look
    emergency_when : an emergency only where this holds: they fail now or within minutes
    once       : not said again once it stands among what was done
    in_tank    : it is about the tank they live in; for fish in a bag or tub it says nothing
    whole_tank : it is done to the tank or the house: done for one lot it is done for all
    variant_of : the action of which it is the wording for another place
    puts       : where the fish are once it is done, when it moves them
    one_bag    : it empties one bag of a lot; the lot's other bags stay as they were
    among_emergencies : "stop" shuts off what kills by the second, "way" helps whoever fails in
                 that water, "after" may follow three ways: it stops what adds to it, or helps one
    before     : steps that it stands before, such as a sample before what changes the water
    despite_doubt : done though the reading it rests on is in doubt: needless, it harms nobody
    """

    text: Text
    because: Text
    time: When
    needed_for: tuple[Id, ...] = ()
    at_standing: Standing = "likely"
    when: Condition | None = None
    step: Literal["rescue", "treatment", "comfort", "duty", "look"] = "comfort"
    emergency: bool = False
    emergency_when: Condition | None = None
    once: bool = False
    gentle: bool = False
    requires: Condition | None = None
    requires_because: str | None = None
    forbidden: tuple[Forbid, ...] = ()
    cautions: tuple[Id, ...] = ()
    amount: Amount | None = None
    undoes: tuple[Id, ...] = ()
    in_tank: bool = False
    whole_tank: bool = False
    variant_of: Id | None = None
    puts: Literal["open_bag", "tub", "tank"] | None = None
    one_bag: bool = False
    among_emergencies: Literal["stop", "way", "after"] = "way"
    before: tuple[Id, ...] = ()
    despite_doubt: bool = False
    order: int = 50
    authority: Literal["keeper", "vet", "official"] = "keeper"

    @property
    def doses(self) -> bool:
        """Whether it puts something into the water: an amount in grams does."""
        return self.amount is not None and self.amount.formula.endswith("_g")


class Doubt(Sourced):
    """A reading that the fish, its kit, another reading or the balance of mass contradicts.

    readings : the readings that are in doubt and to be read again
    """

    because: Text
    readings: Annotated[tuple[Id, ...], Field(min_length=1)]
    when: Condition


class Caution(Sourced):
    """A caution. ``always`` ones show once in every plan; others with their actions or when met."""

    text: Text
    always: bool = False
    when: Condition | None = None
    protects: Literal["people", "fish", "law"] = "fish"


class VetNote(Sourced):
    """A note for the veterinarian: when to call, what to have ready, what to ask.

    Regulated or prescription measures appear only here, as questions.
    """

    text: Text
    because: Text
    urgency: Literal["now", "today", "when_convenient"]
    needed_for: tuple[Id, ...] = ()
    at_standing: Standing = "likely"
    when: Condition | None = None
    prepare: tuple[str, ...] = ()
    ask: tuple[str, ...] = ()
    who: Literal["vet", "authority", "lab"] = "vet"
    law: Literal["uk", "eu", "usa", "australia", "other"] | None = None


class Notice(Sourced):
    """A guard against closing the search too soon, or a doubt about a number."""

    text: Text
    because: Text
    when: Condition


class Question(Sourced):
    """One thing the session asks; one answer may settle several facts.

    kind    : signs (several choices), choice (one), reading (numbers of one kit),
              number (a case field), text
    signs   : signs offered; those not chosen are "looked for and not seen" once confirmed
    history : history item it settles
    reading : quantity ids it settles, read together
    field   : place in the case for number and text
    cost_seconds : a person's time to answer
    opening : place among the first questions asked in fixed order, small first; None = by worth
    opening_when : at that place only when this holds
    opening_else : its place where that does not hold; None = by worth
    ask_when: asked only when this holds
    of_journey : asks for what befell them before or at the opening of the bag
    text_tank : how it is put once the bag's water is gone
    """

    text: Text
    text_tank: Text | None = None
    help: Text
    because: Text
    kind: Literal["signs", "choice", "reading", "number", "text"]
    signs: tuple[Id, ...] = ()
    history: Id | None = None
    reading: tuple[Id, ...] = ()
    field: str | None = None
    scope: Literal["delivery", "lot"] = "lot"
    cost_seconds: Annotated[FiniteFloat, Field(gt=0)]
    opening: int | None = None
    opening_when: Condition | None = None
    opening_else: int | None = None
    ask_when: Condition | None = None
    of_journey: bool = False
    choices: dict[str, str] = Field(default_factory=dict)


class Settings(Entry):
    """rules/rulebase.toml: version and the numbers of the weighing (all judgement)."""

    version: Text
    title: Text
    decibans: dict[Strength, FiniteFloat]
    standing: dict[Literal["very_likely", "likely", "possible"], FiniteFloat]
    thin_evidence: FiniteFloat
    close_call: FiniteFloat
    nothing_for_it: Annotated[FiniteFloat, Field(ge=0)] = 0.0  # off the starting odds then
    worth_measuring: FiniteFloat = 0.0  # decibans under which no reading is proposed
    because: Text
    file: str = ""
