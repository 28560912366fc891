"""The form of a case file, as JSON Schema: for documentation, editors and error messages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

from pydantic import BaseModel

from advisor.case.model import Case, Part
from advisor.case.readings import RANGES, Reading, Readings

Node = dict[str, Any]


def case_schema() -> Node:
    """JSON Schema (draft 2020-12) of a case as it stands in a file.

    Made from the model, with the three ways of writing a reading spelled out:
    a number in the stored unit, text with its own unit, or a table.
    """
    parts: list[type[BaseModel]] = [*Part.__subclasses__(), Readings, Reading]
    for part in parts:
        part.model_rebuild()  # pydantic up to 2.12 does not build what a default is written with
    schema = Case.model_json_schema()
    readings = schema["$defs"]["Readings"]["properties"]
    for name, (low, high) in RANGES.items():
        readings[name] = {
            "anyOf": [
                {"type": "number", "minimum": low, "maximum": high},
                {"type": "string", "description": 'a number with its unit, such as "78 F"'},
                {"$ref": "#/$defs/Reading"},
            ]
        }
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


@cache
def _schema() -> Node:
    return case_schema()


def allowed(loc: Sequence[str | int]) -> list[Node]:
    """What may stand at a place of a case: each kind of value as one schema, null left out.

    loc : names, and positions in lists counted from 0: ("observation", 1, "tank", "ph").
          Empty for names the case does not have.
    """
    here = [_schema()]
    for part in loc:
        below = (_below(node, part) for node in here)
        here = [kind for node in below if node is not None for kind in _kinds(node)]
    return here


def names(nodes: Sequence[Node]) -> list[str]:
    """The names allowed in a table at this place."""
    return [name for node in nodes for name in node.get("properties", ())]


def all_places(loc: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every place of a case that has a name, lists entered at their first entry."""
    for node in allowed(loc):
        if node.get("type") == "array":
            yield from all_places((*loc, 0))
        for name in node.get("properties", ()) if node.get("title") != "Reading" else ():
            yield (*loc, name)
            yield from all_places((*loc, name))


def _below(node: Node, part: str | int) -> Node | None:
    if isinstance(part, int):
        found = node.get("items")
    else:
        found = node.get("properties", {}).get(part, node.get("additionalProperties"))
    return found if isinstance(found, dict) else None


def _kinds(node: Node) -> list[Node]:
    if "$ref" in node:
        return _kinds(_schema()["$defs"][node["$ref"].rsplit("/", 1)[1]])
    for joined in ("anyOf", "allOf"):  # older pydantic wraps a reference with a default in allOf
        if joined in node:
            return [kind for one in node[joined] for kind in _kinds(one)]
    return [] if node.get("type") == "null" else [node]
