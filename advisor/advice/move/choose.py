"""The move: of the ways open to fish that are not settled, the one called for first.

Calls and bars are conditions of ``rules/moves.toml`` on what was read and computed.
A bar takes a way out of the choice only while another is open; the last way out is
never barred.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.move.fit import Fired
from advisor.advice.ranking import matched
from advisor.advice.results import FitResult, MoveResult, WayResult, unchecked
from advisor.rulebase import RuleBase
from advisor.rulebase.engine import Fact, Firing
from advisor.rulebase.entries import Ground
from advisor.rulebase.fits_and_moves import Bar, Call, Move


class Way(NamedTuple):
    """A move with the calls and bars that hold, each with what fired it."""

    move: Move
    calls: tuple[tuple[Call, Firing], ...]
    bars: tuple[tuple[Bar, Firing], ...]

    @property
    def order(self) -> int | None:
        """Of its calls the most pressing."""
        return min((call.order for call, _ in self.calls), default=None)

    def barred(self, *proofs: str) -> bool:
        return any(bar.proof in proofs for bar, _ in self.bars)


def ways_of(fired: Fired, sheet: FactSheet, base: RuleBase) -> tuple[Way, ...]:
    """Every way that fish in this place may go."""
    place = sheet.situation.place
    return tuple(_way(move, fired) for move in base.moves.values() if place in move.places)


def _way(move: Move, fired: Fired) -> Way:
    def held(word: str, grounds: tuple[Ground, ...]) -> Iterator[tuple[Ground, Firing]]:
        for at, ground in enumerate(grounds, 1):
            firings = fired.get(f"{word}:{move.id}:{at}")
            if firings:
                yield ground, firings[0]

    return Way(move, tuple(held("call", move.calls)), tuple(held("bar", move.bars)))  # type: ignore[arg-type]


def choose_way(ways: tuple[Way, ...]) -> Way | None:
    """The way to go; None only where no way is known for the place."""
    called = [way for way in ways if way.order is not None]
    proofs: tuple[str, ...]
    for proofs in (("sure", "possible"), ("sure",)):
        open_ = [way for way in called if not way.barred(*proofs)]
        if open_:
            return min(open_, key=lambda way: (way.order or 0, way.move.id))
    fewer: tuple[tuple[str, ...], ...] = (("sure",), ())
    for proofs in fewer:
        open_ = [way for way in ways if not way.barred(*proofs)]
        if open_:
            return min(open_, key=lambda way: (way.move.last_resort, way.move.id))
    return None


def move_facts(chosen: Way | None) -> Iterator[Fact]:
    if chosen is not None:
        yield Fact("move", "move", chosen.move.id)


def move_result(
    ways: tuple[Way, ...], chosen: Way | None, fits: tuple[FitResult, ...], sheet: FactSheet
) -> MoveResult | None:
    """The choice with its reasons, why each other way is not taken, and what would change it."""
    if chosen is None:
        return None
    told = tuple(_told(way, chosen) for way in ways)
    mine = next(way for way in told if way.state == "chosen")
    left = sheet.quantity("oxygen_hours_left") if sheet.sealed else None
    afloat = sheet.quantity("float_minutes") if chosen.move.id == "float" else None
    low, high = (None, None) if left is None else left.band
    return unchecked(MoveResult)(
        chosen=chosen.move.id,
        name=chosen.move.name,
        because=mine.because,
        hours_left=None if left is None else left.number,
        hours_left_low=low,
        hours_left_high=high,
        minutes=None if afloat is None else afloat.number,
        ways=told,
        would_change=tuple(_would_change(fits)),
    )


def _told(way: Way, chosen: Way) -> WayResult:
    state: Literal["chosen", "called", "not_called", "barred"] = "not_called"
    ground: Call | Bar | None = None
    firing: Firing | None = None
    if way.calls:
        ground, firing = min(way.calls, key=lambda pair: pair[0].order)
        state = "chosen" if way is chosen else "called"
    if way is not chosen and way.bars:
        ground, firing = way.bars[0]
        state = "barred"
    because = "Nothing here calls for it." if ground is None else ground.because
    if way is chosen and not way.calls:
        state, because = "chosen", "Every other way is barred."
    return unchecked(WayResult)(
        move=way.move.id,
        name=way.move.name,
        state=state,
        because=because,
        facts=() if firing is None else matched(firing),
        sources=way.move.source if ground is None else ground.source,
    )


def _would_change(fits: tuple[FitResult, ...]) -> Iterator[str]:
    """What is not known and may kill, then what is wrong and might be mended."""
    for fit in fits:
        if fit.state == "not_known" and fit.kills:
            yield f"{fit.name}: {fit.because}"
    for fit in fits:
        if fit.state == "not_fit" and fit.of != "days":
            yield f"{fit.name}: {fit.because}"
