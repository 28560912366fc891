"""Conditions that nothing meets are found; those that can be met are not called dead."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import loads_case
from advisor.explain.replay.dead import search
from advisor.rulebase import load_rulebase
from tests.tiny import write_tiny

# Dead through its finding: no oxygen is below 3 and above 5 at once.
DEAD = """
[[finding]]
id = "stuffy"
name = "stuffy water"
because = "x"
when = { reading = "tank_do_mg_l", surely_below = 3.0 }
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "dead"
supports = "short_of_air"
strength = "weak"
because = "x"
when.all = [{ finding = "stuffy" }, { reading = "tank_do_mg_l", surely_above = 5.0 }]
source = [{ ref = "judgement", basis = "judgement" }]

[[rule]]
id = "rare"
supports = "resting"
strength = "weak"
because = "x"
when.all = [
  { phase = "day_5_14" },
  { not = { finding = "stuffy" } },
  { reading = "tank_do_mg_l", above = 5.2, below = 5.3 },
  { sign = "calm", is = "absent" },
  { history = "invertebrates", known = false },
]
source = [{ ref = "judgement", basis = "judgement" }]
"""


def test_only_the_dead_are_called_dead(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    reasoner = Reasoner.of(load_rulebase(write_tiny(tmp_path, DEAD)))
    seen = loads_case("[[observation]]\nseen = ['gasping']\n")
    told: list[tuple[int, int]] = []
    found = search(reasoner, [seen], draws_each=150, told=lambda n, of: told.append((n, of)))
    assert found.never == ("rule:dead",)
    assert "rule:rare" in found.only_drawn
    assert "rule:air-gasping" not in found.only_drawn  # the case met it
    assert found.cases == 1
    assert told[0][0] == 0 and told[-1][0] == told[-1][1] - 1
    again = search(reasoner, [seen], draws_each=150)
    assert again == found  # the same seed, the same answer
