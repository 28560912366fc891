"""Signs and choices asked for: numbered lines, answered by number or in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from advisor.advice.settled_by import choices_of, several, single
from advisor.ask.answered import answers
from advisor.ask.answers.choosing import NotUnderstood, brief, by_number, is_none, pick, plain
from advisor.ask.answers.looks import SAME_LOOK_H
from advisor.ask.answers.no_answer import asked_instead, kept_as_words
from advisor.ask.answers.replies import UNKNOWN, Reply, Seen, Settled
from advisor.ask.hear.whereabouts import EACH_LOT
from advisor.ask.prompt import Prompt
from advisor.ask.prompt_still_there import still_there
from advisor.ask.prompt_two_places import in_two
from advisor.ask.records import Choice, Talking
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question
from advisor.units import is_unknown

#: A line that begins with the number of a choice.
_BY_NUMBER = re.compile(
    r"\s*\d{1,3}(?:\s*[-,]?\s*\d{1,3})*(?:\s+u\b|\s*,|\s*$)"
    r"|\s*\d{1,3}(?:\s*[-,]?\s+\d{1,3})+\s+[^\W\d]*$"  # "3 koi" is three koi, no third line
)
#: "1 dead": heads, and no number of a line.
_HEADS = re.compile(
    r"\d\s*(?:more |are |is |fish )*(?:dead|died|dying|doa|down|lost)\b"
    r"|\b(?:dead|died|lost|down)[ :]+\d"
)
#: The line for a lot of which a part is still in shut bags.
SOME_SHUT = "bags_sealed=unknown"
SEVERAL = (
    "Numbers or words, several at once: 1 4 7. Lines left out count as looked for and not "
    "seen; add u if you did not look. 0 none of these."
)
SEVERAL_SHORT = "1 4 7 or words; 0 none; 1 4 u = the rest not looked for."
SEVERAL_TOLD = "1 4 7 or words; 0 none; 1 4 u = the rest not known."


def lines_of(question: Question, base: RuleBase) -> tuple[Choice, ...]:
    """The numbered lines, as shown."""
    lines = choices_of(question, base)
    if question.kind != "signs":
        return tuple(Choice(key, label) for key, label in lines.items())
    return tuple(Choice(s, name, base.signs[s].look_for) for s, name in lines.items())


def _hint(prompt: Prompt) -> str:
    """One line on how to answer; the long form once."""
    if prompt.question.kind != "signs":
        return SEVERAL_TOLD if several(prompt.question) else ""
    habits = prompt.at.habits
    first, habits.hinted = not habits.hinted, True
    return SEVERAL if first else SEVERAL_SHORT


# -- signs ----------------------------------------------------------------------


def ask_signs(prompt: Prompt) -> Talking[Reply]:
    """Numbers answer for the whole list; words only for what they say."""
    at, base = prompt.at, prompt.base
    shut = prompt.sheet.situation.place == "closed_bag"
    unseen = {sign for sign in prompt.question.signs if shut and base.signs[sign].needs_flow}
    offered = {k: v for k, v in choices_of(prompt.question, base).items() if k not in unseen}
    told = _told_now(prompt)
    lines = tuple(
        replace(line, label=f"{line.label} (told)") if line.key in told else line
        for line in lines_of(prompt.question, base)
        if line.key not in unseen
    )
    ask = prompt.asking("several", choices=lines, hint=_hint(prompt))
    kept = Seen()
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking("several", choices=lines, again=True)
        if is_unknown(line):
            return kept if kept.seen or kept.not_seen or kept.words else UNKNOWN
        if is_none(line):
            found, again = Seen((), tuple(offered)), False
        elif _BY_NUMBER.match(line):
            try:
                found, again = _signs_by_number(prompt, line, offered)
            except NotUnderstood as fault:
                at.complain(fault)
                continue
        else:
            found, again = _signs_in_words(prompt, line, offered)
        if is_none(line) or _BY_NUMBER.match(line):  # a line left out takes back no told sign
            held = told | set(kept.seen)
            found = replace(found, not_seen=tuple(s for s in found.not_seen if s not in held))
        absent = dict.fromkeys((*kept.not_seen, *found.not_seen))
        kept = Seen(
            tuple(dict.fromkeys(s for s in (*kept.seen, *found.seen) if s not in found.not_seen)),
            tuple(sign for sign in absent if sign not in found.seen),
            tuple(dict.fromkeys((*kept.words, *found.words))),
        )
        if again:
            continue
        if kept.words:
            kept = yield from still_there(prompt, kept, offered, _told_now(prompt))
        _say_seen(prompt, kept)
        return kept


def _told_now(prompt: Prompt) -> set[str]:
    """Signs of this lot that this look holds already, told at another question."""
    at = prompt.at
    if at.case.lot and prompt.question.scope == "delivery":
        return set()
    looks = [look for look in at.case.observation if look.lot in ("all", prompt.lot_id)]
    return {
        sign
        for look in looks
        if abs(look.at_hours - at.at_hours) < SAME_LOOK_H
        for sign in look.seen
    } & set(prompt.question.signs)


#: What a line told keeps its words, though something of it is asked back.
_TELLING = frozenset(["signs_seen", "signs_eased", "counts", "history"])


def _signs_by_number(prompt: Prompt, line: str, offered: Mapping[str, str]) -> tuple[Seen, bool]:
    """Signs picked by number and by words beside; the other lines count as not seen.

    Where words were not understood they may be one of the other lines: those stay open then.
    """
    picked = by_number(line, tuple(offered))
    told, again = Seen(), False
    if picked.left_over:
        told, again = _signs_in_words(prompt, ", ".join(picked.left_over), offered)
    seen = tuple(dict.fromkeys((*picked.keys, *told.seen)))
    absent = tuple(sign for sign in told.not_seen if sign not in seen)
    strange = again or (picked.left_over and not (told.seen or told.not_seen))
    if not (picked.rest_unknown or strange):
        absent = tuple(sign for sign in offered if sign not in seen)
    return Seen(seen, absent, told.words), again


def _signs_in_words(prompt: Prompt, line: str, offered: Mapping[str, str]) -> tuple[Seen, bool]:
    """What words say of the signs offered, and whether something is asked back."""
    at = prompt.at
    line = prompt.own(line)
    if not line:
        return Seen(), True
    instead = asked_instead(line, prompt.base)
    if instead is not None:
        at.complain(f'"{brief(line)}" is not something seen. {instead}')
        return Seen(), True
    heard = prompt.hear(line)
    if heard.get("nothing"):
        return Seen((), tuple(offered)), False
    seen = tuple(s for s in heard.get("signs_seen", ()) if s in offered)
    absent = tuple(s for s in heard.get("signs_not_seen", ()) if s in offered)
    for ask in heard.get("ask_back", ()):
        at.complain(ask)
    if eased := [prompt.base.signs[sign].name for sign in heard.get("signs_eased", ())]:
        at.say(f"Less of it, so neither seen anew nor gone: {', '.join(eased)}.", level=1)
    for words in heard.get("not_understood", ()):
        at.say(f'"{brief(words)}" means no sign here; it is kept in your words.', level=1)
    again = bool(heard.get("ask_back"))
    if not (seen or absent or again or heard.get("signs_seen")) and heard.get("history"):
        at.complain("That says nothing of the fish. What do they do? Enter if not known.")
        again = True  # "the power is out": noted, and no look
    refused = again and not (seen or absent or heard.keys() & _TELLING)
    kept = bool(heard.get("not_understood")) or not refused  # what is said to be kept is
    words = (line.strip(),) if kept and not heard.get("unknown") else ()
    return Seen(seen, absent, words), again


def _say_seen(prompt: Prompt, reply: Seen) -> None:
    names = [prompt.base.signs[sign].name for sign in reply.seen]
    absent = [prompt.base.signs[sign].name for sign in reply.not_seen]
    if not names and not absent:
        # a sign of another question is noted besides, and said next
        if not any(told.get("signs_seen") for told in prompt.at.told):
            prompt.at.say("No sign taken from that. b mends it.")
        return
    text = f"Seen: {', '.join(names) or 'none of these'}."
    if reply.words and absent:
        text += f" Not seen: {', '.join(absent)}."
    prompt.at.say(text + (" b mends it." if reply.words else ""))


# -- choices --------------------------------------------------------------------


def ask_choice(prompt: Prompt) -> Talking[Reply]:
    at, question = prompt.at, prompt.question
    lines = choices_of(question, prompt.base)
    many = several(question)
    kind = "several" if many else "one"
    ask = prompt.asking(kind, choices=lines_of(question, prompt.base), hint=_hint(prompt))
    followed_up = False
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking(kind, choices=ask.choices, again=True)
        if is_unknown(line):
            return UNKNOWN
        told = len(at.told)
        if prompt.refuses(line) or not (line := prompt.own(line)):
            continue
        if many and plain(line) in ("0", "none", "no", "nothing"):
            return Settled(dict.fromkeys(lines, "no"))
        instead, back = asked_instead(line, prompt.base), ""
        if instead is None and not _exactly(line, lines):
            reply, back = yield from _choice_in_words(prompt, line, lines)
            if reply is None and not back and prompt.noted_only(line, told):
                continue
            if reply is None:
                del at.told[told:]  # what is refused leaves nothing behind
            if reply is not None:
                return reply
        try:
            if _HEADS.search(plain(line)):
                raise NotUnderstood(
                    f'"{brief(line)}" tells heads and is none of these lines; it is not taken here.'
                )
            if instead and plain(line) not in map(plain, lines.values()):
                raise NotUnderstood(f'"{line.strip()}" says too little.')
            picked = pick(line, lines, several=many)
            if picked.left_over:
                raise NotUnderstood(
                    f'"{picked.left_over[0]}" is none of these lines; type their numbers.'
                )
        except NotUnderstood as fault:
            if instead is None:
                at.complain(fault if _HEADS.search(plain(line)) else back or fault)
            elif followed_up:
                at.say("Kept as not known.")
                return kept_as_words(line)
            else:
                followed_up = True
                at.say(instead)
            continue
        for typed, label in picked.taken:
            at.say(f'"{typed}" taken as: {label}.')
        if picked.keys[0] == SOME_SHUT and _named(prompt):
            return (yield from in_two(prompt, ""))
        if single(question):
            return (yield from _place(picked.keys[0], prompt))
        return _settled(question, picked.keys, lines, picked.rest_unknown)


def _exactly(line: str, lines: Mapping[str, str]) -> bool:
    """Numbers, yes and no, or the very words of a line."""
    said = plain(line)
    return bool(_BY_NUMBER.match(line)) or said in {plain(label) for label in lines.values()}


def _choice_in_words(
    prompt: Prompt, line: str, lines: Mapping[str, str]
) -> Talking[tuple[Reply | None, str]]:
    """The answer that the words of a line give, or None and what they leave to be asked."""
    question = prompt.question
    heard = prompt.hear(line)
    if heard.get("nothing") and several(question):
        prompt.at.say(f"Taken as none of these: {'; '.join(lines.values())}. b mends it.")
        return Settled(dict.fromkeys(lines, "no")), ""
    values = heard.get("history", {})
    if single(question):
        found = _line_of_place(heard.get("place"), values.get("release_method"), lines)
        if found is not None:
            prompt.at.say(f"Taken as: {lines[found]}. b mends it.")
            return (yield from _place(found, prompt)), ""
        asked = (ask for ask in heard.get("ask_back", ()) if "is not understood" not in ask)
        split = any(ask.endswith(EACH_LOT) for ask in heard.get("ask_back", ()))
        if split and SOME_SHUT in lines and _named(prompt):
            prompt.at.told.clear()  # what is seen is of some of them
            return (yield from in_two(prompt, line)), ""
        if split and SOME_SHUT in lines:
            prompt.at.told.clear()  # what is seen is of some of them, and not known of which
            prompt.at.say(
                f"Taken as: {lines[SOME_SHUT]}. Nothing else of it was taken: each lot "
                "is asked by itself. Name the fish with where they are, like: 12 neons shut, "
                "6 corys open. b mends it."
            )
            return Settled.of_line(SOME_SHUT), ""
        return None, next(asked, "")
    if question.history is not None:
        values = {k: v for k, v in values.items() if k == question.history and v in lines}
    else:
        values = {k: v for k, v in values.items() if k in lines}
    if not values:
        backs = (ask for ask in heard.get("ask_back", ()) if "is not understood" not in ask)
        return None, next(backs, "")
    for ask in heard.get("ask_back", ()):
        prompt.at.say(ask, level=1)
    said = "; ".join(_line_said(item, answer, lines) for item, answer in values.items())
    prompt.at.say(f"Taken as: {said}. b mends it.")
    return Settled(values), ""


def _line_said(item: str, answer: str, lines: Mapping[str, str]) -> str:
    """What was taken, by its line: the lines are the answers of one item, or items by name."""
    if item not in lines:
        return lines[answer]
    if answer == "yes":
        return lines[item]
    return f"not: {lines[item]}" if answer == "no" else f"{lines[item]}: {answer}"


def _named(prompt: Prompt) -> bool:
    """Whether the lots have names already, so that each can be told by itself."""
    return any(lot.species or lot.group for lot in prompt.at.case.lot)


def _line_of_place(place: str | None, way: str | None, lines: Mapping[str, str]) -> str | None:
    """The line of the first question for a place and a way out of the bag."""
    wanted = {"closed_bag": "bags_sealed=yes", "open_bag": "bags_sealed=no"}.get(place or "")
    if place == "tub":
        wanted = "bags_sealed=no fish_are_in=tub"
    elif place == "tank":
        wanted = f"bags_sealed=no release_method={way} released=yes" if way else None
        wanted = wanted if wanted in lines else "bags_sealed=no released=yes"
    return wanted if wanted in lines else None


def _place(line: str, prompt: Prompt) -> Talking[Reply]:
    """A line of the first question. An opened bag is shut again only when that is confirmed."""
    reply = Settled.of_line(line)
    told = _told_opened(prompt) if reply.values.get("bags_sealed") == "yes" else ""
    if not told:
        return reply
    text = f"You told: {told}. Are these bags still shut, then?"
    ways = {"shut": "still shut; it was told wrongly", "told": told}
    keys = yield from prompt.menu(prompt.asking("one", text, follows="shut_again"), ways)
    if keys == ("shut",):
        return reply
    prompt.at.told.clear()
    prompt.at.say(f"It stays as it was: {told}.", level=1)
    before = prompt.old.reply if prompt.old else None
    return before if before is not None else UNKNOWN


def _told_opened(prompt: Prompt) -> str:
    """What was told of fish that are in no shut bag; empty when nothing was."""
    before = prompt.old.reply if prompt.old else None
    if isinstance(before, Settled) and prompt.old is not None:
        return prompt.old.words if before.values.get("bags_sealed") == "no" else ""
    if prompt.lot.sealed != "no":
        return ""
    found = answers(prompt.at.case, prompt.base)
    mine = [a.kept for a in found if a.question == prompt.question and a.lot == prompt.lot_id]
    return mine[-1] if mine else "the bag is open"


def _settled(
    question: Question, keys: tuple[str, ...], lines: Mapping[str, str], rest_unknown: bool
) -> Reply:
    if question.history is not None:
        return Settled({question.history: keys[0]})
    others = {} if rest_unknown else {key: "no" for key in lines if key not in keys}
    return Settled({**others, **dict.fromkeys(keys, "yes")})
