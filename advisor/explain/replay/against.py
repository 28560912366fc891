"""Which cases move between two rule bases, by which rules, for better or worse."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from advisor.advice.assess import Reasoner, lot_result, reason
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.results import CauseResult, LotResult
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.explain.replay.check import ASKED, Judged, judge
from advisor.explain.replay.files import judged_lot

Verdict = Literal["better", "worse", "both", "neither"]


@dataclass(frozen=True)
class Moved:
    """A case under the older and the newer rules.

    changed : what differs of first cause, its standing and first action
    rules   : (rule or "starting odds", cause, decibans before, after) that made it so, of the
              first two causes; empty when the difference lies in actions or settings
    verdict : against the expectation; "neither" when that is met as much as before
    """

    path: str
    older: Judged
    newer: Judged
    changed: tuple[str, ...] = ()
    rules: tuple[tuple[str, str, float, float], ...] = ()
    verdict: Verdict = "neither"


def compare_file(path: Path, reasoners: tuple[Reasoner, ...]) -> Moved:
    """One case under two rule bases, the older first."""
    older, newer = reasoners
    before, after = _result(path, older), _result(path, newer)
    judged = (_judged(before, path, older), _judged(after, path, newer))
    if isinstance(before, str) or isinstance(after, str):
        same = isinstance(before, str) and isinstance(after, str)
        return Moved(str(path), *judged, changed=() if same else ("whether it can be assessed",))
    changed = _changed(before[1], after[1])
    rules = _by_which(before[1], after[1]) if changed else ()
    return Moved(str(path), *judged, changed, rules, _verdict(*judged))


def _result(path: Path, reasoner: Reasoner) -> tuple[Case, LotResult] | str:
    try:
        case = load_case(path)
        check_vocabulary(case, reasoner.base, str(path))
        lot = judged_lot(case)
    except AdvisorError as fault:
        return str(fault).split("\n", 1)[0]
    return case, lot_result(reason(case, lot, reasoner), reasoner)


def _judged(result: tuple[Case, LotResult] | str, path: Path, reasoner: Reasoner) -> Judged:
    if isinstance(result, str):
        return Judged(str(path), fault=result)
    return judge(*result, reasoner.base, str(path))


def _changed(before: LotResult, after: LotResult) -> tuple[str, ...]:
    names = []
    if before.causes[0].id != after.causes[0].id:
        names.append("first cause")
    if before.causes[0].standing != after.causes[0].standing:
        names.append("standing")
    if before.not_enough != after.not_enough:
        names.append("enough to tell")
    if [a.id for a in before.actions[:1]] != [a.id for a in after.actions[:1]]:
        names.append("first action")
    return tuple(names)


def _by_which(before: LotResult, after: LotResult) -> tuple[tuple[str, str, float, float], ...]:
    """Evidence that differs for the causes that stood first or second, before or after."""
    found = []
    for name in dict.fromkeys(c.id for r in (before, after) for c in r.causes[:2]):
        old, new = _pieces(before, name), _pieces(after, name)
        for rule in dict.fromkeys((*old, *new)):
            if old.get(rule, 0.0) != new.get(rule, 0.0):
                found.append((rule, name, old.get(rule, 0.0), new.get(rule, 0.0)))
    return tuple(sorted(found, key=lambda each: (-abs(each[3] - each[2]), each[0])))


def _pieces(result: LotResult, name: str) -> dict[str, float]:
    cause: CauseResult | None = next((c for c in result.causes if c.id == name), None)
    if cause is None:
        return {}
    pieces = {"starting odds": cause.prior}
    for each in (*cause.evidence_for, *cause.evidence_against):
        if each.counts:
            pieces[each.rule] = each.decibans
    return pieces


def _verdict(older: Judged, newer: Judged) -> Verdict:
    gained = any(newer.met.get(n) and older.met.get(n) is False for n in ASKED)
    lost = any(older.met.get(n) and newer.met.get(n) is False for n in ASKED)
    if gained and lost:
        return "both"
    return "better" if gained else "worse" if lost else "neither"
