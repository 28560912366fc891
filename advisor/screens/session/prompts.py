"""One question put to the person, until it has a reply."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.ask.answers import UNKNOWN, NotUnderstood, Reply, Seen, Settled, pick
from advisor.ask.answers.choosing import is_no, plain, says_unknown
from advisor.ask.answers.phrases import NEVER
from advisor.ask.answers.signs import SignsSaid, read_signs, with_rest_absent
from advisor.ask.shape import RELEASED_WORD, choices_of, settings, several, single
from advisor.rulebase.model import Question
from advisor.screens.session.context import Context
from advisor.screens.session.draw import SEVERAL, SEVERAL_SHORT, SEVERAL_TOLD, draw
from advisor.screens.session.prompt_fields import ask_field
from advisor.screens.session.prompt_readings import ask_readings
from advisor.units.spellings import key_of
from advisor.units.words import questions


def put(question: Question, context: Context) -> Reply:
    """Show the question and read lines until there is a reply."""
    if question.kind == "signs":
        return _signs(question, context)
    if question.kind == "reading":
        return ask_readings(question, context)
    if question.kind == "choice":
        return _choice(question, context)
    return ask_field(question, context)


def lines_of(question: Question, context: Context) -> Mapping[str, str]:
    """The numbered lines, as shown."""
    lines = choices_of(question, context.base)
    if question.kind != "signs":
        return lines
    return {sign: f"{name} - {context.base.signs[sign].look_for}" for sign, name in lines.items()}


def hint_of(question: Question, context: Context) -> str:
    """One line on how to answer; the long form once."""
    if question.kind != "signs":
        return SEVERAL_TOLD if several(question) else ""
    first, context.habits.hinted = not context.habits.hinted, True
    return SEVERAL if first else SEVERAL_SHORT


def _show(question: Question, context: Context) -> None:
    if not context.drawn:
        draw(
            context.talk, context.number, question.text, lines_of(question, context),
            about=context.about, hint=hint_of(question, context),
        )  # fmt: skip


def _signs(question: Question, context: Context) -> Reply:
    _show(question, context)
    offered = choices_of(question, context.base)
    kept = Seen()
    while True:
        line = context.line()
        if says_unknown(line):
            return kept if kept.seen or kept.not_seen else UNKNOWN
        try:
            said = read_signs(line, offered, context.book, lines_of(question, context))
        except NotUnderstood as fault:
            context.complain(fault)
            continue
        for word, ask in said.ask_instead:
            context.talk.say(f'"{word}" is not something seen. {ask}')
        for piece in said.unheard:
            context.talk.say(f'"{piece}" fits no sign known here; it is kept in your words.')
        if said.ask_instead and not (said.reply.seen or said.reply.not_seen or said.guesses):
            continue  # the answer to what was asked instead
        reply = _confirmed(said, offered, context)
        if reply is not None:
            return _echo(reply, kept, context)


def _confirmed(said: SignsSaid, offered: Mapping[str, str], context: Context) -> Seen | None:
    """The reply once the person agreed to what their words were taken for; None to ask again."""
    reply = said.reply
    if said.rest == "absent" and not said.guesses and not reply.words:
        return with_rest_absent(reply, tuple(offered))
    if said.rest == "absent" and not said.guesses and not reply.seen:
        return with_rest_absent(reply, tuple(offered))
    names = [context.base.signs[sign].name for sign in (*reply.seen, *said.guesses)]
    names += [f"no {context.base.signs[sign].name}" for sign in reply.not_seen]
    rest = {
        "absent": "The other lines count as not seen.",
        "ask": "The other lines count as not seen; u if you did not look for them.",
        "unknown": "The other lines stay open.",
    }[said.rest]
    context.talk.say(f"Taken as: {', '.join(names)}. {rest} Enter yes, n no.")
    answer = context.line()
    if is_no(answer):
        context.talk.say("Then once more, by number or in other words.")
        return None
    whole = Seen((*reply.seen, *said.guesses), reply.not_seen, reply.words)
    if said.rest == "unknown" or plain(answer) == "u":
        return whole
    return with_rest_absent(whole, tuple(offered))


def _echo(reply: Seen, kept: Seen, context: Context) -> Seen:
    names = [context.base.signs[sign].name for sign in reply.seen]
    context.talk.say(f"Seen: {', '.join(names) or 'none of these'}.")
    return Seen(reply.seen, reply.not_seen, (*kept.words, *reply.words))


def _choice(question: Question, context: Context) -> Reply:
    _show(question, context)
    lines = choices_of(question, context.base)
    followed_up = False
    while True:
        line = context.line()
        if says_unknown(line):
            return UNKNOWN
        many = several(question)
        if many and plain(line) in ("0", "none", "no", "nothing"):
            return Settled(dict.fromkeys(lines, "no"))
        try:
            if plain(line) not in map(plain, lines.values()) and _asked_instead(line, context):
                raise NotUnderstood(f'"{line.strip()}" says too little.')
            picked = pick(line, lines, several=many)
            if picked.left_over:
                raise NotUnderstood(
                    f'"{picked.left_over[0]}" is none of these lines; type their numbers.'
                )
        except NotUnderstood as fault:
            ask = _asked_instead(line, context)
            if ask is None:
                context.complain(fault)
                continue
            if followed_up:
                context.talk.say("Kept as not known.")
                return _kept_as_words(line)
            followed_up = True
            context.talk.say(ask)
            continue
        for typed, label in picked.taken:
            context.talk.say(f'"{typed}" taken as: {label}.')
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


def _asked_instead(line: str, context: Context) -> str | None:
    """What to ask after a word that is no answer: "cycled", "treated", "fine"."""
    never = context.base.questions.get(NEVER)
    words = {plain(word): ask for word, ask in (never.choices if never else {}).items()}
    return words.get(plain(line)) or questions().get(key_of(line))


def _kept_as_words(line: str) -> Reply:
    """A word again where an answer was asked for: not known; "cycled" and "fine" are facts."""
    item = {
        "cycled": "called_cycled_without_number",
        "fine": "tested_fine_without_number",
    }
    for word, name in item.items():
        if questions().get(key_of(line)) == questions()[key_of(word)]:
            return Settled({name: "yes"})
    return UNKNOWN
