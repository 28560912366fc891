"""What is wanting where the fish are: current, a second person, dechlorinator, a tank, a kit.

People say it at any question: "30 h, no dechlorinator in the house". It is taken only as it
stands now and only where the house is meant: "the power was off" and "tap, no dechlor" are not.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.ask.hear.ears import Ears
from advisor.ask.hear.line import plain

_END = r"(?= ?(?:[,;.!?()]|-|$|and\b|so\b|or\b|but\b|as\b|because\b|since\b|either\b|now\b|yet\b|here\b|tonight\b|today\b))"
_NONE = r"(?:(?:(?:i|we) )?(?:have |have got |got |ve got |is |are |there is |there are )?no|(?:(?:i|we) )?(?:dont have|do not have|havent got|have not got|havent|aint got|got)(?: an?y?| no)?|without(?: any| a)?|not an?y?)"
_MAINS = r"(?:power|mains(?: power)?|electric|electrics|electricity|leccy|lecky)"
_PLACED = r"(?: (?:in|at|on|to) (?:the |this |my |our )?(?:whole )?(?:house|shop|store|fish ?room|room|building|street|flat|site|place|village|area|home))"
_NOW = r"(?:still|now|right now|at the moment|currently|again)"
_SINCE = r"(?: (?:since|from) (?:about |around )?(?:\d[\w:.]*(?: ?(?:am|pm|h|hrs?|hours?|min\w*|oclock))?|noon|midday|midnight|lunch\w*|breakfast|this morning|morning|last night|yesterday|then|dawn)(?: ago)?)"
_POWER = re.compile(
    rf"\b(?:still )?no {_MAINS}(?! to (?:it|the|one|that))(?:{_PLACED}|{_SINCE}| {_NOW}| here| tonight| today)*{_END}"
    rf"|\b{_MAINS}(?:(?: is| are| has| been| went| still| now| just)*(?: off| out| down| gone)|(?: is| has been| has just been| still)+ cut)(?! (?:to|at the plug|at the wall|for|yesterday|last|on (?:the|its|their) way)\b)(?:{_PLACED}|{_SINCE}| {_NOW}| here| tonight)*{_END}"
    rf"|(?<!no )\b(?:power|mains|electricity) (?:cut|outage|failure|failed|fail)(?:{_PLACED}?{_SINCE}| {_NOW}| here| in progress| ongoing){{1,2}}"
    rf"|\bblack ?out(?:{_PLACED}|{_SINCE}| {_NOW}| here){{1,2}}"
    rf"|\blost (?:the |all )?(?:power|mains|electric\w*)\b[^,;.]*\b(?:not back|still (?:off|out|down|gone))\b"
    rf"|\b(?:power|mains|electric\w*)\b[^,;.]*\b(?:not back|still (?:off|out|down|gone))\b(?: yet| on)?"
)
#: Then it was off and is on, or may go off, or somebody switched it, or it was so on the way.
_NOT_NOW = re.compile(
    r"\b(?:(?<!not )(?<!nt )back|on again|restored|was|were|had|yesterday|(?:for|about) \d+ ?(?:h|hrs?|hours?|min\w*)\b(?! (?:now|already))|if|in case|when|should|might|(?:turn|switch|shut|pull)(?:ed|ing)?|van|truck|lorry|airport|depot|supplier\w*|exporter\w*|courier|transit|on the way|their end|farm|saving)\b"
)
#: "the filter has no power", "is the power out"
_OF_ONE_THING = re.compile(
    r"(?:\b(?:filters?|heaters?|pumps?|lights?|lamps?|chillers?|skimmers?|blowers?|socket|plug|it) (?:has|have|had|got|with|is|are)|^(?:is|was|has)(?: the)?|\bif(?: the)?) $"
)
_BINDER = r"(?:de ?chlor\w*|(?:water )?conditioner|thiosul\w+)"
_DECHLORINATOR = re.compile(
    rf"\b{_NONE} {_BINDER}(?: (?:left|in (?:the |this |my |our )?(?:house|shop|store|building|stock|place|cupboard)|at (?:hand|home|all)|to hand|here|anywhere|on site|available|any more|anymore)){{1,2}}"
    rf"|\b(?:i|we) (?:have|have got|got|dont have|do not have|havent got|have not got)(?: no| any| a)? {_BINDER}{_END}"
    rf"|\b(?:(?:i|we|am|are|is|im|were) )*(?:clean |all )?out of {_BINDER}{_END}"
    rf"|\b(?:the |my |our )?{_BINDER}(?: has| have| is| are)* (?:ran out|run out|all gone|used up|finished|empty)(?: (?:last|this) \w+| yesterday)?"
)
_HAVING = re.compile(r"\b(?:have|got)(?: an?y?)? (?:de ?chlor|water cond|cond|thio)")
_HOLDS = r"(?:tanks?|tubs?|buckets?|vats?|vessels?|containers?|bins?)"
_FREE = r"(?: (?:to (?:put|move|use|take|hold)(?: them| it)?(?: in| into| to)?|for them|free|ready|at hand|to hand|available|left|clean))"
_OTHER = re.compile(
    rf"\b{_NONE} (?:(?:other|spare|second|clean|free|empty) )+{_HOLDS}(?: (?:or|nor|and)(?: an?| no)?(?: clean| spare| other)* {_HOLDS})*{_FREE}?{_END}"
    rf"|\b{_NONE} {_HOLDS} (?:or|nor)(?: an?| no)?(?: clean| spare| other)* {_HOLDS}{_FREE}?{_END}"
    rf"|(?<!in )(?<!into )\b(?:(?:i |we )?(?:dont|do not) have (?:an?y?|one) |(?:havent|have not) got an?y? |(?:(?:i|we|there is) )?(?:have |got |have got )?no |without an?y? )(?:tub|bucket)s?(?: (?:ready|set up|anywhere|for them|at hand|to hand|left|free|available))*{_END}(?: here)?"
    rf"|\bno (?:tub|bucket)s? either\b"
)
_TANK = re.compile(
    rf"(?<!other )(?<!second )\b{_NONE} (?:tanks?|vats?|aquariums?)(?: (?:is |are )?(?:ready|set ?up|running|filled|prepared|for them|here|yet|at hand|free|at all))+"
    rf"|\b(?:(?:i|we) (?:have|got|have got) no|no) (?:tank|vat|aquarium){_END}"
    rf"|(?:^|[,;.] ?|\b(?:and|but|because|as|cos) )(?:the |my |our )?(?:tank|vat|aquarium) (?:is not|isnt|not|aint|arent|is still not|still not|not yet)(?: yet| even| at all)? (?:ready|set ?up|filled|running|prepared)(?: yet)?"
)
_ALONE = re.compile(
    r"\b(?:and )?(?:(?:i am|im|am|i m) (?:here |all |completely |quite )*(?:alone|on my own|by myself)|on my own|by myself|(?:it is |its )?(?:just|only) me)(?: here| tonight| today| in the (?:shop|house|building|room))*\b(?! (?:who|that|being|or))"
    r"|\b(?:and |with |there is |theres |have |have got |got |i |ive )*(?:nobody|no ?one|not a soul)(?: else)? (?:to (?:help|send)(?: me| out| for it)?|(?:is )?here(?: to help)?|with me|about|around|on (?:shift|tonight|today|duty))\b"
    r"|\b(?:and )?(?:no (?:second (?:person|pair of hands)|other person|help here|help at hand)|single handed)\b"
)
#: "alone" as a thought of its own is the one who types; of fish it is said with them.
_BARE_ALONE = re.compile(
    r"(?:^|(?<=[,;.!?] )|(?<=[,;.!?])|\b(?<=and ))(?:all |here )?alone(?: (?:here|tonight|today|in the (?:shop|house|building|room)))*(?= ?(?:[,;.!?]|$))"
)
_OF_FISH = ("behaviour", "who_is_ill")
_KITS = re.compile(rf"\b{_NONE} test ?kits?(?: (?:here|at all|in the house|at hand|left))*{_END}")
#: Questions at which the words mean something else, or that are asked for the very thing.
_LEFT_ALONE = {
    "no_other_tank": ("who_is_ill", "others_on_same_supply", "tank_has", "gear_from_ill_tank"),
    "power_out": ("changed_last_day",),
}


_ITEMS = frozenset(["power_out", "no_dechlorinator", "no_other_tank", "tank_at_hand", "alone_here"])


def wanting(ears: Ears) -> tuple[dict[str, str], str]:
    """What the line says is wanting now, and the line without those words.

    Where the question itself offers the item its words stay, to be heard as it hears them.
    """
    text = plain(ears.text)
    found: dict[str, str] = {}
    for item, answer, form in (
        ("power_out", "yes", _POWER), ("no_dechlorinator", "yes", _DECHLORINATOR),
        ("no_other_tank", "yes", _OTHER), ("tank_at_hand", "no", _TANK), ("alone_here", "yes", _ALONE),
        ("alone_here", "yes", _BARE_ALONE),
    ):  # fmt: skip
        elsewhere = _LEFT_ALONE.get(item, ())
        if item != "power_out" and ears.asked in elsewhere:
            continue
        if form is _BARE_ALONE and ears.asked in _OF_FISH:
            continue
        hit = form.search(text)
        if hit is None or (item == "power_out" and not _is_now(text, hit)):
            continue
        if item == "no_dechlorinator" and _HAVING.search(hit[0]) and "nt " not in hit[0]:
            continue  # "got a conditioner"
        found[item] = answer
        if ears.question.history != item and ears.asked not in elsewhere:
            text = f"{text[: hit.start()]} , {text[hit.end() :]}"
    if ears.question.kind != "reading" and ears.asked != "kits_at_hand" and _KITS.search(text):
        kits = [item for item in ears.base.history if item.startswith("kit_")]
        found |= {item: "no" for item in kits if "meter" not in ears.base.history[item].name}
        text = _KITS.sub(" , ", text)
    if not found:
        return found, ears.text
    return found, re.sub(
        r"(?:\s*,\s*(?:and |but |so |as |because )?)+(?=,|$)|^[\s,]+", " ", text
    ).strip(" ,.")


def is_wanting(history: Mapping[str, str]) -> bool:
    """Whether every one of these answers is something that :func:`wanting` hears."""
    return all(item in _ITEMS or item.startswith("kit_") for item in history)


def _is_now(text: str, hit: re.Match[str]) -> bool:
    start = max(text.rfind(mark, 0, hit.start()) for mark in (",", ";", ". ", "("))
    ends = [at for mark in (";", ". ") if (at := text.find(mark, hit.end())) >= 0]
    said = text[start + 1 : min(ends, default=len(text))]
    if _OF_ONE_THING.search(text[: hit.start()]):
        return False
    still = re.search(r"\bnot back\b|\bstill (?:off|out|down|gone|no)\b", said)
    return bool(still) or not _NOT_NOW.search(said)
