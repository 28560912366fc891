"""Readings and survivors of a case over time, ready to be drawn or tabled."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.facts.measured import band
from advisor.advice.losses import losses_of
from advisor.case import Case, Lot
from advisor.case.readings import RANGES
from advisor.units import PARAMETERS


@dataclass(frozen=True)
class Point:
    """A value at a time after receipt [h], with the ends of its band."""

    hours: float
    value: float
    low: float
    high: float


@dataclass(frozen=True)
class WatchedLine:
    """One quantity over time: ``label`` says what and where, ``unit`` its unit ("" for pH)."""

    name: str
    label: str
    unit: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Watch:
    """Readings by parameter and survivors by lot, over the looks of a case."""

    readings: tuple[WatchedLine, ...]
    survivors: tuple[WatchedLine, ...]


def watch_of(case: Case, lot: Lot | None = None, water: str = "tank") -> Watch:
    """What was read in one water and who lived, for one lot or for all of them.

    water : "tank" or "bag"
    """
    lots = case.lot if lot is None else (lot,)
    readings = tuple(_line(case, lot, water, name) for name in RANGES)
    return Watch(
        tuple(line for line in readings if line.points),
        tuple(line for line in (_survivors(case, each) for each in lots) if line.points),
    )


def _line(case: Case, lot: Lot | None, water: str, name: str) -> WatchedLine:
    found = []
    for look in case.observation:
        reading = getattr(getattr(look, water), name)
        if reading is None or (lot is not None and not look.concerns(lot.id)):
            continue
        low, high = band(reading, name)
        found.append(Point(look.at_hours, reading.value, low, high))
    found.sort(key=lambda point: point.hours)
    parameter = PARAMETERS[name]
    return WatchedLine(f"{water}_{name}", f"{water} {parameter.name}", parameter.unit, tuple(found))


def _survivors(case: Case, lot: Lot) -> WatchedLine:
    points: list[Point] = []
    if lot.count is not None:
        for loss in losses_of(case, lot):
            alive = float(lot.count - loss.dead)
            points.append(Point(loss.at_hours, alive, alive, alive))
    return WatchedLine(lot.id, f"alive, lot {lot.id}", "fish", tuple(points))
