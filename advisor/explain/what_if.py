"""What if: one lot assessed again with other answers, and what differs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from advisor.advice.results import CauseResult, LotResult, Result, RuleBaseMark
from advisor.explain.change import changed_study, read_change
from advisor.explain.study import Study
from advisor.version import PROGRAM

#: Computed values closer than this share of their size count as the same.
_SAME = 1e-6


class CauseMove(Result):
    """A cause whose place, standing or balance is another now. Lists hold rule ids."""

    id: str
    name: str
    place_before: int
    place_after: int
    standing_before: str
    standing_after: str
    before: float
    after: float
    gained: tuple[str, ...]
    lost: tuple[str, ...]


class Listed(Result):
    """Something that came or went. ``kind``: action, withheld, caution, vet, notice, finding."""

    kind: str
    id: str
    text: str
    because: str = ""


class ValueMove(Result):
    """A computed value that is another now; None = not known."""

    name: str
    label: str
    unit: str
    before: float | None
    after: float | None


class Difference(Result):
    """Only what differs. The first cause and action are (before, after), when they moved."""

    first_cause: tuple[str, str] | None
    first_action: tuple[str, str] | None
    not_enough: tuple[bool, bool] | None
    causes: tuple[CauseMove, ...]
    came: tuple[Listed, ...]
    went: tuple[Listed, ...]
    values: tuple[ValueMove, ...]

    @property
    def nothing(self) -> bool:
        return not any(getattr(self, name) for name in type(self).model_fields)


class WhatIf(Result):
    """Two assessments of one lot, and only what differs between them."""

    format: str = "advisor-what-if-1"
    program: str
    rulebase: RuleBaseMark
    lot: str
    changes: tuple[str, ...]
    difference: Difference


def what_if(before: Study, wanted: Sequence[str]) -> WhatIf:
    """Assess the lot again with changed answers.

    wanted : "key=value" each, see :func:`read_change`

    Raises AdvisorError for a key or value that cannot be understood.
    """
    changes = [read_change(text, before) for text in wanted]
    after = changed_study(before, changes)
    base = before.base
    return WhatIf(
        program=PROGRAM,
        rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
        lot=before.result.lot,
        changes=tuple(text.strip() for text in wanted),
        difference=differ(before.result, after.result),
    )


def differ(before: LotResult, after: LotResult) -> Difference:
    """What is different in ``after``."""
    came, went = _listed(after, before), _listed(before, after)
    return Difference(
        first_cause=_pair(before.causes[:1], after.causes[:1]),
        first_action=_pair(before.actions[:1], after.actions[:1]),
        not_enough=(before.not_enough, after.not_enough)
        if before.not_enough != after.not_enough
        else None,
        causes=tuple(_causes(before, after)),
        came=tuple(came),
        went=tuple(went),
        values=tuple(_values(before, after)),
    )


def _pair(before: Iterable[Any], after: Iterable[Any]) -> tuple[str, str] | None:
    pair = ("".join(each.id for each in before), "".join(each.id for each in after))
    return pair if pair[0] != pair[1] else None


def _causes(before: LotResult, after: LotResult) -> Iterable[CauseMove]:
    old = {cause.id: (place, cause) for place, cause in enumerate(before.causes, 1)}
    for place, now in enumerate(after.causes, 1):
        if now.id not in old:
            continue
        was_at, was = old[now.id]
        had, have = _rules(was), _rules(now)
        if now.decibans != was.decibans or had != have:
            yield CauseMove(
                id=now.id,
                name=now.name,
                place_before=was_at,
                place_after=place,
                standing_before=was.standing,
                standing_after=now.standing,
                before=was.decibans,
                after=now.decibans,
                gained=tuple(sorted(have - had)),
                lost=tuple(sorted(had - have)),
            )


def _rules(cause: CauseResult) -> set[str]:
    """Rules that count for or against the cause."""
    return {e.rule for e in (*cause.evidence_for, *cause.evidence_against) if e.counts}


def _listed(these: LotResult, not_those: LotResult) -> Iterable[Listed]:
    for kind, found in _lists(these).items():
        others = _lists(not_those)[kind]
        for name, (text, because) in found.items():
            if name not in others:
                yield Listed(kind=kind, id=name, text=text, because=because)


def _lists(result: LotResult) -> Mapping[str, dict[str, tuple[str, str]]]:
    return {
        "action": {a.id: (a.text, a.because) for a in result.actions},
        "withheld": {a.action: (a.text, a.because) for a in result.withheld},
        "caution": {c.id: (c.text, "") for c in result.cautions},
        "vet": {v.id: (v.text, v.because) for v in result.vet},
        "notice": {n.id: (n.text, n.because) for n in result.notices},
        "finding": {f.id: (f.name, f.because) for f in result.findings if f.holds},
    }


def _values(before: LotResult, after: LotResult) -> Iterable[ValueMove]:
    old = {fact.name: fact for fact in before.computed}
    new = {fact.name: fact for fact in after.computed}
    for name in dict.fromkeys([*old, *new]):
        was, now = old.get(name), new.get(name)
        a = None if was is None else float(was.value)
        b = None if now is None else float(now.value)
        if a is None or b is None or abs(a - b) > _SAME * max(abs(a), abs(b), 1e-9):
            fact = now or was
            assert fact is not None
            yield ValueMove(name=name, label=fact.label, unit=fact.unit, before=a, after=b)
