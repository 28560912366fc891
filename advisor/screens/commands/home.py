"""``advisor`` alone: open cases by urgency, and how to start."""

from __future__ import annotations

import argparse

START = {
    "advisor ask": "fish in bags or fish in trouble: be led by questions",
    "advisor assess CASE": "what to do for a case on file",
    "advisor recheck CASE": "a later look: better or worse",
    "advisor --help": "everything else",
}


def run(args: argparse.Namespace) -> int:
    from advisor.case.folder import cases_folder
    from advisor.screens.session.talk import Talk

    talk = Talk(lines=())
    folder = cases_folder(getattr(args, "cases", None))
    if folder.is_dir() and any(folder.glob("*.toml")):
        from advisor.screens.session.show_shelf import show_open_cases

        show_open_cases(talk, folder)
    else:
        talk.say(f"No cases yet. They are kept in {folder}")
    talk.say()
    talk.say("Start:")
    for command, does in START.items():
        talk.say(f"{command} - {does}", indent=2, hang=4)
    return 0
