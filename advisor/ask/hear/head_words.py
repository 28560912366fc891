"""The words of a head count: amounts, states of fish, and what is no amount at all."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from advisor.ask.hear.word_sets import word_set

_DEAD = (
    r"as dead|dead(?: ones?| fish(?:es)?)?|died|dies|deaths?|daa|gone(?! (?:belly|on|over|down|flat|pale|dark|quiet|to|limp|off|white|all))|croaked|expired|passed(?: away| on)?|stiff|perished|mort[si]?|muert[oa]s?"
    r"|tote?n?|mortalit(?:y|ies)|morts|casualt(?:y|ies)|fatalit(?:y|ies)|kaputt|gestorben|dode?n?|deceased|mortos?|padł\w*|kicked the bucket"
    r"|carked it|corpses?|bodies|body|snuffed it|popped it|went belly up and died|goners?|losses|loss|lifeless|no longer with us"
    r"|bit the dust|bought (?:it|the farm)|pegged (?:it|out)|conked (?:it|out)|checked out|gave up(?: the ghost)?|given up|brown bread|toast|cooked|done for|finished off|no more(?= *(?:$|[,;.]))|rip|in heaven"
    r"|succumbed|(?:didnt|did not|dint|not|never|wont) (?:make|made) it|(?:didnt|did not|not) survived?|(?:failed|unable) to (?:make it|survive)|stiffs?|snuffed|killed|demised?|expiry|floating dead|dead floaters?|belly up dead|popped (?:it|their clogs)|clogs popped"
    r"|fallecid[oa]s?|crev[ée]e?s?|décédée?s?|decedut[oi]|verendet|verstorben|hinüber|eingegangen|krepiert|overleden|doodgegaan|martw\w*|zdech\w*|śnięt\w*|mrtv\w*|döda?|døde?|kuollu\w*|ölü|mati|patay|mort[ea]|umarł\w*|kaputte?|doods?|döds?|deads|dieds?|dyed|deceases?|fatal"
)  # fmt: skip
_DEAD_VERB = r"lost|lose|binned|buried|(?:took|taken|taking|picked|pulled|fished|netted|scooped) out(?: dead)?|removed(?: dead)?|flushed|bagged up dead|culled|euthan\w+|put to sleep"
_DOWN = (
    r"(?:look(?:s|ing)?|nearly|almost|as good as|half|near|close to) (?:dead|death)|(?:lying |laying |flat |swimming )?on (?:the |their |there |thier |ther |theyre |its |his |her |a |one )?(?:sides?|backs?)|sideways"
    r"|de lado|sul fianco|sur le (?:côté|flanc)|auf der seite|op zijn kant|limp|dying|moribunds?|on (?:its|the|their|his) way out"
    r"|belly up|bellies up|upside(?: down)?|lying(?: down| flat)?|laying(?: down| flat)?|lay(?: down| flat)|laid out|roll(?:ing|ed)? over|(?:laid )?flat(?: out)?"
    r"|gasping their last|keel(?:ed|ing) over|un ?responsive|no (?:response|answer|reaction)|(?:not|dont|doesnt|do not|does not|wont|arent|isnt) (?:responding|answering|moving|upright|reacting|respond|answer|move|react|stay(?:ing)? upright)|cant (?:stay|keep|stand|hold)(?: (?:themselves|itself|himself))? (?:upright|up|level|balance)|liegen|am sterben"
    r"|bajos?|ca[ií]d[oa]s?|mourants?|acostad[oa]s?|tumbad[oa]s?|de costado|couchée?s?|sdraiat[ie]|morent[ei]|leż\w*|op hun zij|op (?:de|zijn) zij|liegt|liegend|seitlich|auf der seite|boca arriba|kopfüber|bauch oben|sterbend\w*|agonizan\w*|mourir|umieraj\w*|downs?|doen|donw|dwon|dowm|flopped(?: over)?|out cold|out of it|tipped over|tits up|on (?:the |their |its )?backs?|toppled|comatose|on (?:their |its )?last legs?|non ?responsive|recumbent|moribund"
)  # fmt: skip
_WELL = (
    r"left alive|(?:still )?alive(?: and \w+)?|(?:look(?:s|ing)? |doing |all |seem |still )?(?:fine|ok|okay|good|well|healthy|normal|happy|great|perfect)|upright|(?<!belly )(?<!bellies )up(?! to)"
    r"|(?:still )?swim(?:s|ming)?(?: ok| fine| about| around| normal\w*)?|living|lebend\w*|vivos?|gut|survived|survivors?|live|made it|left|still going|remaining|remain"
)  # fmt: skip
_UNSURE = (
    r"floaters?|"
    r"sick|ill|weak|wobbly|poorly|bad|rough|not (?:well|good|right|happy)|floating|krank|struggling|slow|tired|shaky|funny|unwell|iffy|dodgy|suspect|off colour"
    r"|critical|in trouble|hanging on|sluggish|dopey|lethargic|wonky|listing|tilting|doubtful|stressed|distressed|looking rough|looking bad|borderline"
)
_SIGN = r"gasp\w*|gulp\w*|breath\w*|pant\w*|hiding|spinn\w*|twitch\w*|clamp\w*|pale|dark|spots?|rubbing|flashing|eating|jump\w*|at the (?:top|surface)|hanging|on the bottom|sitting"
_ALL = r"all(?: of (?:them|it|the \w+)| the \w+)?|every(?: fish| one|one|body|thing(?! else)| (?:single|last) (?:one|1|fish))|both(?: of them)?|alle|todos|tous|the lot|total(?! (?:mort|dead|death|of|number|so|down))|whole lot|100 ?%|entire (?:lot|bag|box|batch)"
_NONE = r"(?:not|never|without) (?:a single|one|1|any|even (?:one|1))(?: one| 1| fish)?|none(?: of them)?|no one|nobody|nothing|nowt|nil|zero|0|no|without any|kein\w*|ningun\w*|niemand|nix|aucun\w*|geen|never any|(?:havent|hasnt|didnt|not) (?:had )?(?=lost? any)|(?:havent|hasnt|didnt|not) (?:found|seen|had|see|find) (?:any|a)"
_VAGUE = (
    r"most(?: of (?:them|the \w+))?|many|a ?few|few|some|several|lots?(?: of)?|loads|a lot|plenty|majority|nearly all|almost all|not many|a handful|handful|a bunch|bunch"
    r"|a good (?:few|many)|dozens|hundreds|tons|scores|more than (?:half|\d+)|over (?:half|\d+)|at least \d+|up to \d+|less than (?:half|\d+)|under \d+|nearly half|maybe \d+|perhaps \d+|\d+ maybe|\d+ ?\+|\d+ ?\?|too many|countless"
)
_REST = r"(?:the )?(?:rest|others?|remainder|balance|remaining(?: \d+)?|other (?:half|\d+)|everything else|everyone else)(?: of (?:them|the \w+))?(?: all)?"
_UNIT = r"(?:h|hrs?|hours?|mins?|minutes?|secs?|days?|d(?!\.?o)|weeks?|wks?|months?|am|pm|oclock|c|f|°\s?[cf]?|degrees?|cm|mm|inch(?:es)?|in long|l|litres?|liters?|gal\w*|g|kg|mg|ppm|ppt|x bigger|st|nd|rd|th)"
_PLACES = r"(?:bag|box|tank|vat|tub|rack|bay|lot|day|row|system|bin|bucket|carton|flight|crate|bags|boxes)"

_FORMS: tuple[tuple[str, str], ...] = (
    ("ratio", r"\b1 in (?:every )?\d+\b|\b(?:every|each) (?:2nd|second|third|3rd|other)(?: \w+)? (?=dead|down|died)"),
    ("part", r"\b\d+[.,]\d+\s*(?:fish\s+)?(?=(?:are )?(?:dead|down|died))"),
    ("time", rf"(?<![\w.])\d+(?:[.,:]\d+)?\s*-?\s*{_UNIT}(?![a-z])(?:\s+(?:ago|in|after|later|old|since))?|\b\d+:\d\d\b|\b(?:at|by|since|around) (?:0?\d|1\d|2[0-4])(?:00)?(?= (?:it|this|we|i|they)|,|$)"),
    ("place", rf"\b{_PLACES}\s*(?:no\.?|number|#)?\s*(?:\d+|[a-h])\b(?=\s*[:,=-]|\s+(?:\d|has|had|is|all|none|no|the|was|with|and|but|fine|ok|clear)|\s*[.;&+]|\s*$)"),
    ("lead", r"\bthe (?:new|old|big|small|other) (?:ones|fish)\b"),
    ("but", r"\b(?:bar|except(?: for)?|apart from|save(?: for)?|minus|(?<=all )but)\s+(?:the |for )?(\d+)\b|\bbut\s+(?:the |for )?(\d+)\b(?!\s+(?:dead|down|are|is|on|that|who|which|cant|can|l[ay]+ing|flat|limp|dying|sick|gasp\w*|look\w*))"),
    ("of", r"(?<![\d.,])(\d+)\s*(?:/|\bof\b|\bout of\b|\bfrom\b|\bvon\b|\bde\b|\bav\b|\bout the\b)\s*(?:the |my |our |about )?(\d+)\b"),
    ("pct", r"(\d+)\s*(?:%|per ?cent\b|percent|pct\b|pc\b)"),
    ("rest", _REST),
    ("vague", _VAGUE),
    ("share", r"(?:about |roughly |a |one |an? )?\b(?:(half|quarter)|(\d)?\s*(third|quarter|fifth|tenth)s?|(1/2|1/3|1/4|2/3|3/4))\b(?: of (?:them|it|the \w+))?"),
    ("doa", r"\bd\.?o\.?a\.?s?\b|\bdead on arrival\b|\bdead in (?:the )?(?:bags?|box|boxes|transit)\b(?: \d+(?=\s*(?:and|&|[,;.]|$)))?|\barrived dead\b|\bcame dead\b"),
    ("verb", rf"\b(?:{_DEAD_VERB})\b"),
    ("down", rf"\b(?:{_DOWN})\b"),
    ("dead", rf"\b(?:{_DEAD})\b|\bded\b|\bdaed\b|\bdeaad\b|\bdeed\b|\bdide\b|\bdeid\b"),
    ("all", rf"\b(?:{_ALL})\b"),
    ("none", rf"(?<![\d.,])\b(?:{_NONE})\b(?![.,]?\d)"),
    ("well", rf"\b(?:{_WELL})\b"),
    ("unsure", rf"\b(?:{_UNSURE})\b"),
    ("sign", rf"\b(?:{_SIGN})\b"),
    ("range", r"(?<![\d.,])(\d+)\s*(?:-|to|or|bis)\s*(\d+)(?![\d.,])"),
    ("num", r"(?<![\w.,-])(\d+)(?![\d]|[.,]\d)"),
    ("deny", r"\b(?:not|isnt|arent|wasnt|werent|dont|doesnt|nor|neither|havent|hasnt|didnt)\b"),
    ("stop", r"[,;.&+]|\b(?:and|und|y|et|then|but|with|plus|or|nor)\b"),
    ("word", r"[^\W\d_]+"),
)  # fmt: skip
_MASTER = re.compile("|".join(f"(?P<f{at}>{form})" for at, (_, form) in enumerate(_FORMS)))
_FIGURES = {"1/2": ("half", 1), "1/3": ("third", 1), "1/4": ("quarter", 1), "2/3": ("third", 2), "3/4": ("quarter", 3)}  # fmt: skip
SAYS_DEAD = re.compile(rf"\b(?:{_DEAD}|{_DEAD_VERB}|d\.?o\.?a\.?s?)\b")
_DULL = word_set("beside_heads")


_AND_OR = frozenset(["and", "or", "nor", "und", "y", "et", "&", "+"])


@dataclass(frozen=True)
class HeadToken:
    """A piece of a head count.

    kind   : amount, state, sign, stop, place, time, but, ratio, part, word
    name   : number, sum, all, none, rest, vague, share, some or beside; dead, doa, down, normal or unsure
    placed : the bag it was counted in was named; more : "another 2", "2 more since"
    whole  : it is the number that came; but : "all but 3"; joined : "dead or down"
    """

    kind: str
    name: str
    text: str
    number: int | None = None
    unit: str = ""
    verb: bool = False
    denied: bool = False
    placed: bool = False
    more: bool = False
    whole: bool = False
    but: int | None = None
    joined: str = ""
    alone: bool = True


#: "the showa is on her side": one fish, by its name.
_ONE_NAMED = re.compile(
    r"\b(?:the|my|that) (?!rest|others?|lot|half|third|quarter|whole|fish|bags?|box|tank|last|first|dead|bottom|same|water|top|ones|majority|bulk|remainder)[a-z]+(?: (?:one|fish))? (?:is|was|has) (?=(?:on (?:its|his|her|the)|dead|down|died|belly up|upside|lying|gone\b|passed))"
)


def tokens(text: str) -> list[HeadToken]:
    """The line cut into pieces, each marked by what stands beside it."""
    text = re.sub(r"(?<=\d)(?=(?:dead|down|doa|died))|(?<=dead|down)(?=\d)", " ", text)
    text = re.sub(r"\bd\s?(\d+)[\s,/]+dn\s?(\d+)\b", r"\1 dead \2 down", text)
    text = re.sub(
        r"\b(\d+)\s?d\b[\s,/+&]*(?:and )?(\d+)\s?(?:dn|dwn|s|down)\b", r"\1 dead \2 down", text
    )
    text = re.sub(r"\b\d+\s*(?:->|=>|→)\s*(?=\d)", " ", text)  # "4 -> 7 dead": it is 7 now
    text = re.sub(r"(?<=\d)\s*x\s+(?=dead|down)|(?<=\d)(?:pcs|x)\b", " ", text)
    text = re.sub(
        r"\ban?\s+(?:single |lone )?(?=(?:\w+\s+)?(?:dead|dying|death|casualty|corpse|loss)\b)(?!(?:few|lot|couple|bit))",
        "1 ",
        text,
    )
    text = re.sub(r"\bnot (?:all|every(?: ?one)?|both)\b(?: of them)?", "some", text)
    text = re.sub(r"\bx(?=\d)", " ", re.sub(r"[=:]", " ", text))
    text = _ONE_NAMED.sub("1 ", text)
    text = re.sub(
        r"\b(?:scooped|fished|took|taken|pulled|picked|netted|lifted) (?:the )?(\d+) (?:dead )?out\b",
        r"\1 dead",
        text,
    )
    text = re.sub(
        r"^\s*(?:no|nope|nah|yes|yeah)[, ]+(?=they|all|everything|its|it is|there)", "", text
    )
    raw = [_token(hit, text) for hit in _MASTER.finditer(text)]
    return list(_marked([token for token in raw if token is not None]))


def _token(hit: re.Match[str], text: str) -> HeadToken | None:
    at = next(i for i in range(len(_FORMS)) if hit[f"f{i}"] is not None)
    kind, said = _FORMS[at][0], hit[0]
    digits = [int(n) for n in re.findall(r"\d+", said)]
    before, after = text[: hit.start()], text[hit.end() :]
    more = bool(
        re.search(r"\b(?:another|further|plus|then|extra|additional|since(?: then)?)\s*$", before)
        or re.match(r"\s*(?:fish\s+)?(?:more|since|after(?!\s+\d)|later|today|this (?:morning|afternoon|evening)|overnight|another|extra|daa)\b", after)
    )  # fmt: skip
    if kind == "num":
        whole = bool(
            re.match(r"\s*(?:\w+\s+)?(?:came|arrived|in total|total|altogether|in the (?:bag|box)|delivered|ordered|received|in all|fish in|in,)", after)
            or re.search(r"\b(?:out of|of|from|total(?: of)?|received|ordered|started with|had)\s*$", before)
        )  # fmt: skip
        sums = bool(re.search(r"\b(?:makes|makes it|totals?|totalling|altogether|in all|sum|now(?:,? (?:it is|its|at|up to|we are at|stands at))?)\s*$", before))  # fmt: skip
        name = "sum" if sums else "beside" if re.search(r"\bon\s*$", before) else "number"
        placed = bool(
            re.match(r"\s*(?:fish )?in (?:the )?(?:other|second|third|bag|box|tank|vat)\b", after)
        )
        part = bool(re.match(r"\s*(?:of (?:them|these|those|which)|being|was|were)\b", after))
        unit = "part" if part else ""
        return HeadToken(
            "amount", name, said, digits[0], unit=unit, more=more, whole=whole, placed=placed
        )
    if kind == "of":
        return HeadToken("amount", "number" if digits[0] <= digits[1] else "vague", said, digits[0])
    if kind == "range":
        return HeadToken("amount", "vague", said)
    if kind == "pct":
        return HeadToken("amount", "share", said, digits[0], unit="percent")
    if kind == "share":
        return _share(said)
    if kind in ("all", "none", "rest", "vague"):
        number = 2 if said.startswith("both") else None
        one_kind = re.search(r"\ball(?: of)? the (?!fish|lot|rest|others|bags?)", said)
        if one_kind:
            return HeadToken("amount", "some", said)
        return HeadToken("amount", kind, said, number, more=more)
    if kind in ("dead", "down", "well", "unsure", "doa", "verb"):
        name = {"well": "normal", "verb": "dead"}.get(kind, kind)
        return HeadToken("state", name, said, verb=kind == "verb")
    if kind == "word" and (said in _DULL or len(said) < 2):
        return None
    if kind == "but":
        return HeadToken("but", "but", said, digits[0])
    return HeadToken(kind, kind, said)


def _share(said: str) -> HeadToken:
    for figure, (unit, many) in _FIGURES.items():
        if figure in said:
            return HeadToken("amount", "share", said, many, unit=unit)
    unit = next(u for u in ("half", "third", "quarter", "fifth", "tenth") if u in said)
    parts = re.search(r"(\d)\s*(?:third|quarter|fifth|tenth)", said)
    return HeadToken("amount", "share", said, int(parts[1]) if parts else 1, unit=unit)


def _marked(found: list[HeadToken]) -> Iterator[HeadToken]:
    """What a piece means beside its neighbours: denials, bags named, "all but 3"."""
    out: list[HeadToken] = []
    for at, token in enumerate(found):
        before = found[at - 1] if at else None
        if token.kind == "amount" and before is not None and before.kind == "place":
            token = replace(token, placed=True)
            if token.name == "all":  # all of that bag
                token = replace(token, name="vague")
        if token.kind == "state":
            denied = before is not None and before.kind == "deny"
            joins = at > 1 and before is not None and found[at - 2].kind == "state"
            joins = joins and before is not None and before.text in _AND_OR
            token = replace(token, denied=denied, joined=before.text if joins and before else "")
        if token.kind == "but" and not any(t.name == "all" for t in found):
            token = HeadToken("amount", "number", token.text.split()[-1], token.number)
        if token.kind == "amount" and token.name == "all" and at + 1 < len(found):
            follows = found[at + 1]
            if follows.kind == "amount" and follows.name == "number":
                token = replace(token, number=follows.number)
                found[at + 1] = replace(follows, whole=True, kind="dull")
            late = [t for t in found[at + 1 :] if t.kind == "but"]
            if late:
                token = replace(token, but=late[0].number)
        out.append(token)
    for token in out:
        if token.kind not in ("deny", "dull"):
            yield token
