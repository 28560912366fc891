"""One question put to the person, until it has a reply."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.questions import RELEASED_WORD, choices_of, settings, several, single
from advisor.ask.answers import UNKNOWN, NotUnderstood, Reply, Seen, Settled, pick
from advisor.ask.answers.apply import asked_key
from advisor.ask.answers.choosing import is_no, plain, says_unknown
from advisor.ask.answers.signs import SignsSaid, read_signs, with_rest_absent
from advisor.ask.answers.words import asked_instead, kept_as_words
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import Ask, Choice, Talking
from advisor.case import Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.model import Question

T = TypeVar("T")
SEVERAL = (
    "Numbers or words, several at once: 1 4 7. Lines left out count as looked for and not "
    "seen; add u if you did not look. 0 none of these."
)
SEVERAL_SHORT = "1 4 7 or words; 0 none; 1 4 u = the rest not looked for."
SEVERAL_TOLD = "1 4 7 or words; 0 none; 1 4 u = the rest not known."


@dataclass(frozen=True)
class Prompt:
    """A question at a lot, within a session.

    again : readings to be taken again although the case holds one
    """

    at: Inquiry
    question: Question
    lot_id: str
    again: frozenset[str] = frozenset()

    @property
    def base(self) -> RuleBase:
        return self.at.reasoner.base

    @property
    def lot(self) -> Lot:
        return self.at.lot(self.lot_id)

    @property
    def sheet(self) -> FactSheet:
        return self.at.thoughts[self.lot_id].reasoned.sheet

    def asking(self, kind: str, text: str = "", *, follows: str = "", **more: object) -> Ask:
        """The question itself, or what follows it."""
        several_lots = len(self.at.case.lot) > 1 and self.question.scope == "lot"
        return Ask(
            question=self.question.id,
            key=asked_key(self.question, self.lot_id),
            kind=kind,  # type: ignore[arg-type]
            text=text or self.question.text,
            about=about(self.lot) if several_lots else "",
            number=0 if follows else self.at.number,
            follows=follows,
            **more,  # type: ignore[arg-type]
        )

    def line(self, ask: Ask) -> Talking[str]:
        return (yield from self.at.line(ask, self.question, self.lot_id))

    def until(self, ask: Ask, read: Callable[[str], T]) -> Talking[T | None]:
        return (yield from self.at.until(ask, read, self.question, self.lot_id))

    def menu(self, ask: Ask, lines: Mapping[str, str]) -> Talking[tuple[str, ...] | None]:
        return (yield from self.at.menu(ask, lines, self.question, self.lot_id))


def put(prompt: Prompt) -> Talking[Reply]:
    """Ask until there is a reply."""
    from advisor.ask.prompt_fields import ask_field
    from advisor.ask.prompt_readings import ask_readings

    ways: dict[str, Callable[[Prompt], Talking[Reply]]] = {
        "signs": _signs, "reading": ask_readings, "choice": _choice,
    }  # fmt: skip
    return (yield from ways.get(prompt.question.kind, ask_field)(prompt))


def lines_of(question: Question, base: RuleBase) -> tuple[Choice, ...]:
    """The numbered lines, as shown."""
    lines = choices_of(question, base)
    if question.kind != "signs":
        return tuple(Choice(key, label) for key, label in lines.items())
    return tuple(Choice(s, name, base.signs[s].look_for) for s, name in lines.items())


def _hint(prompt: Prompt) -> str:
    """One line on how to answer; the long form once."""
    if prompt.question.kind != "signs":
        return SEVERAL_TOLD if several(prompt.question) else ""
    habits = prompt.at.habits
    first, habits.hinted = not habits.hinted, True
    return SEVERAL if first else SEVERAL_SHORT


# -- signs ----------------------------------------------------------------------


def _signs(prompt: Prompt) -> Talking[Reply]:
    at, base = prompt.at, prompt.base
    offered = choices_of(prompt.question, base)
    lines = lines_of(prompt.question, base)
    shown = {choice.key: choice.line for choice in lines}
    ask = prompt.asking("several", choices=lines, hint=_hint(prompt))
    while True:
        said = yield from prompt.until(ask, lambda line: read_signs(line, offered, at.book, shown))
        if said is None:
            return UNKNOWN
        ask = prompt.asking("several", choices=lines, again=True)
        for word, instead in said.ask_instead:
            at.say(f'"{word}" is not something seen. {instead}')
        for piece in said.unheard:
            at.say(f'"{piece}" fits no sign known here; it is kept in your words.')
        if said.ask_instead and not (said.reply.seen or said.reply.not_seen or said.guesses):
            continue  # the answer to what was asked instead
        reply = yield from _confirmed(said, offered, prompt)
        if reply is not None:
            names = [base.signs[sign].name for sign in reply.seen]
            at.say(f"Seen: {', '.join(names) or 'none of these'}.")
            return reply


def _confirmed(said: SignsSaid, offered: Mapping[str, str], prompt: Prompt) -> Talking[Seen | None]:
    """The reply once the person agreed to what their words were taken for; None to ask again."""
    reply, base = said.reply, prompt.base
    if said.rest == "absent" and not said.guesses and not (reply.words and reply.seen):
        return with_rest_absent(reply, tuple(offered))
    names = [base.signs[sign].name for sign in (*reply.seen, *said.guesses)]
    names += [f"no {base.signs[sign].name}" for sign in reply.not_seen]
    rest = {
        "absent": "The other lines count as not seen.",
        "ask": "The other lines count as not seen; u if you did not look for them.",
        "unknown": "The other lines stay open.",
    }[said.rest]
    text = f"Taken as: {', '.join(names)}. {rest} Enter yes, n no."
    answer = yield from prompt.line(prompt.asking("enter", text, follows="taken_as"))
    if is_no(answer):
        prompt.at.say("Then once more, by number or in other words.")
        return None
    whole = Seen((*reply.seen, *said.guesses), reply.not_seen, reply.words)
    if said.rest == "unknown" or plain(answer) == "u":
        return whole
    return with_rest_absent(whole, tuple(offered))


# -- choices --------------------------------------------------------------------


def _choice(prompt: Prompt) -> Talking[Reply]:
    at, question = prompt.at, prompt.question
    lines = choices_of(question, prompt.base)
    many = several(question)
    kind = "several" if many else "one"
    ask = prompt.asking(kind, choices=lines_of(question, prompt.base), hint=_hint(prompt))
    followed_up = False
    while True:
        line = yield from prompt.line(ask)
        ask = prompt.asking(kind, choices=ask.choices, again=True)
        if says_unknown(line):
            return UNKNOWN
        if many and plain(line) in ("0", "none", "no", "nothing"):
            return Settled(dict.fromkeys(lines, "no"))
        instead = asked_instead(line, prompt.base)
        try:
            if instead and plain(line) not in map(plain, lines.values()):
                raise NotUnderstood(f'"{line.strip()}" says too little.')
            picked = pick(line, lines, several=many)
            if picked.left_over:
                raise NotUnderstood(
                    f'"{picked.left_over[0]}" is none of these lines; type their numbers.'
                )
        except NotUnderstood as fault:
            if instead is None:
                at.complain(fault)
            elif followed_up:
                at.say("Kept as not known.")
                return kept_as_words(line)
            else:
                followed_up = True
                at.say(instead)
            continue
        for typed, label in picked.taken:
            at.say(f'"{typed}" taken as: {label}.')
        return _settled(question, picked.keys, lines, picked.rest_unknown)


def _settled(
    question: Question, keys: tuple[str, ...], lines: Mapping[str, str], rest_unknown: bool
) -> Reply:
    if question.history is not None:
        return Settled({question.history: keys[0]})
    if single(question):
        values = settings(keys[0])
        released = values.pop(RELEASED_WORD, None) is not None
        return Settled(values, released)
    others = {} if rest_unknown else {key: "no" for key in lines if key not in keys}
    return Settled({**others, **dict.fromkeys(keys, "yes")})
