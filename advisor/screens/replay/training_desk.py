"""The delivery as it unfolds, what may be asked of it, and the decision."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.ask.hands import first_sentence
from advisor.case.model import Observation
from advisor.explain.replay.lesson import Lesson, named
from advisor.explain.replay.offers import Offers
from advisor.explain.replay.score import Decision
from advisor.rulebase import RuleBase
from advisor.screens.session.talk import Talk, TalkEnded
from advisor.units import is_unknown
from advisor.wording.numbers import exact, fixed

KEYS = (
    "Type what you want to know: a number of the list, or words such as gills, tank ph, bag "
    "ammonia. l list, w wait for the next look, d decide, q leave."
)
_LEAVE = ("q", "quit", "exit")
_NUMBERS = re.compile(r"\d{1,2}(?:[\s,]+\d{1,2})*")


def unfold(lesson: Lesson, talk: Talk) -> None:
    """Papers and first look, then questions until the trainee decides."""
    _papers(lesson, talk)
    _looks(lesson, talk)
    talk.say()
    talk.say(KEYS)
    while True:
        line = talk.ask("ask").strip()
        key = line.casefold()
        if key in _LEAVE:
            raise TalkEnded("q")
        if key in ("d", "decide") or (not line and talk.by_name):
            return
        if key in ("", "?", "help"):
            talk.say(KEYS)
        elif key in ("l", "list"):
            _list(lesson, talk)
        elif key in ("w", "wait"):
            if not lesson.wait():
                talk.say("No one looked again after this.")
        else:
            _ask(line, lesson, talk)
        _looks(lesson, talk)


def _papers(lesson: Lesson, talk: Talk) -> None:
    transit, lot, tank = lesson.case.transit, lesson.lot, lesson.case.receiving
    talk.say()
    talk.say("A delivery", strong=True)
    about = {
        "fish": lot.species or (lesson.base.groups[lot.group].name if lot.group else None),
        "number": lot.count,
        "bags": lot.bags,
        "water in a bag": None if lot.bag_water_l is None else f"{exact(lot.bag_water_l)} L",
        "gas": lot.gas,
        "dead on arrival": lot.dead_on_arrival,
        "hours sealed": _number(lot.hours_sealed, transit.hours_sealed),
        "delay": None if transit.delay_hours is None else f"{exact(transit.delay_hours)} h",
        "air on the way": _span(transit.air_low_c, transit.air_high_c),
        "box": transit.box,
        "fasted": _number(lot.fasted_hours, transit.fasted_hours),
        "sedative": lot.sedative or transit.sedative,
        "bags still shut": lot.sealed,
        "tank": None if tank.volume_l is None else f"{exact(tank.volume_l)} L",
    }
    for name, value in about.items():
        if value is not None and value != "unknown":
            talk.item(f"{name}:", str(value))
    others = [each for each in lesson.case.lot if each.id != lot.id]
    if others:
        kinds = ", ".join(each.species or each.group or each.id for each in others)
        talk.say(f"In the same delivery: {kinds}.")


def _number(own: float | None, all_lots: float | None) -> str | None:
    value = all_lots if own is None else own
    return None if value is None else f"{exact(value)} h"


def _span(low: float | None, high: float | None) -> str | None:
    parts = [exact(value) for value in (low, high) if value is not None]
    return f"{' to '.join(parts)} °C" if parts else None


def _looks(lesson: Lesson, talk: Talk) -> None:
    """Looks that came due; those of one time together."""
    first = lesson.shown == 0
    for hours, looks, seen, absent in lesson.come_due():
        talk.say()
        talk.say(f"{'First look' if first else 'Another look'}, {_when(hours)}", strong=True)
        first = False
        heads = next(filter(None, map(_counts, reversed(looks))), "")
        talk.item("seen:", ", ".join(seen) or "nothing that a glance shows")
        if absent:
            talk.item("not seen:", ", ".join(absent))
        if heads:
            talk.item("heads:", heads)


def _counts(look: Observation) -> str:
    parts = {"normal": look.counts.normal, "down": look.counts.down, "dead": look.counts.dead}
    return ", ".join(f"{number} {name}" for name, number in parts.items() if number is not None)


def _when(hours: float) -> str:
    if abs(hours) < 2:
        return f"{fixed(60 * hours)} min after receipt"
    return f"{fixed(hours, 1)} h after receipt" if hours < 48 else f"day {fixed(hours / 24)}"


def _list(lesson: Lesson, talk: Talk) -> None:
    for number, question in enumerate(lesson.questions(), 1):
        talk.item(f"{number:>3}", f"{question.text} ({exact(question.cost_seconds)} s)")
    costs = sorted({q.cost_seconds for q in lesson.readings()})
    talk.say(
        f"Single readings by name, such as tank ph or tap chlorine: {exact(costs[0])} to "
        f"{exact(costs[-1])} s each."
    )


def _ask(line: str, lesson: Lesson, talk: Talk) -> None:
    questions = {question.id: question for question in lesson.questions()}
    readings = {quantity.id: quantity for quantity in lesson.readings()}
    texts = {q.id: q.name for q in readings.values()}
    if line.isdigit():
        ids = list(questions)[int(line) - 1 : int(line)] if int(line) else []
    else:
        ids = named(line, texts) or named(line, {q.id: q.text for q in questions.values()})
    if len(ids) != 1:
        names = [texts.get(name) or questions[name].text for name in ids]
        talk.say("; ".join(names) + ": which?" if ids else "Nothing of that name; l lists.")
        return
    name = ids[0]
    found = lesson.measure(readings[name]) if name in readings else lesson.ask(questions[name])
    if not found.told:
        talk.say("Not in the record of this delivery up to now; no time has passed.")
        return
    for told in found.told:
        talk.item("-", told.words)
    minutes = lesson.clock / 60
    talk.say(f"{exact(found.seconds)} s; {fixed(minutes, 1)} min on the clock.")


def decide(offered: Offers, base: RuleBase, talk: Talk) -> Decision:
    """Causes in order, a first step, and what must not be done: numbers of five lines, or words."""
    causes = {cause.id: cause.name for cause in base.causes.values()}
    actions = {action.id: first_sentence(action.text) for action in base.actions.values()}
    talk.say()
    talk.say("Your decision", strong=True)
    talk.say("What is it? Up to three numbers, likeliest first; another cause by its name.")
    chosen = _several("causes", offered.causes, causes, talk, most=3)
    talk.say("What is done first? One number, or another step in words.")
    first = _several("action", offered.steps, actions, talk, most=1, whole=True)
    talk.say("What must not be done here? Numbers; Enter for none.")
    never = _several("never", offered.never, actions, talk, most=20)
    return Decision(chosen, first[0] if first else "", never)


def _several(
    name: str,
    five: tuple[str, ...],
    names: Mapping[str, str],
    talk: Talk,
    *,
    most: int,
    whole: bool = False,
) -> tuple[str, ...]:
    """Ids for what is typed, in order, said back; asked again until all of it is understood."""
    for at, key in enumerate(five, 1):
        talk.item(f"{at:>2}", names[key])
    kept: list[str] = []
    while True:
        line = talk.ask(name).strip()
        if line.casefold() in _LEAVE:
            raise TalkEnded("q")
        if line == "?":
            for text in names.values():
                talk.item("-", text)
            continue
        if is_unknown(line):
            line = ""  # not known is an answer here too
        open_pieces = 0
        numbers = _NUMBERS.fullmatch(line)
        for piece in line.replace(",", " ").split() if numbers else (
            [line] if whole else line.split(",")
        ):  # fmt: skip
            found = _meant(piece, five, names)
            if len(found) == 1:
                kept += [found[0]] if found[0] not in kept else []
            elif piece.strip():
                open_pieces += 1
                _unclear(piece.strip(), found, names, talk)
        if not open_pieces or talk.by_name:
            taken = tuple(kept[:most])
            said = "; ".join(names[key].rstrip(".") for key in taken)
            talk.say(f"Taken: {said or 'nothing'}.")
            return taken
        talk.say("Type the missing one; what was clear is kept. Enter to go on.")


def _meant(piece: str, five: tuple[str, ...], names: Mapping[str, str]) -> list[str]:
    """Ids that a number of the five or a word stands for."""
    piece = piece.strip()
    if piece.isdecimal():
        return list(five[int(piece) - 1 : int(piece)]) if int(piece) else []
    return named(piece, names) if piece else []


def _unclear(piece: str, found: list[str], names: Mapping[str, str], talk: Talk) -> None:
    if not found:
        talk.say(f'"{piece}" is none of them; ? lists them all.')
        return
    talk.say(f'"{piece}" may be:')
    for key in found:
        talk.item("-", names[key])
