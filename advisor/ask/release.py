"""Shut bags: forecast, order, ways of opening; then the release by the clock."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from advisor.advice.facts.forecast import assumed_of_bag
from advisor.advice.move.order import PlaceInOrder as OpeningPlace
from advisor.advice.move.order import opening_order
from advisor.ask.answers.apply import with_field
from advisor.ask.answers.parts import Place
from advisor.ask.at_the_bag import NO_WAY_BACK, OPENED, READY, TUB, WAYS, confirmed, out_and_how
from advisor.ask.chance import answered_by
from advisor.ask.hands import amount_words
from advisor.ask.hours import about
from advisor.ask.inquiry import FIRST_LOOK, Inquiry
from advisor.ask.keys import Back, Enough, Leave, Same
from advisor.ask.next_question import LIKELY_SAID
from advisor.ask.records import Ask, NoMoreLines, Talking
from advisor.ask.rounds import ask_one
from advisor.case import Lot
from advisor.wording import numbers
from advisor.wording.numbers import fixed

#: What a forecast says of the shut bag, in words.
FORESEEN = {
    "ph": "pH {}",
    "tan_mg_l": "total ammonia {} mg/L as N",
    "co2_mg_l": "carbon dioxide {} mg/L",
    "do_mg_l": "oxygen {} mg/L",
}
#: From so many bags behind the first on it is asked whether they all go over alike.
_ASK_ONCE_FROM = 2
ALIKE = {"alike": "all the same way", "each": "each asked about by itself"}
#: Oxygen for longer than this is no worry [h].
LONG_H = 48.0
_MOST_ORDERS = 12


def open_bags(at: Inquiry) -> Talking[None]:
    """Show what is foreseen for the shut bags and, if wanted, walk through the release."""
    lots = _ordered(at)
    if not lots:
        return  # every bag told shut was emptied since
    at.say()
    at.say("Working out what each bag holds and what opening does ...")
    yield from at.out()
    _foresight(at, lots)
    _have_ready(at, lots)
    at.say()
    text = "Enter when you stand ready to open the first bag; n goes on with questions instead."
    try:
        yield from confirmed(at, text, lots[0].lot, READY)
    except (Back, Enough):
        return
    yield from _walk(at, lots)


# -- what is foreseen -----------------------------------------------------------


def _ordered(at: Inquiry) -> tuple[OpeningPlace, ...]:
    """The shut lots in the order that the assessment gives too."""
    thoughts = [thought.reasoned for thought in at.thoughts.values()]
    urgent = frozenset(
        lot for lot, t in at.thoughts.items() if any(a.emergency for a in t.plan.actions)
    )
    return opening_order(at.case, thoughts, at.reasoner.base, urgent)


def _foresight(at: Inquiry, places: tuple[OpeningPlace, ...]) -> None:
    """Opening order, with what each bag's water holds where it can be foreseen."""
    at.say()
    at.say("ORDER OF OPENING, computed; the bag whose fish lose most by waiting comes first")
    for each in places:
        at.say(f"{about(at.lot(each.lot))}: {each.because}", f"{each.place}.")
        sheet = at.thoughts[each.lot].reasoned.sheet
        parts = [
            words.format(numbers.with_band(record.number, *record.band))
            for name, words in FORESEEN.items()
            if (record := sheet.quantity(f"forecast_bag_{name}")) is not None
        ]
        if not parts:
            continue
        at.say(f"In the shut bag now: {', '.join(parts)}.", level=1)
        left = sheet.quantity("oxygen_hours_left")
        if left is not None:
            low, high = left.band
            hours = numbers.with_band(left.number, low, high)
            hours = f"{fixed(low)} h or more" if low > LONG_H else f"{hours} h"
            at.say(f"Oxygen left: {hours}.", level=1)
        for note in assumed_of_bag(sheet.lot):
            at.say(f"({note})", level=1)


