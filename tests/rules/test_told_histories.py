"""Histories a vet reads at once: where the cause they point to stands (told_*.toml)."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import reason
from advisor.advice.reasoner import default_reasoner
from advisor.case import Case

TOLD = [
    told
    for name in ("told_histories.toml", "told_evenly.toml")
    for told in tomllib.loads(Path(__file__).with_name(name).read_text("utf-8"))["told"]
]


def causes(told: dict[str, Any]) -> list[str]:
    """The causes of a history, best first."""
    data = {
        "history": told.get("history", {}),
        "transit": told.get("transit", {}),
        "receiving": told.get("receiving", {}),
        "lot": [{"id": "fish", **told["lot"]}],
        "observation": [{"lot": "fish", **told["look"]}],
    }
    case = Case.model_validate(data)
    ranking = reason(case, case.lot[0], default_reasoner()).ranking
    return [cause.id for cause in ranking.causes]


@pytest.mark.parametrize("told", TOLD, ids=lambda told: told["id"])
def test_a_told_history_leads_to_its_cause(told: dict[str, Any]) -> None:
    found = causes(told)
    met = stands(found, told)
    assert met != ("open" in told), found[:3]


def stands(found: list[str], told: dict[str, Any]) -> bool:
    """Whether the causes found are those the history points to."""
    three, wanted = set(found[:3]), set(told["three"])
    return (
        found[0] in told["first"]
        and found[0] not in told.get("not_first", ())
        and not three & set(told.get("not_in_three", ()))
        and bool(three & wanted if told.get("any_three") else wanted <= three)
    )
