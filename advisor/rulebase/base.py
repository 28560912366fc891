"""The rule base as it is held: every kind of entry by id, and what is looked up in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from advisor.rulebase import compiled, entries, fits_and_moves, kinds, verdicts, works
from advisor.rulebase.condition_text import Names
from advisor.rulebase.name_index import index_of, injuries_by_kind, keys_of

#: Kind of table in the files -> model and the attribute that holds it.
KINDS: dict[str, tuple[type[works.Entry], str]] = {
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
    "fit": (fits_and_moves.Fit, "fits"),
    "move": (fits_and_moves.Move, "moves"),
    "doubt": (entries.Doubt, "doubts"),
    "caution": (entries.Caution, "cautions"),
    "vet": (entries.VetNote, "vet_notes"),
    "notice": (entries.Notice, "notices"),
    "question": (entries.Question, "questions"),
    "verdict": (verdicts.Verdict, "verdicts"),
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
    fits: Mapping[str, fits_and_moves.Fit] = field(default_factory=dict)
    moves: Mapping[str, fits_and_moves.Move] = field(default_factory=dict)
    doubts: Mapping[str, entries.Doubt] = field(default_factory=dict)
    cautions: Mapping[str, entries.Caution] = field(default_factory=dict)
    vet_notes: Mapping[str, entries.VetNote] = field(default_factory=dict)
    notices: Mapping[str, entries.Notice] = field(default_factory=dict)
    questions: Mapping[str, entries.Question] = field(default_factory=dict)
    verdicts: Mapping[str, verdicts.Verdict] = field(default_factory=dict)

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
    def sign_index(self) -> Mapping[str, str]:
        """Sign ids by the phrases they go by, in plain letters."""
        return keys_of(
            (sign.id, (sign.name, sign.id, *sign.phrases)) for sign in self.signs.values()
        )

    @cached_property
    def names(self) -> Names:
        """The words conditions may use."""
        by_kind = {
            k: frozenset(q.id for q in self.quantities.values() if q.kind == k)
            for k in ("reading", "computed")
        }
        return Names(
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
