"""The one direction of flow, checked on the imports of every module."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "advisor"

#: Room -> rooms it may import. What is not named here may not be imported.
ALLOWED = {
    "errors": set(),
    "version": set(),
    "tomltext": {"errors"},
    "water": {"errors"},
    "units": {"errors", "water"},
    "case": {"errors", "units", "tomltext"},
    "bag": {"errors", "water"},
    "conditions": set(),
    "rulebase": {"errors", "conditions", "version", "tomltext"},
    "engine": {"errors"},
    "compiled": {"conditions", "engine", "rulebase"},
    "facts": {"errors", "case", "water", "bag", "units", "conditions", "rulebase"},
    "results": {"conditions", "rulebase"},
    "ranking": {"engine", "results", "rulebase"},
    "amounts": {"errors", "water", "bag", "facts", "rulebase", "results"},
    "soundness": {"amounts", "case", "rulebase"},
    "plan": {"amounts", "engine", "facts", "ranking", "results", "rulebase"},
}
#: Rooms at the end of the flow: they may import anything but each other's screens.
LAST = {"terminal", "report", "__main__", "__init__"}


def room_of(path: Path) -> str:
    first = path.relative_to(ROOT).parts[0]
    return first.removesuffix(".py")


def imports_of(path: Path) -> set[str]:
    rooms = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
            if node.module == "advisor":
                names = [f"advisor.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        rooms |= {name.split(".")[1] for name in names if name.startswith("advisor.")}
    return rooms


MODULES = sorted(ROOT.rglob("*.py"))


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_a_module_imports_only_what_lies_before_it(path: Path) -> None:
    room = room_of(path)
    wrong = imports_of(path) - {room}
    if room in ALLOWED:
        wrong -= ALLOWED[room]
    elif room not in LAST:
        wrong &= LAST
    else:
        wrong = set()
    assert not wrong, f"{room} must not import {sorted(wrong)}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_only_the_engine_touches_durable_rules(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    touched = any(
        isinstance(node, (ast.Import, ast.ImportFrom))
        and any("durable" in name for name in _names(node))
        for node in ast.walk(ast.parse(text))
    )
    assert not touched or room_of(path) == "engine"


def _names(node: ast.Import | ast.ImportFrom) -> list[str]:
    module = getattr(node, "module", None)
    return [module] if module else [alias.name for alias in node.names]