def _have_ready(at: Inquiry, places: tuple[OpeningPlace, ...]) -> None:
    """What to do now, as the rules order it, for the first lot; others where they differ."""
    seen: set[str] = set()
    for each in places:
        plan = at.thoughts[each.lot].plan
        fresh = [a for a in plan.actions if a.when == "now" and a.id not in seen]
        if not fresh:
            continue
        at.say()
        head = f"BESIDES, FOR {about(at.lot(each.lot))}" if seen else "HAVE READY, AND THEN"
        at.say(head, strong=True)
        for place, action in enumerate(fresh[:_MOST_ORDERS], 1):
            at.say(action.text, f"{place}.")
            for amount in action.amounts:
                if words := amount_words(amount):
                    at.say(f"{amount.label}: {words}", level=1)
        seen |= {action.id for action in fresh}


# -- by the clock ---------------------------------------------------------------


def _walk(at: Inquiry, lots: tuple[OpeningPlace, ...]) -> Talking[None]:
    """Bag by bag: opened, read, out; each step stamped with the clock."""
    way: str | None = None
    for place, lot in enumerate(lots):
        try:
            yield from _open(at, lot, first=place == 0)
            taken = yield from _out(at, lot.lot, way)
            if place == 0 and taken != "unknown" and len(lots) - 1 >= _ASK_ONCE_FROM:
                way = yield from _for_the_rest(at, lots[1:], taken)
        except Enough:
            _left_here(at)
            return
    at.say()
    at.say("All out. Lights low, no food, hands off. Now one look at each lot:")
    yield from look_after(at)


def _left_here(at: Inquiry) -> None:
    """What the release leaves: bags that stand open with their fish, and shut ones."""
    at.say()
    at.say("The release is left here.", strong=True)
    for lot in at.case.lot:
        thought = at.thoughts[lot.id]
        if thought.reasoned.sheet.sealed:
            at.say(f"{about(lot)}: still shut.", "-", 1)
        elif lot.opened_at_hours is not None and not out_of_bag(lot):
            minutes = (at.hours_now() - lot.opened_at_hours) * 60
            first = next((f" {a.text}" for a in thought.plan.actions if a.when == "now"), "")
            at.say(f"{about(lot)}: open for {fixed(minutes)} min, not out.{first}", "!!", 1)
    at.say("The next sitting on this case begins with it.", level=1)


def finish_open(at: Inquiry) -> Talking[None]:
    """Bags that were opened in an earlier sitting and not noted as empty."""
    waiting = [
        lot.id for lot in at.case.lot if lot.opened_at_hours is not None and not out_of_bag(lot)
    ]
    for lot in waiting:
        minutes = (at.hours_now() - (at.lot(lot).opened_at_hours or 0.0)) * 60
        at.say()
        name = about(at.lot(lot))
        at.say(f"{name}: opened {fixed(minutes)} min ago, not noted as out.", strong=True)
        try:
            yield from _out(at, lot)
        except Enough:
            at.say("Left as it is.")
    if waiting:
        yield from look_after(at)


def look_after(at: Inquiry) -> Talking[None]:
    """The first look in the tank: what was seen in the bag counts no more."""
    question = at.reasoner.base.questions.get(FIRST_LOOK)
    if question is None:
        return
    for lot in [each.id for each in at.case.lot if out_of_bag(each)]:
        try:
            yield from ask_one(at, question, lot)
        except (Back, Same, Enough):
            return


def out_of_bag(lot: Lot) -> bool:
    """Whether they are noted as in the tank or in a tub."""
    return lot.released_at_hours is not None or lot.history.get("fish_are_in") == TUB


def taken_out(way: str, at_hours: float) -> dict[str, Any]:
    """What stands of a lot once it is out of the bag one of the :data:`WAYS`, by field."""
    if way == TUB:
        return {"history.fish_are_in": TUB}
    return {"released_at_hours": at_hours, "release_method": way}


def put_back(lot: Lot) -> dict[str, Any]:
    """What stands of a lot that was said to be out of its bag and was not, by field."""
    fields: dict[str, Any] = {"released_at_hours": None, "release_method": None}
    if lot.history.get("fish_are_in") == TUB:
        fields["history"] = {k: v for k, v in lot.history.items() if k != "fish_are_in"}
    return fields


