"""Readings typed at a prompt: value with unit, basis, kind of kit, odd values, top marks."""

from __future__ import annotations

import re

from advisor.ask.answers import UNKNOWN, NotUnderstood, Read, Reply, pick
from advisor.ask.answers.choosing import is_yes, says_unknown
from advisor.ask.answers.kits import (
    KIT_NAMES,
    as_reading,
    asks_kit,
    kit_in,
    may_be_top_mark,
    said_instead,
)
from advisor.ask.shape import Item
from advisor.case.readings import Kit
from advisor.errors import AdvisorError
from advisor.rulebase.model import Quantity as Asked
from advisor.rulebase.model import Question
from advisor.screens.session.context import Context
from advisor.screens.session.draw import draw
from advisor.units import (
    PARAMETERS,
    AmbiguousBasis,
    Quantity,
    WordNotReading,
    format_value,
    is_odd,
    parse,
)

#: Parameters read with one kit box, so that its kind is asked once for all of them.
_BOXES: dict[str, str] = {
    "ph": "ph", "do_mg_l": "oxygen",
    "alkalinity_mg_l_caco3": "hardness", "hardness_mg_l_caco3": "hardness",
}  # fmt: skip


def ask_readings(question: Question, context: Context) -> Reply:
    """One prompt for each reading of the question that is not known yet."""
    if not context.drawn:
        draw(context.talk, context.number, question.text, {}, about=context.about)
    readings = {}
    said: dict[str, bool | float | str] = {}
    for name in question.reading:
        quantity = context.base.quantities[name]
        if not _can_be_read(name, quantity, context):
            continue
        typed = _value(quantity, context, said)
        if typed is None:
            continue
        parameter = quantity.parameter or name
        kit = _kit(parameter, typed.entered, context)
        top = may_be_top_mark(typed, parameter, kit) and _is_top(context)
        readings[name] = as_reading(typed, parameter, kit, top_mark=top)
        _echo(quantity, parameter, readings[name], context)
    return Read(readings, said) if readings or said else UNKNOWN


def _can_be_read(name: str, quantity: Asked, context: Context) -> bool:
    item: Item = ("reading", name)
    if item in context.sheet.records and name not in context.again:
        return False
    shut = context.sheet.records.get(("history", "bags_sealed"))
    is_shut = shut is not None and shut.value == "yes"
    return not (is_shut and quantity.water == "bag" and quantity.parameter != "temperature_c")


def _value(
    quantity: Asked, context: Context, said: dict[str, bool | float | str]
) -> Quantity | None:
    """A quantity typed for a reading; None when not known."""
    parameter = quantity.parameter or quantity.id
    example = PARAMETERS[parameter].write
    context.talk.say(f"{quantity.name} (like {example}), Enter if not measured:", indent=3)
    asked_again = False
    while True:
        line = context.line()
        if says_unknown(line):
            return None
        try:
            found = _parsed(line, parameter, quantity, context)
        except WordNotReading as fault:
            item = said_instead(fault)
            if item is not None:
                said[item[0]] = item[1]
            if asked_again:
                context.talk.say("Kept as not known.")
                return None
            asked_again = True
            context.talk.say(fault.ask)
            continue
        except AdvisorError as fault:
            other_unit(fault, line, context)
            continue
        kept = sure(found, parameter, context)
        if kept is not None:
            for item_name in ("tested_fine_without_number", "called_cycled_without_number"):
                said.pop(item_name, None)
            return kept


def _parsed(line: str, parameter: str, quantity: Asked, context: Context) -> Quantity:
    """The quantity, its basis asked when the number can mean several amounts."""
    around = {
        name: context.sheet.number(f"{quantity.water}_{name}")
        for name in ("temperature_c", "salinity_g_kg")
    }
    try:
        return parse(line, parameter, **around)
    except AmbiguousBasis as doubt:
        return basis_of(doubt, parameter, context)


def basis_of(doubt: AmbiguousBasis, parameter: str, context: Context) -> Quantity:
    """Ask which amount is meant; not knowing widens the band instead of guessing."""
    options = dict(doubt.options)
    before = context.habits.basis.get(parameter)
    if before in options:
        context.talk.say(f"Counted {before}, as before.", indent=3)
        return options[before]
    context.talk.say(doubt.question, indent=3)
    lines = {label: label for label in options}
    for at, label in enumerate(lines, 1):
        context.talk.item(str(at), label, indent=5)
    context.talk.say("Enter if you do not know: the band then spans them all.", indent=3)
    while True:
        line = context.line()
        if says_unknown(line):
            return doubt.widened
        try:
            label = pick(line, lines, several=False).keys[0]
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        context.habits.basis[parameter] = label
        return options[label]


def other_unit(fault: AdvisorError, line: str, context: Context) -> None:
    """Say what is wrong with a value; where another unit fits, "y" takes it."""
    sentence = str(fault).split(": ", 1)[-1]
    meant = re.search(r"Is that ([^\s?]+)\?", sentence)
    context.complain(f"{sentence} y takes it so." if meant else sentence)
    if meant is None:
        return
    answer = context.line()
    context.talk.push(f"{line.strip()} {meant.group(1)}" if is_yes(answer) else answer)


def sure(found: Quantity, parameter: str, context: Context) -> Quantity | None:
    """The same quantity; an odd one is questioned once. None to ask again."""
    doubt = is_odd(found.value, parameter)
    if doubt is None:
        return found
    context.talk.say(f"{doubt} y keeps it; or type it again.", indent=3)
    line = context.line()
    if is_yes(line):
        return found
    if not says_unknown(line):
        context.talk.push(line)
    else:
        context.talk.say("Not kept. Type it again, or Enter once more if not measured.", indent=3)
    return None


def _kit(parameter: str, entered: str, context: Context) -> Kit | None:
    """The kind of kit: named in the line, said before, or asked once."""
    if not asks_kit(parameter):
        return None
    box = _BOXES.get(parameter, "tubes")
    named = kit_in(entered)
    if named is not None:
        context.habits.kits[box] = named
        return named
    if box not in context.habits.kits:
        context.habits.kits[box] = _ask_kit(context)
    return context.habits.kits[box]


def _ask_kit(context: Context) -> Kit | None:
    context.talk.say("What kind of kit? (asked once)", indent=3)
    for at, name in enumerate(KIT_NAMES.values(), 1):
        context.talk.item(str(at), name, indent=5)
    while True:
        line = context.line()
        if says_unknown(line):
            return None
        named = kit_in(line)
        if named is not None:
            return named
        try:
            picked = pick(line, {str(kit): name for kit, name in KIT_NAMES.items()}, several=False)
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        return next(kit for kit in KIT_NAMES if kit == picked.keys[0])


def _is_top(context: Context) -> bool:
    context.talk.say("Was that the last, darkest mark of the kit? y or Enter for no", indent=3)
    return is_yes(context.line())


def _echo(quantity: Asked, parameter: str, reading: object, context: Context) -> None:
    low, high = getattr(reading, "low", None), getattr(reading, "high", None)
    value = float(getattr(reading, "value", 0.0))
    text = f"{quantity.name}: {format_value(value, parameter)}"
    if getattr(reading, "at_least", False):
        text += " or more"
    elif low is not None and high is not None and high > low:
        text += f", could be {format_value(low, parameter)} to {format_value(high, parameter)}"
    context.talk.say(text + ".", indent=3)
