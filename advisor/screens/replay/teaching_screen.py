"""``advisor replay --from CASE``: a lesson made of a closed delivery."""

from __future__ import annotations

import argparse
from pathlib import Path

from advisor.advice.reasoner import default_reasoner
from advisor.case import ABSENT, load_case, save_case
from advisor.case.folder import cases_folder, find_case
from advisor.errors import AdvisorError
from advisor.explain.replay.lesson import named
from advisor.explain.replay.teaching import Wanted, closed, lesson_of
from advisor.rulebase import RuleBase
from advisor.screens.session.run import read_answers
from advisor.screens.session.talk import Talk, TalkEnded

#: Part of the expectation, how it is asked for, what its words name.
ASKED = (
    ("first_cause", "Which causes may stand first?", "causes"),
    ("in_first_three", "Of which must one be among the first three? Enter: the same.", "causes"),
    ("first_action", "Which actions may come first?", "actions"),
    ("never", "Which actions must not be advised? Enter for none.", "actions"),
)
_FLAGS = {"in_first_three": "first_three"}


def make_lesson(args: argparse.Namespace) -> int:
    """Strip the case, take the expectation from flags or ask for it, write the file."""
    source = find_case(args.source, cases_folder())
    target = Path(args.path) if args.path else source.with_name(f"{source.stem}-lesson.toml")
    if target.exists():
        raise AdvisorError(f"{target}: is there already; name another file for the lesson.")
    case = load_case(source)
    closed(case)  # said before anything is asked
    base = default_reasoner(args.rules).base
    talk = Talk(lines=read_answers(args.answers))
    given = {name: getattr(args, _FLAGS.get(name, name)) for name, _, _ in ASKED}
    flagged = any(value is not None for value in given.values())
    try:
        wanted = _from_flags(given, base) if flagged else _asked(base, talk)
        lot = args.lot or _lot([each.id for each in case.lot], flagged, talk)
    except TalkEnded:
        talk.say("Left; no lesson was written.")
        return 0
    save_case(lesson_of(case, wanted, base, lot), target, expected_stamp=ABSENT)
    talk.say(f"{target}: written. Names, place, firm, notes, photos and claim are taken out.")
    talk.say("Read it once before passing it on.")
    return 0


def _from_flags(given: dict[str, str | None], base: RuleBase) -> Wanted:
    """Flags hold ids or names, as the questions take them ("white spot")."""
    found = {}
    for name, _, what in ASKED:
        names, kept = _known_names(what, base), []
        for piece in filter(None, map(str.strip, (given[name] or "").split(","))):
            ids = named(piece, names)
            if len(ids) != 1:
                near = f"; did you mean {' or '.join(ids[:3])}?" if ids else "."
                flag = f"--{_FLAGS.get(name, name)}".replace("_", "-")
                raise AdvisorError(f'{flag}: "{piece}" is not known{near}')
            kept.append(ids[0])
        found[name] = tuple(dict.fromkeys(kept))
    return Wanted(**found)


def _known_names(what: str, base: RuleBase) -> dict[str, str]:
    if what == "causes":
        return {cause.id: cause.name for cause in base.causes.values()}
    return {action.id: action.text for action in base.actions.values()}


def _asked(base: RuleBase, talk: Talk) -> Wanted:
    found: dict[str, tuple[str, ...]] = {}
    for name, question, what in ASKED:
        talk.say(f"{question} Commas between.")
        found[name] = _words(name, _known_names(what, base), talk)
    return Wanted(**found)


def _words(name: str, names: dict[str, str], talk: Talk) -> tuple[str, ...]:
    kept: list[str] = []
    while True:
        unclear = []
        for piece in talk.ask(name).split(","):
            if not piece.strip():
                continue
            ids = named(piece, names)
            if len(ids) == 1:
                kept.append(ids[0])
            else:
                unclear.append((piece.strip(), ids))
        if not unclear:
            return tuple(dict.fromkeys(kept))
        for piece, ids in unclear:
            near = ", ".join(each.replace("_", " ") for each in ids) or "nothing of that name"
            talk.say(f'"{piece}": {near}. Once more, or Enter to go on.')


def _lot(ids: list[str], flagged: bool, talk: Talk) -> str | None:
    """The lot the lesson is about; asked when there are several and someone answers."""
    if len(ids) < 2 or flagged:
        return None
    talk.say(f"Which lot is it about? {', '.join(ids)}. Enter for the first.")
    while True:
        line = talk.ask("lot").strip()
        if not line or line in ids:
            return line or None
        talk.say(f"The lots are {', '.join(ids)}.")
