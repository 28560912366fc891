"""Assessments kept in a case: made again from the file, and compared with today's.

What is kept says :func:`advisor.ask.finish.with_result`. An entry may hold besides, up to
which look it was made, and fingerprints of those inputs and of its result: then "the same
inputs, the same rules, the same result" is checked to the last character, not believed.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterator
from typing import Any

from advisor.advice.facts.sheet import lots_of
from advisor.advice.ranking import standing_word
from advisor.advice.results import LotResult, RuleBaseMark
from advisor.case import Case
from advisor.case.model import Saved
from advisor.explain.audit_form import Moved, Standing
from advisor.explain.study import Study, study
from advisor.version import PROGRAM

#: Parts of a case that the reasoning reads.
_READ = ("delivery", "transit", "receiving", "history", "lot", "observation")
#: Fields in them that it does not.
_UNREAD = frozenset(
    ("title", "place", "supplier", "invoice", "notes", "words", "ordered", "price_each", "received")
)


def inputs_fingerprint(case: Case, until_hours: float) -> str:
    """Fingerprint of what the reasoning reads of a case up to that time."""
    data = case.model_dump(mode="json", include=set(_READ))
    data["observation"] = [o for o in data["observation"] if o["at_hours"] <= until_hours]
    text = json.dumps(_read_only(data), sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _read_only(part: Any) -> Any:
    if isinstance(part, dict):
        return {k: _read_only(v) for k, v in part.items() if k not in _UNREAD}
    return [_read_only(each) for each in part] if isinstance(part, list) else part


def result_fingerprint(lot: LotResult) -> str:
    """Fingerprint of the published result of one lot."""
    return hashlib.sha256(lot.model_dump_json().encode()).hexdigest()[:16]


def moved_since(now: Study, entry: Saved) -> Moved:
    """How a saved assessment and the same question under today's rules differ."""
    until = math.inf if entry.until_hours is None else entry.until_hours
    lots = {lot.id for lot in lots_of(now.case)}
    again = study(
        now.case,
        now.reasoner,
        lot=entry.lot if entry.lot in lots else now.lot.id,
        until_hours=until,
    )
    base = now.base
    same_rules = entry.fingerprint == base.fingerprint
    same_program = entry.program == PROGRAM
    same_inputs = None
    if entry.inputs is not None:
        same_inputs = inputs_fingerprint(now.case, until) == entry.inputs
    reproduced = None
    if same_rules and same_program and same_inputs and entry.result is not None:
        reproduced = result_fingerprint(again.result) == entry.result
    actions = tuple(action.id for action in again.result.actions)
    return Moved(
        made=entry.made,
        program=entry.program,
        rulebase=RuleBaseMark(version=entry.rulebase, fingerprint=entry.fingerprint),
        same_rules=same_rules,
        same_program=same_program,
        same_inputs=same_inputs,
        reproduced=reproduced,
        standings=tuple(_standings(again, entry)),
        actions_new=tuple(a for a in actions if a not in entry.actions),
        actions_gone=tuple(a for a in entry.actions if a not in actions),
    )


def _standings(again: Study, entry: Saved) -> Iterator[Standing]:
    """Causes whose balance moved, where either side thought them possible or more."""
    found = {cause.id: cause for cause in again.result.causes}
    for name in dict.fromkeys([*found, *entry.causes]):
        now, then = found.get(name), entry.causes.get(name)
        then_word = "not known" if then is None else standing_word(then, again.base)
        now_word = "not known" if now is None else now.standing
        same = now is not None and then is not None and abs(now.decibans - then) < 1e-9
        if same or {then_word, now_word} == {"unlikely"}:
            continue
        yield Standing(
            cause=name,
            name=now.name if now else name.replace("_", " "),
            then=then_word,
            now=now_word,
            decibans_then=then,
            decibans_now=None if now is None else now.decibans,
        )
