"""A case with single answers changed: set, or made unknown.

Every function gives a new case; what is changed counts for one lot at one time,
as :mod:`advisor.advice.facts` reads it: of the bag the first reading counts, of tank
and tap the latest, of signs the latest look.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from advisor.case import Case, Lot, Observation, Reading
from advisor.rulebase import RuleBase

Look = tuple[int, Observation]


@dataclass(frozen=True)
class Scope:
    """The lot whose answers change, and the time up to which looks count."""

    lot: Lot
    until_hours: float

    def covers(self, look: Observation) -> bool:
        return look.lot in ("all", self.lot.id) and look.at_hours <= self.until_hours

    def lot_in(self, case: Case) -> Lot:
        """The lot as the case has it now."""
        return next((each for each in case.lot if each.id == self.lot.id), self.lot)


def set_reading(case: Case, scope: Scope, name: str, reading: Reading | None) -> Case:
    """The case with that reading, such as ``tank_ph``; None takes it away altogether."""
    water, _, parameter = name.partition("_")
    at = _look_of_reading(case, scope, water, parameter)
    bare = _each_look(case, scope, lambda look: _with_reading(look, water, parameter, None))
    if reading is None:
        return bare
    return _at_look(bare, scope, at, lambda look: _with_reading(look, water, parameter, reading))


def set_sign(case: Case, scope: Scope, name: str, seen: bool | None) -> Case:
    """The case with the sign seen, looked for and not seen, or (None) not looked for."""

    def without(look: Observation) -> Observation:
        if name not in look.seen and name not in look.not_seen:
            return look
        kept = {
            field: tuple(each for each in getattr(look, field) if each != name)
            for field in ("seen", "not_seen")
        }
        return look.model_copy(update=kept)

    bare = _each_look(case, scope, without)
    if seen is None:
        return bare
    field = "seen" if seen else "not_seen"

    def added(look: Observation) -> Observation:
        return look.model_copy(update={field: (*getattr(look, field), name)})

    return _at_look(bare, scope, _latest(case, scope), added)


def set_answer(case: Case, scope: Scope, item: str, value: Any, base: RuleBase) -> Case:
    """The case with that item of history answered; None makes it unknown."""
    return set_field(case, scope, base.history[item].field or f"history.{item}", value)


def set_field(case: Case, scope: Scope, field: str, value: Any) -> Case:
    """The case with a field such as ``lot.count`` or ``receiving.volume_l``; None clears it."""
    if field in _FROM_TRANSIT and value is None:
        case = _set(case, scope, "transit." + field.removeprefix("lot."), None)
    return _set(case, scope, field, value)


#: Fields of a lot that fall back on the journey's.
_FROM_TRANSIT = ("lot.hours_sealed", "lot.fasted_hours", "lot.sedative")


def _set(case: Case, scope: Scope, field: str, value: Any) -> Case:
    part, _, name = field.partition(".")
    if part == "history" or name.startswith("history."):
        return _set_history(case, scope, name.removeprefix("history."), value)
    if part != "lot":
        changed = getattr(case, part).model_copy(update={name: value})
        return case.model_copy(update={part: changed})
    if not case.lot:
        return case.model_copy(update={"lot": (scope.lot.model_copy(update={name: value}),)})
    return _each_lot(case, scope, lambda lot: lot.model_copy(update={name: value}))


def _set_history(case: Case, scope: Scope, item: str, value: Any) -> Case:
    """The lot's own word counts before the delivery's, so both are put right."""

    def put(history: Mapping[str, Any], always: bool) -> dict[str, Any]:
        rest = {key: each for key, each in history.items() if key != item}
        return rest | {item: value} if value is not None and (always or item in history) else rest

    if value is None or not case.lot:
        case = case.model_copy(update={"history": put(case.history, value is not None)})
    return _each_lot(
        case, scope, lambda lot: lot.model_copy(update={"history": put(lot.history, True)})
    )


def _each_lot(case: Case, scope: Scope, change: Callable[[Lot], Lot]) -> Case:
    lots = tuple(change(lot) if lot.id == scope.lot.id else lot for lot in case.lot)
    return case.model_copy(update={"lot": lots})


def _each_look(case: Case, scope: Scope, change: Callable[[Observation], Observation]) -> Case:
    looks = tuple(change(look) if scope.covers(look) else look for look in case.observation)
    return case.model_copy(update={"observation": looks})


def _at_look(
    case: Case, scope: Scope, at: int | None, change: Callable[[Observation], Observation]
) -> Case:
    """The change made in one look; in a new one on receipt where there is none."""
    looks = list(case.observation)
    if at is None:
        lot = scope.lot.id if case.lot else "all"
        looks.append(change(Observation(at_hours=min(0.0, scope.until_hours), lot=lot)))
    else:
        looks[at] = change(looks[at])
    return case.model_copy(update={"observation": tuple(looks)})


def _looks(case: Case, scope: Scope) -> list[Look]:
    """Looks that count, in the order of time, with their places in the case."""
    ordered = sorted(enumerate(case.observation), key=lambda pair: pair[1].at_hours)
    return [(at, look) for at, look in ordered if scope.covers(look)]


def _latest(case: Case, scope: Scope) -> int | None:
    return next((at for at, _ in reversed(_looks(case, scope))), None)


def _look_of_reading(case: Case, scope: Scope, water: str, parameter: str) -> int | None:
    """The look whose reading counts; for a new one the look that water was read in."""
    looks = _looks(case, scope)
    if water != "bag":
        looks.reverse()
    for wanted in (lambda readings: parameter in readings, bool, lambda readings: True):
        for at, look in looks:
            if wanted(getattr(look, water).given()):
                return at
    return None


def _with_reading(
    look: Observation, water: str, parameter: str, reading: Reading | None
) -> Observation:
    readings = getattr(look, water)
    if getattr(readings, parameter) is None and reading is None:
        return look
    return look.model_copy(update={water: readings.model_copy(update={parameter: reading})})
