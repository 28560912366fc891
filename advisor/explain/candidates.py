"""Single answers that could be others, each within what is plausible."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from advisor.advice.facts.computed import NEEDS
from advisor.advice.facts.record import Record
from advisor.case import Reading
from advisor.case.readings import RANGES
from advisor.explain.change import Change
from advisor.explain.study import Study
from advisor.rulebase.conditions import NUMBERS
from advisor.units import PARAMETERS

#: Numbers told rather than measured: field, computed value it shows in, unit, low, high
#: (the spans are judgement: journeys and fasts that occur in the trade).
TOLD = (
    ("lot.hours_sealed", "hours_sealed", "h", 1.0, 96.0),
    ("lot.fasted_hours", "fasted_hours", "h", 0.0, 96.0),
)


@dataclass(frozen=True)
class OtherAnswer:
    """An answer in words that could be another. ``was``: what it is, None = not known."""

    change: Change
    label: str
    was: Any


@dataclass(frozen=True)
class Number:
    """A number that could be another: its plausible span and the places worth trying.

    steps : values to try, rising
    grain : differences smaller than this do not count
    """

    key: str
    label: str
    unit: str
    now: float | None
    band: tuple[float, float] | None
    low: float
    high: float
    steps: tuple[float, ...]
    grain: float
    record: Record | None

    def change(self, value: float) -> Change:
        if "." in self.key:
            return Change(self.key, value)
        return Change(self.key, self._reading(value))

    def _reading(self, value: float) -> Reading:
        """The value with a band as wide as the kit's was: shifted for pH and °C, else in scale."""
        value = round(value, 6)
        if self.record is None or self.band is None or self.now is None:
            return Reading(value=value)
        low, high = self.band
        if self.now > 0 and not self.key.endswith(("_ph", "_temperature_c")):
            ends = value * low / self.now, value * high / self.now
        else:
            ends = value + low - self.now, value + high - self.now
        floor, ceiling = RANGES[self.key.partition("_")[2]]
        return Reading(
            value=value,
            low=min(value, max(floor, ends[0])),
            high=max(value, min(ceiling, ends[1])),
        )


def choices(study: Study) -> Iterator[OtherAnswer]:
    """Every sign and every item of history that a condition asks for, answered otherwise."""
    base, used = study.base, study.reasoner.compiled.used
    records = study.reasoned.sheet.records
    for sign in base.signs.values():
        if not {("sign", sign.id), ("known", f"sign:{sign.id}")} & used:
            continue
        record = records.get(("sign", sign.id))
        was = None if record is None else record.value
        for value in (True, False, None):
            if value is not was:
                yield OtherAnswer(Change(f"sign:{sign.id}", value), sign.name, was)
    for item in base.history.values():
        if item.number or not {("history", item.id), ("known", f"history:{item.id}")} & used:
            continue
        record = records.get(("history", item.id))
        was = None if record is None else record.value
        for answer in (*item.answers, None):
            if answer != was:
                yield OtherAnswer(Change(f"history:{item.id}", answer), item.name, was)


def numbers(study: Study) -> Iterator[Number]:
    """Every reading that a condition rests on, taken or not, and the numbers told."""
    asked = _asked_readings(study)
    records = study.reasoned.sheet.records
    for quantity in study.base.quantities.values():
        if quantity.kind != "reading" or quantity.id not in asked or not quantity.parameter:
            continue
        parameter = PARAMETERS[quantity.parameter]
        record = records.get(("reading", quantity.id))
        now = None if record is None else record.number
        floor, ceiling = RANGES[quantity.parameter]  # outside it the case refuses a reading
        low, high = max(parameter.odd_low, floor), min(parameter.odd_high, ceiling)
        if now is not None:
            low, high = min(low, now), max(high, now)
        yield Number(
            key=quantity.id,
            label=quantity.name,
            unit="" if quantity.unit == "pH" else quantity.unit,
            now=now,
            band=None if record is None else record.band,
            low=low,
            high=high,
            steps=_steps(study, quantity.id, low, high, now),
            grain=10.0**-parameter.decimals * (5 if quantity.water == "bag" else 1),
            record=record,
        )
    for field, name, unit, low, high in TOLD:
        record = records.get(("computed", name))
        if record is not None and record.how == "answered":
            now = record.number
            label = study.base.quantities[name].name
            span = (min(low, now), max(high, now))
            steps = _steps(study, name, *span, now)
            yield Number(field, label, unit, now, None, *span, steps, 0.5, record)


def _asked_readings(study: Study) -> set[str]:
    """Readings that conditions compare, or that a compared value is worked out from."""
    asked = {name for kind, name in study.reasoner.compiled.used if kind in NUMBERS}
    asked |= {name for kind, name in study.reasoner.compiled.used if kind == "known"}
    for record in study.reasoned.sheet.records.values():
        if record.kind == "computed" and record.name in asked:
            asked.update(record.inputs)
    for result, needs in NEEDS.items():
        if result in asked:
            asked.update(each for alternatives in needs for each in alternatives)
    return asked


_GRID = 12
#: Fewer values are tried of a reading not taken, and of one that the forecast of the
#: bag starts from, which is made anew for each.
_COARSE = 4


def _steps(
    study: Study, name: str, low: float, high: float, now: float | None
) -> tuple[float, ...]:
    """A grid over the span, and both sides of every number a condition compares it with."""
    coarse = now is None or name.startswith(("bag_", "hours", "fasted"))
    parts = _COARSE if coarse else _GRID
    grid = {low + (high - low) * part / parts for part in range(parts + 1)}
    if not coarse and low >= 0 and not name.endswith(("_ph", "_temperature_c")):
        grid |= {each for part in range(1, _GRID) if (each := high * 2.0**-part) > low}
    for kind, fact, bound in study.bounds:
        if fact == name and kind in NUMBERS and low <= bound <= high:
            nudge = max(abs(bound) * 1e-3, 1e-4)
            grid |= {max(low, bound - nudge), min(high, bound + nudge)}
    return tuple(sorted({round(each, 6) for each in grid}))
