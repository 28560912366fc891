"""The words that wild deliveries are drawn from, frozen, so that a new sign shifts no sample.

``python -m tests.laws --write-words`` takes the vocabulary as it stands now; every wild sample
is another one after that.
"""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import tomli_w

FILE = Path(__file__).with_name("wild_words.toml")


@cache
def frozen_words() -> Any:
    """What ``delivery`` asks of a rule base: signs, history items, groups and species by name."""
    kept = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return SimpleNamespace(
        signs=dict.fromkeys(kept["signs"]),
        groups=dict.fromkeys(kept["groups"]),
        species={name: SimpleNamespace(scientific=name) for name in kept["species"]},
        history={
            item["id"]: SimpleNamespace(
                id=item["id"],
                field=item.get("field"),
                answers=tuple(item["answers"]),
                number=item.get("number", False),
            )
            for item in kept["history"]
        },
    )


def write() -> None:
    """Freeze the words of the rule base as it stands."""
    from advisor.rulebase import load_rulebase

    base = load_rulebase()
    kept = {
        "signs": list(base.signs),
        "groups": list(base.groups),
        "species": [kind.scientific for kind in base.species.values()],
        "history": [_item(item) for item in base.history.values()],
    }
    FILE.write_text(tomli_w.dumps(kept), encoding="utf-8")


def _item(item: Any) -> dict[str, Any]:
    told: dict[str, Any] = {"id": item.id, "answers": list(item.answers)}
    return (
        told
        | ({"field": item.field} if item.field else {})
        | ({"number": True} if item.number else {})
    )
