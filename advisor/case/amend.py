"""A case written into the text it came from: a person's comments, order and spelling stay."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping
from typing import Any, cast

from advisor.case.model import Case
from advisor.case.toml_text import as_tree, dumps_case, loads_case
from advisor.errors import AdvisorError

Tree = Mapping[str, Any]


def amended(old: str, case: Case) -> str:
    """``case`` as text in which only what changed since ``old`` is another.

    old : text of a case file, as a rule an earlier state of the same case

    Text that is no case, or that cannot be amended so that reading it gives ``case``
    again, is written anew without its comments.
    """
    if "#" not in old:  # nothing of a person's to lose
        return dumps_case(case)
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(old)
        _merge(
            document,
            as_tree(loads_case(old, weighed=False)),
            as_tree(case),
            tomlkit.parse(dumps_case(case)),
        )
        text = tomlkit.dumps(document)
        return text if loads_case(text, weighed=False) == case else dumps_case(case)
    except (AdvisorError, TOMLKitError, ValueError, KeyError, TypeError, IndexError):
        return dumps_case(case)


def _merge(into: MutableMapping[str, Any], before: Tree, after: Tree, fresh: Tree) -> None:
    """Bring one table from ``before`` to ``after``; ``fresh`` holds ``after`` as newly written."""
    for name in before.keys() - after.keys():
        into.pop(name, None)
    for name, value in after.items():
        known, there = before.get(name), into.get(name)
        if known == value and there is not None:
            continue
        if _tables(known) and _tables(value) and _tables(there):
            _merge_entries(there, known, value, fresh[name])
        elif isinstance(known, Mapping) and isinstance(value, Mapping) and _open(there):
            _merge(cast("MutableMapping[str, Any]", there), known, value, fresh[name])
        else:
            into[name] = fresh[name]


def _merge_entries(into: Any, before: Any, after: Any, fresh: Any) -> None:
    """A list of tables such as [[observation]], entry by entry; lots are known by their id."""
    names = [entry.get("id") for entry in before]
    kept = []
    for at, entry in enumerate(after):
        was = names.index(entry["id"]) if entry.get("id", 0) in names else at
        kept.append(was)
        if was >= len(before):
            into.append(fresh[at])
        else:
            _merge(into[was], before[was], entry, fresh[at])
    for was in sorted(set(range(len(before))) - set(kept), reverse=True):
        del into[was]


def _tables(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and all(isinstance(each, Mapping) for each in value)


def _open(value: Any) -> bool:
    """A table over several lines, which can be amended; one in braces is written anew."""
    from tomlkit.items import InlineTable

    return isinstance(value, MutableMapping) and not isinstance(value, InlineTable)
