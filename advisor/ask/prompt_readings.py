"""Readings asked for: value with unit, basis, kind of kit, odd values, top marks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from advisor.ask.answers.choosing import is_yes, pick
from advisor.ask.answers.looks import with_readings
from advisor.ask.answers.no_answer import fact_of
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import UNKNOWN, Read, Reply
from advisor.ask.answers.typed_reading import (
    BOXES,
    KIT_NAMES,
    as_reading,
    asks_kit,
    kit_in,
    may_be_top_mark,
)
from advisor.ask.hear.line import plain, with_numbers
from advisor.ask.hear.readings_said import readings
from advisor.ask.next_question import can_be_taken
from advisor.ask.prompt import Prompt
from advisor.ask.records import Choice, Talking
from advisor.case.figures import impossible
from advisor.case.readings import Kit, Reading
from advisor.case.warmth import warmth_doubt
from advisor.errors import AdvisorError
from advisor.rulebase.entries import QuantityEntry as Asked
from advisor.units import (
    PARAMETERS,
    AmbiguousBasis,
    Quantity,
    WordNotReading,
    format_value,
    is_odd,
    is_unknown,
    parse,
)
from advisor.wording.numbers import fixed

#: A temperature in the scale of the United States.
_FAHRENHEIT = re.compile(r"\d\s*°?\s*(?:f|fahrenheit)\b", re.I)


#: "no test kit" at a reading is no test that read 0.
_NOTHING_TO_READ = re.compile(
    r"(?:sorry )?(?:(?:i|we|there is) )?(?:have |got |have got )?"
    r"(?:no|dont have an?y?|do not have an?y?|havent got an?y?|without an?y?)"
    r" (?:\w+ )?(?:kits?|strips?|thermometers?|meters?|probes?)"
    r"(?: here| at all| left| at hand)*[ .!]*$"
)
#: By itself no reading: a test that found none, or no test.
_BARE_NONE = frozenset(("none", "nothing", "no", "nope"))
#: Waters that all lots share; the reading of one lot is that of the next.
SHARED = ("tank", "tap")
#: What the kit of a box is for, as it is asked about.
_BOX_FOR = {"ph": "pH", "oxygen": "oxygen", "hardness": "hardness"}


def ask_readings(prompt: Prompt) -> Talking[Reply]:
    """One prompt for each reading of the question that is not known yet."""
    taken: dict[str, Reading] = {}
    said: dict[str, bool | float | str] = {}
    waiting: dict[str, Quantity] = {}  # told at the prompt of another reading
    no_kit: set[str] = set()
    before = None if prompt.old is None else prompt.old.reply
    old = before.readings if isinstance(before, Read) else {}
    wanted = [name for name in prompt.question.reading if _can_be_read(name, prompt)]
    for place, name in enumerate(wanted):
        yield from _kept_so_far(taken, prompt)
        quantity = prompt.base.quantities[name]
        if quantity.kit in no_kit and name not in waiting:
            continue
        typed = waiting.pop(name, None)
        if typed is not None:
            typed = yield from sure(typed, _stands_apart(typed, quantity, taken, prompt), prompt)
        if typed is None:
            typed = yield from _value(quantity, prompt, said, waiting, taken, first=place == 0)
        if typed is None and name in old and not prompt.at.last_line.strip():
            taken[name] = old[name]  # Enter at an answer that was taken back keeps it
            continue
        if typed is None:
            if quantity.water in SHARED:
                prompt.at.habits.unread.add(name)
            no_kit |= _perhaps_missing(quantity, prompt)
            continue
        parameter = quantity.parameter or name
        kit = yield from _kit(parameter, typed.entered, prompt)
        top = may_be_top_mark(typed, parameter, kit) and (yield from _is_top(prompt))
        taken[name] = as_reading(typed, parameter, kit, top_mark=top)
        prompt.at.say(_echo(quantity, parameter, taken[name]), level=1)
    return Read(taken, said) if taken or said else UNKNOWN


def _kept_so_far(taken: Mapping[str, Reading], prompt: Prompt) -> Talking[None]:
    """What was echoed is on disk before the next reading is asked for."""
    if taken:
        at = prompt.at
        place = Place(prompt.lot_id, at.at_hours)
        stood = prompt.before or at.case
        case = with_readings(stood, taken, place, at.reasoner.base)
        if set(impossible(case)) <= set(impossible(stood)):  # else the whole answer is refused
            yield from at.keep_part(case, aside=prompt.before is not None)


def _perhaps_missing(quantity: Asked, prompt: Prompt) -> set[str]:
    """The kit of a reading that was not taken, where nobody said that it is at hand."""
    record = prompt.sheet.records.get(("history", quantity.kit or ""))
    return set() if quantity.kit is None or record is not None else {quantity.kit}


def _can_be_read(name: str, prompt: Prompt) -> bool:
    records = prompt.sheet.records
    left = name in prompt.at.habits.unread  # not read for the lot before: the water is the same
    if (left or ("reading", name) in records) and name not in prompt.again:
        return False
    return can_be_taken(name, prompt.sheet, prompt.base)


def _value(
    quantity: Asked,
    prompt: Prompt,
    said: dict[str, bool | float | str],
    waiting: dict[str, Quantity],
    taken: Mapping[str, Reading],
    *,
    first: bool,
) -> Talking[Quantity | None]:
    """A quantity typed for a reading; None when not known."""
    parameter = quantity.parameter or quantity.id
    part = f"{quantity.name} (like {PARAMETERS[parameter].write}), Enter if not measured:"
    ask = prompt.asking("line", part=part, follows="" if first else "part")
    asked_again = False
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking("line", part=part, again=True)
        if is_unknown(line) or _NOTHING_TO_READ.match(plain(line)):
            if not is_unknown(line):
                prompt.at.say("Kept as not known.", level=1)
            return None
        noted = len(waiting)
        bare = plain(line) in _BARE_NONE  # asked about: it may say that nothing was measured
        heard = None if bare else _told(line, quantity, prompt, waiting)
        if heard is None and len(waiting) > noted:
            continue
        try:
            found = heard or (yield from _parsed(line, parameter, quantity, prompt))
        except WordNotReading as fault:
            item = fact_of(fault.ask)
            if item is not None:
                said[item] = "yes"
            if asked_again:
                prompt.at.say("Kept as not known.")
                return None
            asked_again = True
            prompt.at.say(fault.ask)
            continue
        except AdvisorError as fault:
            yield from other_unit(fault, line, prompt)
            continue
        doubt = is_odd(found.value, parameter) or _stands_apart(found, quantity, taken, prompt)
        kept = yield from sure(found, doubt, prompt)
        if kept is not None:
            for name in ("tested_fine_without_number", "called_cycled_without_number"):
                said.pop(name, None)
            return kept


def _stands_apart(
    found: Quantity, quantity: Asked, taken: Mapping[str, Reading], prompt: Prompt
) -> str | None:
    """The question where a bag's warmth fits neither its fellows, the journey nor the tank."""
    if quantity.id != "bag_temperature_c":
        return None
    tank = taken.get("tank_temperature_c")
    tank_c = prompt.sheet.number("tank_temperature_c") if tank is None else tank.value
    at = prompt.at
    doubt = warmth_doubt(at.case, prompt.lot_id, found.value, at.at_hours, tank_c)
    return None if doubt is None else f"{doubt}. Is that right?"


