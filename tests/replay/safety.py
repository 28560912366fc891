"""Rules kept to their own word: ``python -m tests.replay.safety [--draws N] [--seed S]``.

A check of the program against its rules over random deliveries. It reads what it expects
from the very rules it tests, so a rule that is wrong passes here; whether the advice is
right is judged from outside the rules, by tests/laws. For every lot of every draw:

1. no action is shown that one of its own ``forbidden`` conditions speaks against, or
   whose ``requires`` is not surely true. Conditions are read again from the entries and
   worked out by plain evaluation, findings included; the engine's word is not used;
2. every emergency whose own condition holds, and that nothing bars, is shown, and is
   timed now;
3. no text of an action or of a vet note that names a prescription or regulated substance
   states a dose, and none anywhere is stated by body mass;
4. every number in the result is finite.
"""

from __future__ import annotations

import argparse
import gc
import json
import math
import random
import re
import sys
import time
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from advisor.advice.assess import lot_result, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoned, Reasoner, default_reasoner
from advisor.advice.results import LotResult
from advisor.case import Case
from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.conditions import STANDINGS, Value
from tests.replay.deliveries import delivery

#: Substances that are prescription or regulated in at least one country the rules speak of
#: (from memory; a longer list only makes the check stricter).
SUBSTANCES = re.compile(
    r"antibiotic|oxytetracyclin|florfenicol|enrofloxacin|kanamycin|nitrofura|\bsulfa[dm]|trimethoprim"
    r"|metronidazole|praziquantel|levamisole|flubendazole|fenbendazole|emamectin|formalin"
    r"|formaldehyde|malachite|copper sul|chloramine-t|peracetic|hydrogen peroxide|permanganate"
    r"|methylene blue|acriflavin|tricaine|ms-222|metomidate|eugenol|clove oil|dimilin"
    r"|diflubenzuron|trichlorfon|organophosph|quinine|chloroquine|prazosin|dexamethasone",
    re.IGNORECASE,
)
DOSE = re.compile(
    r"\d[\d.,]*\s*(to|-|–)?\s*[\d.,]*\s*(mg|g|µg|ug|ml|µl|drops?|iu)\s*(/|per|a|for each)\s*"
    r"(l\b|lit|kg|100|10 l|gal|fish)|\d\s*ppm|\d\s*%\s*(bath|solution)",
    re.IGNORECASE,
)
#: Numbers without end as JSON writes them, and as a sentence would; each word on its own is
#: found several times faster than by one pattern that starts at any of them.
UNBOUNDED = tuple(
    re.compile(rf"{word}(?<!\w{word})\b") for word in ("NaN", "Infinity", "nan", "inf")
)
BY_MASS = re.compile(r"\d\s*(mg|g|µg|iu|ml)\s*(/|per)\s*kg", re.IGNORECASE)


def faults(case: Case, reasoner: Reasoner) -> Iterator[str]:
    """One sentence for each breach of the four rules."""
    for lot in lots_of(case):
        reasoned = reason(case, lot, reasoner)
        result = lot_result(reasoned, reasoner)
        yield from _actions(reasoned, result, reasoner)
        yield from _doses(result)
        plain = result.model_dump()
        if unbounded(plain):  # the walk only says where
            yield from _numbers(plain, "result")


_nodes: dict[tuple[str, str], conditions.Node] = {}


def _node(when: dict[str, Any], base: RuleBase, name: str) -> conditions.Node:
    """A condition as its entry states it, read once for each rule base."""
    key = (base.fingerprint, name)
    if key not in _nodes:
        _nodes[key] = read_condition(when, base.names, later=not name.startswith("finding"))
    return _nodes[key]


def plain_facts(
    reasoned: Reasoned, result: LotResult, reasoner: Reasoner
) -> dict[tuple[str, str], Value]:
    """Facts with findings worked out by plain evaluation and standings from the ranking."""
    base = reasoner.base
    given = reasoned.sheet.engine_facts(reasoner.compiled.used)
    facts: dict[tuple[str, str], Value] = {(k, n): v for k, n, v in given}
    nodes = {f.id: _node(f.when, base, f"finding {f.id}") for f in base.findings.values()}
    moved = True
    while moved:
        moved = False
        for name, node in nodes.items():
            holds = conditions.evaluate(node, facts)
            if holds is not None and ("finding", name) not in facts:
                facts[("finding", name)] = holds
                moved = True
    later = ("fit", "move", "doubt")
    facts |= {key: value for key, value in reasoned.facts.items() if key[0] in later}
    facts[("not_enough", "not_enough")] = result.not_enough
    for place, cause in enumerate(result.causes):
        facts[("standing", cause.id)] = STANDINGS.index(cause.standing)
        facts[("first", cause.id)] = place == 0
    return facts


