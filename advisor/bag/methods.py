"""The ways of opening a bag that are compared."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from advisor.wording.numbers import fixed

Kind = Literal["still", "aerated", "dripped", "poured", "netted", "floated"]


@dataclass(frozen=True, kw_only=True)
class OpeningMethod:
    """One way from the bag into the tank.

    kind       : what happens to the water
    in_bag_min : minutes before the fish are moved; None for as long as is looked at
    drip_per_h : dripped only: tank water per hour, in volumes of the bag's water
    """

    name: str
    label: str
    kind: Kind
    in_bag_min: float | None = None
    drip_per_h: float = 0.0


LEFT_OPEN = OpeningMethod(name="left_open", label="left open, still", kind="still")
OPENING_METHODS: tuple[OpeningMethod, ...] = (
    LEFT_OPEN,
    OpeningMethod(name="aerated", label="open with an air stone", kind="aerated"),
    OpeningMethod(
        name="dripped",
        label="tank water dripped in for an hour, then netted over",
        kind="dripped",
        in_bag_min=60.0,
        drip_per_h=2.0,
    ),
    OpeningMethod(
        name="poured", label="poured in with the bag's water", kind="poured", in_bag_min=0.0
    ),
    OpeningMethod(name="netted", label="netted over at once", kind="netted", in_bag_min=0.0),
    OpeningMethod(
        name="floated",
        label="floated shut 20 minutes, then netted over",
        kind="floated",
        in_bag_min=20.0,
    ),
)


@dataclass(frozen=True, kw_only=True)
class SlowChange:
    """When a slow change of water is worth the ammonia it costs: a step this large.

    The limits are the caller's, from its rules.
    """

    salinity_step_g_kg: float
    conductivity_ratio: float

    def verdict(self, salinity_step: float, ratio: float | None) -> str | None:
        """Why slow change wins here, or None."""
        if salinity_step >= self.salinity_step_g_kg:
            return (
                f"salinity steps by {fixed(salinity_step, 1)} g/kg; that large a step is "
                "taken slowly"
            )
        if ratio is not None and ratio >= self.conductivity_ratio:
            return (
                f"conductivity differs {fixed(ratio, 1)} times; that large a step is taken slowly"
            )
        return None
