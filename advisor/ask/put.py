"""The way of asking that a question's kind calls for."""

from __future__ import annotations

from collections.abc import Callable

from advisor.ask.answers.replies import Reply
from advisor.ask.prompt import Prompt
from advisor.ask.prompt_fields import ask_field
from advisor.ask.prompt_lines import ask_choice, ask_signs
from advisor.ask.prompt_readings import ask_readings
from advisor.ask.records import Talking


def put(prompt: Prompt) -> Talking[Reply]:
    """Ask until there is a reply."""
    ways: dict[str, Callable[[Prompt], Talking[Reply]]] = {
        "signs": ask_signs, "reading": ask_readings, "choice": ask_choice,
    }  # fmt: skip
    return (yield from ways.get(prompt.question.kind, ask_field)(prompt))
