"""Rules that ask the program for what it does not have."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.advice.soundness import refuse_unsound
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase, load_rulebase
from tests.tiny import write_tiny

JUDGED = "source = [{ ref = 'judgement', basis = 'judgement' }]\n"
ACTION = "[[action]]\nid = 'dose'\ntext = 'x'\nbecause = 'x'\ntime = 'now'\n" + JUDGED


def test_the_shipped_rules_ask_for_nothing_the_program_lacks(base: RuleBase) -> None:
    refuse_unsound(base)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (
            "[[history]]\nid = 'x'\nname = 'x'\nfield = 'receiving.invertebrate'\n" + JUDGED,
            "history x: field: a case has no receiving.invertebrate; "
            'did you mean "receiving.invertebrates"?',
        ),
        (
            "[[history]]\nid = 'x'\nname = 'x'\nfield = 'weather'\n" + JUDGED,
            "history x: field: a case has no weather",
        ),
        (
            ACTION + "amount = { formula = 'salt' }\n",
            'action dose: amount: no formula "salt"; did you mean "salt_g"?',
        ),
        (
            ACTION + "amount = { formula = 'salt_g', given = { target = 1 } }\n",
            'action dose: amount: salt_g takes no "target"',
        ),
        (
            ACTION + "amount = { formula = 'salt_g', given = { target_g_l = 'tank_do' } }\n",
            'action dose: amount: no reading or computed "tank_do"; did you mean "tank_do_mg_l"?',
        ),
    ],
)
def test_a_slip_is_said_before_anything_runs(tmp_path: Path, more: str, says: str) -> None:
    write_tiny(tmp_path, more)
    for make in (lambda: Reasoner.load(tmp_path), lambda: Reasoner.of(load_rulebase(tmp_path))):
        with pytest.raises(AdvisorError) as refused:
            make()
        assert str(refused.value).startswith(f"rules/rules.toml, {says}")
