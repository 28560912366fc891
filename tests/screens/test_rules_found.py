"""``advisor rules`` finds kinds by trade words, entries by words, and names near misses."""

from __future__ import annotations

import re

import pytest

from advisor.rulebase import RuleBase
from advisor.rulebase.base import KINDS
from advisor.screens.app import main

FOUND = {
    "neon tetra": "species paracheirodon_innesi",
    "neons": "species paracheirodon_innesi",
    "P. innesi": "species paracheirodon_innesi",
    "whip tail catfish": "group plecos",
    "float closed": "action float_closed",
    "air_tank": "action air_tank",
}


def said(words: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    status = main(["rules", *words.split()])
    shown = capsys.readouterr()
    return status, " ".join((shown.out + shown.err).split())


@pytest.mark.parametrize("words", FOUND)
def test_it_is_found(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, text = said(words, capsys)
    assert status == 0 and FOUND[words] in text


def test_many_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    status, text = said("the water", capsys)
    assert status == 0 and text.endswith("Explain one with: advisor rules ID")


@pytest.mark.parametrize("words", ["neon tetrra", "nitrit", "flaot_closed"])
def test_a_near_miss_is_named(words: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, text = said(words, capsys)
    assert status == 2 or "neon tetra" in text
    assert "did you mean" in text or "neon tetra" in text


def test_each_bar_stands_beside_its_condition(
    base: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    barred = next(a for a in base.actions.values() if len(a.forbidden) > 1)
    _, text = said(barred.id, capsys)
    for bar in barred.forbidden:
        reason = re.escape(" ".join(bar.because.split()))
        assert re.search(rf"NEVER: {reason} when: ", text)


def test_every_entry_can_be_shown(base: RuleBase, capsys: pytest.CaptureFixture[str]) -> None:
    for kind, (_, attribute) in KINDS.items():
        for name in list(getattr(base, attribute))[:3]:
            assert main(["rules", name]) == 0, (kind, name)
    assert capsys.readouterr().out
