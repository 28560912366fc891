"""``advisor rules`` finds kinds by trade words, entries by words, and names near misses."""

from __future__ import annotations

import json
import re
from collections import Counter

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


def test_an_entry_of_every_kind_can_be_shown(
    base: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    for kind, (_, attribute) in KINDS.items():
        for name in list(getattr(base, attribute))[:1]:
            assert main(["rules", name]) == 0, (kind, name)
    assert capsys.readouterr().out


def test_works_are_listed_with_all_they_carry(
    base: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    """Counted apart, from the files as text: every mention of a work in a citation."""
    assert main(["rules", "--sources", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    mentions: Counter[str] = Counter()
    for path in base.folder.rglob("*.toml"):
        if path.parent.name != "passages":
            mentions.update(re.findall(r'\bref = "([^"]+)"', path.read_text(encoding="utf-8")))
    assert {work["id"] for work in told} == set(base.sources)
    for work in told:
        assert len(work["carries"]) == mentions[work["id"]], work["id"]
        assert len(work["passages"]) == sum(p.ref == work["id"] for p in base.passages.values())


def test_a_rule_shows_what_its_passages_say_and_where_it_goes_beyond_them(
    base: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    rule = next(r for r in base.rules.values() if r.stretched_to and r.exception)
    shown = [p for p in map(base.passage, rule.source) if p is not None]
    status, out = said(rule.id, capsys)
    assert status == 0
    assert f"Stretched to {rule.stretched_to}: judgement." in out
    assert f"Stronger than its sources carry: {rule.exception}" in out
    assert shown and all(passage.says.rstrip(".") in out for passage in shown)


def numbers(amount: object) -> list[float]:
    """Every number that the rules give one figure and the one beside it."""
    found = [v for v in amount.given.values() if isinstance(v, (int, float))]
    beside = getattr(amount, "beside", None)
    return found + (numbers(beside) if beside is not None else [])


@pytest.mark.slow
def test_every_number_of_an_amount_is_on_its_page(
    base: RuleBase, capsys: pytest.CaptureFixture[str]
) -> None:
    """Who signs a step sees by how much, and not only how it is done."""
    for action in (a for a in base.actions.values() if a.amount is not None):
        status, text = said(action.id, capsys)
        page = re.search(
            r" amount: (.*?) (?:when|only when|an emergency when|NEVER|source): ", text
        )
        assert status == 0 and page is not None, action.id
        shown = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", page[1])]
        assert all(n in shown for n in numbers(action.amount)), (action.id, page[1])
