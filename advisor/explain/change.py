"""Single answers of a case changed: as a person writes the change, and put into the case.

Every function gives a new case; what is changed counts for one lot at one time,
as :mod:`advisor.advice.facts` reads it: of the bag the first reading counts, of tank
and tap the latest, of signs the latest look.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from advisor.advice.facts.measured import NAMED_WATERS
from advisor.advice.facts.told import FROM_TRANSIT
from advisor.case import Case, Lot, Observation, Reading
from advisor.case.readings import RANGES
from advisor.errors import AdvisorError
from advisor.explain.study import Study, study
from advisor.rulebase import RuleBase
from advisor.rulebase.name_index import plain_name
from advisor.units import PARAMETERS, AmbiguousBasis, is_unknown, parse
from advisor.wording.nearest import nearest

Look = tuple[int, Observation]


#: Short names of readings beside the stored ones; each means the tank's.
SHORT = {re.sub(r"_(c|mg_l|mg_l_caco3|us_cm|g_kg|pct)$", "", name): name for name in RANGES} | {
    "temp": "temperature_c",
    "ammonia": "tan_mg_l",
    "oxygen": "do_mg_l",
    "kh": "alkalinity_mg_l_caco3",
    "gh": "hardness_mg_l_caco3",
    "salt": "salinity_g_kg",
}
#: Fields of the case that hold numbers, and how they are written.
_MEASURES = {
    "hours_sealed": "hours",
    "fasted_hours": "hours",
    "delay_hours": "hours",
    "age_days": "age_days",
    "volume_l": "volume_l",
    "bag_water_l": "volume_l",
    "bag_gas_l": "volume_l",
    "mass_g": "mass_g",
    "length_cm": "length_cm",
    "air_low_c": "temperature_c",
    "air_high_c": "temperature_c",
}


@dataclass(frozen=True)
class Scope:
    """The lot whose answers change, and the time up to which looks count."""

    lot: Lot
    until_hours: float

    def covers(self, look: Observation) -> bool:
        return look.concerns(self.lot.id) and look.at_hours <= self.until_hours

    def lot_in(self, case: Case) -> Lot:
        """The lot as the case has it now."""
        return next((each for each in case.lot if each.id == self.lot.id), self.lot)


@dataclass(frozen=True)
class Change:
    """One changed answer: ``key`` as :mod:`advisor.explain.change` takes it, in words for the eye.

    key   : "tank_ph", "sign:x", "history:x", "lot.x", "transit.x", "receiving.x"
    value : a Reading, True/False, a word or number; None = unknown
    """

    key: str
    value: Any

    def apply(self, case: Case, scope: Scope, base: RuleBase) -> Case:
        kind, _, name = self.key.partition(":")
        if kind == "sign":
            return set_sign(case, scope, name, self.value)
        if kind == "history":
            return set_answer(case, scope, name, self.value, base)
        if "." in self.key:
            return set_field(case, scope, self.key, self.value)
        return set_reading(case, scope, self.key, self.value)


def changed_case(about: Study, changes: Iterable[Change]) -> Case:
    """The study's case with other answers. Raises AdvisorError for what no case may hold."""
    scope, case = Scope(about.lot, about.until_hours), about.case
    for change in changes:
        case = change.apply(case, scope, about.base)
    try:
        return Case.model_validate(case.model_dump(warnings=False))
    except ValidationError as error:
        from advisor.case.faults import model_faults

        raise AdvisorError("; ".join(model_faults(error, "what if"))) from None


def changed_study(before: Study, changes: Iterable[Change]) -> Study:
    """The same lot run again on the changed case. Raises AdvisorError for impossible values."""
    case = changed_case(before, changes)
    return study(case, before.reasoner, lot=before.lot.id, until_hours=before.until_hours)


# -- as it is written ------------------------------------------------------------


def read_change(text: str, about: Study) -> Change:
    """A change from ``key=value``.

    Keys: ``tank.ph`` or ``tank_ph`` (a bare ``ph`` is the tank's), ``sign:NAME``
    with yes, no or unknown, ``history:ITEM``, ``lot.FIELD``, ``transit.FIELD``,
    ``receiving.FIELD``, ``delivery.law``. Values may carry units ("78 F").
    """
    key, sign, value = text.partition("=")
    key, value = key.strip(), value.strip()
    if not sign or not key or not value:
        raise AdvisorError(f'"{text}": write a change as key=value, such as ph=7.2')
    kind, _, name = key.partition(":")
    if kind == "sign":
        return Change(f"sign:{_sign(name, about.base)}", _yes_no(value, text))
    if kind == "history":
        return _history(name, value, about.base)
    part, _, field = key.partition(".")
    if part in ("lot", "transit", "receiving", "delivery"):
        return Change(key, _field(part, field, value, about.case))
    return _reading(key, value, about.base)


