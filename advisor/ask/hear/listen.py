"""A line heard from all sides: fish, heads, times, waters, signs and what was done."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from typing import Any

from advisor.advice.settled_by import NEVER
from advisor.ask.hear import heads_wanted, on_file, readings_said, spans, time_told, which_fish
from advisor.ask.hear.ears import Ears, has_phrase, rounded
from advisor.ask.hear.heads_wanted import take_heads
from advisor.ask.hear.in_company import in_company
from advisor.ask.hear.kind_names import name_of
from advisor.ask.hear.line import clauses, plain, with_numbers
from advisor.ask.hear.meant import by_patterns
from advisor.ask.hear.patterns import words
from advisor.ask.hear.speech import real, settled, unknown
from advisor.ask.hear.wanted import by_question, take_readings
from advisor.ask.hear.wanting import wanting
from advisor.ask.hear.whole import still_there, whole_answer
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase

FORMAT = "advisor-heard-1"


def listen(
    question_id: str,
    text: str,
    case: Case | None,
    base: RuleBase,
    now: datetime,
    hour: float | None = None,
) -> dict[str, Any]:
    """See :func:`advisor.ask.hear.hear`. hour: of the look being taken [h], where there is one."""
    question = base.questions.get(question_id)
    if question is None:
        from advisor.wording.nearest import nearest

        hint = nearest(question_id, base.questions) or "."
        raise AdvisorError(f'question "{question_id}": there is none of that id{hint}')
    ears = Ears(question, base, case, now, text, words(), hour)
    _listen(ears)
    told = {k: v for k, v in ears.out.items() if v or v == 0}
    result: dict[str, Any] = {"format": FORMAT, "question": question_id, "text": text, **told}
    if ears.ask:
        result["ask_back"] = list(dict.fromkeys(ears.ask))
    if ears.left:
        result["not_understood"] = ears.left
    return result


def _listen(ears: Ears) -> None:
    lacking, ears.text = wanting(ears)
    if ears.text or not lacking:  # else nothing more is said
        _listen_on(ears, lacking)
    _take_lacking(ears, lacking)


def _take_lacking(ears: Ears, lacking: dict[str, str]) -> None:
    """What is wanting, unless the question itself heard it otherwise."""
    for item, answer in lacking.items():
        ears.out.setdefault("history", {}).setdefault(item, answer)
    if lacking:
        ears.out.pop("unknown", None)


def _listen_on(ears: Ears, lacking: dict[str, str]) -> None:
    typed, ears.text = ears.text, _as_meant(ears.text)
    said = plain(ears.text).strip(" .!")
    not_done = said == "not yet" and ears.question.history is not None
    if (said in ears.held.lists["unknown"] and not not_done) or said == "":
        ears.out["unknown"] = True
        return
    if whole_answer(ears, said) or _guessed(ears, said):
        return
    rate = _rate(ears)
    text = with_numbers(ears.text)
    tidy = spans.tidied(text)
    cut = clauses(ears.text, ears.held.joins)
    by_patterns(ears, cut)
    by_question(ears, text, tidy)
    if rate and ears.question.field == "look.counts" and "dead" not in ears.out.get("counts", ()):
        ears.ask = [f"{rate} is a rate: how many are dead in all so far?"]
    _besides(ears, text, tidy)
    if ears.asked == "changed_last_day" and ears.out.get("history") and _LONG_AGO.search(said):
        kept = {k: v for k, v in ears.out["history"].items() if k == "filter_rinsed_or_replaced"}
        if kept != ears.out["history"]:  # the filter is asked about for the last week
            ears.ask.append("Was that within the last day, or longer ago?")
        ears.out["history"] = kept
    if ears.asked == "when_it_began" and (span := _SPAN.fullmatch(with_numbers(said))):
        ears.fact("history", "course", _COURSES[span[1][:3]])
    if ears.asked == "who_is_ill" and not ears.out.get("signs_seen"):
        _who(ears, said)
    if ears.asked == "still_there":
        still_there(ears, said)
    _take_lacking(ears, lacking)
    _settle(ears, said, typed)


def _rate(ears: Ears) -> str:
    """ "dying 3 a day": deaths that go on for days, and no number of heads."""
    rate = heads_wanted.rate(with_numbers(ears.text))
    if rate is None or ears.question.kind == "reading":
        return ""
    ears.text = rate.rest
    if rate.days and ears.question.field != "lots":
        ears.fact("sign", "delayed_deaths", True)
    if not rate.rest.strip(" ,.;") and ears.question.kind not in ("signs", "text"):
        ears.ask.append(ears.question.text)
    return f'"{rate.said}"'


#: "weeks", "a few hours ago": how long it goes on already, and nothing of bag or water.
_SPAN = re.compile(
    r"(?:it |they |this )?(?:began |started |been going )?(?:for |since |about |around |only |over )*(?:(?:the )?(?:last|past) )?(?:some |a few |few |several |many |a |\d+ (?:of )?)?(hours?|hrs?|days?|weeks?|months?|years?)(?: ago| now| already| back)*"
)
_COURSES = {
    "hou": "hours",
    "hr": "hours",
    "hrs": "hours",
    "day": "days",
    "wee": "weeks",
    "mon": "weeks",
    "yea": "weeks",
}
_LONG_AGO = re.compile(
    r"\b(?:day before yesterday|last (?:week|month|year)|(?:[2-9]|two|three|four|few|couple of) (?:days|weeks|months) (?:ago|back)|weeks? ago|months? ago)\b"
)
#: "i think they have ick": a conclusion that is guessed is no sign.
_GUESS = re.compile(
    r"\b(?:i |we )?(?:think|reckon|guess|suspect|bet|believe|maybe|probably|perhaps|might|could|must|sounds like|looks like)\b"
)
_OF_A_GUESS = frozenset(
    ["be", "have", "has", "got", "a", "case", "of", "some", "sort", "bit", "its", "theyve", "hes"]
)


def _guessed(ears: Ears, said: str) -> bool:
    """Whether the line is nothing but a guessed conclusion: then it is asked what is seen."""
    never = ears.base.questions.get(NEVER)
    if never is None or ears.question.kind not in ("signs", "text") or not _GUESS.search(said):
        return False
    rest = [w for w in _GUESS.sub(" ", said).split() if w not in ears.held.small | _OF_A_GUESS]
    ask = never.choices.get(" ".join(rest))
    if ask:
        ears.ask.append(str(ask))
    return bool(ask)


def _who(ears: Ears, said: str) -> None:
    """ "just the tetras", "3 out of 50": one kind, or a few fish."""
    named = re.fullmatch(
        r"(?:its |it is )?(?:just|only|all) (?:the |my |our )?((?:\w+ )?\w+)(?: (?:are )?(?:ill|sick|bad|dying|affected))?",
        said,
    )
    few = re.search(
        r"\b(\d+)(?: or (\d+))? (?:out )?of (?:the |about |my )?(\d+)\b", with_numbers(said)
    )
    if named and name_of(named[1], ears.base) is not None:
        ears.fact("sign", "single_species_only_affected", True)
    elif few and int(few[2] or few[1]) * 3 <= int(few[3]):
        ears.fact("sign", "one_or_few_fish_affected", True)


def _as_meant(text: str) -> str:
    """The line after second thoughts and without what has not happened."""
    said = with_numbers(text)
    meant = in_company(real(settled(said)))
    return text if meant == said else meant


# -- what is said besides -----------------------------------------------------------


def _besides(ears: Ears, text: str, tidy: str) -> None:
    """Heads, times, lots and readings said at a question that wants something else."""
    question = ears.question
    counts = question.field in ("look.counts", "lot.dead_on_arrival")
    heads = re.search(r"\b(?:\d+|none|no|all)\b(?: \w+)? (?:dead|down|died|doa)\b|\blost \d", text)
    if heads and not counts and question.kind != "reading":
        before = list(ears.ask)
        take_heads(ears, text)
        ears.ask = before  # what was not asked for is not asked back
        if "dead_said" in ears.out:
            ears.ask.append(on_file.doubt(**ears.out["dead_said"]))
    if question.field == "lots" or ears.asked == "where_are_they":
        timed = re.sub(r"\b\d+ h\.? [a-z]{5,}", " ", tidy)  # "500 H. amandae"
        told = time_told.sealed(timed, ears.now).span
        one = len(re.findall(r"\d+(?:[.,]\d+)?\s*(?:h|hrs?|hours?)\b", timed)) == 1
        if told and one and told.hours >= 6 and ears.out.get("place") not in ("tank", "tub"):
            ears.out["hours_sealed"] = rounded(told.hours)
    if question.field != "transit.hours_sealed":
        sealed = re.search(
            r"(\d+(?:[.,]\d+)?)\s*h(?:rs?|ours?)?\s*(?:in (?:the )?bag|sealed|shut|in transit)|(?:sealed|shut|shut since|in bag|transit)(?: since| for)?\s*(\d+(?:[.,]\d+)?)\s*h",
            text,
        )
        if sealed and float((sealed[1] or sealed[2]).replace(",", ".")) > 0:
            ears.out["hours_sealed"] = float((sealed[1] or sealed[2]).replace(",", "."))
    elsewhere = ("look.at_hours", "transit.hours_sealed", "look.counts", "lots")
    if question.field not in elsewhere and "hours_sealed" not in ears.out:
        _time_besides(ears, tidy)
    if question.field == "transit.hours_sealed":
        opened = re.search(r"\bopened (.*)", tidy)
        if opened and (found := spans.lengths(opened[1])):
            ears.out["at_hours"] = rounded(found[0].hours)
    if question.field != "transit.fasted_hours":
        _fasted_besides(ears, tidy)
    if question.kind in ("signs", "choice"):
        _lots_besides(ears, text)
    if question.kind != "reading" and question.field != "transit.air_c":
        beside = readings_said.readings(text, None, ears.base, {})
        if beside.readings:
            take_readings(ears, beside)


#: A few fish named beside signs are those that show them, no delivery.
_FEWEST = 5
_HOURS = r"(?:about |ca\.? |sealed |shut )*\b(\d+(?:[.,]\d+)?) ?(?:h|hrs?|hours?)\b(?: sealed| shut| in (?:the )?bags?)?"
_BAGS = r"(?:in |packed in |over |across )?\b(\d+) bags?\b"


def _lots_besides(ears: Ears, text: str) -> None:
    """ "100 neons, 3 bags, 30 h, gasping": the delivery told at another question."""
    if ears.case is not None and any(lot.species or lot.group for lot in ears.case.lot):
        return
    hours, bags = re.findall(_HOURS, text), re.findall(_BAGS, text)
    text = re.sub(_BAGS, " , ", re.sub(_HOURS, " , ", text))
    lots = which_fish.beside(text, ears.base)
    if not lots or not (hours or bags or min(lot.count or 0 for lot in lots) >= _FEWEST):
        return
    if len(lots) == 1 and len(bags) == 1:
        lots = [replace(lots[0], bags=int(bags[0]))]
    ears.out["lots"] = [{k: v for k, v in vars(lot).items() if v not in (None, "")} for lot in lots]
    hours_told = float(hours[0].replace(",", ".")) if len(hours) == 1 else 0.0
    if hours_told >= 4 and "at_hours" not in ears.out:
        ears.out.setdefault("hours_sealed", hours_told)


def _fasted_besides(ears: Ears, tidy: str) -> None:
    for form in (r"\bfasted (?:for )?(.*)", r"(\S+ \S+) fasted"):
        fasted = re.search(form, tidy)
        if fasted and (found := spans.lengths(fasted[1])):
            ears.out["fasted_hours"] = rounded(found[0].hours)
            return


def _time_besides(ears: Ears, tidy: str) -> None:
    """ "released half an hour ago", "in tank since 2h": since when they are out."""
    if ears.out.get("place") == "open_bag":
        _bag_opened(ears, tidy)
    if ears.out.get("place") in ("closed_bag", "open_bag"):
        return
    if ears.out.get("place") not in ("tank", "tub") and not re.search(
        r"\b(released|opened|put them|in (?:the )?(?:tank|aquarium|pond)|arrival)\b", tidy
    ):
        return
    since = re.search(
        r"(\d+(?:[.,]\d+)?) ?(?:h|hrs?|hours?|min\w*|days?) after (?:arrival|release|they came|unpack\w*)",
        tidy,
    )
    if since:
        ears.out["at_hours"] = rounded(spans.lengths(since[0])[0].hours)
        return
    out = re.search(
        r"\b(?:released|opened|put them|tank|tub|bucket|out|aquarium|pond)\b[^,]*", tidy
    )
    if out is None:
        return
    told = spans.ago(out[0], ears.now)
    if told.span is not None and told.span.hours > 0 and ears.asked != "kinds":
        ears.out["at_hours"] = rounded(told.span.hours)


#: Since when a bag is open that the fish are still in.
_OPENED = re.compile(r"\b(?:open(?:ed)?|cut(?: open)?|untied|undone|unsealed)\b[^,;.!]*")
#: Told longer ago than this, it is no opened bag that fish are still in [h].
_LONG_OPEN_H = 24.0


def _bag_opened(ears: Ears, tidy: str) -> None:
    """ "in the bag, opened 1h ago": how long the bag has been open."""
    for said in _OPENED.findall(tidy):
        told = time_told.opened(said, ears.now)
        if told.span is not None and 0 < told.span.hours <= _LONG_OPEN_H:
            ears.out["bag_open_hours"] = rounded(told.span.hours)
            return


_NOTHING_WRONG = re.compile(
    r"(?:nothing|none)(?: that)? (?:i|we)(?: can| could| have)? (?:know|think|notice|see|saw|seen|remember|recall|am aware|are aware)\w*(?: of)?$|(?:nothing|none|not a (?:thing|mark|sign))(?: (?:on|in|at|of|to|about|with) (?:the |their |its |his |her |any |this )?\w+){0,2}(?: at all| yet| so far| whatsoever)?$|(?:nope? |nah |there (?:is|was) |we (?:had|saw) )*(?:nothing|no|not an?y?|none of)\b(?: \w+){0,3} (?:wrong|yet|signs?|symptoms?|problems?|issues?|unusual|odd|abnormal\w*|visible|seen|thing|events?|happened|logged|noted|noticed|clean|of note|remarkable|to report)\b(?! but)"
)


#: "not that i know of", "as far as i know nothing", "none to my knowledge"
_AS_FAR = r"(?:(?:as|so) far as (?:i|we) (?:know|am aware|are aware|can (?:see|tell|say))|(?:to (?:the best of )?(?:my|our) knowledge)|afaik|(?:that )?(?:i|we) (?:know|knew|heard|am aware|are aware)(?: of)?)"
_NONE_KNOWN = re.compile(
    rf"(?:(?:no|nope),? )?(?:no|not|nope|nothing|none|nil)(?: (?:at all|special|like that|of (?:that|it|these|those)))?,? {_AS_FAR}|{_AS_FAR},? (?:there (?:is|was) )?(?:no|not|nothing|none)(?: (?:at all|special|like that|happened|of (?:that|these|those)))?"
)


#: These may answer what was in the asker's mind: no "none of these" by themselves.
_YES_NO = frozenset(["no", "nope", "0", "n", "ok", "fine", "same"])


# -- nothing, or not enough ---------------------------------------------------------


def _settle(ears: Ears, said: str, typed: str) -> None:
    """When no fact was heard: unknown, none of it, or asked back."""
    facts = {k: v for k, v in ears.out.items() if k != "unknown" and (v or v == 0)}
    if (
        not facts
        and unknown(said)
        and not re.search(r"\d", said)
        and not _NONE_KNOWN.fullmatch(said)
    ):
        ears.ask = []
        ears.out["unknown"] = True
        return
    if facts or ears.ask:
        ears.out.pop("unknown", None)
        word = "called_cycled_without_number"
        if word in ears.out.get("history", {}):
            ears.ask.append("How many weeks has it run, and what does nitrite read today?")
        return
    if ears.out.get("unknown"):
        return
    if has_phrase(said, ears.held.lists["unknown"]) and not re.search(r"\d", said):
        ears.out["unknown"] = True
        return
    if ears.question.kind in ("signs", "choice") and not re.search(r"\d|\bbut\b", said):
        first = re.split(r"\s*[,;.]\s*", said)[0]
        if "," in said and first in ears.held.lists["nothing"] and first not in _YES_NO:
            ears.out["nothing"] = True
            return
    if ears.question.kind in ("signs", "choice") and (
        said in ears.held.lists["nothing"]
        or _NOTHING_WRONG.match(said)
        or _NONE_KNOWN.fullmatch(said)
    ):
        ears.out["nothing"] = True
        return
    ears.ask.append(f'"{typed.strip()[:60]}" is not understood here. {ears.question.text}')
