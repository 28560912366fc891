"""Answers that only the question gives a meaning: yes, no, none, numbers of its lines."""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re

from advisor.advice.settled_by import choices_of, settings, several, single
from advisor.ask.answers.choosing import NotUnderstood, pick
from advisor.ask.hear.ears import Ears, seen_before
from advisor.ask.hear.word_sets import word_set

#: Food that was not given is no food refused.
_NOT_GIVEN = re.compile(
    r"\b(?:(?:not|havent|hasnt|didnt|have not|has not|did not|nobody|never|no one)(?: \w+){0,2} (?:fed|feed|offered|feeding|given)"
    r"|hold(?:ing)? (?:\w+ )?(?:off|back)|no food (?:given|offered|yet|today)|(?:skipp|fast)(?:ed|ing)(?: \w+)? (?:feed\w*|them))\b"
)
_TRIED = re.compile(r"\b(?:eat\w*|ate|took|tak\w+|spat|spit\w*|ignor\w*|refus\w*|still feeding)\b")


#: Nothing in the house to measure with: an answer where kits are asked for.
_KITS = r"(?:(?:any|a|water|test|testing|measuring) )*(?:kits?|tests?|meters?|strips?|equipment|gear|instruments?|probes?)"
_HERE = r"(?: (?:here|at all|at hand|in (?:the )?(?:house|place|shop)|on (?:the )?(?:farm|site)|at home|whatsoever|to hand|available))*"
_NO_KITS = re.compile(
    rf"(?:(?:we|i) )?(?:(?:have |got |have got |there (?:is|are) )?(?:no|not any|zero|without)|(?:dont|do not|havent|have not)(?: have| got| own)?(?: any)?)(?: {_KITS}{_HERE}(?:,? (?:(?:and|or|nor) )?(?:no )?{_KITS})*)?{_HERE}"
    rf"|(?:(?:we|i) )?(?:have |got |there is )?(?:nothing|none)(?: to (?:measure|test|check)(?: (?:it |anything |the water )?with)?| for (?:measuring|testing)| (?:like|of) that)?{_HERE}|cant (?:measure|test)(?: (?:anything|a thing))?{_HERE}"
)


def whole_answer(ears: Ears, said: str) -> bool:
    """Yes, no, none and numbers of lines: answers only the question gives a meaning."""
    question, lists = ears.question, ears.held.lists
    if question.id == "food" and _NOT_GIVEN.search(said) and not _TRIED.search(said):
        ears.out["unknown"] = True
        return True
    if ears.asked == "kits_at_hand" and _NO_KITS.fullmatch(said):
        ears.out["nothing"] = True
        return True
    if question.kind in ("signs", "choice") and _LINES.fullmatch(said):
        return _by_number(ears, said)
    if question.history is not None:
        meant = _yes_or_no(ears, said)
        if meant:
            ears.fact("history", question.history, meant)
        return bool(meant)
    if question.kind == "signs" and said in lists["nothing"] and question.id != "still_there":
        if said in _GOOD and "swimming_normally" in question.signs:
            ears.fact("sign", "swimming_normally", True)
        elif question.id == "food":
            ears.fact("sign", "refusing_food" if said != "0" else "", True) if said in lists[
                "no"
            ] else None
            if said not in lists["no"]:
                ears.out["unknown"] = True
        elif question.id == "hand_test" and said in ("no", "none", "nothing"):
            ears.fact("sign", "unresponsive", True)
        else:
            ears.out["nothing"] = True
        return True
    if question.kind == "choice" and not single(question) and said in lists["nothing"]:
        ears.out["nothing"] = True
        return True
    return False


def _yes_or_no(ears: Ears, said: str) -> str:
    """The answer that yes or no is here: that of the line which begins so.

    "yes" at "Is another tank to be had?" is the line "yes, there is", whatever its item is called.
    Words after it are left to the patterns where they may turn it round.
    """
    question, lists = ears.question, ears.held.lists
    assert question.history is not None
    if not set(ears.base.history[question.history].answers) <= {"yes", "no", "unknown"}:
        return ""
    lines = {label.split(",")[0]: key for key, label in choices_of(question, ears.base).items()}
    for word in ("yes", "no"):
        if said in lists[word] or (word == "no" and said in lists["nothing"] and said in _NOTHING):
            return lines.get(word, word)
        opening = re.match(r"(\w+)[\s,.!;:-]+(.*)", said)
        if (
            opening
            and word == "no"
            and opening[1] in lists["no"]
            and _SAME_NO.fullmatch(opening[2])
        ):
            return lines.get(word, word)
        if (
            opening
            and opening[1] in lists[word]
            and opening[1] in _PLAIN
            and _adds(opening[2], word)
        ):
            return lines.get(word, word)
        closing = re.fullmatch(r"(.*\w)[\s,.;:-]+(yes|no|yep|nope)", said)
        if closing and closing[2] in lists[word] and _adds(closing[1], "no"):
            return lines.get(word, word)
    return ""


