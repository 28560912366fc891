"""Shut bags on the screen: forecast, order, ways of opening; then the release by the clock."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from advisor.ask.answers.apply import with_field
from advisor.ask.answers.choosing import NotUnderstood, is_no, pick, says_unknown
from advisor.ask.answers.parts import Place
from advisor.ask.opening import SealedLot, sealed_lots
from advisor.bag.bands import Band
from advisor.case.model import Part
from advisor.screens.session.controls import Back, Enough, Same
from advisor.screens.session.session import Session, about
from advisor.screens.session.talk import Talk

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


def open_bags(session: Session) -> None:
    """Show what is foreseen for the shut bags and, if wanted, walk through the release."""
    talk = session.talk
    talk.say()
    talk.say("Working out what each bag holds and what opening does ...")
    talk.out.flush()
    thoughts = {lot: thought.reasoned for lot, thought in session.thoughts.items()}
    lots = sealed_lots(session.case, thoughts)
    show_foresight(talk, lots, session)
    _have_ready(talk, lots, session)
    talk.say()
    talk.say("Enter when you stand ready to open the first bag; n goes on with questions instead.")
    try:
        if is_no(session._line(None, lots[0].lot)):
            return
    except (Back, Same, Enough):
        return
    walk(session, lots)


def show_foresight(talk: Talk, lots: tuple[SealedLot, ...], session: Session) -> None:
    """Opening order, and for each lot forecast, floating and the ways of opening compared."""
    talk.say()
    talk.say("ORDER OF OPENING, computed; the bag whose fish lose most by waiting comes first")
    for lot in lots:
        name = about(session._lot(lot.lot))
        talk.item(f"{lot.place}.", f"{name}: {lot.because}")
        if lot.forecast is None:
            talk.say(f"Give {', '.join(lot.missing)} to have it forecast.", indent=4)
        else:
            _forecast(talk, lot)
        if lot.afloat is not None:
            _afloat(talk, lot)
        _ways(talk, lot)
        for note in lot.assumed:
            talk.say(f"({note})", indent=4)
    statements = {way.statement for lot in lots for way in lot.openings}
    for statement in sorted(statements):
        talk.say(statement, indent=1)


def _forecast(talk: Talk, lot: SealedLot) -> None:
    assert lot.forecast is not None
    end = lot.forecast.end
    words = [
        f"pH {_span(end['ph'])}",
        f"total ammonia {_span(end['tan_mg_l'])} mg/L as N",
        f"carbon dioxide {_span(end['co2_mg_l'])} mg/L",
        f"oxygen {_span(end['do_mg_l'])} mg/L",
        f"{_span(end['temperature_c'])} °C",
    ]
    talk.say("In the shut bag now: " + ", ".join(words) + ".", indent=4)
    left = lot.forecast.oxygen_hours_left
    if left is not None:
        hours = f"{left.low:.0f} h or more" if left.low > 48 else f"{_span(left)} h"
        talk.say(f"Oxygen left: {hours}.", indent=4)


def _span(band: Band) -> str:
    """ "6.9 (6.4 to 7.6)"; one figure when the band is narrow."""
    value, low, high = (_figure(number) for number in (band.value, band.low, band.high))
    return value if low == high else f"{value} ({low} to {high})"


def _figure(number: float) -> str:
    return f"{number:.0f}" if abs(number) >= 100 else f"{number:.2g}"


def _afloat(talk: Talk, lot: SealedLot) -> None:
    assert lot.afloat is not None
    minutes = lot.afloat.minutes
    if minutes.value < 1:
        talk.say("Bag and tank are within 2 °C: no floating needed.", indent=4)
    else:
        talk.say(
            f"Float shut {minutes.value:.0f} min ({minutes.low:.0f} to {minutes.high:.0f}) to come "
            "within 2 °C; a thermometer knows better.",
            indent=4,
        )


def _ways(talk: Talk, lot: SealedLot) -> None:
    """Ways of opening by the ammonia the fish meet; all of them for the first lot."""
    ordered = sorted(lot.openings, key=lambda each: each.nh3_dose_mg_h_l.value)
    if not ordered:
        return
    if lot.place == 1:
        talk.say("Ways of opening, least un-ionised ammonia first (peak, mg/L as N):", indent=4)
        for way in ordered:
            talk.item("-", _way_words(way), indent=5)
    else:
        talk.say(f"Least ammonia: {_way_words(ordered[0])}.", indent=4, hang=2)
        talk.say(f"Most: {_way_words(ordered[-1])}.", indent=4, hang=2)
    slow = ordered[0].slow_change_because
    if slow:
        talk.say(f"Here slow change comes before ammonia: {slow}.", indent=4, strong=True)


def _way_words(way: OpeningResult) -> str:
    peak = f"{way.peak_nh3_n_mg_l.value:.3f}, up to {way.peak_nh3_n_mg_l.high:.3f}"
    steps = (
        f"pH step {way.steepest_ph_step.value:.1f}, "
        f"temperature step {way.steepest_temperature_step_c.value:.1f} °C"
    )
    return f"{way.label}: {peak}; {steps}"


def _have_ready(talk: Talk, lots: tuple[SealedLot, ...], session: Session) -> None:
    """What to do now, as the rules order it, for the first lot; others where they differ."""
    seen: set[str] = set()
    for lot in lots:
        plan = session.thoughts[lot.lot].plan
        fresh = [a for a in plan.actions if a.when == "now" and a.id not in seen]
        if not fresh:
            continue
        talk.say()
        head = (
            "HAVE READY, AND THEN" if not seen else f"BESIDES, FOR {about(session._lot(lot.lot))}"
        )
        talk.say(head, strong=True)
        for at, action in enumerate(fresh[:_MOST_ORDERS], 1):
            talk.item(f"{at}.", action.text, indent=1)
        seen |= {action.id for action in fresh}


def walk(session: Session, lots: tuple[SealedLot, ...]) -> None:
    """Bag by bag: opened, read, out; each step stamped with the clock."""
    for at, lot in enumerate(lots):
        try:
            _open(session, lot, at)
            _out(session, lot.lot)
        except (Back, Same):
            session.talk.say("A step of the clock cannot be taken back; correct it in the file.")
        except Enough:
            session.talk.say("The release is left here.")
            return
    session.talk.say()
    session.talk.say("All out. Lights low, no food, hands off. Now one look at each lot:")
    look_after(session)


def finish_open(session: Session) -> None:
    """Bags that were opened in an earlier sitting and not noted as empty."""
    waiting = [
        lot.id
        for lot in session.case.lot
        if lot.opened_at_hours is not None and lot.released_at_hours is None
    ]
    for lot in waiting:
        opened = session._lot(lot).opened_at_hours or 0.0
        minutes = (session.hours_now() - opened) * 60
        name = about(session._lot(lot))
        session.talk.say()
        session.talk.say(f"{name}: opened {minutes:.0f} min ago, not noted as out.", strong=True)
        try:
            _out(session, lot)
        except (Back, Same, Enough):
            session.talk.say("Left as it is.")
    if waiting:
        look_after(session)


def look_after(session: Session) -> None:
    """The first look in the tank: what was seen in the bag counts no more."""
    question = session.reasoner.base.questions.get(FIRST_LOOK)
    if question is None:
        return
    for lot in [each.id for each in session.case.lot if each.released_at_hours is not None]:
        try:
            session.put(question, lot)
        except (Back, Same, Enough):
            return


def _open(session: Session, lot: SealedLot, at: int) -> None:
    talk = session.talk
    name = about(session._lot(lot.lot))
    talk.say()
    if at:
        talk.say(f"Next: {name}. Enter as you open the bag; e stops here.", strong=True)
        session._line(None, lot.lot)
    opened = session.hours_now()
    _stamp(session, lot.lot, {"lot.sealed": "no", "lot.opened_at_hours": opened}, opened)
    talk.say(f"{session.clock():%H:%M} {name}: open.{_deadline(session, lot)}", strong=True)
    question = session.reasoner.base.questions.get("ph")
    if question is not None:
        talk.say("A cup of bag water aside, lid on. Read now if you can:")
        bag = {"reading": _bag_readings(session), "text": "Bag water: temperature and pH, at once?"}
        session.put(question.model_copy(update=bag), lot.lot)


def _out(session: Session, lot: str) -> None:
    talk = session.talk
    talk.say("Enter when the last one is in the tank.")
    session._line(None, lot)
    released = session.hours_now()
    opened = session._lot(lot).opened_at_hours or released
    name = about(session._lot(lot))
    minutes = (released - opened) * 60
    talk.say(f"{session.clock():%H:%M} {name}: out, {minutes:.0f} min after opening. How?")
    values = {"lot.released_at_hours": released, "lot.release_method": _way(session, lot)}
    _stamp(session, lot, values, released)


def _bag_readings(session: Session) -> tuple[str, ...]:
    return tuple(
        name for name in ("bag_temperature_c", "bag_ph") if name in session.reasoner.base.quantities
    )


def _deadline(session: Session, lot: SealedLot) -> str:
    """By when to be out, where the forecast knows a limit the still bag would pass."""
    record = session.thoughts[lot.lot].reasoned.sheet.quantity("minutes_open_to_nh3_limit")
    if record is None:
        return ""
    earliest = record.band[0]
    by = session.clock() + timedelta(minutes=earliest)
    return f" Be out by {by:%H:%M}: ammonia may pass the gill limit after {earliest:.0f} min."


def _way(session: Session, lot: str) -> str:
    for at, words in enumerate(WAYS.values(), 1):
        session.talk.item(str(at), words, indent=2)
    while True:
        line = session._line(None, lot)
        if says_unknown(line):
            return "unknown"
        try:
            return pick(line, WAYS, several=False).keys[0]
        except NotUnderstood as fault:
            session.talk.say(str(fault))


def _stamp(session: Session, lot: str, values: dict[str, object], at_hours: float) -> None:
    case: Part = session.case
    for field, value in values.items():
        case = with_field(case, field, value, Place(lot, at_hours))  # type: ignore[arg-type]
    session.keep(case, at_hours=at_hours)  # type: ignore[arg-type]