def _told(
    line: str, quantity: Asked, prompt: Prompt, waiting: dict[str, Quantity]
) -> Quantity | None:
    """What a line says of the reading asked for; those it says of others wait for their prompt."""
    own = (quantity.water or "tank", quantity.parameter or quantity.id)
    warm = prompt.sheet.number(f"{own[0]}_temperature_c")
    around = {} if warm is None else {"temperature_c": warm}
    text = with_numbers(line)
    told = readings(text, prompt.question, prompt.base, around, own).readings
    for (water, parameter), heard in told.items():
        name = f"{water}_{parameter}"
        if (water, parameter) != own and name in prompt.question.reading:
            waiting[name] = heard.quantity
            prompt.at.say(f"Noted: {prompt.base.quantities[name].name}.", level=1)
    return replace(told[own].quantity, entered=line.strip()) if own in told else None


def _parsed(line: str, parameter: str, quantity: Asked, prompt: Prompt) -> Talking[Quantity]:
    """The quantity, its basis asked when the number can mean several amounts."""
    around = {
        name: prompt.sheet.number(f"{quantity.water}_{name}")
        for name in ("temperature_c", "salinity_g_kg")
    }
    try:
        return parse(line, parameter, **around)
    except AmbiguousBasis as doubt:
        return (yield from basis_of(doubt, parameter, prompt))