_PLAIN = word_set("plain_yes_no")
_NOTHING = frozenset(["none", "nothing", "nil", "zero", "none at all", "nothing at all", "not any"])
#: Behind a yes or no these may turn it round, or the word may belong to them: "no problem".
_TURNS = re.compile(
    r"\b(?:but|except|apart|only|yes|not|no|never|though|yet|until|unless|almost|nearly|maybe|think|half|some|problems?|idea|change|need|trouble|issue|more|other|sign|wait|sorry|one|dont|didnt|wasnt)\b"
)


#: "no, i have not", "no we dont have one": no twice.
_SAME_NO = re.compile(
    r"(?:(?:i|we|it|they|there|he|she|you) )?(?:(?:have|has|had|do|does|did|is|are|was|were|got)(?: not|nt)|not|none|havent|hasnt|dont|doesnt|didnt|isnt|arent|wasnt)"
    r"(?: (?:have|got|a|any|one|here|at all|yet|none|been|at home))*"
)


#: What turns a yes round is less: "yes, one cycled and ready".
_TURNS_YES = re.compile(
    r"\b(?:but|except|apart|not|no|never|though|yet|until|unless|almost|nearly|maybe|think|half|idea|wait|sorry|dont|didnt|wasnt|isnt|arent)\b"
)


def _adds(rest: str, word: str) -> bool:
    """Whether what follows a yes or no leaves it as it is."""
    return not (_TURNS_YES if word == "yes" else _TURNS).search(rest)


_LINES = re.compile(r"[1-9]\d?(?:\s*[, -]\s*[1-9]\d?)*(?:\s+u)?")


def _by_number(ears: Ears, said: str) -> bool:
    """Lines of the question by their numbers."""
    question = ears.question
    lines = dict(choices_of(question, ears.base))
    if question.id == "still_there":
        lines = {sign: ears.base.signs[sign].name for sign in seen_before(ears)}
    many = question.kind == "signs" or several(question)
    try:
        picked = pick(said, lines, several=many)
    except NotUnderstood as fault:
        ears.ask.append(str(fault))
        return True
    for key in picked.keys:
        if question.kind == "signs":
            ears.fact("sign", key, True)
        elif question.history is not None:
            ears.fact("history", question.history, key)
        elif single(question):
            _settle_line(ears, settings(key))
        else:
            ears.fact("history", key, "yes")
    return True


def _settle_line(ears: Ears, values: dict[str, str]) -> None:
    shut, out = values.pop("bags_sealed", None), values.pop("released", None)
    place = values.pop("fish_are_in", None)
    if place or out or shut in ("yes", "no"):
        ears.out["place"] = place or (
            "tank" if out else "closed_bag" if shut == "yes" else "open_bag"
        )
    else:
        ears.ask.append("Which are still shut and which are out? Say it for each lot.")
    for item, value in values.items():
        ears.fact("history", item, value)


_GOOD = word_set("good")


def still_there(ears: Ears, said: str) -> None:
    """All, none, only some of the signs seen before."""
    before = seen_before(ears)
    named = set(ears.out.get("signs_seen", ())) | set(ears.out.get("signs_not_seen", ()))
    rest = [sign for sign in before if sign not in named]
    if re.fullmatch(
        r"(?:they are |its |it is )?(?:all|everything|both)(?: of (?:it|them))?(?: is| are| has)?(?: gone| cleared| over| better)",
        said,
    ):
        value, of = False, rest
    elif re.match(
        r"(?:yes |still )?(?:all|everything|both|same|unchanged|no change)\b(?!.*\b(?:but|except|bar|apart)\b)",
        said,
    ):
        value, of = True, rest
    elif re.search(r"\b(?:everything|all|both) (?:but|except|bar|apart from)\b", said):
        for sign in [sign for sign in before if sign in named]:
            ears.out["signs_seen"] = [s for s in ears.out.get("signs_seen", ()) if s != sign]
            ears.fact("sign", sign, False)
        value, of = True, rest
    elif re.match(r"(?:only|just|nur)\b", said) and named:
        value, of = False, rest
    elif re.fullmatch(r"none|gone|no|nothing|0|none of them|nothing left|keine", said):
        ears.out.pop("nothing", None)
        value, of = False, rest
    else:
        return
    for sign in of:
        ears.fact("sign", sign, value)
