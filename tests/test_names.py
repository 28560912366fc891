"""A name leads to one place: no file name in two rooms, no class name twice."""

from __future__ import annotations

import ast
from collections import defaultdict
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "advisor"
MODULES = sorted(ROOT.rglob("*.py"))

#: Files that share a name because they say the same thing: a command and the part it runs, a view
#: of the page and what it shows.
SAME_THING = {"__init__", "assess", "watch", "why"}


def test_no_file_name_stands_in_two_places() -> None:
    places = defaultdict(list)
    for path in MODULES:
        places[path.stem].append(path.relative_to(ROOT).as_posix())
    twice = {n: p for n, p in places.items() if len(p) > 1 and n not in SAME_THING}
    assert not twice


def test_every_shared_name_is_still_shared() -> None:
    stems = [path.stem for path in MODULES]
    assert {name for name in SAME_THING if stems.count(name) < 2} == set()


def test_no_class_name_stands_twice() -> None:
    places = defaultdict(list)
    for path in MODULES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places[node.name].append(f"{path.relative_to(ROOT).as_posix()}:{node.lineno}")
    assert not {n: p for n, p in places.items() if len(p) > 1}


@pytest.mark.parametrize("package", ["advisor", "advisor.bag", "advisor.units"])
def test_a_name_a_type_checker_sees_is_there_when_it_is_asked_for(package: str) -> None:
    """Packages that import their parts late list them twice: for the checker and for Python."""
    module = import_module(package)
    assert module.__file__ is not None
    (block,) = (
        node
        for node in ast.parse(Path(module.__file__).read_text(encoding="utf-8")).body
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
    )
    seen = [
        (node.module, alias.name)
        for node in block.body
        if isinstance(node, ast.ImportFrom) and node.module is not None
        for alias in node.names
    ]
    assert dir(module) == sorted(name for _, name in seen)
    for home, name in seen:
        assert getattr(module, name) is getattr(import_module(home), name)
    with pytest.raises(AttributeError, match="no attribute 'not_there'"):
        module.not_there  # noqa: B018
