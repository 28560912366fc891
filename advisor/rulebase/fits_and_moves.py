"""Entries on the next water (does it fit the fish?) and on the ways there."""

# No postponed annotations in this file: pydantic evaluates them at once (see ``entries``).

from typing import Annotated, Literal

from pydantic import Field

from advisor.rulebase.entries import Condition, Ground
from advisor.rulebase.works import Id, Sourced, Text


class Unfit(Ground):
    """Why the next water is not fit. ``of``: the water itself, or the step into it.

    What is wrong with a step is mended on the way (afloat, through a tub); what is
    wrong with a water keeps fish out of it however slowly they go. What harms over
    ``days`` is mended while they live there.
    """

    of: Literal["water", "step", "days"] = "water"


class Fit(Sourced):
    """One dimension in which a water must fit the fish that are bound for it.

    unfit   : what makes it surely unfit
    fits    : when it surely fits; while neither holds it is not known
    unknown : what is said then
    reads   : readings that would tell; asks: history items that would
    kills   : what is not known may kill, so it is read before anyone goes in
    kills_when : it may do so only where this holds
    """

    name: Text
    unfit: Annotated[tuple[Unfit, ...], Field(min_length=1)]
    fits: Condition
    unknown: Text
    reads: tuple[Id, ...] = ()
    asks: tuple[Id, ...] = ()
    kills: bool = False
    kills_when: Condition | None = None


class Call(Ground):
    """What calls for a move. The call of the smallest ``order`` that holds decides."""

    order: int


class Bar(Ground):
    """What bars a move; only sure harm does so when no other way is open."""

    proof: Literal["sure", "possible"] = "sure"


class Move(Sourced):
    """One way for fish that are not settled.

    places      : where fish are that may go this way
    calls, bars : what speaks for it and against it, in conditions on what was computed
    last_resort : place among the ways taken when every one is barred, small first
    """

    name: Text
    places: Annotated[
        tuple[Literal["closed_bag", "open_bag", "tub", "tank", "unknown"], ...],
        Field(min_length=1),
    ]
    calls: Annotated[tuple[Call, ...], Field(min_length=1)]
    bars: tuple[Bar, ...] = ()
    last_resort: int = 50