def basis_of(doubt: AmbiguousBasis, parameter: str, prompt: Prompt) -> Talking[Quantity]:
    """Ask which amount is meant; not knowing widens the band instead of guessing."""
    options, habits = dict(doubt.options), prompt.at.habits
    before = habits.basis.get(parameter)
    if before in options:
        prompt.at.say(f"Counted {before}, as before.", level=1)
        return options[before]
    hint = "Enter if you do not know: the band then spans them all."
    ask = prompt.asking("one", doubt.question, follows="basis", hint=hint)
    keys = yield from prompt.menu(ask, {label: label for label in options})
    if keys is None:
        return doubt.widened
    habits.basis[parameter] = keys[0]
    return options[keys[0]]


def other_unit(fault: AdvisorError, line: str, prompt: Prompt) -> Talking[None]:
    """Say what is wrong with a value; where another unit fits, "y" takes it."""
    sentence = str(fault).split(": ", 1)[-1]
    meant = re.search(r"Is that ([^\s?]+)\?", sentence)
    prompt.at.complain(f"{sentence} y takes it so." if meant else sentence)
    if meant is None:
        return
    answer = yield from prompt.line(prompt.asking("enter", "", follows="other_unit", again=True))
    prompt.at.push(f"{line.strip()} {meant.group(1)}" if is_yes(answer) else answer)


def sure(found: Quantity, doubt: str | None, prompt: Prompt) -> Talking[Quantity | None]:
    """The same quantity; an odd one is questioned once. None to ask again."""
    if doubt is None:
        return found
    text = f"{doubt} y keeps it; or type it again."
    line = yield from prompt.line(prompt.asking("line", text, follows="odd"))
    if is_yes(line):
        return found
    if not is_unknown(line):
        prompt.at.push(line)
    else:
        prompt.at.say("Not kept. Type it again, or Enter once more if not measured.", level=1)
    return None


def _kit(parameter: str, entered: str, prompt: Prompt) -> Talking[Kit | None]:
    """The kind of kit: named in the line, said before, or asked once."""
    if not asks_kit(parameter):
        return None
    box, kits = BOXES.get(parameter, "tubes"), prompt.at.habits.kits
    named = kit_in(entered)
    if named is not None:
        kits[box] = named
    elif box not in kits:
        kits[box] = yield from _ask_kit(prompt, _BOX_FOR.get(box, "ammonia and the like"))
    return kits[box]


def _ask_kit(prompt: Prompt, what: str) -> Talking[Kit | None]:
    lines = {str(kit): name for kit, name in KIT_NAMES.items()}

    def read(line: str) -> Kit:
        key = kit_in(line) or pick(line, lines, several=False).keys[0]
        return next(kit for kit in KIT_NAMES if kit == key)

    choices = tuple(Choice(key, name) for key, name in lines.items())
    text = f"What kind of kit for {what}? (asked once for it)"
    ask = prompt.asking("one", text, follows="kit", choices=choices)
    return (yield from prompt.until(ask, read))


def _is_top(prompt: Prompt) -> Talking[bool]:
    text = "Was that the last, darkest mark of the kit? y or Enter for no"
    return is_yes((yield from prompt.line(prompt.asking("enter", text, follows="top_mark"))))


def _echo(quantity: Asked, parameter: str, reading: Reading) -> str:
    text = f"{quantity.name}: {format_value(reading.value, parameter)}{_as_typed(reading)}"
    low, high = reading.low, reading.high
    if reading.at_least:
        text += " or more"
    elif low is not None and high is not None and high > low:
        unit = PARAMETERS[parameter].unit
        least = format_value(low, parameter).removesuffix(unit).rstrip()
        text += f", could be {least} to {format_value(high, parameter)}"
    return text + "."


def _as_typed(reading: Reading) -> str:
    """A temperature typed in the other scale, in that scale too."""
    if _FAHRENHEIT.search(reading.entered or ""):
        return f" ({fixed(reading.value * 9 / 5 + 32)} °F)"
    return ""
