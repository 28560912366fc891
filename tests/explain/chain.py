"""Walks the chains of an audit in its published form, link by link.

Written on the JSON alone, so that a reader of ``advisor why --json`` could do
the same. Every broken link is told in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]
PLAIN_SOURCES = ("bench-practice", "judgement")


@dataclass
class Reached:
    """What the chain of one statement ends in."""

    inputs: set[tuple[str, str]] = field(default_factory=set)  # (place, fact name)
    unmet: set[tuple[str, str]] = field(default_factory=set)  # inputs of what does not hold yet
    absences: set[str] = field(default_factory=set)
    times: set[str] = field(default_factory=set)
    sources: set[str] = field(default_factory=set)
    broken: list[str] = field(default_factory=list)


def walk(statement: Json, audit: Json) -> Reached:
    """Follow every link of a statement to the end."""
    reached = Reached()
    _statement(statement, audit, reached, set())
    return reached


def grounds_of(statement: Json, with_missing: bool = False) -> Iterator[Json]:
    for name in ("grounds", "evidence_for", "evidence_against", "bars"):
        yield from statement[name]
    if with_missing:
        yield from statement["missing"]


def _statement(statement: Json, audit: Json, reached: Reached, seen: set[str]) -> None:
    key = f"{statement['kind']}:{statement['id']}"
    if key in seen:
        return
    seen.add(key)
    _cited(statement["sources"], audit, reached, key)
    if statement["kind"] == "fact":
        name = statement["id"].partition(":")[2]
        keys = (statement["id"], f"reading:{name}", f"computed:{name}")
        held = next((k for k in keys if k in audit["facts"]), None)
        if held is None:
            reached.absences.add(name)
        else:
            _fact(held, audit, reached, seen)
    if statement["kind"] == "cause" and not list(grounds_of(statement)):
        reached.absences.add(f"anything seen or measured for or against {statement['id']}")
    for ground in grounds_of(statement):
        _cited(ground["sources"], audit, reached, ground["entry"])
        if ground["holds"] is True and not all(c["holds"] is True for c in ground["compared"]):
            reached.broken.append(f"{key}: {ground['entry']} holds, but not all it compared does")
        into = reached if ground["holds"] is True else Reached()
        for way in (ground["compared"], *ground["also"]):
            for comparison in way:
                _comparison(comparison, audit, into, seen, key)
        if into is not reached:
            reached.unmet |= into.inputs | into.unmet
            for name in ("absences", "times", "sources"):
                getattr(reached, name).update(getattr(into, name))
            reached.broken += into.broken


def _comparison(it: Json, audit: Json, reached: Reached, seen: set[str], of: str) -> None:
    if it["limit"] is not None:
        limit = audit["limits"].get(it["limit"])
        if limit is None:
            reached.broken.append(f"{of}: limit {it['limit']} is not in the table")
        else:
            if limit["value"] != it["asked"]:
                reached.broken.append(f"{of}: limit {it['limit']} has another value")
            _cited(limit["sources"], audit, reached, it["limit"])
    key = it["key"]
    if key is None:
        reached.absences.add(it["name"])
        if it["found"] not in (None, False):
            reached.broken.append(f"{of}: {it['name']} was found, but where is not told")
    elif key in audit["below"]:
        _statement(audit["below"][key], audit, reached, seen)
    elif key in audit["facts"]:
        _fact(key, audit, reached, seen)
    else:
        reached.broken.append(f"{of}: {key} leads nowhere")


def _fact(key: str, audit: Json, reached: Reached, seen: set[str]) -> None:
    if key in seen:
        return
    seen.add(key)
    trace = audit["facts"][key]
    fact = trace["fact"]
    _cited(trace["sources"], audit, reached, key)
    if fact["source"]:
        reached.sources.add(fact["source"])
    if fact["kind"] == "phase":
        reached.times.add("phase")
        return
    for place in fact["where"]:
        if place == "observation, at_hours":
            reached.times.add(place)
        else:
            # species and group are one answer: what kind of fish it is
            kind = re.sub(", group$", ", species", place)
            reached.inputs.add((kind if kind in fact["where"] else place, fact["name"]))
    for below in trace["rests_on"]:
        if below not in audit["facts"]:
            reached.broken.append(f"{key}: rests on {below}, which is not in the table")
        else:
            _fact(below, audit, reached, seen)
    if set(fact["inputs"]) - {below.partition(":")[2] for below in trace["rests_on"]}:
        reached.broken.append(f"{key}: an input is not in the table")
    if not fact["where"] and (fact["note"] or "").startswith("no species given"):
        reached.absences.add("species")
    elif not fact["where"] and (fact["note"] or "").startswith("supposed"):
        reached.absences.add("where the fish are")
    elif not fact["where"] and not trace["rests_on"]:
        reached.broken.append(f"{key}: comes from nowhere")
    if fact["how"] in ("computed", "forecast") and not (fact["formula"] and fact["working"]):
        reached.broken.append(f"{key}: worked out, but not how")


def _cited(citations: list[Json], audit: Json, reached: Reached, of: str) -> None:
    for each in citations:
        reached.sources.add(each["ref"])
        if each["ref"] not in PLAIN_SOURCES and each["ref"] not in audit["sources"]:
            reached.broken.append(f"{of}: source {each['ref']} is not in the table")
        if not each["basis"]:
            reached.broken.append(f"{of}: how far {each['ref']} was checked is not told")


def deep(statement: Json, audit: Json) -> set[str]:
    """Everything that holds below a statement: comparisons with what was found, and facts."""
    found: set[str] = set()
    _deep(statement, audit, found, set())
    return found


def _deep(statement: Json, audit: Json, found: set[str], seen: set[str]) -> None:
    key = f"{statement['kind']}:{statement['id']}"
    if key in seen:
        return
    seen.add(key)
    for ground in grounds_of(statement):
        for way in (ground["compared"], *ground["also"]):
            if not all(each["holds"] is True for each in way):
                continue
            found.add(f"{ground['entry']}: {[_short(each) for each in way]}")
            for each in way:
                if each["key"] in audit["below"]:
                    _deep(audit["below"][each["key"]], audit, found, seen)
                elif each["key"] in audit["facts"]:
                    _deep_fact(each["key"], audit, found)
    if statement["kind"] == "fact":
        name = statement["id"].partition(":")[2]
        for kind in ("reading", "computed", statement["id"].partition(":")[0]):
            if f"{kind}:{name}" in audit["facts"]:
                _deep_fact(f"{kind}:{name}", audit, found)


def _short(each: Json) -> str:
    return f"{each['kind']} {each['name']} {each['op']} {each['asked']} found {each['found']}"


def _deep_fact(key: str, audit: Json, found: set[str]) -> None:
    trace = audit["facts"][key]
    fact = trace["fact"]
    told = [fact[n] for n in ("value", "low", "high", "entered", "working", "source", "note")]
    found.add(f"{key}: {told}")
    for below in trace["rests_on"]:
        _deep_fact(below, audit, found)


def kinds_below(statement: Json, audit: Json) -> set[str]:
    """Kinds of comparison a statement's grounds make, anywhere below it."""
    kinds: set[str] = set()
    seen: set[str] = set()

    def visit(each: Json) -> None:
        key = f"{each['kind']}:{each['id']}"
        if key in seen:
            return
        seen.add(key)
        for ground in grounds_of(each):
            for way in (ground["compared"], *ground["also"]):
                for comparison in way:
                    kinds.add(comparison["kind"])
                    if comparison["key"] in audit["below"]:
                        visit(audit["below"][comparison["key"]])

    visit(statement)
    return kinds
