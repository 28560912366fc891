"""Steps taken at the bag by the clock: confirmed by Enter or their own words, by nothing else.

A reading typed there is a reading, and the step waits on.
"""

from __future__ import annotations

import re
from typing import Any

from advisor.ask.answers.choosing import NotUnderstood, brief, is_no, is_yes, pick, plain
from advisor.ask.answers.parts import Place
from advisor.ask.besides import with_facts
from advisor.ask.hear.listen import listen
from advisor.ask.hear.said import in_words
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.records import Talking
from advisor.errors import AdvisorError

#: Where fish out of the bag are when no tank is ready for them.
TUB = "tub"
#: The ways a person chooses from; kept in the case under these names.
WAYS = {
    "netted": "netted or cupped over",
    "poured": "poured in with bag water",
    "dripped": "dripped first, then over",
    "floated_open": "floated open, then over",
    TUB: "into a tub or bucket of clean water",
}
NO_WAY_BACK = "A step of the clock cannot be taken back; correct it in the file."
#: Words that say that a step is taken: the bag opened, ready to begin, the last fish out.
OPENED = re.compile(r"open|opened|opening|its open|it is open|now|ready|go|cut|i am|im ready")
READY = re.compile(r"ready|go|start|open|now|i am|im ready|lets go|open them")
OUT = re.compile(
    r"(?:(?:they |fish |its |it |last one |the last one |all )*(?:is |are |re )?)?"
    r"(?:all )?(?:out|over|empty|theyre out)(?: now| of the bag)?"
)
_NOT_YET = re.compile(
    r"(?:no |not |still )?(?:not |in |shut |working|wait)\w*(?: \w+){0,3}|no not .*"
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_NAMED_WATER = re.compile(r"\b(?:tank|tap|tub|bucket|aquarium|pond|vat)\b")
#: A bare number in this range is the warmth of the bag; below it may be a pH [°C] (judgement).
_WARM = (15.0, 45.0)


def confirmed(at: Inquiry, text: str, lot: str, words: re.Pattern[str]) -> Talking[None]:
    """Wait until the step is said to be done. Raises Enough where it is not going to be.

    Raises Back at the first step only: nothing is stamped yet.
    """
    yield from _step(at, text, lot, words, ways=False)


def out_and_how(at: Inquiry, text: str, lot: str) -> Talking[str]:
    """Wait until the last one is out; the way if it was said with it, one of :data:`WAYS`."""
    return (yield from _step(at, text, lot, OUT, ways=True))


def _step(at: Inquiry, text: str, lot: str, words: re.Pattern[str], *, ways: bool) -> Talking[str]:
    while True:
        try:
            line = yield from at.enter(text, "step", lot)
        except Back:
            if words is READY:
                raise
            at.say(NO_WAY_BACK)
            continue
        except Same:
            at.say(NO_WAY_BACK)
            continue
        said = plain(line)
        if not said or is_yes(line) or words.fullmatch(said):
            return ""
        if is_no(line):
            raise Enough
        way = _way(at, line) if ways else None
        if way is not None:
            return way
        if _NOT_YET.fullmatch(said):
            at.say("It waits.")
            continue
        yield from _note(at, line, lot)


def _way(at: Inquiry, line: str) -> str | None:
    """The way over that words name; a bare number is none, for the ways are not shown here."""
    if any(letter.isdigit() for letter in line):
        return None
    try:
        return pick(line, WAYS, several=False).keys[0]
    except (NotUnderstood, IndexError):
        heard = listen("where_are_they", line, None, at.reasoner.base, at.clock())
    way = heard.get("history", {}).get("release_method")
    return way if way in WAYS else None


def _note(at: Inquiry, line: str, lot: str) -> Talking[None]:
    """A reading typed here is kept as the bag's, where no other water is named."""
    rows = _readings(at, line)
    if not rows:
        at.say(
            f'"{brief(line)}" does not say that it is done, and is not taken. A reading with its '
            "name is kept, like: bag ph 6.4, ammonia 1.5 mg/L as N."
        )
        return
    facts = {"readings": rows}
    try:
        case = with_facts(at.case, facts, Place(lot, at.hours_now()), at.reasoner.base)
    except AdvisorError as fault:
        at.complain(fault)
        return
    yield from at.keep(case, at_hours=at.hours_now())
    at.say(f"Noted: {' '.join(in_words(facts, at.reasoner.base))} The step waits.", level=1)


def _readings(at: Inquiry, line: str) -> list[dict[str, Any]]:
    bare = _NUMBER.fullmatch(line.strip())
    if bare and not _WARM[0] <= float(bare[0].replace(",", ".")) <= _WARM[1]:
        return []
    heard = listen("thermometer", line, at.case, at.reasoner.base, at.clock(), at.at_hours)
    if heard.get("ask_back"):
        return []
    here = not _NAMED_WATER.search(line.casefold())
    return [
        {**row, "water": "bag"} if here and row["water"] == "tank" else row
        for row in heard.get("readings", ())
    ]
