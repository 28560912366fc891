"""Reading a rule base from its folder of TOML files.

The result is one frozen :class:`RuleBase`. Whatever is wrong is said in
sentences that name the file, the entry and the nearest known word; all faults
of one pass are reported together.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from advisor.errors import AdvisorError
from advisor.rulebase import compiled, conditions, engine, entries, kinds, works
from advisor.rulebase.files import RULE_FILE, SETTINGS_FILE, read_texts
from advisor.rulebase.kept import Kept, KeptFile, as_line
from advisor.rulebase.rule_faults import entry_faults, raise_faults, scale_faults
from advisor.rulebase.shape import shape_fault
from advisor.rulebase.species import index_of, injuries_by_kind, keys_of
from advisor.wording.nearest import nearest
from advisor.wording.places import shown
from advisor.wording.toml_file import MOST_SHOWN, parse

#: Kind of table in the files -> model and the attribute that holds it.
KINDS: dict[str, tuple[type[entries.Entry], str]] = {
    "source": (works.Source, "sources"),
    "passage": (works.Passage, "passages"),
    "limit": (entries.Limit, "limits"),
    "sign": (entries.Sign, "signs"),
    "history": (entries.HistoryItem, "history"),
    "quantity": (entries.QuantityEntry, "quantities"),
    "trait": (kinds.Trait, "traits"),
    "group": (kinds.Group, "groups"),
    "species": (kinds.Species, "species"),
    "injury": (kinds.Injury, "injuries"),
    "shared_name": (kinds.SharedName, "shared_names"),
    "finding": (entries.Finding, "findings"),
    "cause": (entries.Cause, "causes"),
    "rule": (entries.Rule, "rules"),
    "action": (entries.Action, "actions"),
    "fit": (entries.Fit, "fits"),
    "move": (entries.Move, "moves"),
    "doubt": (entries.Doubt, "doubts"),
    "caution": (entries.Caution, "cautions"),
    "vet": (entries.VetNote, "vet_notes"),
    "notice": (entries.Notice, "notices"),
    "question": (entries.Question, "questions"),
}


#: Fields of entries that hold conditions with reasons and sources of their own.
GROUNDS = ("forbidden", "unfit", "calls", "bars")
#: What follows from the fit of all dimensions: the water itself, the step into it, both.
OVERALL = ("water", "step", "release")


@dataclass(frozen=True)
class RuleBase:
    """All fish knowledge, read and checked. Entries are kept by id, in the order of the files."""

    folder: Path
    fingerprint: str
    settings: entries.Settings
    sources: Mapping[str, works.Source] = field(default_factory=dict)
    passages: Mapping[str, works.Passage] = field(default_factory=dict)
    limits: Mapping[str, entries.Limit] = field(default_factory=dict)
    signs: Mapping[str, entries.Sign] = field(default_factory=dict)
    history: Mapping[str, entries.HistoryItem] = field(default_factory=dict)
    quantities: Mapping[str, entries.QuantityEntry] = field(default_factory=dict)
    traits: Mapping[str, kinds.Trait] = field(default_factory=dict)
    groups: Mapping[str, kinds.Group] = field(default_factory=dict)
    species: Mapping[str, kinds.Species] = field(default_factory=dict)
    injuries: Mapping[str, kinds.Injury] = field(default_factory=dict)
    shared_names: Mapping[str, kinds.SharedName] = field(default_factory=dict)
    findings: Mapping[str, entries.Finding] = field(default_factory=dict)
    causes: Mapping[str, entries.Cause] = field(default_factory=dict)
    rules: Mapping[str, entries.Rule] = field(default_factory=dict)
    actions: Mapping[str, entries.Action] = field(default_factory=dict)
    fits: Mapping[str, entries.Fit] = field(default_factory=dict)
    moves: Mapping[str, entries.Move] = field(default_factory=dict)
    doubts: Mapping[str, entries.Doubt] = field(default_factory=dict)
    cautions: Mapping[str, entries.Caution] = field(default_factory=dict)
    vet_notes: Mapping[str, entries.VetNote] = field(default_factory=dict)
    notices: Mapping[str, entries.Notice] = field(default_factory=dict)
    questions: Mapping[str, entries.Question] = field(default_factory=dict)

    @property
    def version(self) -> str:
        return self.settings.version

    def passage(self, cited: works.Citation) -> works.Passage | None:
        """What the cited place says: its own passage, else the one that answers for the work."""
        own = self.passages.get(works.passage_key(cited.ref, cited.at))
        return own or self.passages.get(cited.ref)

    @cached_property
    def species_index(self) -> Mapping[str, kinds.Species]:
        """Species by every name they go under, in plain letters."""
        return index_of(self.species.values())

    @cached_property
    def injury_index(self) -> Mapping[str, Mapping[str, str]]:
        """Ids of injury limits by group or species, then by name of the limit."""
        return injuries_by_kind(self.injuries.values())

    @cached_property
    def compiled(self) -> compiled.Compiled:
        """Every condition as the engine runs it."""
        return compiled.compile_rules(self)

    @cached_property
    def kin_index(self) -> Mapping[str, str]:
        """Group ids by names of kinds the species table lacks, in plain letters."""
        return keys_of((group.id, group.kin) for group in self.groups.values())

    @cached_property
    def shared_index(self) -> Mapping[str, str]:
        """Ids of shared names by name, in plain letters."""
        return keys_of((each.id, each.names) for each in self.shared_names.values())

    @cached_property
    def names(self) -> conditions.Names:
        """The words conditions may use."""
        by_kind = {
            k: frozenset(q.id for q in self.quantities.values() if q.kind == k)
            for k in ("reading", "computed")
        }
        return conditions.Names(
            signs=frozenset(self.signs),
            readings=by_kind["reading"],
            computed=by_kind["computed"],
            history={h.id: None if h.number else h.answers for h in self.history.values()},
            traits=frozenset(self.traits),
            findings=frozenset(self.findings),
            causes=frozenset(self.causes),
            limits={limit.id: limit.value for limit in self.limits.values()},
            fits=frozenset((*self.fits, *OVERALL)),
            moves=frozenset(self.moves),
            doubts=frozenset(self.doubts),
        )


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
    raise_faults(faults)
    assert settings is not None  # its file is there, and had no fault
    base = RuleBase(folder=where, fingerprint=fingerprint, settings=settings, **tables)
    raise_faults(reference_faults(base))
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
        str(module.__file__) for module in (works, entries, kinds, conditions, compiled, engine)
    )
    return KeptFile("rules", fingerprint, (__file__, index_of.__code__.co_filename, *code))


def _entry(entry_model: type[entries.Entry], line: str) -> Any:
    return _unchecked(entry_model, json.loads(line))


#: Fields that hold entries of their own, for rebuilding them without validation.
_NESTED: dict[str, type[entries.Entry]] = {
    "source": works.Citation,
    "forbidden": entries.Forbid,
    "unfit": entries.Unfit,
    "calls": entries.Call,
    "bars": entries.Bar,
    "amount": entries.Amount,
}


def _unchecked(entry_model: type[entries.Entry], item: dict[str, Any]) -> Any:
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


def reference_faults(base: RuleBase) -> list[str]:
    """Names that lead nowhere: sources, causes, cautions, limits and words in conditions."""
    faults: list[str] = []

    def missing(
        entry: Any, kind: str, what: str, wanted: Iterable[str], known: Mapping[str, Any]
    ) -> None:
        for word in wanted:
            if word not in known:
                # faults beyond those shown are only counted; nearest names take time
                near = nearest(word, known) if len(faults) < MOST_SHOWN else ""
                faults.append(
                    f"rules/{entry.file}, {kind} {entry.id}: no {what} {shown(word)}{near}"
                )

    sources = {**base.sources, "bench-practice": None, "judgement": None}
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            cited = [c.ref for c in getattr(entry, "source", ())]
            cited += [c.ref for name in GROUNDS for g in getattr(entry, name, ()) for c in g.source]
            missing(entry, kind, "source", cited, sources)
            missing(entry, kind, "cause", getattr(entry, "needed_for", ()), base.causes)
            traits = (*getattr(entry, "traits", ()), *getattr(entry, "lacks", ()))
            missing(entry, kind, "trait", traits, base.traits)
            for later, condition in conditions_of(entry):
                said = shape_fault(condition) or _condition_fault(condition, base, later)
                if said:
                    faults.append(f"rules/{entry.file}, {kind} {entry.id}: {said}")
    for passage in base.passages.values():
        missing(passage, "passage", "source", (passage.ref,), base.sources)
    for rule in base.rules.values():
        if (rule.supports is None) == (rule.opposes is None):
            faults.append(
                f"rules/{rule.file}, rule {rule.id}: give supports or opposes, exactly one"
            )
        missing(rule, "rule", "cause", filter(None, (rule.supports, rule.opposes)), base.causes)
        missing(rule, "rule", "rule", rule.counts_with, base.rules)
    for action in base.actions.values():
        missing(action, "action", "caution", action.cautions, base.cautions)
        missing(action, "action", "action", action.undoes, base.actions)
    for fit in base.fits.values():
        missing(fit, "fit", "reading", fit.reads, base.quantities)
        missing(fit, "fit", "history", fit.asks, base.history)
    for doubt in base.doubts.values():
        missing(doubt, "doubt", "reading", doubt.readings, base.quantities)
    for cause in base.causes.values():
        for phase in sorted(set(conditions.PHASES) - cause.prior.keys()):
            faults.append(f"rules/{cause.file}, cause {cause.id}: prior lacks {phase}")
    for species in base.species.values():
        missing(species, "species", "group", (species.group,), base.groups)
    known = {**base.groups, **base.species}
    for injury in base.injuries.values():
        missing(injury, "injury", "group", injury.groups, base.groups)
        missing(injury, "injury", "species", injury.species, base.species)
        missing(injury, "injury", "group or species", injury.stretched_to, known)
    for shared in base.shared_names.values():
        missing(shared, "shared_name", "species", shared.kinds, base.species)
    for question in base.questions.values():
        missing(question, "question", "sign", question.signs, base.signs)
        missing(question, "question", "reading", question.reading, base.quantities)
        missing(question, "question", "history", filter(None, (question.history,)), base.history)
    return faults or _cycles(base)


def _condition_fault(condition: entries.Condition, base: RuleBase, later: bool) -> str | None:
    try:
        conditions.branches(conditions.read(condition, base.names, later=later))
    except conditions.ConditionFault as fault:
        return str(fault)
    return None


def conditions_of(entry: Any) -> Iterable[tuple[bool, entries.Condition]]:
    """(may use words known only after ranking, condition) for every condition of an entry."""
    later = isinstance(
        entry,
        (
            entries.Action,
            entries.Move,
            entries.Caution,
            entries.VetNote,
            entries.Notice,
            entries.Question,
        ),
    )
    for name in ("when", "requires", "ask_when", "fits", "kills_when", "emergency_when"):
        condition = getattr(entry, name, None)
        if isinstance(condition, dict):
            yield later, condition
    for grounds in GROUNDS:
        for ground in getattr(entry, grounds, ()):
            yield later, ground.when


def _cycles(base: RuleBase) -> list[str]:
    """Findings that rest on themselves."""
    uses = {}
    for finding in base.findings.values():
        try:
            node = conditions.read(finding.when, base.names)
        except conditions.ConditionFault:
            continue
        uses[finding.id] = {leaf.name for leaf in conditions.leaves(node) if leaf.kind == "finding"}
    faults: list[str] = []
    done: set[str] = set()
    while ready := [f for f in uses if f not in done and uses[f] & uses.keys() <= done]:
        done.update(ready)
    for left in sorted(uses.keys() - done):
        faults.append(
            f"rules/{base.findings[left].file}, finding {left}: rests on itself through "
            + ", ".join(sorted(uses[left] - done))
        )
    return faults
