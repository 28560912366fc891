"""The rule base as the engine runs it: every condition expanded to plain tests.

Ids say what a firing means: ``rule:x``, ``finding:x``, ``not-finding:x``,
``action:x``, ``forbid:x:2`` (second forbidding condition of action x),
``emergency:x``, ``fits:x``, ``unfit:x:2``, ``call:x:1`` and ``bar:x:1`` of a move,
``doubt:x``, ``require:x``, ``caution:x``, ``vet:x``, ``notice:x``, ``ask:x``.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from advisor.rulebase import conditions
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.conditions import STANDINGS, All, Any_, Leaf, Node
from advisor.rulebase.engine import CompiledRule, Fact, Layout, Test
from advisor.rulebase.entries import Strength
from advisor.rulebase.kept import Kept, as_line

if TYPE_CHECKING:
    from advisor.rulebase.base import RuleBase


class Bearing(NamedTuple):
    """What a rule bears on: which cause, for it or against it, how strongly, in which group.

    by_reading : whether a number stands in its condition or in a finding of it
    """

    cause: str
    supports: bool
    strength: Strength
    group: str | None
    by_reading: bool


@dataclass(frozen=True)
class Compiled:
    """Conditions ready to be run.

    nodes       : each condition by engine id
    used        : facts asked for
    bears_on    : each piece of evidence by its rule's id
    emergencies : actions that are one whenever they are proposed
    rules       : what the engine runs
    layout      : the same as it runs them
    """

    nodes: Mapping[str, Node]
    used: frozenset[tuple[str, str]]
    bears_on: Mapping[str, Bearing]
    emergencies: frozenset[str]

    @cached_property
    def rules(self) -> tuple[CompiledRule, ...]:
        return tuple(_rule(engine_id, node) for engine_id, node in self.nodes.items())

    @cached_property
    def layout(self) -> Layout:
        return Layout.of(self.rules)


def compile_rules(base: RuleBase) -> Compiled:
    """All conditions of the rule base, ready for the engine and for plain evaluation."""
    nodes = dict(_nodes(base))
    pending = sorted(set().union(*map(_denied, nodes.values())))
    while pending:
        name = pending.pop()
        node = conditions.negate(nodes[f"finding:{name}"])
        nodes[f"not-finding:{name}"] = node
        made = {i.partition(":")[2] for i in nodes if i.startswith("not-")}
        pending.extend(sorted(_denied(node) - made))
    used = frozenset(
        (leaf.kind, leaf.name) for node in nodes.values() for leaf in conditions.leaves(node)
    )
    measured: dict[str, bool] = {}
    bears_on = {
        rule.id: Bearing(
            rule.supports or rule.opposes or "",
            rule.supports is not None,
            rule.strength,
            rule.group,
            _asks_for_reading(nodes[f"rule:{rule.id}"], nodes, measured),
        )
        for rule in base.rules.values()
    }
    emergencies = frozenset(action.id for action in base.actions.values() if action.emergency)
    return Compiled(nodes, used, bears_on, emergencies)


def _denied(node: Node) -> set[str]:
    """Findings that the condition wants not to hold."""
    return {
        leaf.name
        for leaf in conditions.leaves(node)
        if leaf.kind == "finding" and (leaf.op == "!=" or leaf.value is False)
    }


def _asks_for_reading(node: Node, nodes: Mapping[str, Node], met: dict[str, bool]) -> bool:
    """Whether a measured or computed number stands in the condition or in a finding of it."""
    for leaf in conditions.leaves(node):
        if leaf.kind in conditions.NUMBERS:
            return True
        if leaf.kind == "finding":
            if leaf.name not in met:
                met[leaf.name] = _asks_for_reading(nodes[f"finding:{leaf.name}"], nodes, met)
            if met[leaf.name]:
                return True
    return False


def as_lines(compiled: Compiled) -> list[str]:
    """What was compiled, as it can be kept: a head, the layout, each condition."""
    head = {
        "used": sorted(compiled.used),
        "bears_on": compiled.bears_on,
        "emergencies": sorted(compiled.emergencies),
        "nodes": list(compiled.nodes),
    }
    nodes = (as_line(_plain(node)) for node in compiled.nodes.values())
    return [as_line(head), *compiled.layout.lines(), *nodes]


def of_lines(lines: Sequence[str]) -> Compiled:
    """What ``as_lines`` kept; a condition is made when it is first asked for."""
    head = json.loads(lines[0])
    first = len(lines) - len(head["nodes"])
    nodes = Kept(dict(zip(head["nodes"], lines[first:], strict=True)), _of_line)
    used = frozenset((kind, name) for kind, name in head["used"])
    bears_on = {rule: Bearing(*its) for rule, its in head["bears_on"].items()}
    compiled = Compiled(nodes, used, bears_on, frozenset(head["emergencies"]))
    # what the property would hold after expanding every condition
    vars(compiled)["layout"] = Layout.of_lines(lines[1:first])
    return compiled


def _plain(node: Node) -> Any:
    """A condition as JSON can keep it: leaves as lists, joined ones as tables."""
    if isinstance(node, Leaf):
        return [node.kind, node.name, node.op, node.value, node.limit]
    return {"all" if isinstance(node, All) else "any": [_plain(part) for part in node.parts]}


def _of_plain(plain: Any) -> Node:
    if isinstance(plain, list):
        return Leaf(*plain)
    ((word, parts),) = plain.items()
    return (All if word == "all" else Any_)(tuple(_of_plain(part) for part in parts))


def _of_line(line: str) -> Node:
    return _of_plain(json.loads(line))


def _nodes(base: RuleBase) -> Iterator[tuple[str, Node]]:
    names = base.names
    for finding in base.findings.values():
        yield f"finding:{finding.id}", read_condition(finding.when, names)
    for rule in base.rules.values():
        yield f"rule:{rule.id}", read_condition(rule.when, names)
    for action in base.actions.values():
        trigger = _trigger(action, base)
        if trigger is not None:
            yield f"action:{action.id}", trigger
        if action.requires is not None:
            yield f"require:{action.id}", read_condition(action.requires, names, later=True)
        for at, forbid in enumerate(action.forbidden, 1):
            yield f"forbid:{action.id}:{at}", read_condition(forbid.when, names, later=True)
        if action.emergency_when is not None:
            urgent = read_condition(action.emergency_when, names, later=True)
            yield f"emergency:{action.id}", urgent
    yield from _of_the_move(base)
    for prefix, entries in (("vet", base.vet_notes), ("notice", base.notices)):
        for entry in entries.values():
            trigger = _trigger(entry, base)
            if trigger is not None:
                yield f"{prefix}:{entry.id}", trigger
    for caution in base.cautions.values():
        if caution.when is not None:
            yield f"caution:{caution.id}", read_condition(caution.when, names, later=True)
    for question in base.questions.values():
        if question.ask_when is not None:
            yield f"ask:{question.id}", read_condition(question.ask_when, names, later=True)
        if question.opening_when is not None:
            yield f"early:{question.id}", read_condition(question.opening_when, names, later=True)


def _of_the_move(base: RuleBase) -> Iterator[tuple[str, Node]]:
    """Doubts and fits come before the ranking, what calls for moves and bars them after it."""
    for doubt in base.doubts.values():
        yield f"doubt:{doubt.id}", read_condition(doubt.when, base.names)
    for fit in base.fits.values():
        yield f"fits:{fit.id}", read_condition(fit.fits, base.names)
        if fit.kills_when is not None:
            yield f"kills:{fit.id}", read_condition(fit.kills_when, base.names)
        for at, unfit in enumerate(fit.unfit, 1):
            yield f"unfit:{fit.id}:{at}", read_condition(unfit.when, base.names)
    for move in base.moves.values():
        for at, call in enumerate(move.calls, 1):
            yield f"call:{move.id}:{at}", read_condition(call.when, base.names, later=True)
        for at, bar in enumerate(move.bars, 1):
            yield f"bar:{move.id}:{at}", read_condition(bar.when, base.names, later=True)


def _trigger(entry: Any, base: RuleBase) -> Node | None:
    """Its own ``when``, or any cause it is needed for standing high enough."""
    parts: list[Node] = []
    if entry.when is not None:
        parts.append(read_condition(entry.when, base.names, later=True))
    level = STANDINGS.index(getattr(entry, "at_standing", "likely"))
    parts += [Leaf("standing", cause, ">=", level) for cause in getattr(entry, "needed_for", ())]
    if not parts:
        return None
    trigger = parts[0] if len(parts) == 1 else Any_(tuple(parts))
    return All((trigger, *_NOT_IN_TANK)) if getattr(entry, "in_tank", False) else trigger


#: Fish elsewhere have not met the tank: its steps are not for them.
_NOT_IN_TANK = tuple(
    Leaf("place", "place", "!=", place) for place in ("closed_bag", "open_bag", "tub")
)


def _rule(engine_id: str, node: Node) -> CompiledRule:
    branches = tuple(tuple(_tests(branch)) for branch in conditions.branches(node))
    kind, _, name = engine_id.partition(":")
    derives = None
    if kind in ("finding", "not-finding"):
        derives = Fact("finding", name, kind == "finding")
    return CompiledRule(engine_id, branches, derives)


def _tests(branch: Iterable[Leaf]) -> Iterator[Test]:
    for leaf in branch:
        if isinstance(leaf.value, bool) and leaf.op == "!=":
            yield Test(leaf.kind, leaf.name, "==", not leaf.value)
        else:
            yield Test(leaf.kind, leaf.name, leaf.op, leaf.value)