def _actions(reasoned: Reasoned, result: LotResult, reasoner: Reasoner) -> Iterator[str]:
    base = reasoner.base
    facts = plain_facts(reasoned, result, reasoner)
    shown = {action.id: action for action in result.actions}
    # what an amount works out to be useless is held by no fact of the case
    undone = {h.action for h in result.withheld if h.by != "forbidden" or not h.facts}
    for action in base.actions.values():
        barred = _bar(action, facts, base)
        urgent = action.emergency or _urgent(action, facts, base)
        if action.id in shown:
            if barred and not _last_way_out(action, result):
                yield f"{action.id} is shown although {barred}"
            if urgent and shown[action.id].when != "now":
                yield f"emergency {action.id} is timed {shown[action.id].when}"
            continue
        if action.in_tank and result.place in ("closed_bag", "open_bag", "tub"):
            continue  # it is about a tank these fish are not in
        if not urgent or barred or action.id in undone or action.when is None:
            continue
        if conditions.evaluate(_node(action.when, base, f"when {action.id}"), facts):
            yield f"emergency {action.id} holds, nothing bars it, and it is not shown"


def _last_way_out(action: Any, result: LotResult) -> bool:
    """The last way out of present harm is never barred by harm."""
    others = [each for each in result.actions if each.id != action.id]
    return action.step == "rescue" and not any(each.step == "rescue" for each in others)


def _urgent(action: Any, facts: dict[tuple[str, str], Value], base: RuleBase) -> bool:
    if action.emergency_when is None:
        return False
    node = _node(action.emergency_when, base, f"emergency {action.id}")
    return conditions.evaluate(node, facts) is True


def _bar(action: Any, facts: dict[tuple[str, str], Value], base: RuleBase) -> str:
    for at, forbid in enumerate(action.forbidden):
        if action.step == "rescue" and forbid.proof == "possible":
            continue  # a way out is held by sure harm only
        if conditions.evaluate(_node(forbid.when, base, f"forbid {action.id} {at}"), facts):
            return f"it is forbidden: {forbid.because}"
    if action.requires is not None:
        node = _node(action.requires, base, f"requires {action.id}")
        if conditions.evaluate(node, facts) is not True:
            return "what it requires is not surely true"
    return ""


def _doses(result: LotResult) -> Iterator[str]:
    for action in result.actions:
        amounts = [f"{a.label} {a.value} {a.unit} {a.working}" for a in action.amounts]
        yield from dose_faults(action.id, " ".join((action.text, action.because, *amounts)))
    for note in result.vet:
        parts = (note.text, note.because, *note.prepare, *note.ask)
        yield from dose_faults(note.id, " ".join(parts))


@lru_cache(maxsize=5000)
def dose_faults(name: str, text: str) -> tuple[str, ...]:
    """Whether a text states a dose of something a vet must prescribe."""
    found = []
    if BY_MASS.search(text):
        found.append(f"{name} states a dose by body mass: {text}")
    if SUBSTANCES.search(text) and DOSE.search(text):
        found.append(f"{name} states a dose of a prescription or regulated substance: {text}")
    return tuple(found)


def unbounded(plain: Any) -> bool:
    """Whether a number without end, or a word for one, stands anywhere in it."""
    written = json.dumps(plain, default=str)
    return any(word.search(written) for word in UNBOUNDED)


def _numbers(part: Any, where: str) -> Iterator[str]:
    if isinstance(part, dict):
        for name, inner in part.items():
            yield from _numbers(inner, f"{where}.{name}")
    elif isinstance(part, (list, tuple)):
        for at, inner in enumerate(part):
            yield from _numbers(inner, f"{where}[{at}]")
    elif isinstance(part, float) and not math.isfinite(part):
        yield f"{where} is {part}"
    elif isinstance(part, str) and re.search(r"\b(nan|inf)\b", part):
        yield f"{where} reads {part!r}"


def draws(
    seed: int, count: int, reasoner: Reasoner, start: int = 0
) -> Iterator[tuple[int, list[str], Case]]:
    """(number, faults, case) of every draw; number and seed make it again."""
    for number in range(start, start + count):
        case = delivery(random.Random(f"{seed}/{number}"), reasoner.base)
        yield number, list(faults(case, reasoner)), case


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.replay.safety")
    parser.add_argument("--draws", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--from", type=int, default=0, dest="start", help="first draw")
    parser.add_argument("--minutes", type=float, default=math.inf, help="stop after")
    args = parser.parse_args()
    reasoner = default_reasoner()
    gc.set_threshold(100_000)  # as the program does: little here ever becomes garbage
    began, done, bad, lots = time.monotonic(), 0, 0, 0
    for number, found, case in draws(args.seed, args.draws, reasoner, args.start):
        done, lots = done + 1, lots + len(case.lot)
        bad += bool(found)
        for fault in found:
            print(f"draw {args.seed}/{number}: {fault}")
        if time.monotonic() - began > 60 * args.minutes:
            break
        if done % 1000 == 0:
            print(f"{done} draws, {bad} with faults", file=sys.stderr)
    spent = time.monotonic() - began
    mark = f"rules {reasoner.base.version} {reasoner.base.fingerprint[:12]}"
    print(f"{done} draws ({lots} lots), {bad} with faults, {spent:.0f} s, {mark}")
    return 1 if bad else 0


if __name__ == "__main__":
    raise SystemExit(main())
