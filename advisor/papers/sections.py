"""Parts that more than one paper needs: who and what, the journey, looks, readings."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.measured import band
from advisor.case import Case, Lot, Reading
from advisor.case.readings import Readings
from advisor.papers.blocks import ListItem, Pairs, Para, Table
from advisor.papers.history import events_of
from advisor.rulebase import RuleBase
from advisor.rulebase.species import kind_of
from advisor.units import PARAMETERS, format_value
from advisor.wording.names import KITS, with_unit
from advisor.wording.numbers import exact
from advisor.wording.times import (
    after_receipt,
    clock,
    day,
    day_and_time,
    moment,
    read_moment,
    span,
)

NOT_WRITTEN = "not written down"
GAS = {"oxygen": "oxygen", "air": "air", "none": "no gas", "unknown": NOT_WRITTEN}
MOST_LOG_ROWS = 6
PACKED = "packed (told)"
#: Readings in one table; more go into a second one.
MOST_COLUMNS = 6


def received_words(case: Case) -> str:
    """When the delivery was received, in words; as written where it is no date and time."""
    at = read_moment(case.delivery.received)
    written = case.delivery.received or ""
    return written if at is None else f"{day(at)}, {at:%H:%M}"


def chosen_lots(case: Case, only: str | None) -> tuple[Lot, ...]:
    """The lots a paper speaks of: all, or the one asked for."""
    return tuple(lot for lot in case.lot if only in (None, lot.id))


def kind_words(lot: Lot, base: RuleBase) -> str:
    """The fish as written, with the scientific name where the table knows it."""
    kind = kind_of(lot, base)
    written = lot.species or (lot.group or "").replace("_", " ") or "kind not written down"
    if kind is None or kind.species is None or kind.species.scientific.lower() in written.lower():
        return written
    return f"{written} ({kind.species.scientific})"


def lots_table(lots: tuple[Lot, ...], base: RuleBase) -> Table:
    """Species, numbers, sizes and packing, lot by lot."""
    return Table(
        "",
        ("lot", "fish", "number", "size", "bags", "water and gas in a bag"),
        tuple(
            (
                lot.id,
                kind_words(lot, base),
                "" if lot.count is None else str(lot.count),
                _size(lot),
                "" if lot.bags is None else str(lot.bags),
                _bag(lot),
            )
            for lot in lots
        ),
        frozenset({2, 4}),
    )


def _size(lot: Lot) -> str:
    length = None if lot.length_cm is None else f"{exact(lot.length_cm)} cm"
    mass = None if lot.mass_g is None else f"{exact(lot.mass_g)} g each"
    return ", ".join(filter(None, (length, mass)))


def _bag(lot: Lot) -> str:
    water = None if lot.bag_water_l is None else f"{exact(lot.bag_water_l)} L water"
    gas = None if lot.gas is None else GAS[lot.gas]
    if gas and lot.bag_gas_l:
        gas = f"{exact(lot.bag_gas_l)} L {gas}"
    return ", ".join(filter(None, (water, gas)))


def journey(case: Case, lots: tuple[Lot, ...]) -> Pairs:
    """The journey of these lots as told; what was not told is left out."""
    told = case.transit
    air = [exact(t) for t in (told.air_low_c, told.air_high_c) if t is not None]
    sedative = {"yes": told.sedative_substance or "yes, substance not written down", "no": "none"}
    rows = [
        ("Hours sealed", None if told.hours_sealed is None else f"{exact(told.hours_sealed)} h"),
        ("Air around the box", f"{' to '.join(air)} °C" if air else None),
        ("Box", None if told.box in (None, "unknown") else told.box),
        ("Delay on the way", None if told.delay_hours is None else f"{exact(told.delay_hours)} h"),
        (
            "Fasted before packing",
            None if told.fasted_hours is None else f"{exact(told.fasted_hours)} h",
        ),
        ("Sedative", sedative.get(told.sedative or "")),
        ("Notes on the journey", told.notes),
    ]
    for lot in lots:
        if lot.hours_sealed is not None:
            rows.append((f"Hours sealed, lot {lot.id}", f"{exact(lot.hours_sealed)} h"))
    return Pairs(tuple((name, value) for name, value in rows if value))


def receiving(case: Case) -> Pairs:
    """The tank as told."""
    tank = case.receiving
    rows = [
        ("Tank", tank.name),
        ("Volume", None if tank.volume_l is None else f"{exact(tank.volume_l)} L"),
        ("Running for", None if tank.age_days is None else f"{exact(tank.age_days)} days"),
        ("Filter", None if tank.filter is None else tank.filter),
        ("Supply", None if tank.supply is None else tank.supply.replace("_", " ")),
        ("Other fish in it", tank.residents),
        ("Water shared with other tanks", tank.shared_system),
        (
            "Put into the water",
            "; ".join(f"{a.substance}" + (f", {a.amount}" if a.amount else "") for a in tank.added)
            or None,
        ),
        ("Notes on the tank", tank.notes),
    ]
    return Pairs(tuple((name, value) for name, value in rows if value))


def timeline(case: Case, base: RuleBase, lots: tuple[Lot, ...]) -> Table:
    """The events in order, those of one moment and lot together."""
    wanted = {"all", *(lot.id for lot in lots)}
    merged: dict[tuple[float, str], list[str]] = {}
    for event in events_of(case, base):
        if event.lot in wanted:
            merged.setdefault((event.at_hours, event.lot), []).append(event.text)
    rows = tuple(
        (
            *when(case, hours),
            "" if lot == "all" else lot,
            "; ".join(text.rstrip(".") for text in texts),
        )
        for (hours, lot), texts in merged.items()
    )
    heads = when_heads(case)
    return Table("", (*heads, "lot", "what"), rows, tight=frozenset(range(len(heads))), flow=True)


def when_heads(case: Case) -> tuple[str, ...]:
    """Names of the columns that :func:`when` fills."""
    return ("date", "after receipt") if has_clock(case) else ("after receipt",)


def when(case: Case, hours: float) -> tuple[str, ...]:
    """Clock and hours after receipt as two cells; the second alone without a clock."""
    at = moment(case.delivery.received, hours)
    after = after_receipt(hours)
    return (after,) if at is None else (day_and_time(at), after)


def span_words(hours: float) -> str:
    return ("−" if hours < 0 else "") + span(abs(hours))


def readings_tables(
    case: Case, lots: tuple[Lot, ...], waters: tuple[str, ...]
) -> Iterator[Table | Para]:
    """Every reading as measured: a table for each water, a row for each look, band and kit."""
    written: list[str] = []
    for water in waters:
        looks = looks_at(case, lots, water)
        names = [n for n in PARAMETERS if any(n in readings.given() for _, _, readings in looks)]
        for at in range(0, len(names), MOST_COLUMNS):
            yield _water_table(water, looks, names[at : at + MOST_COLUMNS])
        written += _as_written(water, looks)
    if written:
        yield Para(f"As written and noted: {'; '.join(written)}.", "quiet")


Look = tuple[str, str, Readings]


def looks_at(case: Case, lots: tuple[Lot, ...], water: str) -> list[Look]:
    """(when, lot, readings) of each look that read this water; of a log the first few."""
    wanted = {"all", *(lot.id for lot in lots)}
    found: list[Look] = []
    if water == "bag":
        found = [(PACKED, lot.id, lot.packed) for lot in lots if lot.packed.given()]
    logged = 0
    for look in sorted(case.observation, key=lambda each: each.at_hours):
        readings: Readings = getattr(look, water)
        if look.lot not in wanted or not readings.given():
            continue
        logged += bool(look.from_log)
        if look.from_log and logged > MOST_LOG_ROWS:
            continue
        moments = [clock(case.delivery.received, look.at_hours)]
        if look.minutes_after_opening is not None and water == "bag":
            moments.append(f"{exact(look.minutes_after_opening)} min after opening")
        if look.from_log:
            moments.append(f"log {look.from_log}")
        found.append((", ".join(moments), "" if look.lot == "all" else look.lot, readings))
    if logged > MOST_LOG_ROWS:
        found.append((f"and {logged - MOST_LOG_ROWS} more looks of the log", "", Readings()))
    return found


def _water_table(water: str, looks: list[Look], names: list[str]) -> Table:
    heads = []
    same: dict[str, str | None] = {}
    for name in names:
        kits = {r.given()[name].kit for at, _, r in looks if name in r.given() and at != PACKED}
        same[name] = kits.pop() if len(kits) == 1 else None
        kit = KITS.get(same[name] or "", "")
        head = with_unit(PARAMETERS[name].name, PARAMETERS[name].unit)
        heads.append(", ".join(filter(None, (head, kit))))
    rows = tuple(
        (
            at,
            lot,
            *(
                cell(readings.given().get(name), name, "" if at == PACKED else same[name])
                for name in names
            ),
        )
        for at, lot, readings in looks
    )
    short = all(len(at) <= 26 for at, _, _ in looks)
    tight = frozenset({0}) if short else frozenset[int]()
    return Table(f"Water of the {water}", ("when", "lot", *heads), rows, tight=tight)


def cell(reading: Reading | None, name: str, kit: str | None = "", *, banded: bool = True) -> str:
    """``7.80 (7.60 to 8.00)``; with the kit of its own where ``kit`` is None."""
    if reading is None:
        return ""
    lead = "at least " if reading.at_least else "at most " if reading.at_most else ""
    low, high = band(reading, name)
    text = lead + bare(reading.value, name)
    if banded and low != high:
        text += f" ({bare(low, name)} to {bare(high, name)})"
    if kit is None:
        text += f", {KITS.get(reading.kit or '', 'kit not written down')}"
    return text


def bare(value: float, name: str) -> str:
    """A value without its unit."""
    return format_value(value, name).removesuffix(PARAMETERS[name].unit).strip()


def water_lines(
    case: Case, lots: tuple[Lot, ...], waters: tuple[str, ...], *, banded: bool = True
) -> Iterator[ListItem]:
    """The first and the latest two readings of each water, each look in one line with its date.

    banded : with the band the kit leaves in brackets
    """
    for water in waters:
        looks = [look for look in looks_at(case, lots, water) if look[2].given()]
        chosen = looks if len(looks) <= 3 else [looks[0], *looks[-2:]]
        for at, lot, readings in chosen:
            said = [
                " ".join(filter(None, (known.name, cell(reading, name, banded=banded), known.unit)))
                for name, reading in readings.given().items()
                if (known := PARAMETERS[name])
            ]
            whose = f", lot {lot}" if lot and len(lots) > 1 else ""
            yield ListItem("; ".join(said), lead=f"{water}{whose}, {at}:")


def _as_written(water: str, looks: list[Look]) -> Iterator[str]:
    for at, _, readings in looks:
        for name, reading in readings.given().items():
            said = ", ".join(filter(None, (reading.entered, reading.note)))
            if said:
                yield f"{water} {PARAMETERS[name].name}, {at}: {said}"


def local(case: Case, hours: float | None) -> str:
    """A time in the case as clock and hours after receipt; "not written down" without one."""
    return NOT_WRITTEN if hours is None else clock(case.delivery.received, hours)


def has_clock(case: Case) -> bool:
    return moment(case.delivery.received, 0.0) is not None
