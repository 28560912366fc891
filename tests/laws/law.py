"""A law: one sentence of the handbook, its source, and whether a plan keeps it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from tests.laws.plan import Plan
from tests.laws.situation import Situation

Kind = Literal["never", "must"]
Holds = Callable[[Situation, Plan], bool]

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Law:
    """``kind`` says whether it forbids something or demands it."""

    name: str
    says: str
    source: str
    kind: Kind
    holds: Holds


LAWS: dict[str, Law] = {}


def law(source: str, kind: Kind = "never") -> Callable[[Holds], Holds]:
    """Enter a law. Its docstring is its sentence; True means that the plan keeps it."""

    def enter(holds: Holds) -> Holds:
        name = holds.__name__
        assert name not in LAWS, f"two laws are called {name}"
        assert holds.__doc__, f"{name} says nothing"
        LAWS[name] = Law(name, " ".join(holds.__doc__.split()), source, kind, holds)
        return holds

    return enter
