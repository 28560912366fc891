"""A part of the shipped rule base that stands by itself: small enough to load by the thousand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomli_w

from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.base import KINDS
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.references import conditions_of

#: What the sample is grown from; everything these name comes along.
CAUSE, RULES = "nitrite", 10
STARTS = (
    ("action", ("salt_against_nitrite",)),
    ("vet", 1),
    ("notice", 1),
    ("question", 2),
    ("species", ("paracheirodon_axelrodi", "xiphophorus_maculatus")),
    ("caution", 1),
)
#: Kind of entry -> file of the sample it is written to.
FILES = {
    "source": "sources.toml",
    "rule": "causes/rules.toml",
    "cause": "causes/causes.toml",
    "action": "actions.toml",
    "caution": "actions.toml",
    "vet": "actions.toml",
    "notice": "actions.toml",
    "question": "questions.toml",
}


def sample_files(base: RuleBase) -> dict[str, bytes]:
    """The sample as files by name, each sound TOML; together they load without a fault."""
    tables = {kind: getattr(base, attribute) for kind, (_, attribute) in KINDS.items()}
    taken: dict[str, dict[str, Any]] = {kind: {} for kind in KINDS}
    wanted = list(_starts(base, tables))
    while wanted:
        kind, name = wanted.pop()
        if name in tables[kind] and name not in taken[kind]:
            taken[kind][name] = tables[kind][name]
            wanted += _named_by(kind, tables[kind][name], base)
    files: dict[str, dict[str, Any]] = {}
    for kind, entries in taken.items():
        dumped = [entry.model_dump(mode="json", exclude_unset=True) for entry in entries.values()]
        for entry in dumped:
            del entry["file"]
        if dumped:
            files.setdefault(FILES.get(kind, "words.toml"), {})[kind] = dumped
    settings = base.settings.model_dump(exclude={"file"})
    return {"rulebase.toml": tomli_w.dumps(settings).encode()} | {
        name: tomli_w.dumps(content).encode() for name, content in files.items()
    }


def _starts(base: RuleBase, tables: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for kind, which in STARTS:
        names = tuple(tables[kind])[:which] if isinstance(which, int) else which
        yield from ((kind, name) for name in names)
    rules = [r.id for r in base.rules.values() if CAUSE in (r.supports, r.opposes)]
    yield from (("rule", name) for name in rules[:RULES])


def _named_by(kind: str, entry: Any, base: RuleBase) -> Iterator[tuple[str, str]]:
    """Everything an entry must find to be whole."""
    for citation in getattr(entry, "source", ()):
        yield "source", citation.ref
    for forbid in getattr(entry, "forbidden", ()):
        yield from (("source", citation.ref) for citation in forbid.source)
    for field, what in (
        ("needed_for", "cause"),
        ("traits", "trait"),
        ("cautions", "caution"),
        ("undoes", "action"),
        ("signs", "sign"),
        ("ends", "sign"),
        ("reading", "quantity"),
    ):
        yield from ((what, name) for name in getattr(entry, field, ()))
    for field, what in (
        ("supports", "cause"),
        ("opposes", "cause"),
        ("history", "history"),
        ("group", "group"),
    ):
        if name := getattr(entry, field, None):
            yield what, name
    if amount := getattr(entry, "amount", None):
        yield from (("quantity", name) for name in amount.given.values() if isinstance(name, str))
    for later, condition in conditions_of(entry):
        for leaf in conditions.leaves(read_condition(condition, base.names, later=later)):
            what, _, name = leaf.name.rpartition(":")
            plain = {"standing": "cause", "first": "cause"}.get(leaf.kind, what or leaf.kind)
            yield (plain if plain in KINDS else "quantity"), name
            if leaf.limit:
                yield "limit", leaf.limit


def write_files(files: dict[str, bytes], folder: Path) -> None:
    """Write the files below ``folder``."""
    for name, raw in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)
