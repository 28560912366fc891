"""Heads counted: how many dead, down and well, and what must be asked because it is no number."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass, field

_DEAD = (
    r"dead|died|dies|deaths?|doa|daa|lost|loss(?:es)?|gone|croaked|expired|passed(?: away)?|stiff|perished"
    r"|mort[si]?|muert[oa]s?|tote?n?|mortalit(?:y|ies)|casualt(?:y|ies)|kaputt|gestorben|dode?n?|deceased|floaters? dead"
    r"|mortos?|padł\w*|fatalit(?:y|ies)|kicked the bucket|carked it|corpses?|bodies|body|dead ones|perished|snuffed it|popped it|went belly up and died"
)  # fmt: skip
_DOWN = (
    r"down|on (?:the |their |there |its |his |a )?sides?|sideways|de lado|sul fianco|sur le (?:côté|flanc)|auf der seite"
    r"|limp|dying|moribund|on (?:its|the|their|his) way out|belly up|bellies up|upside(?: down)?|lying(?: down)?|laying(?: down)?"
    r"|roll(?:ing)? over|flat out|gasping their last|keeled over|unresponsive|liegen|am sterben|look dead"
    r"|bajos?|ca[ií]d[oa]s?|mourants?"
)  # fmt: skip
_WELL = r"alive|fine|ok|okay|well|upright|healthy|good|(?<!belly )(?<!bellies )up(?! to)|swim(?:s|ming)?|normal|left alive|living|lebend\w*|vivos?|gut"
_UNSURE = r"sick|ill|weak|wobbly|poorly|bad|not (?:well|good|right|moving)|floating|krank|struggling|slow|tired|shaky|funny|unwell"
_WHO = (
    r"(?:\s+(?:of (?:them|those|the \w+)|fish(?:es)?|pcs|pieces?|are|is|were|was|have|has|look|still|more|now|the|others?|so far"
    r"|neons?|corys?|guppies|koi|tetras?|in (?:the|this) (?:bag|box|tank)|then|since|already|that|which|just|found|came"
    r"|all|really|r|were found|ones?|szt(?:uk)?|gesamt|total|altogether|lay|there))*"
)
_N = r"(?<![\d.,/%-])(?P<n>\d+)(?![\d.,]*\d|\s*(?:%|/|h\b|hrs?\b|hours?\b|min|days?\b|c\b|°|pm\b|am\b|st\b|nd\b|-\s*\d))"
_SLIPS = {
    "deaad": "dead", "daed": "dead", "ded": "dead", "dead.": "dead", "deed": "dead", "doen": "down",
    "donw": "down", "dwon": "down", "dowm": "down", "dide": "died", "deid": "died",
}  # fmt: skip
_STATES = {"dead": _DEAD, "down": _DOWN, "normal": _WELL}


@dataclass
class Heads:
    """Counts taken; ``ask`` says what has to be asked back; ``whole`` when nothing else is wrong."""

    counts: dict[str, int] = field(default_factory=dict)
    on_arrival: int | None = None
    ask: str = ""
    unknown: bool = False


def heads(text: str, came: int | None) -> Heads:
    """What a line says about heads.

    text : small letters, numbers in figures
    came : fish in the lot, where that is known
    """
    found = Heads()
    if re.search(r"\b\d+[.,]\d+\s*(?:fish\s+)?(?:" + _DEAD + r")\b", text):
        found.ask = "Fish are counted whole: how many are dead?"
        return found
    text = re.sub(r"(?<=\d)(?=(?:dead|down|doa|died))|(?<=dead|down)(?=\d)", " ", text)
    text = re.sub(r"\b(dead|died|down)\s+(?:ones?|fish|fishes|so far|now|count)\b", r"\1", text)
    text = re.sub(r"(?<=\d)\s*x\s+(?=dead|down)", " ", text)
    text = re.sub(
        r"\b(dead|died|down)\s*:?\s*(?:none|nil|zero|no)\b(?! \w+ (?:dead|down))", r"\1 0", text
    )
    text = " ".join(_SLIPS.get(word, word) for word in text.split())
    text = re.sub(r"\b(?:look(?:s|ing)?|nearly|almost|as good as) dead\b", "down", text)
    apart = re.search(r"\b(?:but|except|bar|apart from|save)\s+(?:for\s+)?(\d+)\b", text)
    if apart and re.search(r"\ball|\bevery", text):
        if came and re.search(rf"\b(?:{_DEAD})\b", text) and int(apart[1]) <= came:
            return Heads({"dead": came - int(apart[1])})
        return Heads(ask="The others: dead or down, how many of each?")
    later = re.search(r"(\d+) dead on arrival\D+(\d+)\s+(?:after|since|later|more)\b", text)
    if later:
        return Heads({"dead": int(later[1]) + int(later[2])}, on_arrival=int(later[1]))
    shares = re.findall(r"(\d+)(?: dead| died)? in (?:bag|box) \d", text)
    if len(shares) > 1 and re.search(rf"\b(?:{_DEAD})\b", text):
        return Heads({"dead": sum(map(int, shares))})
    bags = re.findall(r"\bbag \d+\s*:?\s*(\d+)", text)
    if len(bags) > 1 and re.search(rf"\b(?:{_DEAD})\b", text):
        found.counts["dead"] = sum(map(int, bags))
        return found
    text = re.sub(r"\bd\s?(\d+)\s+dn\s?(\d+)\b", r"\1 dead \2 down", text)
    text = re.sub(r"=", " ", text)
    _shares(text, came, found)
    if re.search(r"\b\d+ in \d+\b|\b(?:every|each) (?:2nd|second|third|3rd)\b", text):
        return Heads(ask="How many are dead, how many down, as numbers?")
    if not found.counts and not found.ask:
        _numbers(text, found)
    _words(text, came, found)
    _arrival(text, found)
    if "dead" in found.counts and "normal" in found.counts:
        del found.counts["normal"]
    if list(found.counts) == ["normal"] and came is not None and found.counts["normal"] < came:
        return Heads(ask="And the others: how many are dead, how many down?")
    most = max(found.counts.values(), default=0)
    if came is not None and most > came:
        return Heads(
            ask=f"That is more than the {came} that came. How many are dead, how many down?"
        )
    return found


def _shares(text: str, came: int | None, found: Heads) -> None:
    """ "5/100 dead", "50 of 200 dead", "10 % dead", "a third of them dead"."""
    for state, words in _STATES.items():
        if hit := re.search(
            rf"(\d+)\s*(?:/|of|out of|von|de)\s*(?:the\s+)?(\d+)(?:\s+\w+)?\s+(?:are |is |were )?(?:{words})\b",
            text,
        ):
            if int(hit[1]) <= int(hit[2]):
                found.counts[state] = int(hit[1])
        elif hit := re.search(rf"(\d+)\s*%\s*(?:of them |are |is )?(?:{words})\b", text):
            if came:
                found.counts[state] = round(came * int(hit[1]) / 100)
            else:
                found.ask = f"How many {_word(state)}, as a number?"
        elif hit := re.search(
            rf"\b(half|third|quarter|1/3|1/4|1/2|2/3|3/4|2 thirds?|3 quarters?)\b(?: of)?(?: (?:them|it|the fish|of them))?\s+(?:are |is )?(?:{words})\b",
            text,
        ):
            share = {
                "half": 0.5,
                "1/2": 0.5,
                "third": 1 / 3,
                "1/3": 1 / 3,
                "quarter": 0.25,
                "1/4": 0.25,
                "2/3": 2 / 3,
                "2 third": 2 / 3,
                "2 thirds": 2 / 3,
                "3 quarter": 0.75,
                "3 quarters": 0.75,
                "3/4": 0.75,
            }[hit[1]]
            if came:
                found.counts[state] = round(came * share)
            else:
                found.ask = f"How many {_word(state)}, as a number?"


def _numbers(text: str, found: Heads) -> None:
    """Numbers beside a state, before or after it; those of one state are added."""
    if hit := re.search(r"\b(?:makes|total(?:s|ling)?|altogether|in all)\s+(\d+)\b", text):
        found.counts["dead"] = int(hit[1])
        return
    if hit := re.search(rf"\b(\d+)\s*(?:-|to|or)\s*(\d+)\s+(?:{_DEAD})\b", text):
        found.ask = f"{hit[1]} or {hit[2]} dead?"
        return
    if re.search(
        rf"\b(?:more than|over|up to|at least|less than|under|maybe)\s+\d+\s+(?:{_DEAD})\b", text
    ):
        found.ask = "How many are dead, counted?"
        return
    any_state = "|".join(_STATES.values())
    if re.match(rf"\s*(?:{any_state})\s*[:,-]?\s*\d", text) and not re.match(
        rf"\s*(?:{_DEAD})\s+\d+\s+(?:{_DEAD}|{_DOWN})\b\s*$", text
    ):
        for state, words in _STATES.items():
            for hit in re.finditer(
                rf"\b(?:{words})\s*:?\s*(\d+)(?![\d.,]*\d|\s*(?:c|°|f|h|min|%)\b)", text
            ):
                found.counts[state] = found.counts.get(state, 0) + int(hit[1])
        return
    taken: list[tuple[int, int]] = []
    if hit := re.search(
        rf"(\d+)\s+(?:belly up|bellies up|upside down|on their sides?)\s+(?:and|&)\s+(?:{_DEAD})\b",
        text,
    ):
        found.counts["dead"] = int(hit[1])
        return
    for state, words in _STATES.items():
        for hit in re.finditer(rf"{_N}(?:{_WHO})\s+(?:{words})\b", text):
            if any(a <= hit.start("n") < b for a, b in taken):
                continue
            taken.append(hit.span())
            found.counts[state] = found.counts.get(state, 0) + int(hit["n"])
    if "dead" not in found.counts and (
        hit := re.search(
            r"\b(?:lost|buried|binned|removed dead|took out dead|fished out)\s+(\d+)\b", text
        )
    ):
        found.counts["dead"] = int(hit[1])
    more = re.search(
        r"\b(?:another|plus|then|since|and)\s+(\d+)\s*(?:more\s*)?(?:today|since|this morning|later|now)?\s*$",
        text,
    )
    free = more is not None and not any(a <= more.start(1) < b for a, b in taken)
    if more and free and "dead" in found.counts and "down" not in found.counts:
        found.counts["dead"] += int(more[1])


def _words(text: str, came: int | None, found: Heads) -> None:
    """None, all, most: what is said without a number."""
    none = r"(?:no|none|nobody|no one|nil|zero|nowt|not a single|not one|never|nothing|kein\w*|0|ningun\w*|niemand)"
    if re.search(
        rf"\b{none}(?:\s+(?:fish|of them|is|are|has|have|were|lost|yet|so far))*\s+(?:{_DEAD})\b|\b(?:{_DEAD})\s*:?\s*(?:nil|none|zero|0)\b",
        text,
    ):
        found.counts.setdefault("dead", 0)
    if re.search(
        r"\blost none\b|\bno losses\b|\bnothing lost\b|\bnobody died\b|\beverybody lives\b|\bkeine toten\b",
        text,
    ):
        found.counts.setdefault("dead", 0)
    if re.search(
        rf"\b{none}(?:\s+(?:fish|of them|is|are|has|have|dead|or|and))*\s+(?:{_DOWN})\b|\b(?:down)\s*:?\s*(?:nil|none|zero|0)\b",
        text,
    ):
        found.counts.setdefault("down", 0)
    all_of = r"(?:all|every(?: fish| one|one|body)?|both|alle|todos|the lot|total|whole)"
    if (
        re.search(
            rf"\b{all_of}\b(?:\s+(?:of (?:them|it)|the|fish|are|is|\d+|koi|neons|guppies))*\s+(?:{_DEAD})\b|\btotal loss\b|\bwiped out\b|\ball (?:\d+ )?gone\b",
            text,
        )
        and "dead" not in found.counts
    ):
        number = came or next((int(n) for n in re.findall(r"\b\d+\b", text)), None)
        if re.search(r"\bboth\b", text):
            number = number or 2
        if number:
            found.counts["dead"] = number
        else:
            found.ask = "How many is that: how many are dead?"
    elif (
        re.search(
            rf"\b{all_of}\b(?:\s+(?:of them|the|fish|are|is|on|its|their|\d+))*\s+(?:{_DOWN})\b",
            text,
        )
        and "down" not in found.counts
        and not re.search(r"\bnone? \w+ and\b", text)
    ):
        if came:
            dead = found.counts.get("dead", 0)
            if dead or (re.search(rf"\b(?:{_DEAD})\b", text) and found.counts.get("dead") != 0):
                found.ask = "How many are down?"
            else:
                found.counts["down"] = came
        else:
            found.ask = "How many are down?"
    elif re.search(
        rf"\b(?:all|everyone|everybody|every fish|all of them|alle|todos)\s+(?:\d+\s+)?(?:are |is |still |look |now )*(?:{_WELL})\b",
        text,
    ) and not re.search(r"\bexcept|\bbut\b|\bbar\b|\bapart from", text):
        found.counts.setdefault("dead", 0)
        found.counts.setdefault("down", 0)
    vague = r"(?:most|many|few|a few|some|several|lots?(?: of)?|loads|a lot|plenty|majority|half|nearly all|almost all|not many|a handful)"
    if (
        re.search(
            rf"\b{vague}(?:\s+(?:of (?:them|it)|fish|are|is|on|their|the|have))*\s+(?:{_DEAD})\b",
            text,
        )
        and "dead" not in found.counts
    ):
        found.ask = "How many are dead, as a number?"
    if (
        re.search(rf"\b{vague}(?:\s+(?:of them|fish|are|is|on|their|the))*\s+(?:{_DOWN})\b", text)
        and "down" not in found.counts
    ):
        found.ask = found.ask or "How many are down, as a number?"
    if (
        re.search(
            rf"\b(?:rest|others?|balance|remainder)\b(?:\s+(?:are|is|all|of them))*\s+(?:{_WELL})\b",
            text,
        )
        and "dead" in found.counts
    ):
        found.counts.setdefault("down", 0)
    hit = re.search(r"\b(\d+)\s+(?:left|still|remain\w*)\s*(?:alive|living)?\s*$", text)
    if hit and came and re.search(r"\balive|\bleft", text):
        found.counts = {"dead": came - int(hit[1])} if came >= int(hit[1]) else {}
    hit = re.search(rf"(?<![\d.])(\d+)(?:\s+\w+)?\s+(?:{_UNSURE})\b", text)
    if hit and found.counts.get("down") is None:
        found.ask = found.ask or f"Are the {hit[1]} down (on their side, or no answer)?"
    if re.search(r"\b(?:all )?(?:except|but|bar|apart from) \d+ (?:ok|fine)\b", text):
        found.counts, found.ask = {}, "The others: dead or down, how many of each?"
    if (
        came == 1
        and not found.counts
        and re.search(rf"\b(?:he|she|it|the fish)\b.*\b(?:{_DOWN})\b", text)
    ):
        found.counts["down"] = 1


def _arrival(text: str, found: Heads) -> None:
    """Dead on arrival are among the dead; those after arrival are added by their number."""
    doa = re.search(r"\b(\d+)\s*doa\b|\bdoa\s*:?\s*(\d+)\b", text)
    if doa:
        found.on_arrival = int(doa[1] or doa[2])
        later = re.search(r"\bdaa\s*:?\s*(\d+)\b()", text) or re.search(
            r"\b(\d+)\s*(?:daa|since|after|later|today)\b()", text
        )
        if later:
            found.counts["dead"] = found.on_arrival + int(later[1])


def _word(state: str) -> str:
    return {"dead": "are dead", "down": "are down"}.get(state, "are well")
