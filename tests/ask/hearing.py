"""A typed line heard as a program hears it, and the facts in what was heard."""

from __future__ import annotations

from typing import Any

import advisor
from advisor.case import loads_case
from tests.ask.utterances import NOW


def hear(question: str, text: str, count: int | None = None) -> dict[str, Any]:
    case = None
    if count is not None:
        case = loads_case(f'format = "arrival-case-1"\n[[lot]]\nid = "a"\ncount = {count}\n')
    return advisor.hear(question, text, case, now=NOW)


def facts(heard: dict[str, Any]) -> set[str]:
    """What was taken, a line for each; neither what was asked back nor what was not understood."""
    dull = ("format", "question", "text", "ask_back", "not_understood", "unknown", "nothing")
    return {
        f"{key} {each}"
        for key, value in heard.items()
        if key not in dull
        for each in (value if isinstance(value, list) else [value])
    }
