"""A line as it is spoken, made plain: dropped letters, second thoughts, what has not happened.

"gills goin like mad" is "going"; "20 dead, no wait 12" is 12 dead; "about to lose another 20"
is nothing yet.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re

from advisor.ask.hear.word_sets import word_set

#: Ways of writing a word as it is spoken, and the word.
_SPOKEN = {
    "nite": "night", "2nite": "tonight", "tonite": "tonight", "mornin": "morning",
    "evenin": "evening", "nothin": "nothing", "dyin": "dying", "lyin": "lying",
    "layin": "laying", "goin": "going", "doin": "doing", "em": "them", "til": "until",
    "till": "until", "untill": "until", "thru": "through", "abt": "about", "aboot": "about",
    "yday": "yesterday", "ystdy": "yesterday", "yest": "yesterday", "yesterdy": "yesterday",
    "yesturday": "yesterday", "summat": "something", "gonna": "going to", "outta": "out of",
    "lotta": "lots of", "tnite": "tonight", "bfore": "before", "becos": "because",
    "cos": "because", "coz": "because", "cuz": "because", "wiv": "with",
    "sum": "some", "evry": "every", "nuffin": "nothing", "owt": "anything", "theyve": "they have",
    "whats": "what is", "theres": "there is", "thats": "that is", "havnt": "havent",
    "dosent": "doesnt", "dosnt": "doesnt", "doesent": "doesnt", "cudnt": "couldnt",
    "wernt": "werent", "isent": "isnt", "aint": "arent", "innit": "", "pls": "", "plz": "",
    "mate": "", "boss": "", "lol": "", "minz": "min", "mins.": "min", "hrz": "hours", "dayz": "days", "nothings": "nothing is", "ffs": "", "erm": "", "uh": "", "um": "", "hmm": "",
}  # fmt: skip
#: Said before the number or word that holds instead of the last one.
_INSTEAD = re.compile(
    r"[\s,;.:-]*\b(?:no,? wait|wait,? no|no,? sorry|sorry,? no|sorry,? (?:i mean|make that|its|thats)?"
    r"|correction|scratch that|strike that|i mean|i meant|make (?:that|it)|no hang on|hang on|oops"
    r"|er+ no|my mistake|typo|wait|actually no|no actually|or rather|beg pardon|no,? excuse me|excuse me|no(?=,? \d+(?:$|[\s,;.]+(?!dead|down|died|fish))))\b[\s,;.:-]*"
)
#: Not yet, not really, only so planned: nothing that is.
_UNREAL = re.compile(
    r"\b(?:about to|going to|gonna|will be|will|expect(?:ing|ed)?(?: to)?|should have been|shouldve been"
    r"|supposed to|meant to|planned|would have|might (?:lose|die|go|be)|could be|if)\b"
)
_WATER = re.compile(r"tank|bag|bags|tap|tub|vat|pond|sump|bucket")
_LEADS = word_set("leads")
_NUMBER = re.compile(r"(?<![\w.,])\d+(?:[.,]\d+)?(?![\w.,]*\d)")


def spoken(text: str) -> str:
    """The line with words written as they are spoken put in full (small letters)."""
    text = re.sub(r"(?<=[a-z])(?<! as) n (?=[a-z])", " and ", text)
    text = re.sub(r"(?<=\d)\s?-?ish\b", "", text)
    text = re.sub(r"\b(\d+[a-z]*) (?:or so|odd|give or take|ish)\b", r"\1", text)
    return " ".join(w for w in (_SPOKEN.get(word, word) for word in text.split()) if w)


def settled(text: str) -> str:
    """The line after second thoughts: what is said after "no wait" takes the place of the last.

    text : small letters, numbers in figures
    """
    hits = list(_INSTEAD.finditer(text))
    hit = hits[-1] if hits else None
    if hit is None or not text[: hit.start()].strip():
        return text if hit is None else text[hit.end() :]
    before, after = text[: hit.start()], re.sub(r"\bnot \d+\b", "", text[hit.end() :]).strip()
    new = _NUMBER.search(after)
    old = list(_NUMBER.finditer(before))
    if new is None and re.match(r"(?:no|none|nothing)\b", after):
        kept = re.split(r"(?<=[,;.])", before)
        named = [part for part in kept if set(re.findall(r"[a-z]{4,}", part)) & _told(after)]
        kept.remove(named[0] if named else kept[-1])
        left = "".join(kept).rstrip(" ,;.")
        return f"{left}, {after}" if left else after
    if new is None:
        clause = re.split(r"[,;.]", before)[-1]
        number = _NUMBER.search(clause)
        if number is None or hit[0].strip(" ,;.:-") in ("wait", "sorry", "sorry,") or not after:
            return text
        return f"{before[: len(before) - len(clause)]} {number[0]} {after}".strip()
    if not old:
        return text
    ends = re.match(r"\s*(?:[,;.]|$)", after[new.end() :])
    tail = [] if ends else after[new.end() :].split()
    same = [n for n in old if len(tail) == 1 and before[n.end() :].split()[:1] == tail]
    lead = re.findall(r"[a-z]+", after[: new.start()])[-1:]
    owner = [n for n in old if lead and re.findall(r"[a-z]+", before[: n.start()])[-1:] == lead]
    if owner and lead[0] not in _LEADS:  # "tank 24 bag 20, sorry, tank 25"
        return (
            f"{before[: owner[-1].start()]}{new[0]}{before[owner[-1].end() :]}{after[new.end() :]}"
        )
    water = bool(lead and _WATER.fullmatch(lead[0]))
    place = same[-1] if same else old[-1] if not tail and not water else None
    if place is not None:
        rest = " ".join(tail[1:]) if same else after[new.end() :]
        return f"{before[: place.start()]}{new[0]}{before[place.end() :]} {rest}".strip()
    kept = re.split(r"[,;]", before)
    return ",".join([*kept[:-1], after])


def _told(after: str) -> set[str]:
    """The longer words of the first clause of what is said instead."""
    return set(re.findall(r"[a-z]{4,}", re.split(r"[,;.]", after)[0]))


def real(text: str) -> str:
    """The line without what is only expected, planned or possible, and what was and is over."""
    text = re.sub(r"^[^?]*\?\s*(?:no|nope|nah|not really)\b[\s,.:;-]*(?=\w)", "", text)
    text = _OTHERS.sub(" ", text)
    before, found, after = text.partition(" but ")
    if not found:
        before, found, after = text.partition(" though ")
    if (
        found
        and _PAST.search(before)
        and re.search(r"\b(?:now|only|is|are|have been|has)\b", after)
    ):
        text = after
    parts = re.split(r"(?<=[,;])|(?=\bbut\b)|(?=\band (?=about to|expect))|(?<=\.)\s", text)
    left = [part for part in parts if not _UNREAL.search(part)]
    return "".join(left).strip() if len(left) < len(parts) and "".join(left).strip() else text


#: What was thought or seen before, when a "but" tells what is.
_PAST = re.compile(
    r"\b(?:earlier|at first|first thought|first took|i (?:first |just )?(?:said|thought|took)|used to|to begin with|to start with|initially|originally|looked like)\b"
)
#: Kinds and things named only to say that they are not meant.
_OTHERS = re.compile(
    r"[,;]\s*not (?:the|those|just the) (?:\w+ )?(?:usual|ordinary|other|normal|common|blue|red|big|small) \w+"
)
#: The person says that it is not known, in a sentence.
_UNKNOWN = re.compile(
    r"\b(?:(?:do|does|did|could|can|would|will|have|has|had|is|was)(?: not|nt)|dont|doesnt|didnt|couldnt|cant|cannot|wouldnt|havent|hasnt|isnt|wasnt|rather not|unable to|not able to|never|not|nobody|no one)"
    r"(?: really| yet| even| been| at all| want to| going to| able to| quite| in a position to)* "
    r"(?:know|tell|say|says|said|count|counted|see|seen|look|looked|checked|check|read|make out|remember|recall|measure|measured|test|tested|try|tried|offered|offer|told|written|noted|recorded|stated|given|weighed|weigh|asked|ask|assess|assessed|determine|determined|logged|done|fed|feeding|smell|smelt|noticed)\b"
    r"|\bhave not (?:such|this|that|these|an?|any) (?:\w+ )?(?:tests?|kit|meter|thing|one)\b"
    r"|\bno (?:idea|clue|note|record|records|data|info|information|label|paperwork|invoice|sheet|docs?|documents?|test|kit|way to (?:tell|know)|\w*meter|thermom\w*|probe|microscope|scope|scales?|strips?|reagents?|test kit|\w+ (?:kit|test|meter|probe)|(?:bag )?water (?:kept|left|saved)|sample)\b"
    r"|\b(?:idk|dunno|no idea|beats me|search me|god knows|who knows|wish i (?:knew|could)|i am afraid|ask (?:me|my|the)|is at home|not my shift|wasnt (?:here|me|there)|only here|in a language|cant read|illegible|unreadable|unknown|n/a|not available|not applicable|lost the|smudged|blank|left blank|pass|skip|holding off|no one told)\b"
)


def unknown(text: str) -> bool:
    """Whether a line says in a sentence that the person does not know (small letters)."""
    return bool(_UNKNOWN.search(text))
