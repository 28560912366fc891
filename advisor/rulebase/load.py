"""Reading a rule base from its folder of TOML files.

The result is one frozen :class:`RuleBase`. Whatever is wrong is said in
sentences that name the file, the entry and the nearest known word; all faults
of one pass are reported together.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from advisor.errors import AdvisorError
from advisor.rulebase import base as held
from advisor.rulebase import (
    compiled,
    condition_text,
    conditions,
    entries,
    fits_and_moves,
    kinds,
    rule_layout,
    works,
)
from advisor.rulebase.base import KINDS, RuleBase
from advisor.rulebase.files import RULE_FILE, SETTINGS_FILE, read_texts
from advisor.rulebase.kept import Kept, KeptFile, as_line
from advisor.rulebase.name_index import index_of
from advisor.rulebase.references import reference_faults
from advisor.rulebase.rule_faults import entry_faults, scale_faults
from advisor.wording.nearest import nearest
from advisor.wording.toml_file import parse, raise_faults


def default_folder() -> Path:
    """Where the shipped rules are: beside the package when installed, beside it in a checkout."""
    inside = Path(__file__).parents[1] / "rules"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "rules"


def load_rulebase(folder: Path | str | None = None) -> RuleBase:
    """Read every ``*.toml`` under ``folder`` (default: the shipped rules).

    Raises AdvisorError or ManyFaults with one sentence per fault.
    """
    where = Path(folder) if folder is not None else default_folder()
    texts = read_texts(where)
    fingerprint = _fingerprint(texts)
    base = _from_cache(where, fingerprint)
    if base is None:
        base = _from_texts(where, texts, fingerprint)
        _kept(fingerprint).write(_as_lines(base))
    return base


def kept_differs(folder: Path | str | None = None) -> bool:
    """Whether what is kept of these rules is believed and is not what the files say."""
    where = Path(folder) if folder is not None else default_folder()
    texts = read_texts(where)
    fingerprint = _fingerprint(texts)
    kept = _kept(fingerprint).read()
    return kept is not None and kept != _as_lines(_from_texts(where, texts, fingerprint))


def _from_texts(where: Path, texts: Mapping[str, str], fingerprint: str) -> RuleBase:
    """Read, validate and cross-check the files; every fault of a pass is reported."""
    faults: list[str] = []
    tables: dict[str, dict[str, Any]] = {attribute: {} for _, attribute in KINDS.values()}
    settings: entries.Settings | None = None
    contents: dict[str, Any] = {}
    for name, text in texts.items():
        try:
            contents[name] = _unwrapped(parse(text, f"rules/{name}", RULE_FILE))
        except AdvisorError as fault:
            faults.append(str(fault))
    read = works.basis_by_passage(contents.values())
    for name, unread in contents.items():
        content = works.with_basis(unread, read)
        if name == SETTINGS_FILE:
            settings = _settings(content, name, faults)
            continue
        for kind, items in content.items():
            _take(kind, items, name, tables, faults)
    raise_faults(faults, "rules")
    assert settings is not None  # its file is there, and had no fault
    base = RuleBase(folder=where, fingerprint=fingerprint, settings=settings, **tables)
    raise_faults(reference_faults(base), "rules")
    return base


#: Properties of a rule base that are kept as they were worked out.
_INDEXES = ("injury_index", "kin_index", "shared_index")


def _as_lines(base: RuleBase) -> list[str]:
    """A head, names of species, the other indexes, every entry, what is compiled (JSON)."""
    tables = {attribute: getattr(base, attribute) for _, attribute in KINDS.values()}
    head = {
        "settings": base.settings.model_dump(mode="json", exclude_unset=True),
        "ids": {attribute: list(entries) for attribute, entries in tables.items()},
    }
    names = {name: species.id for name, species in base.species_index.items()}
    indexes = {name: dict(getattr(base, name)) for name in _INDEXES}
    entries = (entry for table in tables.values() for entry in table.values())
    dumped = (entry.model_dump(mode="json", exclude_unset=True) for entry in entries)
    own = [as_line(each) for each in (head, names, indexes, *dumped)]
    return own + compiled.as_lines(base.compiled)


def _from_cache(where: Path, fingerprint: str) -> RuleBase | None:
    """The same rule base from its kept form; it was checked when it was stored.

    Entries are read from their lines when they are first asked for.
    """
    lines = _kept(fingerprint).read()
    if lines is None:
        return None
    head = json.loads(lines[0])
    tables: dict[str, Any] = {}
    start = 3
    for entry_model, attribute in KINDS.values():
        ids = head["ids"][attribute]
        kept = dict(zip(ids, lines[start:], strict=False))
        tables[attribute] = Kept(kept, partial(_entry, entry_model))
        start += len(ids)
    settings = _unchecked(entries.Settings, head["settings"])
    base = RuleBase(folder=where, fingerprint=fingerprint, settings=settings, **tables)
    # what the properties would hold after working it out from every species and condition
    vars(base)["species_index"] = Kept(json.loads(lines[1]), base.species.__getitem__)
    vars(base)["compiled"] = compiled.of_lines(lines[start:])
    vars(base).update(json.loads(lines[2]))
    return base


def _kept(fingerprint: str) -> KeptFile:
    code = (
        str(m.__file__)
        for m in (
            held,
            works,
            entries,
            kinds,
            conditions,
            condition_text,
            compiled,
            rule_layout,
        )
    )
    return KeptFile("rules", fingerprint, (__file__, index_of.__code__.co_filename, *code))


def _entry(entry_model: type[works.Entry], line: str) -> Any:
    return _unchecked(entry_model, json.loads(line))


#: Fields that hold entries of their own, for rebuilding them without validation.
_NESTED: dict[str, type[works.Entry]] = {
    "source": works.Citation,
    "forbidden": entries.Forbid,
    "unfit": fits_and_moves.Unfit,
    "calls": fits_and_moves.Call,
    "bars": fits_and_moves.Bar,
    "amount": entries.Amount,
    "beside": entries.Figure,
}


def _unchecked(entry_model: type[works.Entry], item: dict[str, Any]) -> Any:
    """An entry from stored values known to be good; lists become the tuples they were."""
    values: dict[str, Any] = {}
    for name, value in item.items():
        nested = _NESTED.get(name)
        if nested is not None and isinstance(value, list):
            values[name] = tuple(_unchecked(nested, each) for each in value)
        elif nested is not None and isinstance(value, dict):
            values[name] = _unchecked(nested, value)
        elif isinstance(value, list):
            values[name] = tuple(value)
        else:
            values[name] = value
    return entry_model.model_construct(**values)


def _fingerprint(texts: Mapping[str, str]) -> str:
    digest = hashlib.sha256()
    for name in sorted(texts):
        digest.update(name.encode() + b"\0" + texts[name].encode() + b"\0")
    return digest.hexdigest()[:16]


def _unwrapped(value: Any) -> Any:
    """Long texts are wrapped in the files; line ends there carry no meaning."""
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, list):
        return [_unwrapped(each) for each in value]
    if isinstance(value, dict):
        return {key: _unwrapped(each) for key, each in value.items()}
    return value


def _settings(content: Any, name: str, faults: list[str]) -> entries.Settings | None:
    try:
        settings = entries.Settings.model_validate({**content, "file": name})
    except ValidationError as error:
        faults.extend(entry_faults(error, f"rules/{name}", entries.Settings))
        return None
    faults.extend(f"rules/{name}: {said}" for said in scale_faults(settings))
    return settings


def _take(
    kind: str, items: Any, name: str, tables: dict[str, dict[str, Any]], faults: list[str]
) -> None:
    if kind not in KINDS:
        faults.append(f'rules/{name}: no kind of entry "{kind}"{nearest(kind, KINDS)}')
        return
    if not isinstance(items, list):
        faults.append(f"rules/{name}: write [[{kind}]] with double brackets")
        return
    entry_model, attribute = KINDS[kind]
    for at, item in enumerate(items, 1):
        label = item.get("id") if isinstance(item, dict) else None
        where = f"rules/{name}, {kind} {label[:80] if isinstance(label, str) else f'no. {at}'}"
        try:
            entry: Any = entry_model.model_validate(
                {**item, "file": name} if isinstance(item, dict) else item
            )
        except ValidationError as error:
            faults.extend(entry_faults(error, where, entry_model))
            continue
        if entry.id in tables[attribute]:
            faults.append(
                f"{where}: the id is used twice, first in rules/{tables[attribute][entry.id].file}"
            )
            continue
        tables[attribute][entry.id] = entry
