"""Numbers, counts and the list of fish, asked for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from advisor.ask.answers.choosing import NotUnderstood, is_none, pick, plain
from advisor.ask.answers.field_numbers import parameter_of, read_number, values_of
from advisor.ask.answers.lots import read_lots
from advisor.ask.answers.replies import UNKNOWN, Counted, Draft, Filled, Lots, Reply
from advisor.ask.besides import FIELDS, draft_of
from advisor.ask.heads_told import more_or_all
from advisor.ask.hear.line import plain as line_as_heard
from advisor.ask.hear.listen import listen
from advisor.ask.hear.whereabouts import where
from advisor.ask.prompt import Prompt
from advisor.ask.prompt_readings import basis_of, other_unit, sure
from advisor.ask.records import Choice, Talking
from advisor.case.model import Counts
from advisor.errors import AdvisorError
from advisor.rulebase.species import find_species, kin_group, similar_species
from advisor.units import AmbiguousBasis, Quantity, WordNotReading, format_value, is_unknown
from advisor.units.parameters import PARAMETERS
from advisor.wording import numbers
from advisor.wording.numbers import exact, fixed

#: The question that a line on the bag answers, wherever it is typed.
WHERE = "where_are_they"
#: Words of a time that cannot be reckoned; the units' own questions serve other words.
_WHEN = re.compile(
    r"\b(?:ago|since|yesterday|today|tomorrow|morning|night|evening|noon|before)\b", re.I
)
UNITS = {"min": "minutes", "h": "hours", "days": "days"}


def ask_field(prompt: Prompt) -> Talking[Reply]:
    """A number of the case, heads counted, or the lots."""
    ways = {"lots": _lots, "look.counts": _counts}
    return (yield from ways.get(prompt.question.field or "", _number)(prompt))


def _counts(prompt: Prompt) -> Talking[Reply]:
    """Heads; what was not said of dead or down stays unknown and is asked once."""
    kept: dict[str, int] = {}
    ask = prompt.asking("line")
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking("line", again=True)
        if not is_unknown(line) and not (line := prompt.own(line)):
            continue
        heard: dict[str, Any] = {} if is_unknown(line) else prompt.hear(line)
        kept |= heard.get("counts", {})
        if unsure := heard.get("dead_said"):
            dead = yield from more_or_all(prompt.at, unsure, prompt.lot, ask.key)
            kept |= {} if dead is None else {"dead": dead}
        for sentence in heard.get("ask_back", ()):
            prompt.at.complain(sentence)
        if heard.get("ask_back"):
            continue
        if not kept:
            return UNKNOWN
        states = (("dead", "dead"), ("down", "down"), ("normal", "well"))
        words = [f"{kept[state]} {word}" for state, word in states if state in kept]
        words += [f"{state} not known" for state in ("dead", "down") if state not in kept]
        prompt.at.say(f"{', '.join(words)}.", level=1)
        return Counted(Counts(**kept))


#: Numbers of the case that are heard as people say them; the name each is heard by.
HEARD = {place: key for key, place in FIELDS.items()}


def _number(prompt: Prompt) -> Talking[Reply]:
    field = prompt.question.field or ""
    ask = prompt.asking("line")
    asked_again = False
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking("line", again=True)
        if is_unknown(line):
            return UNKNOWN
        noted = len(prompt.at.told)
        if prompt.refuses(line) or not (line := prompt.own(line)):
            continue
        if field == "look.at_hours" and _still_in_bag(prompt, line):
            return UNKNOWN
        if field in HEARD and re.search(r"[^\W\d_]", line):
            heard = prompt.hear(line)
            told = heard.get(HEARD[field])
            if heard.get("unknown"):
                return UNKNOWN
            if told is not None:
                quantity = Quantity(told, told, told, line.strip())
                if (yield from sure(quantity, _doubt(quantity, field), prompt)) is not None:
                    if echo := _echo(quantity, field):
                        prompt.at.say(echo, level=1)
                    return Filled(values_of(quantity, field))
                continue
            if heard.get("ask_back") and _WHEN.search(line):
                for sentence in heard["ask_back"]:
                    prompt.at.complain(sentence)
                continue
            if prompt.noted_only(line, noted):
                continue
            del prompt.at.told[noted:]  # what is refused leaves nothing behind
        try:
            quantity = read_number((yield from _with_unit(line, field, prompt)), field)
        except WordNotReading as fault:
            if asked_again:
                prompt.at.say("Kept as not known.")
                return UNKNOWN
            asked_again = True
            prompt.at.say(fault.ask)
            continue
        except AmbiguousBasis as doubt:
            quantity = yield from basis_of(doubt, field, prompt)
        except AdvisorError as fault:
            yield from other_unit(fault, line, prompt)
            continue
        if (yield from sure(quantity, _doubt(quantity, field), prompt)) is not None:
            if echo := _echo(quantity, field):
                prompt.at.say(echo, level=1)
            return Filled(values_of(quantity, field))


def _still_in_bag(prompt: Prompt, line: str) -> bool:
    """Whether a line tells that the fish are not out of their bag; noted of the only lot."""
    at = prompt.at
    place = where(line_as_heard(line)).place
    if place not in ("open_bag", "closed_bag") or len(at.case.lot) > 1:
        return False
    heard = listen(WHERE, line, at.case, prompt.base, at.clock(), at.at_hours)
    if "place" not in heard:
        return False
    at.told.append({key: heard[key] for key in ("place", "bag_open_hours") if key in heard})
    at.say("They are not out yet, then.", level=1)
    return True


def _with_unit(line: str, field: str, prompt: Prompt) -> Talking[str]:
    """The line; a bare number of "how long ago" with its unit, which may be any of three."""
    bare = re.fullmatch(r"\s*0*[1-9]\d*([.,]\d+)?\s*", line)
    if field != "look.at_hours" or not bare:
        return line

    def read(answer: str) -> str:
        try:
            return f"{line.strip()} {UNITS[pick(answer, UNITS, several=False).keys[0]]}"
        except NotUnderstood:
            if re.search(r"\d\s*[a-zA-Z]", answer):
                return answer  # the whole answer anew: "20 min"
            raise NotUnderstood("1 minutes, 2 hours, 3 days.") from None

    text = f"{line.strip()} what: 1 minutes, 2 hours, 3 days?"
    said = yield from prompt.until(prompt.asking("line", text, follows="unit"), read)
    return line if said is None else said


def _doubt(quantity: Quantity, field: str) -> str | None:
    """What is odd about a number of the case."""
    parameter = parameter_of(field)
    if parameter is None or field == "look.at_hours":
        return None
    if field == "transit.hours_sealed" and quantity.value <= 0:
        return "That is no time at all between tying and opening."
    if parameter.odd_low <= quantity.value <= parameter.odd_high:
        return None
    low, high, value = map(numbers.short, (parameter.odd_low, parameter.odd_high, quantity.value))
    return f"{value} {parameter.unit} is far from the usual {low} to {high} {parameter.unit}."


def _echo(quantity: Quantity, field: str) -> str:
    parameter = parameter_of(field)
    if field == "transit.air_c" and parameter is not None:
        return f"{exact(quantity.low)} to {exact(quantity.high)} {parameter.unit}."
    if parameter is None or PARAMETERS.get(parameter.key) is not parameter:
        return ""
    in_minutes = parameter.key == "hours" and quantity.value < 1.5
    value = f"{fixed(quantity.value * 60)} min" if in_minutes else ""
    # what was typed as 28 h is no measurement to a tenth
    return f"{value or format_value(quantity.value, parameter.key).replace('.0 ', ' ')}."


# -- the fish -------------------------------------------------------------------


def _lots(prompt: Prompt) -> Talking[Reply]:
    """The fish; what cannot be told apart is asked back, and Enter keeps what was written."""
    ask = prompt.asking("line")
    kept: tuple[Draft, ...] = ()
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking("line", again=True)
        if is_unknown(line):
            break
        heard = prompt.hear(line)
        if heard.get("unknown"):
            return UNKNOWN
        drafts = tuple(draft_of(lot, prompt.base) for lot in heard.get("lots", ()))
        if is_none(line):
            prompt.at.complain("Some fish came. Which, like 40 guppies? Enter if not known.")
            continue
        for sentence in heard.get("ask_back", ()):
            prompt.at.complain(sentence)
        if not heard.get("ask_back") and drafts:
            kept = drafts
            break
        try:
            if (heard.get("counts") or heard.get("signs_seen")) and not drafts:
                raise NotUnderstood("Noted, but no kind is told; which fish? Like 40 guppies.")
            kept = drafts or read_lots(line)
        except NotUnderstood as fault:
            prompt.at.complain(fault)
            continue
        prompt.at.say("Type the fish once more, or Enter to keep what was written.", level=1)
    if not kept:
        return UNKNOWN
    named = []
    for draft in kept:
        named.append((yield from _known(draft, prompt)))
    return Lots(tuple(named), (yield from _looked_at(tuple(named), prompt)))


def _known(draft: Draft, prompt: Prompt) -> Talking[Draft]:
    """The lot with its kind as the species table has it, a near miss offered."""
    at, base, written = prompt.at, prompt.base, draft.species
    count = f"{draft.count} " if draft.count else ""
    if written is None:
        return draft
    found = find_species(written, base)
    if found is not None:
        at.say(f"{count}{written}: {found.name} ({found.scientific}).", level=1)
        return draft
    kin = kin_group(written, base)
    if kin is not None:
        at.say(f"{count}{written}: kept like {kin.name}.", level=1)
        return draft
    group = plain(written).replace(" ", "_")
    if group in base.groups:
        at.say(f"{count}{base.groups[group].name}.", level=1)
        return Draft(None, draft.count, draft.bags, group)
    near = _distinct(similar_species(written, base, most=6), prompt)[:3]
    if not near:
        text = f'{count}"{written}" is not in the table; judged as a delicate unknown fish.'
        at.say(text, level=1)
        return draft

    def read(line: str) -> str | None:
        try:
            return pick(line, {name: name for name in near}, several=False).keys[0]
        except NotUnderstood:
            return None

    text = f'"{written}" is not in the table. Did you mean:'
    hint = "Enter keeps it as written."
    ask = prompt.asking("one", text, follows="kind", hint=hint, choices=_choices(near))
    chosen = yield from prompt.until(ask, read)
    return draft if chosen is None else Draft(chosen, draft.count, draft.bags)


def _choices(names: list[str]) -> tuple[Choice, ...]:
    return tuple(Choice(name, name) for name in names)


def _distinct(names: list[str], prompt: Prompt) -> list[str]:
    """One name for each species, the nearest spelling kept."""
    by_kind: dict[str, str] = {}
    for name in names:
        found = find_species(name, prompt.base)
        by_kind.setdefault(found.id if found else name, name)
    return list(by_kind.values())


def _looked_at(drafts: tuple[Draft, ...], prompt: Prompt) -> Talking[tuple[int, ...] | None]:
    """Which of several lots the looks so far were at; None for all of them."""
    looks = [look for look in prompt.at.case.observation if look.seen or look.not_seen]
    if len(drafts) == 1 or not looks:
        return None
    names = {str(at): draft.species or f"lot {at + 1}" for at, draft in enumerate(drafts)}
    text = "Which of these did you look at just now?"
    hint = "Numbers; Enter for all of them."
    ask = prompt.asking("several", text, follows="looked_at", hint=hint)
    ask = replace(ask, choices=tuple(Choice(key, name) for key, name in names.items()))

    def read(line: str) -> tuple[str, ...]:
        if plain(line) == "all":
            return tuple(names)
        picked = pick(line, names, several=True)
        if not picked.keys:
            raise NotUnderstood("None of these; type their numbers, or all.")
        return picked.keys

    keys = yield from prompt.until(ask, read)
    return None if keys is None or len(keys) == len(names) else tuple(map(int, keys))
