"""Nothing on a page speaks of a keyboard: every sentence of the session is said for buttons."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import advisor.ask
from advisor.ask.records import Ask
from advisor.page.questions import buttons, helped, line_of, worded
from advisor.rulebase import RuleBase
from tests.page.conftest import Room, taps

#: A key named as such: "b mends it", "y keeps it", "type their numbers", "they go from 1 to 5".
KEY = re.compile(
    r"(?<![\w'])[b-z] (?:mends|keeps|takes|closes|ends|stops|makes|leaves|skips)\b"
    r"|\btype (?:a|their|its|the) numbers?\b|\bfrom 1 to \d|\bEnter\b|add 'u'"
)


def sentences() -> list[str]:
    """Texts written in advisor/ask that name a key, with numbers where values are put in."""
    found = []
    for path in sorted(Path(advisor.ask.__file__).parent.rglob("*.py")):
        parts: set[int] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            text = ""
            if isinstance(node, ast.JoinedStr):
                parts |= {id(each) for each in node.values}
                text = "".join(
                    str(each.value) if isinstance(each, ast.Constant) else "7"
                    for each in node.values
                )
            elif (
                isinstance(node, ast.Constant)
                and isinstance(node.value, str)
                and id(node) not in parts
            ):
                text = node.value
            if re.search(
                r"(?<![\w'])[b-z] mends|y keeps|y takes|type (?:a|their) num|go from", text
            ):
                found.append(text)
    return found


def test_what_names_a_key_is_said_otherwise() -> None:
    assert len(sentences()) >= 6
    for text in sentences():
        assert not KEY.search(worded(text)), text


def test_help_speaks_of_the_buttons_that_are_there(rule_base: RuleBase) -> None:
    for question in rule_base.questions.values():
        for kind in ("several", "one"):
            ask = Ask(question.id, question.id, kind, question.text)  # type: ignore[arg-type]
            said = helped(question.help, ask)
            assert "'0'" not in said and not KEY.search(said), said


@pytest.fixture
def rule_base(room: Room) -> RuleBase:
    return room.reasoner.base


def test_an_odd_value_is_kept_by_a_button() -> None:
    ask = Ask("ph", "ph", "line", "9.9 is high. y keeps it; or type it again.", follows="odd")
    (button,) = buttons(ask)

    class Form(dict[str, str]):
        def getlist(self, name: str) -> list[str]:
            return []

    assert line_of(Form(tap=button.tap), ask) == ("y", button.text)  # type: ignore[arg-type]
    assert line_of(Form(tap="go", words="8.9"), ask) == ("8.9", "8.9")  # type: ignore[arg-type]


def test_an_odd_value_is_kept_on_the_page(room: Room) -> None:
    phone = room.phone()
    phone.post("/start")
    phone.answer(tap=taps(phone)[2])
    while not phone.asked.startswith("thermometer"):
        phone.answer(tap="unknown" if "unknown" in taps(phone) else taps(phone)[0])
    phone.answer(words="44", tap="go")
    assert "Keep it" in phone.page and "line:y" in taps(phone)
    phone.answer(tap="line:y")
    assert not phone.asked.startswith("thermometer|odd")
