"""What a session asks and says, as a page puts it; and a filled form as the line it stands for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from starlette.datastructures import FormData

from advisor.advice.settled_by import several
from advisor.ask.keys import LEGEND
from advisor.ask.prompt_lines import lines_of
from advisor.ask.records import Ask, Block, Say
from advisor.rulebase import RuleBase

MOST_WORDS = 2000
#: Buttons of what is only confirmed: (line sent, words on it), by what it follows.
CONFIRM: dict[str, tuple[tuple[str, str], ...]] = {
    "taken_as": (
        ("", "Yes, and the others were not there"),
        ("u", "Yes; I did not look for the others"),
        ("n", "No, I meant something else"),
    ),
    "step": (("", "Done"), ("n", "Not yet: go on with questions")),
    "close": (("", "Keep it open"), ("y", "Close the case")),
    "more": (("", "No, show the plan"), ("y", "Yes, ask more")),
}
CONFIRM_PLAIN = (("", "Yes"), ("n", "No"))
#: Sentences that speak of keys of a keyboard; a page has buttons for them.
_KEYS = re.compile(
    r"\s*(Enter yes, n no\.|y closes it now; Enter keeps it open\.|"
    r"Enter for the whole plan instead, y for more\.|; n goes on with questions instead|"
    r", Enter if not measured|Enter keeps it as written\.|Numbers; Enter for all of them\.|"
    r"; u if you did not look for them|\(d when done\)|; Enter takes that, u if it is not known|"
    r"y or Enter for no|"
    r"s leaves it open\.|u if it is not known; s leaves the case open\.|Enter if it is not known\.|"
    r"Enter keeps it; u makes it not known\.|; e stops here|e ends this\.|; e leaves this lot out|"
    r"y takes it so\.| or type a number from 1 to \d+)"
)
_SAID_OTHERWISE = (
    (re.compile(r"\bb mends it\."), "Is that wrong? Change it under Back, and all answers."),
    (re.compile(r"\by keeps it; or type it again\."), "Keep it, or write it again."),
    (re.compile(r"\btype their numbers, or all\b"), "tick them"),
    (re.compile(r"\btype their numbers\b"), "tick what holds"),
    (re.compile(r"\btype a number from 1 to \d+"), "choose one of the lines"),
    (
        re.compile(r'There is no line "(.*?)"; they go from 1 to \d+'),
        r'"\1" is none of these lines',
    ),
    (
        re.compile(r"add 'u' at the end, and the rest stays unknown"),
        "tick that you did not look for the others",
    ),
)
_BUTTONS = {
    "Enter when ": "Tap when ",
    "Enter as ": "Tap as ",
    "or Enter to ": "or tap Not known to ",
    "or Enter once more": "or tap Not known",
    "Enter if you": "Tap Not known if you",
    "Enter": "Not known",
}
_LEFT_OUT = ("Still to do now:", "= the same as", LEGEND)


@dataclass(frozen=True)
class Button:
    """A way to answer with one tap: ``tap`` is what the form sends."""

    tap: str
    text: str
    detail: str = ""


def worded(text: str) -> str:
    """A sentence of the session without what only a keyboard needs."""
    for typed, said in _SAID_OTHERWISE:
        text = typed.sub(said, text)
    text = _KEYS.sub("", text)
    for key, button in _BUTTONS.items():
        text = text.replace(key, button)
    return text


def paragraphs(blocks: Iterable[Block], waiting: bool = False) -> list[Say]:
    """What was said since the last reply; plans and trends have pages of their own.

    waiting : what cannot wait stands above already, with a button for each
    """
    found = []
    for block in blocks:
        if not isinstance(block, Say) or (waiting and block.mark == "!!"):
            continue
        if block.text and not block.text.startswith(_LEFT_OUT):
            text = worded(block.text).strip()
            if text:
                found.append(Say(text, block.mark, block.level, block.strong))
    return found


def buttons(ask: Ask) -> list[Button]:
    """Answers of one tap."""
    if ask.kind == "enter":
        pairs = CONFIRM.get(ask.follows, CONFIRM_PLAIN)
        return [Button(f"line:{line}", words) for line, words in pairs]
    if ask.follows == "odd":
        return [Button("line:y", "Keep it as it was written")]
    if ask.kind == "one":
        return [Button(f"take:{each.key}", each.label, each.detail) for each in ask.choices]
    return []


def line_of(form: FormData, ask: Ask) -> tuple[str, str] | None:
    """(line for the session, the same in words); None when nothing was filled in."""
    tap = str(form.get("tap", ""))
    words = " ".join(str(form.get("words", "")).split("\n"))[:MOST_WORDS].strip()
    keys = {str(key) for key in form.getlist("choice")}
    if tap == "keep" and ask.kept:
        return "", ask.kept
    if tap == "unknown":
        return "u", "not known"
    if tap == "none":
        return "0", "none of these"
    if tap in ("same", "enough", "why"):
        return {"same": "=", "enough": "e", "why": "?"}[tap], tap
    if tap.startswith("line:") and (ask.kind == "enter" or ask.follows == "odd"):
        line = tap.removeprefix("line:")
        shown = {button.tap: button.text for button in buttons(ask)}
        return (line, shown[tap]) if tap in shown else None
    if tap.startswith("take:"):
        keys = {tap.removeprefix("take:")}
    return _put_together(ask, keys, words, rest=form.get("rest") == "on")


def _put_together(ask: Ask, keys: set[str], words: str, *, rest: bool) -> tuple[str, str] | None:
    taken = [at for at, choice in enumerate(ask.choices, 1) if choice.key in keys]
    if ask.kind == "one":
        taken = taken[:1]
    line = " ".join(map(str, taken))
    shown = ", ".join(ask.choices[at - 1].label for at in taken)
    if words and not (taken and ask.kind == "one"):
        line = f"{line}, {words}" if line else words
        shown = f"{shown}, {words}" if shown else words
    if not line:
        return None
    if rest and ask.kind == "several" and taken:
        line, shown = f"{line}, u", f"{shown}; did not look for the others"
    return line, shown


def asked_before(asked: str, base: RuleBase) -> Ask | None:
    """The question that a page had asked, to read a late answer by; None for what followed one."""
    key, follows, part = f"{asked}||".split("|")[:3]
    question = base.questions.get(key.partition("/")[0])
    if question is None or follows or part:
        return None
    many = question.kind == "signs" or several(question)
    kind = "several" if many else "one" if question.kind == "choice" else "line"
    return Ask(question.id, key, kind, question.text, lines_of(question, base))  # type: ignore[arg-type]


def heading(ask: Ask) -> str:
    """The question as it stands at the top of its page."""
    part = worded(ask.part).rstrip(":")
    text = helped(ask.text, ask)
    return f"{text} {part[:1].upper()}{part[1:]}?" if part and not text else text


def helped(text: str, ask: Ask) -> str:
    """Help with a question, where lines are ticked and not typed."""
    if ask.kind in ("one", "several"):
        button = "None of these" if ask.kind == "several" else "Not known"
        text = text.replace("'0'", f"'{button}'")
    return worded(text)


def hint(ask: Ask) -> str:
    """How to answer by hand, where the session says so; choices have their own words."""
    return worded(ask.hint) if ask.kind == "line" else ""
