"""Everything known of one lot at one time, as facts for the engine and for the audit."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from advisor.advice.facts.bag_sizes import bag_records
from advisor.advice.facts.computed import computed_records
from advisor.advice.facts.counted_facts import shape_records
from advisor.advice.facts.measured import reading_records
from advisor.advice.facts.met_lately import met_records
from advisor.advice.facts.record import Record
from advisor.advice.facts.since_move import move_records
from advisor.advice.facts.situation import (
    NOWHERE,
    Situation,
    done_for,
    foreseen_now,
    hidden_names,
    place_record,
    settled_for,
    situation_of,
    water_records,
)
from advisor.advice.facts.told import history_records, sign_records, trait_records
from advisor.advice.facts.waters import waters_compared
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import PHASES, Value
from advisor.rulebase.species import Kind, kind_of

#: What is told of a day that nobody knows; it stands with the phase.
DAY_SUPPOSED = "supposed: nobody could say how long ago they came"
FIRST_DAY_H = 24.0
#: Lot assumed when a case names none, so that a bare tank can be assessed too.
NAMELESS = Lot.model_construct(id="fish")


class FactSheet(NamedTuple):
    """The facts of one lot. ``records`` are keyed by (kind, name).

    done   : what stands among what was done, ids of actions and words
    settled: the part of it that no look came after: nothing shows that it must be done again
    hidden : names of numbers that no condition may ask for, because they rest on a
             water these fish have not met; ``next_*`` tells the move of it
    """

    lot: Lot
    kind: Kind | None
    phase: str
    at_hours: float
    records: dict[tuple[str, str], Record]
    situation: Situation = NOWHERE
    hidden: frozenset[str] = frozenset()
    done: frozenset[str] = frozenset()
    settled: frozenset[str] = frozenset()

    def number(self, name: str) -> float | None:
        """The best figure of a reading or computed value, None when not known."""
        record = self.quantity(name)
        return None if record is None else record.number

    @property
    def sealed(self) -> bool:
        """Whether the lot's bags are still shut."""
        return self.situation.place == "closed_bag"

    def quantity(self, name: str) -> Record | None:
        return self.records.get(("reading", name)) or self.records.get(("computed", name))

    def engine_facts(self, used: frozenset[tuple[str, str]]) -> Iterator[tuple[str, str, Value]]:
        """(kind, name, value) of every fact some condition asks for, in a fixed order."""
        for record in self.records.values():
            if record.name in self.hidden and record.kind in ("reading", "computed"):
                continue
            for kind, name, value in record.as_facts():
                if (kind, name) in used:
                    yield kind, name, value
        yield from self._known(used)

    def _known(self, used: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str, Value]]:
        """Whether something was measured, looked for or answered is a fact of its own."""
        for kind, name in sorted(used):
            if kind == "known":
                what, _, plain = name.rpartition(":")
                answered = (what, plain) in self.records
                yield kind, name, answered if what else self.quantity(plain) is not None


def lots_of(case: Case) -> tuple[Lot, ...]:
    """The lots of a case; one nameless lot when none is given."""
    return case.lot or (NAMELESS,)


