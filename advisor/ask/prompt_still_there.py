"""Signs of an earlier look that an answer in words leaves out: still there, or gone?"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from advisor.ask.answers.choosing import NotUnderstood, is_none, pick
from advisor.ask.answers.looks import SAME_LOOK_H, with_signs
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import Seen
from advisor.ask.besides import Told, with_facts
from advisor.ask.heads_told import of_lot
from advisor.ask.hear.listen import listen
from advisor.ask.prompt import Prompt
from advisor.ask.records import Choice, Talking
from advisor.errors import AdvisorError

#: Keys of signs among what a line tells.
SIGNS = ("signs_seen", "signs_not_seen")
STILL_HINT = "Numbers of those still there; 0 none of them; Enter if you did not look."


def still_there(
    prompt: Prompt, kept: Seen, offered: Mapping[str, str], told_now: Collection[str]
) -> Talking[Seen]:
    """Words clear no sign of an earlier look: what they leave out is asked about once.

    told_now : signs that this look holds already
    """
    at = prompt.at
    spoken = {*kept.seen, *kept.not_seen, *told_now, *_eased(prompt, kept)}
    spoken |= {sign for told in at.told for sign in told.get("signs_seen", ())}
    before = {
        sign: name
        for sign, name in offered.items()
        if sign not in spoken
        and prompt.base.signs[sign].scope != "pattern"
        and (record := prompt.sheet.records.get(("sign", sign))) is not None
        and record.value is True
        and record.at_hours is not None
        and record.at_hours < at.at_hours - SAME_LOOK_H
    }
    if not before:
        return kept
    yield from _keep_so_far(prompt, kept)
    text = "Seen at a look before, and you said nothing of it. Still there now?"
    ask = prompt.asking("several", text, follows="still", hint=STILL_HINT)
    ask = replace(ask, choices=tuple(Choice(sign, name) for sign, name in before.items()))

    def read(line: str) -> tuple[str, ...]:
        if is_none(line):
            return ()
        picked = pick(line, before, several=True)
        if not picked.keys:
            raise NotUnderstood(f"None of these; type a number from 1 to {len(before)}, or 0.")
        return picked.keys

    still = yield from prompt.until(ask, read)
    if still is None:
        return kept
    gone = tuple(sign for sign in before if sign not in still)
    return Seen((*kept.seen, *still), (*kept.not_seen, *gone), kept.words)


def _eased(prompt: Prompt, kept: Seen) -> set[str]:
    """Signs of which there is less: spoken of, and neither seen anew nor gone."""
    at = prompt.at
    case = of_lot(at.case, prompt.lot_id)
    heard = listen(prompt.question.id, kept.words[-1], case, prompt.base, at.clock(), at.at_hours)
    return set(heard.get("signs_eased", ()))


def _keep_so_far(prompt: Prompt, kept: Seen) -> Talking[None]:
    """The words are on disk before anything more is asked about them."""
    at, place = prompt.at, Place(prompt.lot_id, prompt.at.at_hours)
    stood = prompt.before or at.case
    case = with_signs(stood, kept, place)
    for facts in at.told:
        told: Told = {key: facts[key] for key in SIGNS if key in facts}
        try:
            case = with_facts(case, told, place, prompt.base) if told else case
        except AdvisorError:
            continue  # said when the whole answer is taken
    yield from at.keep_part(case, aside=prompt.before is not None)
