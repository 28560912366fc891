"""A name leads to one place: no file name in two rooms, no class name twice."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

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
