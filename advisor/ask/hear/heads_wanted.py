"""Heads that a line tells: those of the line, put beside the ones the case holds."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.ask.hear import head_words, heads, on_file
from advisor.ask.hear.ears import Ears
from advisor.ask.hear.line import with_numbers


def counts(ears: Ears, text: str, tidy: str) -> None:
    text = with_numbers(re.sub(r"(?<=[a-z]{3})['’]s\b", " is", ears.text, flags=re.I))
    text = _without_gear(ears, text)
    pair = re.fullmatch(r"\s*(\d+)\s*(?:[/, ]|and)\s*(\d+)\s*", text)
    if not text.strip(" ,.;") and text != with_numbers(ears.text):
        return  # of the filter alone
    bare = re.sub(r"\b(?:still|so far|yet|again|at all|now|today|sir|here)\b", "", text).strip(
        " ,.!"
    )
    if _as_on_file(ears, bare):
        return
    first, _, rest = bare.partition(",")
    if rest.strip() and _as_on_file(ears, first.strip()):  # "none more, all up"
        dead = ears.out["counts"]["dead"]
        take_heads(ears, rest)
        ears.out.pop("dead_said", None)
        ears.out["counts"] = {**ears.out.get("counts", {}), "dead": dead}
        return
    if re.fullmatch(
        r"(?:0|zero|none|nil|no|nope|nothing|nobody|0[ /&+,]+0|0 and 0|none none|neither|none of (?:either|each|both)|zilch|zip|nada|nowt|none (?:that )?(?:i|we) (?:can see|know of|saw|see)|none whatsoever)",
        bare,
    ):
        found = heads.Heads({"dead": 0, "down": 0})
        _beside_the_file(ears, "", found)
        ears.out["counts"] = found.counts
        ears.ask += [found.ask] if found.ask else []
        return
    days = _TWO_DAYS.fullmatch(re.sub(r"^(?:dead|died|lost) ", "", text.strip(" .,!")))
    if days and not re.match(r"\s*lost\b.* and ", text):  # "lost 1 yesterday and 1 today" adds up
        before, today = int(days[1]), int(days[2])
        ears.ask.append(f"How many are dead in all so far: {before + today}, or {today}?")
        return
    if pair:
        ears.ask.append("Which of these is dead, and which down?")
        return
    if re.fullmatch(r"\s*(?:just |only )?(?:the )?\d+(?: more)?(?: fish)?\s*", text):
        ears.ask.append("Dead or down?")
        return
    take_heads(ears, text)


#: "30 yesterday, 500 today": added up, or 500 in all?
_TWO_DAYS = re.compile(
    r"(\d+)(?: (?:dead|died|lost))? (?:yesterday|the day before|last night)[, ]+(?:and |then |but |over |about |another )*(\d+)(?: (?:more|dead|died|lost))* (?:today|this morning|now|so far|since)(?: dead| died)?"
)
_GEAR = r"(?:(?:air ?|water ?)?(?:filters?|pumps?)|airstones?|heaters?|blowers?|canister|chillers?|lights?|lamps?)"
#: "filter dead over night": no fish is dead by that.
_GEAR_DEAD = re.compile(
    rf"\b(?:(?:the|my|our|their) )?{_GEAR}(?: (?:is|are|was|were|has|have|had|been|went|just|all|found))* (?:dead|died|down|gone|lost)\b"
    r"(?: (?:(?:over|last|this|all|since|early|in|the|on|for|a|while|again|now) ?)*(?:night|overnight|morning|evening|afternoon|yesterday|today|tonight)?(?=\s*(?:[,;.]|$|and\b|but\b)))?"
    rf"|(?<!\d )\bdead {_GEAR}\b|\blost (?:the |our |my )?{_GEAR}\b"
)


def _without_gear(ears: Ears, text: str) -> str:
    """The line without what it says of dead or lost gear; a dead filter or pump stood still."""
    for hit in _GEAR_DEAD.finditer(text):
        if re.search(r"filter|pump|blower|canister", hit[0]) and re.search(r"dead|died", hit[0]):
            ears.fact("history", "filter_stopped", "yes")
    return re.sub(r"^[\s,;.]+|(?<=,)\s*,|[\s,;]+$", "", _GEAR_DEAD.sub(" , ", text))


def _as_on_file(ears: Ears, bare: str) -> bool:
    """ "none since", "same as before": the dead, or dead and down, as the case holds them."""
    held = on_file.on_file(ears.case, ears.hour)
    bare = re.sub(r"\s+", " ", bare)
    since = on_file.NONE_SINCE.fullmatch(bare) and re.search(
        r"\b(?:more|new|further|since)\b", bare
    )
    same = on_file.SAME.fullmatch(bare)
    if held.dead is None or not (since or same):
        return False
    ears.out["counts"] = {"dead": held.dead}
    if same and held.down is not None:
        ears.out["counts"]["down"] = held.down
    return True


def take_heads(ears: Ears, text: str) -> None:
    found = heads.heads(_without_gear(ears, text), ears.came)
    _beside_the_file(ears, text, found)
    if found.counts:
        ears.out["counts"] = {
            k: found.counts[k] for k in ("dead", "down", "normal") if k in found.counts
        }
        if found.on_arrival is not None and found.on_arrival != found.counts.get("dead"):
            ears.out["dead_on_arrival"] = found.on_arrival
    if found.ask:
        ears.ask.append(found.ask)


def _beside_the_file(ears: Ears, text: str, found: heads.Heads) -> None:
    """The dead of a line put to those the case holds, or asked about."""
    said = found.counts.get("dead")
    held = on_file.on_file(ears.case, ears.hour)
    if said is None or not held.dead:
        return
    text = on_file.PART_IN_BRACKETS.sub(r"\1", text)
    of_dead = [part for part in _PARTED.split(text) if head_words.SAYS_DEAD.search(part)]
    if said == 0 and text and not of_dead:
        del found.counts["dead"]  # "all up" is said of those that live
        return
    spoken = "" if 0 < found.more < said else ", ".join(of_dead)  # "9 dead, 2 more since"
    dead = on_file.in_all(said, spoken, 0 < found.more == said, held)
    if dead is None:
        del found.counts["dead"]
        ears.out["dead_said"] = {"said": said, "held": held.dead}
        found.ask = found.ask or on_file.doubt(said, held.dead)
    elif ears.came is not None and dead > ears.came:
        del found.counts["dead"]
        found.ask = (
            f"That makes {dead}, more than the {ears.came} that came. How many are dead in all?"
        )
    else:
        found.counts["dead"] = dead
    if dead != said:
        found.on_arrival = None


_PARTED = re.compile(r"[,;.]|\b(?:and|but|plus|with)\b")


_DIE = r"(?:dead|dying|died|dies?|deaths?|loss(?:es)?|lost|los(?:e|ing)|dropp(?:ed|ing)|mortalit(?:y|ies)|morts?|going|gone)"
_EACH = r"(?:/|an?|per|each|every|in a) ?(?P<{}>day|night|morning|evening|hour|hr|h)\b|(?P<{}2>daily|nightly|hourly)\b"
_RATE = re.compile(
    rf"\b(?:(?<!\d )(?:{_DIE})\W+(?:(?:about|around|some|another|like|at|still|now|up to) )*)?(?:\d+(?: ?(?:-|to|or) ?\d+)?|an? (?:couple|few)|couple|few|several)"
    rf"(?: (?:more|of them|fish|are|is|have|keep))*(?: {_DIE})?(?: (?:more|fish))? ?(?:{_EACH.format('of', 'of')})(?:[, ]+(?:(?:are|is|keep|have) )*{_DIE}\b)?"
    rf"|\b(?:(?:{_DIE}) )?1 (?:by|after) (?:1|another|the other)\b(?: {_DIE}\b)?"
)


@dataclass(frozen=True)
class Rate:
    """Deaths told by the day or the hour; ``rest``: the line without these words."""

    said: str
    rest: str
    days: bool


def rate(text: str) -> Rate | None:
    """The rate that a line tells. text: numbers in figures"""
    hits = _RATE.finditer(text.casefold())
    hit = next((each for each in hits if re.search(rf"\b{_DIE}\b", each[0])), None)
    if hit is None:
        return None
    by_hour = (hit["of"] or hit["of2"] or "").startswith("h")
    rest = f"{text[: hit.start()]} {text[hit.end() :]}"
    return Rate(hit[0].strip(), rest, not by_hour)
