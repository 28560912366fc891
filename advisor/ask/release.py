"""Shut bags: forecast, order, ways of opening; then the release by the clock."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

from advisor.ask.answers.apply import with_field
from advisor.ask.answers.choosing import is_no
from advisor.ask.answers.parts import Place
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.opening import SealedLot, sealed_lots
from advisor.ask.records import Ask, Talking
from advisor.ask.session import ask_one
from advisor.bag.bands import Band
from advisor.wording import numbers

if TYPE_CHECKING:
    from advisor.bag.exposure import OpeningResult

#: The four ways a person chooses from; kept in the case under these names.
WAYS = {
    "netted": "netted or cupped over",
    "poured": "poured in with bag water",
    "dripped": "dripped first, then over",
    "floated_open": "floated open, then over",
}
_MOST_ORDERS = 12
#: The look put again once the fish are in the tank.
FIRST_LOOK = "breathing_and_posture"


def open_bags(at: Inquiry) -> Talking[None]:
    """Show what is foreseen for the shut bags and, if wanted, walk through the release."""
    at.say()
    at.say("Working out what each bag holds and what opening does ...")
    yield from at.out()
    thoughts = {lot: thought.reasoned for lot, thought in at.thoughts.items()}
    lots = sealed_lots(at.case, thoughts)
    _foresight(at, lots)
    _have_ready(at, lots)
    at.say()
    text = "Enter when you stand ready to open the first bag; n goes on with questions instead."
    try:
        if is_no((yield from at.enter(text, "step", lots[0].lot))):
            return
    except (Back, Same, Enough):
        return
    yield from _walk(at, lots)


# -- what is foreseen -----------------------------------------------------------


def _foresight(at: Inquiry, lots: tuple[SealedLot, ...]) -> None:
    """Opening order, and for each lot forecast, floating and the ways of opening compared."""
    at.say()
    at.say("ORDER OF OPENING, computed; the bag whose fish lose most by waiting comes first")
    for lot in lots:
        at.say(f"{about(at.lot(lot.lot))}: {lot.because}", f"{lot.place}.")
        if lot.forecast is None:
            at.say(f"Give {', '.join(lot.missing)} to have it forecast.", level=1)
        else:
            _forecast(at, lot)
        if lot.afloat is not None:
            _afloat(at, lot)
        _ways(at, lot)
        for note in lot.assumed:
            at.say(f"({note})", level=1)
    for statement in sorted({way.statement for lot in lots for way in lot.openings}):
        at.say(statement)


def _forecast(at: Inquiry, lot: SealedLot) -> None:
    assert lot.forecast is not None
    end = lot.forecast.end
    words = [
        f"pH {_span(end['ph'])}",
        f"total ammonia {_span(end['tan_mg_l'])} mg/L as N",
        f"carbon dioxide {_span(end['co2_mg_l'])} mg/L",
        f"oxygen {_span(end['do_mg_l'])} mg/L",
        f"{_span(end['temperature_c'])} °C",
    ]
    at.say("In the shut bag now: " + ", ".join(words) + ".", level=1)
    left = lot.forecast.oxygen_hours_left
    if left is not None:
        hours = f"{left.low:.0f} h or more" if left.low > 48 else f"{_span(left)} h"
        at.say(f"Oxygen left: {hours}.", level=1)


def _span(band: Band) -> str:
    """ "6.9 (6.4 to 7.6)"; one figure when the band is narrow."""
    return numbers.with_band(band.value, band.low, band.high)


def _afloat(at: Inquiry, lot: SealedLot) -> None:
    assert lot.afloat is not None
    minutes = lot.afloat.minutes
    if minutes.value < 1:
        at.say("Bag and tank are within 2 °C: no floating needed.", level=1)
    else:
        at.say(
            f"Float shut {minutes.value:.0f} min ({minutes.low:.0f} to {minutes.high:.0f}) to come "
            "within 2 °C; a thermometer knows better.",
            level=1,
        )


def _ways(at: Inquiry, lot: SealedLot) -> None:
    """Ways of opening by the ammonia the fish meet; all of them for the first lot."""
    ordered = sorted(lot.openings, key=lambda each: each.nh3_dose_mg_h_l.value)
    if not ordered:
        return
    if lot.place == 1:
        at.say("Ways of opening, least un-ionised ammonia first (peak, mg/L as N):", level=1)
        for way in ordered:
            at.say(_way_words(way), "-", 2)
    else:
        at.say(f"Least ammonia: {_way_words(ordered[0])}.", level=1)
        at.say(f"Most: {_way_words(ordered[-1])}.", level=1)
    slow = ordered[0].slow_change_because
    if slow:
        at.say(f"Here slow change comes before ammonia: {slow}.", level=1, strong=True)


def _way_words(way: OpeningResult) -> str:
    peak = f"{way.peak_nh3_n_mg_l.value:.3f}, up to {way.peak_nh3_n_mg_l.high:.3f}"
    steps = (
        f"pH step {way.steepest_ph_step.value:.1f}, "
        f"temperature step {way.steepest_temperature_step_c.value:.1f} °C"
    )
    return f"{way.label}: {peak}; {steps}"


def _have_ready(at: Inquiry, lots: tuple[SealedLot, ...]) -> None:
    """What to do now, as the rules order it, for the first lot; others where they differ."""
    seen: set[str] = set()
    for lot in lots:
        plan = at.thoughts[lot.lot].plan
        fresh = [a for a in plan.actions if a.when == "now" and a.id not in seen]
        if not fresh:
            continue
        at.say()
        head = f"BESIDES, FOR {about(at.lot(lot.lot))}" if seen else "HAVE READY, AND THEN"
        at.say(head, strong=True)
        for place, action in enumerate(fresh[:_MOST_ORDERS], 1):
            at.say(action.text, f"{place}.")
        seen |= {action.id for action in fresh}


# -- by the clock ---------------------------------------------------------------


def _walk(at: Inquiry, lots: tuple[SealedLot, ...]) -> Talking[None]:
    """Bag by bag: opened, read, out; each step stamped with the clock."""
    for place, lot in enumerate(lots):
        try:
            yield from _open(at, lot, first=place == 0)
            yield from _out(at, lot.lot)
        except (Back, Same):
            at.say("A step of the clock cannot be taken back; correct it in the file.")
        except Enough:
            at.say("The release is left here.")
            return
    at.say()
    at.say("All out. Lights low, no food, hands off. Now one look at each lot:")
    yield from look_after(at)


def finish_open(at: Inquiry) -> Talking[None]:
    """Bags that were opened in an earlier sitting and not noted as empty."""
    waiting = [
        lot.id
        for lot in at.case.lot
        if lot.opened_at_hours is not None and lot.released_at_hours is None
    ]
    for lot in waiting:
        minutes = (at.hours_now() - (at.lot(lot).opened_at_hours or 0.0)) * 60
        at.say()
        name = about(at.lot(lot))
        at.say(f"{name}: opened {minutes:.0f} min ago, not noted as out.", strong=True)
        try:
            yield from _out(at, lot)
        except (Back, Same, Enough):
            at.say("Left as it is.")
    if waiting:
        yield from look_after(at)


def look_after(at: Inquiry) -> Talking[None]:
    """The first look in the tank: what was seen in the bag counts no more."""
    question = at.reasoner.base.questions.get(FIRST_LOOK)
    if question is None:
        return
    for lot in [each.id for each in at.case.lot if each.released_at_hours is not None]:
        try:
            yield from ask_one(at, question, lot)
        except (Back, Same, Enough):
            return


def _open(at: Inquiry, lot: SealedLot, *, first: bool) -> Talking[None]:
    name = about(at.lot(lot.lot))
    at.say()
    if not first:
        text = f"Next: {name}. Enter as you open the bag; e stops here."
        yield from at.enter(text, "step", lot.lot)
    opened = at.hours_now()
    yield from _stamp(at, lot.lot, opened, sealed="no", opened_at_hours=opened)
    at.say(f"{at.clock():%H:%M} {name}: open.{_deadline(at, lot)}", strong=True)
    question = at.reasoner.base.questions.get("ph")
    if question is not None:
        at.say("A cup of bag water aside, lid on. Read now if you can:")
        bag = {"reading": _bag_readings(at), "text": "Bag water: temperature and pH, at once?"}
        yield from ask_one(at, question.model_copy(update=bag), lot.lot)


def _out(at: Inquiry, lot: str) -> Talking[None]:
    yield from at.enter("Enter when the last one is in the tank.", "step", lot)
    released = at.hours_now()
    opened = at.lot(lot).opened_at_hours or released
    minutes = (released - opened) * 60
    text = f"{at.clock():%H:%M} {about(at.lot(lot))}: out, {minutes:.0f} min after opening. How?"
    keys = yield from at.menu(Ask("", "", "one", text, follows="way"), WAYS, None, lot)
    way = "unknown" if keys is None else keys[0]
    yield from _stamp(at, lot, released, released_at_hours=released, release_method=way)


def _bag_readings(at: Inquiry) -> tuple[str, ...]:
    quantities = at.reasoner.base.quantities
    return tuple(name for name in ("bag_temperature_c", "bag_ph") if name in quantities)


def _deadline(at: Inquiry, lot: SealedLot) -> str:
    """By when to be out, where the forecast knows a limit the still bag would pass."""
    record = at.thoughts[lot.lot].reasoned.sheet.quantity("minutes_open_to_nh3_limit")
    if record is None:
        return ""
    earliest = record.band[0]
    by = at.clock() + timedelta(minutes=earliest)
    return f" Be out by {by:%H:%M}: ammonia may pass the gill limit after {earliest:.0f} min."


def _stamp(at: Inquiry, lot: str, at_hours: float, **values: Any) -> Talking[None]:
    case = at.case
    for field, value in values.items():
        case = with_field(case, f"lot.{field}", value, Place(lot, at_hours))
    yield from at.keep(case, at_hours=at_hours)
