"""Numbers, counts and the list of fish, typed at a prompt."""

from __future__ import annotations

import re

from advisor.ask.answers import UNKNOWN, Counted, Filled, Lots, NotUnderstood, Reply, pick
from advisor.ask.answers.choosing import is_yes, plain, says_unknown
from advisor.ask.answers.lots import read_lots
from advisor.ask.answers.numbers import parameter_of, read_counts, read_number, values_of
from advisor.ask.answers.replies import Draft
from advisor.errors import AdvisorError
from advisor.rulebase.model import Question
from advisor.rulebase.species import find_species, similar_species
from advisor.screens.session.context import Context
from advisor.screens.session.draw import draw
from advisor.screens.session.prompt_readings import basis_of, other_unit
from advisor.units import AmbiguousBasis, Quantity, WordNotReading, format_value
from advisor.units.parameters import PARAMETERS


def ask_field(question: Question, context: Context) -> Reply:
    """A number of the case, heads counted, or the lots."""
    if not context.drawn:
        draw(context.talk, context.number, question.text, {}, about=context.about)
    if question.field == "lots":
        return _lots(context)
    if question.field == "look.counts":
        return _counts(context)
    return _number(question.field or "", context)


def _counts(context: Context) -> Reply:
    while True:
        line = context.line()
        if says_unknown(line):
            return UNKNOWN
        try:
            counts = read_counts(line)
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        context.talk.say(f"{counts.dead or 0} dead, {counts.down or 0} down.", indent=3)
        return Counted(counts)


def _number(field: str, context: Context) -> Reply:
    asked_again = False
    while True:
        line = context.line()
        if says_unknown(line):
            return UNKNOWN
        try:
            quantity = read_number(_with_unit(line, field, context), field)
        except WordNotReading as fault:
            if asked_again:
                context.talk.say("Kept as not known.")
                return UNKNOWN
            asked_again = True
            context.talk.say(fault.ask)
            continue
        except AmbiguousBasis as doubt:
            quantity = basis_of(doubt, field, context)
        except AdvisorError as fault:
            other_unit(fault, line, context)
            continue
        if _kept(quantity, field, context):
            return Filled(values_of(quantity, field))


def _with_unit(line: str, field: str, context: Context) -> str:
    """The line; a bare number of "how long ago" with its unit, which may be any of three."""
    bare = re.fullmatch(r"\s*0*[1-9]\d*([.,]\d+)?\s*", line)
    if field != "look.at_hours" or not bare or context.talk.by_name:
        return line
    context.talk.say(f"{line.strip()} what: 1 minutes, 2 hours, 3 days?", indent=3)
    while True:
        answer = context.line()
        if says_unknown(answer):
            return line
        try:
            unit = pick(answer, {"min": "minutes", "h": "hours", "days": "days"}, several=False)
            return f"{line.strip()} {unit.keys[0]}"
        except NotUnderstood:
            if re.search(r"\d\s*[a-zA-Z]", answer):
                return answer  # the whole answer anew: "20 min"
            context.complain("1 minutes, 2 hours, 3 days.")


def _kept(quantity: Quantity, field: str, context: Context) -> bool:
    """Echo the number; an odd one is questioned once."""
    parameter = parameter_of(field)
    if parameter is None:
        return True
    odd = not parameter.odd_low <= quantity.value <= parameter.odd_high
    if odd and field != "look.at_hours":
        usual = f"{parameter.odd_low:g} to {parameter.odd_high:g} {parameter.unit}"
        context.talk.say(
            f"{quantity.value:.4g} {parameter.unit} is far from the usual {usual}. y keeps it; or "
            "type it again."
        )
        line = context.line()
        if not is_yes(line):
            if not says_unknown(line):
                context.talk.push(line)
            return False
    if field == "transit.air_c":
        context.talk.say(f"{quantity.low:g} to {quantity.high:g} {parameter.unit}.", indent=3)
    elif parameter.key in PARAMETERS and parameter is PARAMETERS[parameter.key]:
        in_minutes = parameter.key == "hours" and quantity.value < 1.5
        value = f"{quantity.value * 60:.0f} min" if in_minutes else ""
        context.talk.say(f"{value or format_value(quantity.value, parameter.key)}.", indent=3)
    return True


def _lots(context: Context) -> Reply:
    while True:
        line = context.line()
        if says_unknown(line):
            return UNKNOWN
        try:
            drafts = read_lots(line)
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        named = tuple(_known(draft, context) for draft in drafts)
        return Lots(named, _looked_at(named, context))


def _known(draft: Draft, context: Context) -> Draft:
    """The lot with its kind as the species table has it, a near miss offered."""
    written = draft.species
    count = f"{draft.count} " if draft.count else ""
    if written is None:
        return draft
    found = find_species(written, context.base)
    if found is not None:
        context.talk.say(f"{count}{written}: {found.name} ({found.scientific}).", indent=3)
        return draft
    group = plain(written).replace(" ", "_")
    if group in context.base.groups:
        context.talk.say(f"{count}{context.base.groups[group].name}.", indent=3)
        return Draft(None, draft.count, draft.bags, group)
    near = _distinct(similar_species(written, context.base, most=6), context)[:3]
    if not near:
        context.talk.say(
            f'{count}"{written}" is not in the table; judged as a delicate unknown fish.', indent=3
        )
        return draft
    context.talk.say(f'"{written}" is not in the table. Did you mean:', indent=3)
    for at, name in enumerate(near, 1):
        context.talk.item(str(at), name, indent=5)
    context.talk.say("Enter keeps it as written.", indent=3)
    line = context.line()
    if says_unknown(line):
        return draft
    try:
        chosen = pick(line, {name: name for name in near}, several=False).keys[0]
    except NotUnderstood:
        return draft
    return Draft(chosen, draft.count, draft.bags)


def _distinct(names: list[str], context: Context) -> list[str]:
    """One name for each species, the nearest spelling kept."""
    by_kind: dict[str, str] = {}
    for name in names:
        found = find_species(name, context.base)
        by_kind.setdefault(found.id if found else name, name)
    return list(by_kind.values())


def _looked_at(drafts: tuple[Draft, ...], context: Context) -> tuple[int, ...] | None:
    """Which of several lots the looks so far were at; None for all of them."""
    looks = [look for look in context.case.observation if look.seen or look.not_seen]
    if len(drafts) == 1 or not looks:
        return None
    context.talk.say("Which of these did you look at just now?", indent=3)
    names = {str(at): draft.species or f"lot {at + 1}" for at, draft in enumerate(drafts)}
    for at, name in enumerate(names.values(), 1):
        context.talk.item(str(at), name, indent=5)
    context.talk.say("Numbers; Enter for all of them.", indent=3)
    while True:
        line = context.line()
        if says_unknown(line) or plain(line) == "all":
            return None
        try:
            picked = pick(line, names, several=True)
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        if picked.keys:
            return tuple(int(key) for key in picked.keys)