def _sign(text: str, base: RuleBase) -> str:
    said = text.strip().casefold()
    if said.replace(" ", "_") in base.signs:
        return said.replace(" ", "_")
    if meant := base.sign_index.get(plain_name(text)):
        return meant
    known = [*base.signs, *(sign.name for sign in base.signs.values())]
    raise AdvisorError(f'no sign "{text}"{nearest(said, known) or "; see advisor rules"}')


def _yes_no(value: str, text: str) -> bool | None:
    answers = {"yes": True, "seen": True, "no": False, "not seen": False}
    if value.casefold() in answers:
        return answers[value.casefold()]
    if is_unknown(value):
        return None
    raise AdvisorError(f'"{text}": a sign is yes, no or unknown')


def _history(name: str, value: str, base: RuleBase) -> Change:
    item_id = name.strip().casefold().replace(" ", "_")
    by_name = {item.name.casefold(): item.id for item in base.history.values()}
    item = base.history.get(item_id) or base.history.get(by_name.get(name.strip().casefold(), ""))
    if item is None:
        raise AdvisorError(f'no item of history "{name}"{nearest(item_id, base.history) or "."}')
    key = f"history:{item.id}"
    if is_unknown(value):
        return Change(key, None)
    if item.number:
        return Change(key, _number(value, item.unit or "", key))
    word = value.casefold().replace(" ", "_")
    if word not in item.answers:
        raise AdvisorError(
            f'{key}: "{value}" is not an answer; use one of {", ".join(item.answers)} or unknown'
        )
    return Change(key, word)


def _number(value: str, unit: str, key: str) -> float:
    found = re.fullmatch(r"(-?\d+(?:[.,]\d+)?)\s*(.*)", value)
    if found is None:
        raise AdvisorError(
            f'{key}: "{value}" is not a number; give one in {unit or "plain figures"}'
        )
    for parameter in ("hours", "minutes", *PARAMETERS):
        if found[2] and PARAMETERS[parameter].unit == unit:
            return parse(value, parameter).value
    return float(found[1].replace(",", "."))


def _field(part: str, field: str, value: str, case: Case) -> Any:
    from advisor.case.model import Delivery, Lot, Receiving, Transit

    models: dict[str, type[BaseModel]] = {
        "lot": Lot,
        "transit": Transit,
        "receiving": Receiving,
        "delivery": Delivery,
    }
    fields = models[part].model_fields
    if field not in fields or field in ("id", "packed", "history", "added"):
        raise AdvisorError(f'{part}: no field "{field}"{nearest(field, fields) or "."}')
    if is_unknown(value):
        return None
    if field in _MEASURES:
        return parse(value, _MEASURES[field]).value
    number = re.fullmatch(r"-?\d+(\.\d+)?", value)
    if number is not None:
        return float(value) if number[1] else int(value)
    return value


def _reading(key: str, value: str, base: RuleBase) -> Change:
    said = re.sub(rf"^({'|'.join(NAMED_WATERS)})[ ._]+", r"\1_", key.strip().casefold())
    name = _named_reading(said, base)
    parameter = name.partition("_")[2]
    known = [q.id for q in base.quantities.values() if q.kind == "reading"]
    if name not in known:
        computed = base.quantities.get(key.casefold())
        if computed is not None:
            raise AdvisorError(f"{key}: is worked out; change the readings it is worked out from")
        shown = [*known, *SHORT, "sign:", "history:", "lot.", "transit.", "receiving."]
        raise AdvisorError(f'no reading "{key}"{nearest(said, shown) or "; see advisor rules"}')
    if is_unknown(value):
        return Change(name, None)
    try:
        found = parse(value, parameter)
    except AmbiguousBasis as question:
        found = question.widened
    sharp = found.low == found.value == found.high
    reading = Reading(
        value=found.value,
        low=None if sharp else found.low,
        high=None if sharp else found.high,
        entered=f"what if {value}",
    )
    return Change(name, reading)


def _named_reading(said: str, base: RuleBase) -> str:
    """The reading's id from its short name, or from what screens call it ("bag total ammonia")."""
    water, _, parameter = said.partition("_")
    if water not in NAMED_WATERS:
        water, parameter = "tank", said
    name = f"{water}_{SHORT.get(parameter, parameter)}"
    called = {
        q.name.partition(" (")[0].casefold(): q.id
        for q in base.quantities.values()
        if q.kind == "reading"
    }
    return called.get(f"{water} {parameter.replace('_', ' ')}", name)


# -- put into a case -------------------------------------------------------------


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
    part, _, name = field.partition(".")
    if part == "lot" and name in FROM_TRANSIT and value is None:
        case = _set(case, scope, f"transit.{name}", None)
    return _set(case, scope, field, value)


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