def fact_sheet(
    case: Case,
    lot: Lot,
    base: RuleBase,
    until_hours: float = math.inf,
    neighbours: Iterable[Record] = (),
) -> FactSheet:
    """All facts of ``lot`` from looks up to ``until_hours`` after receipt.

    neighbours : what other lots in the same water show
    """
    kind = kind_of(lot, base)
    now = _now(case, lot, until_hours)
    records = [
        *reading_records(case, lot, base, until_hours),
        *sign_records(case, lot, base, until_hours),
        *history_records(case, lot, base, until_hours),
        *trait_records(lot, base),
        *neighbours,
        *shape_records(case, lot, base, kind, now, until_hours),
        *bag_records(case, lot, base),
    ]
    supposed = day_unknown(case, base)
    phase = _by_signs(records, base, now) if supposed else phase_of(now)
    situation = place_of(case, lot, base, until_hours)
    records.append(place_record(situation))
    records += _others_alive(case, lot, base, until_hours, records)
    note = DAY_SUPPOSED if supposed else None
    records.append(Record(kind="phase", name="phase", value=phase, how="answered", note=note))
    by_name: dict[tuple[str, str], Record] = {(r.kind, r.name): r for r in records}
    for record in computed_records(case, lot, base, kind, by_name):
        by_name[(record.kind, record.name)] = record
    for record in (
        *water_records(case, lot, base, situation, until_hours),
        *move_records(case, lot, base, situation, until_hours),
        *met_records(case, lot, base, situation, now, until_hours),
        *foreseen_now(situation, by_name, base),
    ):
        by_name.setdefault((record.kind, record.name), record)
    for record in waters_compared(lot, kind, by_name, base):
        if record.name in base.quantities:
            by_name[(record.kind, record.name)] = record
    hidden = hidden_names(by_name, situation)
    done = frozenset(done_for(case, lot, base, until_hours))
    settled = settled_for(case, lot, base, until_hours)
    return FactSheet(lot, kind, phase, now, by_name, situation, hidden, done, settled)


def phase_of(hours: float) -> str:
    """arrival (first day), day_2_4, day_5_14, by hours since receipt."""
    if hours < FIRST_DAY_H:
        return "arrival"
    return "day_2_4" if hours < 96 else "day_5_14"


def day_unknown(case: Case, base: RuleBase) -> bool:
    """Whether it was asked how long ago they came, and nobody could say."""
    return any(
        question.field == "look.at_hours" and question.id in case.session.unknown
        for question in base.questions.values()
    )


def _by_signs(records: Iterable[Record], base: RuleBase, now: float) -> str:
    """The day as signs tell it, or as long after the first look as it is, whichever is later."""
    told = (
        base.signs[record.name].from_phase
        for record in records
        if record.kind == "sign" and record.value is True
    )
    return max((phase_of(now), *filter(None, told)), key=PHASES.index)


def place_of(case: Case, lot: Lot, base: RuleBase, until_hours: float = math.inf) -> Situation:
    """Where the lot is at the newest hour of the delivery."""
    return situation_of(case, lot, base, _latest(case, until_hours))


def _others_alive(
    case: Case, lot: Lot, base: RuleBase, until: float, records: Iterable[Record]
) -> Iterator[Record]:
    """Of a lot wholly dead: how many others live in the tank, and are helped by their own steps."""
    dead = next((r for r in records if r.name == "dead_fraction"), None)
    if dead is None or dead.low is None or dead.low < 1.0:
        return
    others = [
        other.id
        for other in case.lot
        if other.id != lot.id
        and place_of(case, other, base, until).place == "tank"
        and not _all_dead(case, other, until)
    ]
    where = tuple(f'lot "{name}", id' for name in others or (lot.id,))
    alive = float(len(others))
    yield Record("computed", "others_alive_in_tank", alive, "answered", alive, alive, "lots", where)


def _all_dead(case: Case, lot: Lot, until: float) -> bool:
    told = [look.counts.dead for _, look in case.looks_at(lot.id, until) if look.counts.dead]
    return bool(told and lot.count) and max(told, default=0) >= (lot.count or 0)


def _latest(case: Case, until: float) -> float:
    """The newest hour the delivery tells of: what was done to one lot is done by then."""
    told = (_now(case, lot, until) for lot in lots_of(case))
    return max((*told, *(o.at_hours for o in case.observation if o.at_hours <= until)), default=0.0)


def _now(case: Case, lot: Lot, until: float) -> float:
    """The last hour that something is told of: a look, or a step stamped at the bag."""
    times = [look.at_hours for _, look in case.looks_at(lot.id)]
    times += [t for t in (lot.opened_at_hours, lot.released_at_hours) if t is not None]
    return max((t for t in times if t <= until), default=0.0)
