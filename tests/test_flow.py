"""The one direction of flow, checked on the imports of every module."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "advisor"

#: Every room and the rooms it may import; what is not named here may not be imported.
#: ``errors`` (the one error meant for a person), ``version``, ``first_use`` (parts imported when
#: they are asked for) and ``wording`` (how a number or a time is written, which faults of every
#: room need) may be met everywhere; they import nothing.
ALLOWED: dict[str, set[str]] = {
    "errors": set(),
    "version": set(),
    "first_use": set(),
    "water": set(),
    "units": {"water"},
    "wording": set(),
    "case": {"units"},
    "bag": {"water"},
    "rulebase": {"units"},
    "advice": {"case", "units", "water", "bag", "rulebase"},
    "explain": {"case", "units", "water", "bag", "rulebase", "advice"},
    "ask": {"case", "units", "water", "bag", "rulebase", "advice"},
    "screens": {*("case", "units", "water", "bag", "rulebase", "advice", "explain", "ask")},
    "papers": {*("case", "units", "water", "bag", "rulebase", "advice", "explain", "ask")},
    # the page shows and prints papers; it makes none itself
    "page": {*("case", "units", "water", "bag", "rulebase", "advice", "explain", "ask", "papers")},
}
ANYWHERE = {"errors", "version", "first_use", "wording"}
#: The two ways in: ``python -m advisor`` opens the screens, ``import advisor`` the parts it names.
DOORS = {
    "__main__": {"screens"},
    "__init__": {"case", "rulebase", "advice", "ask"},
}
#: The one file that may import durable-rules.
ENGINE = "rulebase/engine.py"


def room_of(path: Path) -> str:
    first = path.relative_to(ROOT).parts[0]
    return first.removesuffix(".py")


def imports_of(path: Path) -> set[str]:
    """Rooms that a module imports, inside functions and under TYPE_CHECKING too."""
    rooms = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = []
        if isinstance(node, ast.ImportFrom) and node.level:
            names = [f"advisor.{room_of(path)}"]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
            if node.module == "advisor":
                names = [f"advisor.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        rooms |= {name.split(".")[1] for name in names if name.startswith("advisor.")}
    return rooms


MODULES = sorted(p for p in ROOT.rglob("*.py*") if p.suffix in (".py", ".pyi"))


def test_every_room_is_listed() -> None:
    assert {room_of(path) for path in MODULES} == set(ALLOWED) | set(DOORS)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_a_module_imports_only_what_lies_before_it(path: Path) -> None:
    room = room_of(path)
    wrong = imports_of(path) - {room} - ANYWHERE - {**ALLOWED, **DOORS}[room]
    assert not wrong, f"{room} must not import {sorted(wrong)}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_only_the_engine_touches_durable_rules(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    touched = any(
        isinstance(node, (ast.Import, ast.ImportFrom))
        and any("durable" in name for name in _names(node))
        for node in ast.walk(ast.parse(text))
    )
    assert not touched or path.relative_to(ROOT).as_posix() == ENGINE


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Inside functions too; only what is imported for a type's name does not count."""
    met = {path: _modules_met(path) for path in MODULES if path.suffix == ".py"}
    left = dict(met)
    while done := [path for path, others in left.items() if not others & set(left)]:
        for path in done:
            del left[path]
    circles = {
        p.relative_to(ROOT).as_posix(): sorted(
            other.relative_to(ROOT).as_posix() for other in others & set(left)
        )
        for p, others in left.items()
    }
    assert not circles


def _modules_met(path: Path) -> set[Path]:
    """Files of ours that a module imports, those it lies in apart."""
    met: set[Path] = set()
    for node in _run_time(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and not node.level:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        else:
            continue
        met |= {file for file in map(_file_of, names) if file is not None}
    return met - {path}


def _run_time(tree: ast.AST) -> Iterator[ast.AST]:
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        yield node
        yield from _run_time(node)


def _file_of(name: str) -> Path | None:
    """The file of a module, or of the one that holds the name."""
    first, *parts = name.split(".")
    if first != "advisor":
        return None
    for length in (len(parts), len(parts) - 1):
        place = ROOT.joinpath(*parts[:length])
        for file in (place.with_suffix(".py") if length > 0 else place, place / "__init__.py"):
            if file.is_file():
                return file
    return None


def _names(node: ast.Import | ast.ImportFrom) -> list[str]:
    module = getattr(node, "module", None)
    return [module] if module else [alias.name for alias in node.names]
