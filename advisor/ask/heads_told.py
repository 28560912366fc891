"""Dead that a line told: more than those on file, or all; and the case a lot is heard in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from advisor.ask.answers.choosing import NotUnderstood, plain
from advisor.ask.hear.listen import listen
from advisor.ask.hear.on_file import doubt
from advisor.ask.inquiry import FIRST_LOOK, Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.records import Ask, Choice, Talking
from advisor.case import Case, Lot
from advisor.case.model import Counts

#: Of what was heard, what is no fact of a lot.
NO_FACTS = ("format", "question", "text", "ask_back", "not_understood", "unknown", "lots")
_MORE = re.compile(r"\b(?:more|since|another|extra|new|further)\b")
_ALL = re.compile(r"\b(?:all|total|altogether|so far)\b")


def of_lot(case: Case, lot: str) -> Case:
    """The case with this lot alone: what was counted of all lots together is no count of it."""
    mine = tuple(each for each in case.lot if each.id == lot)
    if not mine or len(case.lot) == 1:
        return case
    looks = tuple(
        look.model_copy(update={"counts": Counts()}) if look.lot == "all" else look
        for look in case.observation
    )
    # unchecked: looks at the other lots stay, so this is no case to keep
    return case.model_copy(update={"lot": mine, "observation": looks})


def heard_of(at: Inquiry, case: Case, lot: str, text: str) -> dict[str, Any]:
    """What words say of one lot of the case at its first look, and of its heads."""
    base, case = at.reasoner.base, of_lot(case, lot)
    heard = listen(FIRST_LOOK, text, case, base, at.clock(), at.at_hours)
    if "counts" in base.questions and not heard.keys() & {"counts", "dead_said"}:
        heads = listen("counts", text, case, base, at.clock(), at.at_hours)
        heard |= {key: heads[key] for key in ("counts", "dead_said") if key in heads}
    return heard


def asked_back(heard: Mapping[str, Any]) -> list[str]:
    """What is asked back of a line, but for its dead: that is put as a question of its own."""
    unsure = doubt(**heard["dead_said"]) if "dead_said" in heard else ""
    return [ask for ask in heard.get("ask_back", ()) if ask != unsure]


def more_or_all(
    at: Inquiry, told: Mapping[str, int], lot: Lot, key: str = ""
) -> Talking[int | None]:
    """All dead so far, asked where a line may mean more of them; None leaves those on file."""
    said, held = told["said"], told["held"]
    lines = {
        "more": f"{said or 'none'} more: {held + said} in all",
        "all": f"{said or 'none'} in all",
    }

    def read(line: str) -> int:
        text = plain(line)
        more, whole = bool(_MORE.search(text)), bool(_ALL.search(text))
        if text == "1" or (more and not whole):
            return held + said
        if text == "2" or (whole and not more):
            return said
        if text == str(held + said):
            return held + said
        raise NotUnderstood("1 more, 2 in all.")

    choices = tuple(Choice(name, label) for name, label in lines.items())
    ask = Ask("counts", key, "one", doubt(said, held), follows="more_or_all", choices=choices)
    try:
        dead = yield from at.until(ask, read, None, lot.id)
    except (Back, Same, Enough):
        dead = None
    if dead is None:
        at.say(f"The dead stay at {held}, as on file.", level=1)
    return dead


def heads_settled(at: Inquiry, facts: dict[str, Any], lot: Lot) -> Talking[None]:
    """Ask what was left open of the dead in ``facts``, and put it into their counts."""
    told = facts.pop("dead_said", None)
    dead = (yield from more_or_all(at, told, lot)) if told else None
    if dead is not None:
        facts["counts"] = {**(facts.get("counts") or {}), "dead": dead}
