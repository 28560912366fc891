"""What an undecided condition still needs: items with the share each has in deciding it.

Known and unknowable items matter alike: a conjunction that rests on something
already answered "unknown" cannot be decided any more, and asks for nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from advisor.advice.facts.computed import NEEDS
from advisor.advice.settled_by import RELEASED, Item
from advisor.rulebase import conditions
from advisor.rulebase.conditions import All, Facts, Leaf, Node

Shares = Mapping[Item, float]
#: What can still be found out: False for what is known, unknown for good, or never asked.
Open = Callable[[Item], bool]
Known = Callable[[Item], bool]

_LOTS: Item = ("field", "lots")
_BAG = (
    ("field", "transit.hours_sealed"),
    ("field", "lot.bag_water_l"),
    _LOTS,
    ("field", "lot.mass_g"),
)
#: Computed values that rest on what the person tells rather than on readings alone.
TOLD: dict[str, tuple[Item, ...]] = {
    "hours_sealed": (("field", "transit.hours_sealed"),),
    "fasted_hours": (("field", "transit.fasted_hours"),),
    "fish_count": (_LOTS,),
    "dead_fraction": (_LOTS, ("field", "look.counts")),
    "down_fraction": (_LOTS, ("field", "look.counts")),
    "lost_fraction": (_LOTS, ("field", "look.counts")),
    "dead_on_arrival_fraction": (_LOTS, ("field", "lot.dead_on_arrival")),
    "hours_since_received": (("field", "look.at_hours"),),
    "hours_since_release": (RELEASED,),
    "tank_age_days": (("field", "receiving.age_days"),),
    "tank_volume_l": (("field", "receiving.volume_l"),),
    "bag_water_l": (("field", "lot.bag_water_l"),),
    "fish_per_bag": (_LOTS, ("field", "lot.bags")),
    "delivery_bags": (("field", "lot.bags"),),
    "bags_to_tank_volume": (("field", "lot.bag_water_l"), ("field", "receiving.volume_l")),
    "bag_loading_g_l": (("field", "lot.bag_water_l"), _LOTS),
    "tank_loading_g_l": (("field", "receiving.volume_l"), _LOTS),
    "lot_mass_g": (_LOTS, ("field", "lot.mass_g")),
    "tank_below_range_c": (("reading", "tank_temperature_c"), _LOTS),
    "tank_above_range_c": (("reading", "tank_temperature_c"), _LOTS),
    "bag_below_range_c": (("reading", "bag_temperature_c"), _LOTS),
    "bag_above_range_c": (("reading", "bag_temperature_c"), _LOTS),
    "tank_ph_below_range": (("reading", "tank_ph"), _LOTS),
    "tank_ph_above_range": (("reading", "tank_ph"), _LOTS),
    "oxygen_hours_left": _BAG,
    "float_past_oxygen_min": (
        ("reading", "bag_temperature_c"),
        ("reading", "tank_temperature_c"),
        *_BAG,
    ),
    "minutes_open_to_nh3_limit": _BAG,
    "gas_does_not_cross": _BAG,
    **{f"bag_{name}_implausible": _BAG for name in ("tan_mg_l", "ph", "do_mg_l")},
    **{f"forecast_bag_{name}": _BAG for name in ("tan_mg_l", "co2_mg_l", "ph", "do_mg_l")},
}
#: Shares of a condition nothing can decide any more.
DEAD: Shares = {}


class Needs:
    """Shares of undecided conditions over one set of facts."""

    def __init__(
        self,
        nodes: Mapping[str, Node],
        facts: Facts,
        has_value: Callable[[str], bool],
        is_open: Open,
        is_known: Known,
        unread: Iterable[Item] = (),
        told: Mapping[str, Sequence[Item]] = TOLD,
    ) -> None:
        self._nodes = nodes
        self._facts = facts
        self._has_value = has_value
        self._is_open = is_open
        self._is_known = is_known
        #: What could kill in the next water and was not read or told.
        self._unread = tuple(unread)
        self._told = told
        self._findings: dict[str, Shares] = {}
        #: Rules share leaves and leaves share numbers: each is looked at once.
        self._leaves: dict[Leaf, tuple[bool | None, Shares]] = {}
        self._missing: dict[str, Sequence[Item]] = {}

    def of(self, engine_id: str) -> Shares:
        """Shares of a condition by its engine id; empty when decided or dead."""
        return self.shares(self._nodes[engine_id])

    def shares(self, node: Node) -> Shares:
        return self._looked_at(node)[1]

    def waiting(self, engine_id: str) -> Shares:
        """What a condition that holds because things are not known waits for."""
        items = {item for item in self._not_known(self._nodes[engine_id]) if self._is_open(item)}
        return dict.fromkeys(items, 1.0 / len(items)) if items else DEAD

    def _not_known(self, node: Node) -> Iterator[Item]:
        if conditions.evaluate(node, self._facts) is not True:
            return
        if not isinstance(node, Leaf):
            for part in node.parts:
                yield from self._not_known(part)
        elif node.kind == "fit" and node.value == "not_known":
            yield from self._unread
        elif node.kind == "finding":
            yield from self._not_known(self._nodes[f"finding:{node.name}"])
        elif node.kind == "known" and node.value is False:
            what, _, name = node.name.rpartition(":")
            yield from [(what, name)] if what else self._beneath(name)

    def of_values(self, names: Iterable[str]) -> Shares:
        """Shares of numbers an amount waits for; those out of reach are left out."""
        missing: dict[Item, float] = {}
        for name in names:
            wanted = "tank_volume_l" if name == "volume_l" else name
            if self._has_value(wanted) or not self._is_number(wanted):
                continue
            items = [item for item in self._beneath(wanted) if self._is_open(item)]
            missing |= {item: 1.0 / len(items) for item in items}
        return missing

    def _is_number(self, name: str) -> bool:
        return name in self._told or name in NEEDS or self._is_open(("reading", name))

    def _looked_at(self, node: Node) -> tuple[bool | None, Shares]:
        """Whether the condition holds (None: undecided), and its shares where it is undecided."""
        if isinstance(node, Leaf):
            seen = self._leaves.get(node)
            if seen is None:
                holds = node.holds(self._facts)
                seen = self._leaves[node] = holds, self._leaf(node) if holds is None else DEAD
            return seen
        decisive = not isinstance(node, All)
        undecided: list[Shares] = []
        for part in node.parts:
            holds, shares = self._looked_at(part)
            if holds is decisive:
                return decisive, DEAD
            if holds is None:
                undecided.append(shares)
        if not undecided:
            return not decisive, DEAD
        if isinstance(node, All):
            return None, _all(undecided)
        return None, _any([shares for shares in undecided if shares])

    def _leaf(self, leaf: Leaf) -> Shares:
        if leaf.kind in ("sign", "history"):
            return self._items((leaf.kind, leaf.name))
        if leaf.kind in conditions.NUMBERS:
            return _all([self._items(item) for item in self._beneath(leaf.name)])
        if leaf.kind == "trait":
            return self._items(_LOTS)
        if leaf.kind == "finding":
            return self._finding(leaf)
        return DEAD

    def _finding(self, leaf: Leaf) -> Shares:
        negative = (leaf.op == "==") != bool(leaf.value)
        name = f"{'not-' if negative else ''}finding:{leaf.name}"
        if name not in self._findings:
            self._findings[name] = DEAD  # findings do not rest on themselves
            node = self._nodes.get(name) or self._nodes[f"finding:{leaf.name}"]
            self._findings[name] = self.shares(node)
        return self._findings[name]

    def _items(self, item: Item) -> Shares:
        return {item: 1.0} if self._is_open(item) else DEAD

    def _beneath(self, name: str) -> Sequence[Item]:
        """Items still missing beneath a reading or a computed value."""
        if name not in self._missing:
            self._missing[name] = self._looked_beneath(name)
        return self._missing[name]

    def _looked_beneath(self, name: str) -> list[Item]:
        if name in self._told:
            return [item for item in self._told[name] if not self._is_known(item)]
        if name not in NEEDS:
            return [("reading", name)]
        found: list[Item] = []
        for alternatives in NEEDS[name]:
            if any(self._has_value(each) for each in alternatives):
                continue
            reachable = [each for each in alternatives if self._reachable(each)]
            found += self._beneath((reachable or list(alternatives))[0])
        return found

    def _reachable(self, name: str) -> bool:
        return all(self._is_open(item) for item in self._beneath(name))


def _all(parts: list[Shares]) -> Shares:
    """Every part must be settled: each counts for its part, one dead part kills all."""
    if not parts or not all(parts):
        return DEAD
    if len(parts) == 1:
        return parts[0]
    total: dict[Item, float] = {}
    for shares in parts:
        for item, share in shares.items():
            total[item] = total.get(item, 0.0) + share / len(parts)
    return total


def _any(parts: list[Shares]) -> Shares:
    """One part is enough: an item counts as in the part where it weighs most."""
    if len(parts) == 1:
        return parts[0]
    total: dict[Item, float] = {}
    for shares in parts:
        for item, share in shares.items():
            total[item] = max(total.get(item, 0.0), share)
    return total
