"""A lot of which some are shut and some are out: it is made two lots, and nothing told is lost."""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.advice.settled_by import choices_of
from advisor.ask.answers.replies import Reply, Settled, Split
from advisor.ask.answers.split_lot import part_id
from advisor.ask.heads_told import of_lot
from advisor.ask.hear.line import plain
from advisor.ask.hear.listen import listen
from advisor.ask.hear.whereabouts import where
from advisor.ask.hours import about
from advisor.ask.others_told import LOT
from advisor.ask.parts_of_lot import heads_of_part, how_many, number_out, said_of_split, told_of
from advisor.ask.prompt import Prompt
from advisor.ask.records import Talking

SHUT, SOME = "bags_sealed=yes", "bags_sealed=unknown"
STAY, NEW = "those still in the shut bags", "those out of them"
#: What stands of an opened bag, a tub and the tank at the question where they are.
_LINES = {
    "open_bag": "bags_sealed=no",
    "tub": "bags_sealed=no fish_are_in=tub",
    "tank": "bags_sealed=no released=yes",
}
_PARTS = re.compile(r"[,;.\n]|\b(?:and|but|while)\b")


def in_two(prompt: Prompt, line: str) -> Talking[Reply]:
    """The lot as two: how many are out, where these are, and what of the line is theirs."""
    at, lot = prompt.at, prompt.lot
    if lot.count is not None and lot.count < 2:
        at.say("One fish is in one place; which?")
        return Settled.of_line(SOME)
    fish, bags = number_out(line, lot)
    if fish is None:
        at.say("A lot is in one place, so these become two lots.", level=1)
        text = f"{about(lot)}: how many of them are out of the shut bags?"
        fish = yield from how_many(at, lot, text, bags, prompt.asking("line").key)
    told = dict(_by_place(prompt, line))
    place = next((each for each in told if each in _LINES), None)
    if place is not None and _LINES[place] in choices_of(prompt.question, prompt.base):
        out = _LINES[place]
    else:
        lines = {
            key: label
            for key, label in choices_of(prompt.question, prompt.base).items()
            if key not in (SHUT, SOME)
        }
        ask = prompt.asking("one", "And where are those?", follows="others_where")
        keys = yield from prompt.menu(ask, lines)
        if keys is None:
            return Settled.of_line(SOME)
        out = keys[0]
    whose = yield from told_of(at, lot, STAY, NEW)
    heads = {}
    if whose == "both":
        heads = yield from heads_of_part(at, lot, "are out of the shut bags", fish)
    at.say(said_of_split(at, lot, "still shut", "out of the shut bags"), level=1)
    for said, of in ((told.get(place or ""), part_id(at.case, lot.id)),
                     (told.get("closed_bag"), lot.id)):  # fmt: skip
        if said:
            at.told.append({**said, LOT: of})
    return Split(Settled.of_line(out), fish, bags, whose, heads)


def _by_place(prompt: Prompt, line: str) -> Iterator[tuple[str, dict[str, object]]]:
    """What each part of a line tells of the fish at the place that it names."""
    case, base, at = of_lot(prompt.at.case, prompt.lot_id), prompt.base, prompt.at
    place = None
    for part in (each.strip() for each in _PARTS.split(line) if each.strip()):
        place = where(plain(part)).place or place
        if place is None:
            continue
        heard = listen("breathing_and_posture", part, case, base, at.clock(), at.at_hours)
        if place == "open_bag":
            heard |= listen("where_are_they", part, case, base, at.clock(), at.at_hours)
        kept = ("signs_seen", "signs_not_seen", "bag_open_hours")
        yield place, {key: heard[key] for key in kept if heard.get(key)}
