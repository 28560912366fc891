"""For every law a delivery with a plan that breaks it and one that keeps it.

A law that no plan can break is worth nothing. The deliveries are invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.laws.plan import Plan, written
from tests.laws.situation import Situation, lots_of


@dataclass(frozen=True)
class Sample:
    """One law tried by hand."""

    law: str
    situation: Situation
    breaks: Plan
    keeps: Plan


SAMPLES: list[Sample] = []


def fish(
    species: str,
    place: str = "tank",
    seen: str = "",
    *,
    bag: dict[str, Any] | None = None,
    tank: dict[str, Any] | None = None,
    tap: dict[str, Any] | None = None,
    hours: float = 0.3,
    counts: tuple[int, int, int] | None = None,
    done: tuple[str, ...] = (),
    lot: dict[str, Any] | None = None,
    receiving: dict[str, Any] | None = None,
    others: list[dict[str, Any]] | None = None,
    **history: Any,
) -> Situation:
    """A lot of ``species`` at ``place``; ``seen`` are signs with spaces between."""
    stands: dict[str, Any] = {
        "shut": {"sealed": "yes"},
        "open": {"sealed": "no", "opened_at_hours": 0.0},
        "tank": {"sealed": "no", "opened_at_hours": 0.0, "released_at_hours": 0.1},
    }[place]
    look: dict[str, Any] = {"at_hours": hours, "lot": "a", "seen": tuple(seen.split())}
    look |= {"bag": bag or {}, "tank": tank or {}, "tap": tap or {}, "done": done}
    if counts:
        look["counts"] = dict(zip(("normal", "down", "dead"), counts, strict=True))
    data = {
        "transit": {"hours_sealed": 26},
        "receiving": receiving or {},
        "history": history,
        "lot": [{"id": "a", "species": species, **stands, **(lot or {})}, *(others or [])],
        "observation": [
            look,
            *(o.pop("look") for o in [dict(o) for o in others or []] if "look" in o),
        ],
    }
    for other in data["lot"]:
        other.pop("look", None)
    return lots_of(data)["a"]


def sample(law: str, at: Situation, breaks: Any, keeps: Any) -> None:
    """Enter one; ``breaks`` and ``keeps`` are sentences, lists of them, or plans."""
    SAMPLES.append(Sample(law, at, _plan(breaks), _plan(keeps)))


def _plan(given: Any) -> Plan:
    if isinstance(given, Plan):
        return given
    return written(*([given] if isinstance(given, str) else given))