def _open(at: Inquiry, lot: OpeningPlace, *, first: bool) -> Talking[None]:
    name = about(at.lot(lot.lot))
    at.say()
    if not first:
        text = f"Next: {name}. Enter as you open the bag; e stops here."
        yield from confirmed(at, text, lot.lot, OPENED)
    opened = at.hours_now()
    yield from _stamp(at, lot.lot, opened, sealed="no", opened_at_hours=opened)
    at.say(f"{at.clock():%H:%M} {name}: open.{_deadline(at, lot)}", strong=True)
    question = at.reasoner.base.questions.get("ph")
    if question is not None and answered_by(question, at.case, at.reasoner.base) >= LIKELY_SAID:
        at.say("A cup of bag water aside, lid on. Read now if you can:")
        bag = {"reading": _bag_readings(at), "text": "Bag water: temperature and pH, at once?"}
        try:
            yield from ask_one(at, question.model_copy(update=bag), lot.lot)
        except (Back, Same):
            at.say(NO_WAY_BACK)


def _for_the_rest(at: Inquiry, lots: tuple[OpeningPlace, ...], way: str) -> Talking[str | None]:
    """The way the other bags go too, asked once; None where each is asked about."""
    names = ", ".join(about(at.lot(each.lot)) for each in lots)
    ask = Ask("", "", "one", f"And {names}?", follows="way")
    lines = {**ALIKE, "alike": f"all {WAYS[way]}"}
    try:
        keys = yield from at.menu(ask, lines, None, lots[0].lot)
    except (Back, Same):
        return None
    return way if keys == ("alike",) else None


def _out(at: Inquiry, lot: str, way: str | None = None) -> Talking[str]:
    """Out of the bag, by the clock; gives the way. ``way``: said before for all bags alike."""
    text = "Enter when the last one is out of the bag."
    if way is not None:
        text += f" Taken as {WAYS[way]}; type another way if it was not."
    while True:
        said = yield from out_and_how(at, text, lot)
        released = at.hours_now()
        opened = at.lot(lot).opened_at_hours or released
        minutes = (released - opened) * 60
        out = f"{at.clock():%H:%M} {about(at.lot(lot))}: out, {fixed(minutes)} min after opening."
        went = said or way
        if went is not None:
            at.say(f"{out} {WAYS[went].capitalize()}.")
        else:
            try:
                went = yield from _how(at, out, lot)
            except (Back, Same):
                at.say("Not out, then.")
                continue
            except (Enough, Leave, NoMoreLines):  # they are out, whatever else is left
                yield from _stamp(at, lot, released, **taken_out("unknown", released))
                raise
        yield from _stamp(at, lot, released, **taken_out(went, released))
        return went


def _how(at: Inquiry, out: str, lot: str) -> Talking[str]:
    ask = Ask("", "", "one", f"{out} How?", follows="way")
    keys = yield from at.menu(ask, WAYS, None, lot)
    return "unknown" if keys is None else keys[0]


def _bag_readings(at: Inquiry) -> tuple[str, ...]:
    quantities = at.reasoner.base.quantities
    return tuple(name for name in ("bag_temperature_c", "bag_ph") if name in quantities)


def _deadline(at: Inquiry, lot: OpeningPlace) -> str:
    """By when to be out, where the forecast knows a limit the still bag would pass."""
    record = at.thoughts[lot.lot].reasoned.sheet.quantity("minutes_open_to_nh3_limit")
    if record is None:
        return ""
    earliest = record.band[0]
    by = at.clock() + timedelta(minutes=earliest)
    return f" Be out by {by:%H:%M}: ammonia may pass the gill limit after {fixed(earliest)} min."


def _stamp(at: Inquiry, lot: str, at_hours: float, **values: Any) -> Talking[None]:
    case = at.case
    for field, value in values.items():
        case = with_field(case, f"lot.{field}", value, Place(lot, at_hours))
    yield from at.keep(case, at_hours=at_hours)
