"""From conditions to the facts they were compared with, and on to readings and answers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from advisor.advice.results import FactResult
from advisor.explain.audit_form import (
    Comparison,
    ConditionGround,
    FactTrace,
    LimitTrace,
    SourceTrace,
    Statement,
)
from advisor.explain.study import Branch, Study
from advisor.rulebase import conditions
from advisor.rulebase.conditions import STANDINGS, Leaf, Node
from advisor.rulebase.works import Citation

BANDS = conditions.NUMBERS


@dataclass
class Tables:
    """What the chains of an audit have led to so far; each entry is made once."""

    study: Study
    below: dict[str, Statement] = field(default_factory=dict)
    facts: dict[str, FactTrace] = field(default_factory=dict)
    limits: dict[str, LimitTrace] = field(default_factory=dict)
    sources: dict[str, SourceTrace] = field(default_factory=dict)
    wanted: list[str] = field(default_factory=list)  # keys of statements still to be made
    why_not: bool = True  # whether causes list the rules that did not fire

    def ground(
        self,
        entry: str,
        because: str,
        sources: Iterable[Citation],
        node: Node | None = None,
        file: str = "",
    ) -> ConditionGround:
        """The condition of ``entry``: as it fired, else what came nearest.

        node : the condition, where it is not the compiled one of that id
        """
        held = () if node is not None else self.study.held(entry)
        node = self.study.nodes[entry] if node is None else node
        ways = held or self.study.by_nearness(node)
        state = True if held else conditions.evaluate(node, self.study.facts)
        return ConditionGround(
            entry=entry,
            because=because,
            holds=state,
            compared=self.compare(ways[0]),
            also=tuple(self.compare(way) for way in ways[1:]),
            sources=self.cite(sources),
            file=file,
        )

    def compare(self, branch: Branch) -> tuple[Comparison, ...]:
        """Every comparison of one alternative, and how it came out."""
        return tuple(self._comparison(leaf) for leaf in branch)

    def _comparison(self, leaf: Leaf) -> Comparison:
        facts = self.study.facts
        holds = leaf.holds(facts)
        if leaf.limit is not None:
            self._limit(leaf.limit)
        return Comparison(
            kind=leaf.kind,
            name=leaf.name,
            op=leaf.op,
            asked=leaf.value,
            limit=leaf.limit,
            found=facts.get((leaf.kind, leaf.name)),
            holds=holds,
            short_by=self._short_by(leaf) if holds is False else None,
            key=self._key(leaf),
        )

    def _short_by(self, leaf: Leaf) -> float | None:
        found = self.study.facts.get((leaf.kind, leaf.name))
        if leaf.op in ("==", "!=") or isinstance(found, (bool, str)) or found is None:
            return None
        if leaf.kind != "standing":
            return abs(float(leaf.value) - float(found))
        bounds = self.study.base.settings.standing
        cause = next(c for c in self.study.result.causes if c.id == leaf.name)
        if leaf.op not in (">=", ">"):
            return None
        word = STANDINGS[int(leaf.value)]
        return bounds[word] - cause.decibans if word in bounds else None

    def _key(self, leaf: Leaf) -> str | None:
        if leaf.kind in BANDS:
            return self._quantity(leaf.name)
        if leaf.kind == "known":
            what, _, name = leaf.name.rpartition(":")
            return self.fact(what, name) if what else self._quantity(name)
        if leaf.kind in ("standing", "first"):
            return self._want(f"cause:{leaf.name}")
        if leaf.kind in ("finding", "fit", "doubt"):
            return self._want(f"{leaf.kind}:{leaf.name}")
        if leaf.kind == "move":
            return self._want(f"move:{leaf.value}")
        if leaf.kind == "not_enough":
            for cause in self.study.result.causes[:2]:
                self._want(f"cause:{cause.id}")
            return self._want(f"cause:{self.study.result.causes[0].id}")
        return self.fact(leaf.kind, leaf.name)

    def _want(self, key: str) -> str:
        if key not in self.below and key not in self.wanted:
            self.wanted.append(key)
        return key

    def action(self, name: str) -> Comparison:
        """That an action is shown, as a ground for what goes with it."""
        key = self._want(f"action:{name}")
        return Comparison(
            kind="action", name=name, op="==", asked=True, found=True, holds=True, key=key
        )

    def not_enough(self) -> Comparison:
        """That there is not enough to tell."""
        return self._comparison(Leaf("not_enough", "not_enough", "==", True))

    # -- facts ------------------------------------------------------------

    def _quantity(self, name: str) -> str | None:
        return self.fact("reading", name) or self.fact("computed", name)

    def known(self, kind: str, name: str) -> str | None:
        """Key of a fact, a number looked for among readings and computed values alike."""
        return self._quantity(name) if kind in ("reading", "computed") else self.fact(kind, name)

    def fact(self, kind: str, name: str) -> str | None:
        """Key of a fact of the case, with all it was worked out from; None when not known."""
        key = f"{kind}:{name}"
        if key in self.facts:
            return key
        found = next(
            (f for f in self.study.result.facts if f.kind == kind and f.name == name), None
        )
        if found is None:
            return None
        inputs = [self._quantity(each) for each in found.inputs]
        self.facts[key] = FactTrace(
            fact=found,
            rests_on=tuple(each for each in inputs if each is not None),
            sources=self.cite(self._meaning(found)),
        )
        return key

    def _meaning(self, fact: FactResult) -> tuple[Citation, ...]:
        """What the fact's meaning, or the table it was looked up in, rests on."""
        base, name = self.study.base, fact.name
        tables = {"sign": base.signs, "history": base.history, "trait": base.traits}
        entry = tables.get(fact.kind, base.quantities).get(name)
        cited: tuple[Citation, ...] = entry.source if entry is not None else ()
        looked_up = self.study.reasoned.sheet.records[(fact.kind, name)].entry or ""
        for table in (base.groups, base.species):
            held = table.get(looked_up)
            cited = held.source + cited if held is not None else cited
        return tuple(dict.fromkeys(cited))

    def _limit(self, name: str) -> None:
        limit = self.study.base.limits[name]
        self.limits[name] = LimitTrace(
            id=name,
            value=limit.value,
            unit=limit.unit,
            meaning=limit.meaning,
            published=limit.published,
            exposure=limit.exposure,
            applies_to=limit.applies_to,
            sources=self.cite(limit.source),
        )

    def cite(self, citations: Iterable[Citation]) -> tuple[Citation, ...]:
        """The citations, their works noted in the table of sources."""
        kept = tuple(citations)
        for each in kept:
            work = self.study.base.sources.get(each.ref)
            if work is None:
                continue
            noted = self.sources.get(work.id)
            passages = noted.passages if noted is not None else ()
            passage = self.study.base.passage(each)
            if passage is not None and passage not in passages:
                passages = (*passages, passage)
            self.sources[work.id] = SourceTrace(
                id=work.id,
                citation=work.citation,
                where=work.where,
                seen=work.seen,
                passages=passages,
            )
        return kept
