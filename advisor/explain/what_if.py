"""What if: answers as a person would change them, and what they move."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from advisor.advice.results import Result, RuleBaseMark
from advisor.case import Case, Reading
from advisor.case.readings import RANGES
from advisor.errors import AdvisorError
from advisor.explain.change import Scope, set_answer, set_field, set_reading, set_sign
from advisor.explain.differ import Difference, differ
from advisor.explain.study import Study, study
from advisor.rulebase import RuleBase
from advisor.units import PARAMETERS, AmbiguousBasis, is_unknown, parse
from advisor.version import PROGRAM
from advisor.wording.nearest import nearest

#: Short names of readings beside the stored ones; each means the tank's.
SHORT = {re.sub(r"_(c|mg_l|mg_l_caco3|us_cm|g_kg|pct)$", "", name): name for name in RANGES} | {
    "temp": "temperature_c",
    "ammonia": "tan_mg_l",
    "oxygen": "do_mg_l",
    "kh": "alkalinity_mg_l_caco3",
    "gh": "hardness_mg_l_caco3",
    "salt": "salinity_g_kg",
}
WATERS = ("tank", "bag", "tap")
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


class WhatIf(Result):
    """Two assessments of one lot, and only what differs between them."""

    format: str = "advisor-what-if-1"
    program: str
    rulebase: RuleBaseMark
    lot: str
    changes: tuple[str, ...]
    difference: Difference


def what_if(before: Study, wanted: Sequence[str]) -> WhatIf:
    """Assess the lot again with changed answers.

    wanted : "key=value" each, see :func:`read_change`

    Raises AdvisorError for a key or value that cannot be understood.
    """
    changes = [read_change(text, before) for text in wanted]
    after = changed_study(before, changes)
    base = before.base
    return WhatIf(
        program=PROGRAM,
        rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
        lot=before.result.lot,
        changes=tuple(text.strip() for text in wanted),
        difference=differ(before.result, after.result),
    )


def changed_study(before: Study, changes: Iterable[Change]) -> Study:
    """The same lot run again on the changed case. Raises AdvisorError for impossible values."""
    scope = Scope(before.lot, before.until_hours)
    case = before.case
    for change in changes:
        case = change.apply(case, scope, before.base)
    try:
        case = Case.model_validate(case.model_dump(warnings=False))
    except ValidationError as error:
        from advisor.case.faults import model_faults

        raise AdvisorError("; ".join(model_faults(error, "what if"))) from None
    return study(case, before.reasoner, lot=before.lot.id, until_hours=before.until_hours)


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
    for sign in base.signs.values():
        if said in (sign.name.casefold(), *(phrase.casefold() for phrase in sign.phrases)):
            return sign.id
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
    said = key.casefold().replace(".", "_", 1) if key.partition(".")[0] in WATERS else key
    water, _, parameter = said.casefold().partition("_")
    if water not in WATERS:
        water, parameter = "tank", said.casefold()
    parameter = SHORT.get(parameter, parameter)
    name = f"{water}_{parameter}"
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
