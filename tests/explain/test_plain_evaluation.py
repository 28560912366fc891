"""Plain evaluation tells why something did not fire; it must never differ from the engine.

Every condition of the rule base, on every fact of the case and with single answers changed
at random: what plain evaluation calls true is what fired, no more and no less.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.errors import AdvisorError
from advisor.explain import Study, study
from advisor.explain.candidates import choices, numbers
from advisor.explain.change import changed_study
from advisor.rulebase import conditions
from tests.explain.conftest import OWN, SHIPPED


@pytest.mark.parametrize("path", OWN + SHIPPED[::12], ids=lambda p: p.stem)
def test_what_is_true_is_what_fired(path: Path, reasoner: Reasoner) -> None:
    agree(path, reasoner, draws=6)


@pytest.mark.trial
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_what_is_true_is_what_fired_in_every_case(path: Path, reasoner: Reasoner) -> None:
    agree(path, reasoner, draws=30)


def agree(path: Path, reasoner: Reasoner, draws: int) -> None:
    case = load_case(path)
    dice = random.Random(path.stem)
    for lot in lots_of(case):
        about = study(case, reasoner, lot=lot.id if case.lot else None)
        same(about)
        others = [choice.change for choice in choices(about)]
        others += [n.change(dice.choice(n.steps)) for n in numbers(about)]
        for change in dice.sample(others, draws):
            try:
                same(changed_study(about, [change]))
            except AdvisorError:
                continue  # this case cannot hold that answer


def same(about: Study) -> None:
    for name, node in about.nodes.items():
        plain = conditions.evaluate(node, about.facts)
        assert (plain is True) == (name in about.fired), f"{name}: {plain}"
        ways = conditions.branches(node)
        held = [at for at, way in enumerate(ways) if all(x.holds(about.facts) for x in way)]
        assert held == sorted(set(about.fired.get(name, ()))), name
