"""``advisor ask --hear``: what a typed line is taken to mean, and what is asked back."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from typing import Any

from advisor.case.folder import cases_folder, find_case
from advisor.screens.session.talk import Talk


def hear(args: argparse.Namespace) -> int:
    """Print it; exit status 1 when something has to be asked back."""
    from advisor.ask.hear import hear as heard_in
    from advisor.case import load_case
    from advisor.screens.console import print_json

    question, text = args.hear
    case = load_case(find_case(args.resume, cases_folder(args.cases))) if args.resume else None
    heard = heard_in(question, text, case)
    if args.json:
        print_json(json.dumps(heard, indent=2, ensure_ascii=False))
    else:
        _say(Talk(lines=()), heard)
    return 1 if heard.get("ask_back") else 0


def _say(talk: Talk, heard: Mapping[str, Any]) -> None:
    from advisor.advice.reasoner import default_reasoner
    from advisor.ask.hear.said import in_words

    for line in in_words(heard, default_reasoner().base):
        talk.say(line)
    for line in heard.get("ask_back", ()):
        talk.item("?", line)
    for words in heard.get("not_understood", ()):
        talk.say(f'Not understood: "{words}".')
