"""A delivery thought through up to its plan, for tests of what is asked and called next."""

from __future__ import annotations

from advisor.advice.assess import plan_of, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.case import Case

#: Guppies that gasp in a tank half an hour after their journey.
SITUATION = """
format = "arrival-case-1"
[transit]
hours_sealed = 30
[[lot]]
id = "a"
species = "guppy"
count = 40
sealed = "no"
released_at_hours = 0
release_method = "netted"
[[observation]]
at_hours = 0.5
seen = ["gasping_at_surface"]
not_seen = ["lying_on_side"]
tank = { ph = 8.0, temperature_c = 26.0 }
"""


def think(case: Case, reasoner: Reasoner) -> tuple[Reasoned, Plan]:
    reasoned = reason(case, lots_of(case)[0], reasoner)
    return reasoned, plan_of(reasoned, reasoner)
