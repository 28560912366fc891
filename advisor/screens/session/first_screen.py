"""The first question is read while the rules load behind it.

Nothing heavy is imported here: the models, the rule base and the engine come in
on a second thread, which is waited for once an answer needs them.
"""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.advice.reasoner import Reasoner
    from advisor.ask.records import Ask
    from advisor.screens.session.talk import Talk

FILE = "questions.toml"
#: A wait longer than this is said [s].
_UNNOTICED = 0.5


class Loading:
    """Loads rules and engine on a thread of its own; what fails there is raised by ``get``."""

    def __init__(self, rules: str | None) -> None:
        self._rules = rules
        self._ready: Reasoner | None = None
        self._fault: BaseException | None = None
        self._thread = threading.Thread(target=self._load, daemon=True)
        self._thread.start()

    def _load(self) -> None:
        try:
            from advisor.advice.reasoner import default_reasoner

            self._ready = default_reasoner(self._rules)
        except BaseException as fault:  # handed over to the thread that waits
            self._fault = fault

    def get(self, talk: Talk) -> Reasoner:
        """Wait until all is there, saying so when it takes longer than a person notices."""
        self._thread.join(_UNNOTICED)
        if self._thread.is_alive():
            talk.say("One moment, the rules are being read ...")
            talk.out.flush()
            self._thread.join()
        if self._fault is not None:
            raise self._fault
        assert self._ready is not None
        return self._ready

    def settle(self, seconds: float = 3.0) -> None:
        """Let the thread end before the program does."""
        self._thread.join(seconds)


def first_question(rules: str | None) -> Ask | None:
    """The question asked first, as it stands in the rules; None when it cannot be read here.

    Only this one file is read. Faults are left to the loader, which words them.
    """
    import tomllib

    from advisor.ask.records import Ask, Choice

    try:
        text = (_folder(rules) / FILE).read_text(encoding="utf-8-sig")
        entries = tomllib.loads(text)["question"]
        first = min((e for e in entries if "opening" in e), key=lambda e: int(e["opening"]))
        choices = tuple(Choice(str(key), str(line)) for key, line in first["choices"].items())
        name = str(first["id"])
        return Ask(name, name, "one", str(first["text"]), choices, number=1) if choices else None
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _folder(rules: str | None) -> Path:
    """As advisor.rulebase.default_folder, without its imports."""
    if rules is not None:
        return Path(rules)
    package = Path(__file__).parents[2]
    inside = package / "rules"
    return inside if inside.is_dir() else package.parent / "rules"
