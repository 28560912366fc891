"""Where the fish are: what holds them, whether it is open, and whether they are out of it.

What holds now outweighs what held before: "cut open, netted into the tank" is the tank, "floating
in the tank, still tied" the shut bag. Several places for several fish are asked about.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass

_BAG = r"bags?|bagged|packets?|sacks?|polybags?|beutel\w*|bolsas?|sacs?|zak\w*|breathers?"
_BOX = r"box(?:es)?|cartons?|styros?|polyst\w+|van|truck|crate|esky|cool ?box|karton\w*|caja|car"
_TUB = (
    r"tubs?|buckets?|totes?|bins?|bowls?|basins?|troughs?|eimer\w*|wannen?|cubos?|seaux?|emmers?|trug|pails?|jugs?|bath(?:tub)?|dustbin|barrels?"
    r"|storage box|plastic box|washing up bowl|sink|holding (?:tub|box|bin)|paddling pool|tray|dishpan|schüssel|secchi\w*|barreño|poly ?box(?= (?:with|of|full))"
)
_TANK = (
    r"tanks?|ponds?|quarantine|qt|systems?|sys|sump|vats?|racks?|display|aquarium\w*|cubes?|raceways?|reef|main|hospital|pool|becken|teich|acuario|aquarien|refugium"
    r"|stock|holding(?! (?:tub|box|bin|them))|(?:breeding|breeder|net) (?:trap|box|breeder)|net breeder|isolation|enclosure|exhibit|flow ?through|growing on|bays?|shelf"
)
_SHUT = (
    r"shut|sealed|closed|tied|unopened|un ?opened|taped|knotted|knots?|rubber ?band\w*|banded|uncut|un ?open|stapled|clipped(?! (?:on)?to)|clips?(?! to)|fastened|verschlossen\w*|geschlossen\w*|ungeöffnet\w*|zugeknotet|zugebunden"
    r"|cerrad\w+|chius\w+|ferm[ée]\w*|dicht|zu|tight|wrapped|heat ?sealed|intact|boxed(?: up)?|packed|as they came|untouched"
)
_OPEN = (
    r"open(?:ed)?|cut(?: open)?|untied|undone|rolled(?: down| back)?|slit|unsealed|tops? (?:off|open|rolled|down)|offen\w*|geöffnet\w*|abiert\w+|ouvert\w*|aufgeschnitten|unknotted|ripped"
    r"|popped|unzipped|airing|geopend|apert\w+"
)
_NOT_OPEN = r"(?:not|havent|hasnt|didnt|isnt|arent|never|nothing|none|no|nowt)(?: been| yet| even| is| are| one| bags?)*(?: yet)? (?:open(?:ed)?|cut|untied|undone|touched|unpacked|unboxed)\b"
#: Fish, or bags, in the box: a box that is only told of ("box felt cold") says nothing of them.
_IN_BOX = re.compile(
    rf"(?:^|[,;.] ?|\b(?:they|theyre|fish|fishes|still|are|is|all|them|everything|everyone|sat|sitting|left|kept|waiting|bags?|here|there) )"
    rf"(?:(?:still|are|is|all|just|only|waiting|sitting|sat|there|here) )*(?:in|inside|on|im|en la|dans)(?:side)? (?:the |their |its |a |an |my |our )?(?:\w+ )?(?:{_BOX})\b"
    rf"|^(?:still )?(?:the |in )?(?:{_BOX})$"
)
#: What a bag or box was like: "box was taped badly", "bags wrapped in newspaper", "box opened".
_TOLD_OF = re.compile(
    rf"\b(?:{_BAG}|{_BOX})(?: water)? (?:itself )?(?:was|were|came|felt|looked|smelled|smelt|seemed|arrived|leaked|had|feels|looks|smells|leaks?) (?!where|in\b|still|left|put)[^,;.]*"
    rf"|\bwrapped (?:up )?(?:in|with) \w+|\bpacked (?:with|by|at|for|yesterday|last|on)\b[^,;.]*"
)
_OPEN_BOX = re.compile(
    rf"\b(?:{_BOX}) (?:(?:is|are|was|now|already|lid) )*(?:{_OPEN})\b|\b(?:{_OPEN}) (?:up )?(?:the |our |my )?(?:{_BOX})\b"
)
#: What lies ahead: the bags are still shut.
_AHEAD = r"\b(?:about|going|ready|waiting|yet|want|wanting|trying|how|(?:how|when) (?:do|can|should|shall|may|to)|before i|before we|will|shall i|should i)(?: to(?: be)?| i)? (?:open|cut|untie|unpack|unbox)\w*"
_OUT = (
    r"netted|net them|poured|tipped|dumped|dunked|racked|tanked|housed|chucked|plopped|sloshed|released|let (?:them )?(?:go|out|loose|in|swim)|set free|freed|moved|transferred|went in(?:to)?|put (?:them )?(?:in|into)|swimming (?:in|around|about|free)|cupped|scooped"
    r"|acclimated|acclimatised|introduced|decanted|added (?:them )?to|straight in|all in(?! (?:the |their |its |a |our )?(?:\w+ )?(?:box|boxes|cartons?|van|truck|crate|esky|car|styros?|bags?)\b)|gone in|out of (?:the |their )?(?:bags?|packets?|box)|(?:they(?:re| are)?|fish|all|are|is|already|now) out\b|freigelassen|eingesetzt|liberad\w+|suelt\w+|unbagged|plonked|dropped in|slid|swam out|in there now|stocked|rehoused|taken out|let swim"
)
_SOME = re.compile(
    r"\b(?:some|half|part|most|first|two|one|1|2|3|4|5|6|few|couple|a bag|the big\w*)\b.*\b(?:rest|others?|half|some|remaining|second|last|other (?:ones|bags?|lot)|still)\b"
)
#: "half the boxes done, half still shut", "netted 2 of the bags, 3rd is still closed"
_SPLIT = r"\b(?:half|some|most|part|first|one|two|three|1|2|3|4|5|6|\d+)\b[^,;.]*[,;.]? ?(?:and |but |the )*(?:the )?(?:half|rest|others?|some|remaining|remainder|\d+(?:st|nd|rd|th)|last|other (?:one|half|bags?|box|boxes)|second|third)\b[\w ]{0,16}\b(?:still|not|shut|closed|sealed|tied|unopened|waiting|to go|to do)\b"
#: "nothing moved out of them": what has not been done says nothing of where they are.
_NOT_MOVED = r"\b(?:nothing|none|nobody|no fish|not|havent|hasnt|didnt|never|without)(?: been| yet| even| any| one| anything| them)* (?:moved|netted|tipped|poured|released|transferred|taken|let|put|tanked|dumped|netting|pouring|tipping|releasing|moving)\b(?: (?:out|over|in|into|of|the|them|bags?|any|yet|anything))*"
_NEG = r"(?:not|isnt|arent|no longer|never)(?: yet)? (?:in|into|to) (?:the |a |our )?"


_VESSEL = rf"(?:{_TANK}|{_TUB})"
_OUR = r"(?:(?:the|a|an|my|our|this|that|its|their|any|new|big|main|display|quarantine|holding|storage|other|spare|clean|free) )*"
_START = r"(?:^|(?<=[,;.]) ?|\b(?:and|but|because|as|cos|since|so|while|though) )"
#: Words up to the place, within one thought.
_STEPS = r"(?:(?!but\b|and\b|then\b|now\b|so\b|breathe\b|see\b|count\b|find\b|catch\b|tell\b|swim\b)\w+ ){0,5}?"
#: A tank or tub named as wanting, planned, forbidden, left or described: not where the fish are.
_NOT_HERE = tuple(
    re.compile(form)
    for form in (
        rf"\b(?:no|without|(?:dont|do not|didnt) have|havent(?: got)?|have not got|have no|got no|not an?y?|nowhere near|not near) {_OUR}{_VESSEL}\b(?: (?:or|nor|and) {_OUR}{_VESSEL}\b)*(?: (?:is |are )?(?:ready|set up|running|free|clean|here|yet))*",
        rf"{_START}{_OUR}{_VESSEL} (?:(?:is|are|was|will|has|had|does|needs?|still|only|currently|now|just)(?: not| be| been| still| only| now| just)*|isnt|arent|wasnt|wont|hasnt|doesnt|not|aint|at|too|reads?) (?!where|home|with (?:them|the fish))[^,;.]*",
        rf"(?<!had )\b(?:going|to go|go|goes) (?:back |straight )?(?:in|into|to|on|onto) {_OUR}{_VESSEL}\b",
        rf"\b(?:plan\w*|want\w*|wanna|will|wait(?:s|ing)? (?:for|to|until|till)|before (?:they|i|we|it|he|she)|until|should|shall|cant|cannot|can not|could|may not|must not|meant|supposed|intended|about to|need\w* to|hop(?:e|ing)|due|bound|destined) {_STEPS}(?:in|into|to|for|on|onto) {_OUR}{_VESSEL}\b",
        rf"\b(?:want\w*|wait(?:s|ing)? (?:for|on|until|till)|need\w*|prepar\w+|filling|cycling|warming|heating|cooling|setting up|cleaning|looking for|getting|buying|fetching|planning|next to|beside|near|on top of|in front of|by|outside|above|under) (?:up )?{_OUR}{_VESSEL}\b",
        rf"\b(?:nobody|nothing|none|no one|no fish)(?: is| are| has been)?(?: yet)? (?:in|into) {_OUR}{_VESSEL}\b",
        rf"\b(?:out of|from) {_OUR}(?:{_TANK})\b(?: again)?",
    )
)
#: What is out may be the lamp: "power is out".
_NO_FISH = r"\b(?:power|mains|electric\w*|lights?|heaters?|heating|filters?|pumps?|boss|manager|air|current)\b(?: (?:is|are|has|went|gone|still))* (?:out|off|shut|closed|down)\b"
#: A choice put back to the asker.
_ASKS = re.compile(r"^(?:should|shall|do|can|could|must|may) (?:they|i|we|it)\b.*\bor\b")


#: "half the bags are open", "some are in the tank"
_PARTLY = re.compile(
    rf"\b(?:half|some|most|part|a few)(?: of)?(?: the| them| my| our)*(?: bags?| boxes| box| packets?)? (?:(?:are|is|still) )+(?:(?:{_OPEN}|{_SHUT}|{_OUT})\b|in {_OUR}{_VESSEL}\b)"
)


def placed(text: str) -> str:
    """The line without tanks and tubs that do not hold the fish, and without what else is out.

    text : small letters, as ``line.plain`` makes it
    """
    text = re.sub(_NO_FISH, " ", text)
    if _ASKS.search(text):
        return " "
    text = re.sub(rf"\bfloat(?:s|ing)?(?: them)? (?:in|on) {_OUR}(?:{_TANK})\b", "floating", text)
    for form in _NOT_HERE:
        text = form.sub(" ", text)
    return text


def else_out(text: str) -> bool:
    """Whether the lamp, the mains or a person is what is out."""
    return bool(re.search(_NO_FISH, text))


def holders(text: str) -> set[str]:
    """What is named of "tank", "tub" and "bag"."""
    named = (("tank", _TANK), ("tub", _TUB), ("bag", _BAG))
    return {name for name, form in named if _said(rf"(?:{form})", text)}


#: Ends what is asked where some are shut and some are not.
EACH_LOT = "Say it for each lot."


@dataclass(frozen=True)
class Where:
    """The place named, or what has to be asked; ``sure`` when what holds the fish was named."""

    place: str | None = None
    ask: str = ""
    sure: bool = False


def where(text: str) -> Where:
    """The place that a line says. text: small letters, as ``line.plain`` makes it."""
    text = re.sub(rf"\b{_NEG}(?:{_TANK}|{_TUB})\b", " ", placed(text))
    text = re.sub(
        r"\b(?:tank|pond|system|vat|tap|bag|sump|box|sys) ?(?:water|temps?|temperature|lights?)\b|\b(?:to|for|from) (?:match|equalise|equalize|warm|temp)\w*",
        " ", text,
    )  # fmt: skip
    if re.search(rf"\b(?:{_BAG})\b", text):
        text = _OPEN_BOX.sub(" ", text)
    text = _TOLD_OF.sub(_without_telling, text)
    text = re.sub(r"\b(?:room|fish ?room|lights?|shop|warehouse)\b", " ", text)
    if re.search(r"\bor\b", text) and len(holders(text)) > 1:
        return Where(None, "Which is it: the bags, a tub or the tank?")
    if _PARTLY.search(text) or re.search(
        r"\bhalf (?:are )?in\b.*\bhalf (?:are )?(?:out|not)\b|\bsome (?:are )?in\b.*\bsome (?:are )?out\b",
        text,
    ):
        return Where(None, "Which are still shut and which are out? Say it for each lot.")
    text = re.sub(
        r"\b(?:(?:were|was|been) )?(?:sealed|shut|closed|tied)(?: up)?(?: for| since)? \d[\w.:]*(?: ?(?:h|hrs?|hours?|days?)\b)?|\d+ ?(?:h|hrs?|hours?) (?:sealed|shut)\b",
        " ",
        text,
    )
    text = re.sub(_AHEAD, " unopened ", text)
    text = re.sub(_NOT_MOVED, " ", text)
    if re.search(_SPLIT, text) and (
        _said(rf"(?:{_SHUT})", text) or _said(rf"(?:{_OPEN}|{_OUT})", text)
    ):
        return Where(None, "Which are still shut and which are out? Say it for each lot.")
    shut = bool(re.search(_NOT_OPEN, text)) or _said(rf"(?:{_SHUT})", text)
    text = re.sub(_NOT_OPEN, " ", text)
    opened = _said(rf"(?:{_OPEN})", text)
    out = _said(rf"(?:{_OUT})", text)
    bag, tub, tank = (_said(rf"(?:{form})", text) for form in (_BAG, _TUB, _TANK))
    box = _said(rf"(?:{_BOX})", text)
    floating = bool(
        re.search(r"\bfloat(?:ing|ed|s)?\b|\bschwimm\w*|\bbobbing\b|\bflotando\b", text)
    )
    drip = bool(re.search(r"\bdrip(?:ping|s)?\b(?! (?:done|finished))", text)) and not out
    in_bag = bool(re.search(rf"\b(?:still|inside|in|im|en la|dans) (?:in )?(?:the |their |its )?(?:open(?:ed)? )?(?:{_BAG})\b", text))  # fmt: skip
    if re.search(r"\bstill (?:in|inside)\b", text) and opened and not tub:
        in_bag, out = True, False
    if shut and opened and not tub and not out:
        return Where(None, "Which are still shut and which are open? Say it for each lot.")
    if (
        _SOME.search(text)
        and sum((shut, opened or in_bag or (bag and tub), tub, tank and not floating)) > 1
    ):
        return Where(None, "Which are still shut and which are out? Say it for each lot.")
    if re.search(
        r"\bopen\w*\b[^.;]*\b(?:\d+|others?|rest|some)\b (?:are |is |still )?not\b(?! (?:in|out))",
        text,
    ):
        return Where(None, "Which are still shut and which are open? Say it for each lot.")
    if out and _said(rf"still (?:{_SHUT})", text) and not (floating or in_bag or bag):
        return Where(None, "Which are still shut and which are out? Say it for each lot.")
    if (
        opened
        and tub
        and re.search(rf"\b(?:open(?:ed)?|cut) (?:{_BAG})\b", text)
        and not (out or drip)
    ):
        return Where("open_bag", sure=True)
    if tub and (out or drip or not (shut or in_bag)):
        return Where("tub", sure=True)
    if out and (tank or not (shut or floating)) and not in_bag:
        return Where("tank", sure=tank)
    if shut and not out:
        return Where("closed_bag", sure=bag or box or floating)
    if opened and (in_bag or floating or bag or box or drip or not tank):
        return Where("open_bag", sure=bag or in_bag)
    if drip and in_bag:
        return Where("open_bag", sure=True)
    if floating and not opened and (bag or tank or not text.replace("floating", "").strip()):
        return Where(None, "Floating shut, or with the bags open?")
    if tank:
        return Where("tank", sure=True)
    if not opened and _IN_BOX.search(text):
        return Where("closed_bag", sure=False)
    return Where()


def _without_telling(hit: re.Match[str]) -> str:
    """Nothing of what a bag or box was like, unless it says where the fish are, or of opening."""
    rest = hit[0].split(" ", 1)[-1]
    kept = rf"(?:{_OPEN}|{_OUT}|{_TANK}|{_TUB}|not|un ?opened|shut|sealed|tied)"
    boxed = re.match(rf"(?:{_BOX})\b", hit[0])
    return (
        hit[0]
        if _said(kept, rest) and not (boxed and not _said(rf"(?:{_OUT}|{_TANK}|{_TUB})", rest))
        else " "
    )


def _said(form: str, text: str) -> bool:
    return bool(re.search(rf"(?<![\w-]){form}(?![\w-])", text))
