"""The register of claims: works behind what decides a rescue or a dose are counted and said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.check_claims import claim_remarks, deciding_limits

READ = {"ref": "noga", "basis": "abstract"}
OURS = {"ref": "judgement", "basis": "judgement"}


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def with_injury(base: RuleBase, **changed: Any) -> RuleBase:
    kept = base.injuries["cold-betta"]
    entry = type(kept).model_validate({**kept.model_dump(), **changed})
    return replace(base, injuries={**dict(base.injuries), entry.id: entry})


def texts(base: RuleBase) -> Iterator[str]:
    return (f"{each.where}: {each.text}" for each in claim_remarks(base))


def test_the_shipped_register_stands(base: RuleBase) -> None:
    assert not list(texts(base))


def test_a_deciding_limit_must_say_its_works(base: RuleBase) -> None:
    name = next(iter(deciding_limits(base)))
    silent = base.limits[name].model_copy(update={"independent_works": None})
    changed = replace(base, limits={**dict(base.limits), name: silent})
    assert any(f"limit {name}: decides" in text for text in texts(changed))


def test_works_nobody_looked_into_do_not_count(base: RuleBase) -> None:
    recalled = [{"ref": "noga", "basis": "memory"}, {"ref": "fishbase", "basis": "memory"}]
    changed = with_injury(base, source=recalled, independent_works=2)
    assert any("says 2 independent works, but cites 0" in text for text in texts(changed))
    changed = with_injury(base, source=[READ, READ], independent_works=2)
    assert any("says 2 independent works, but cites 1" in text for text in texts(changed))


def test_a_stretched_figure_must_be_called_judgement(base: RuleBase) -> None:
    stretched = {"stretched_to": ["snakeheads"], "limit": "cold_injury_c", "independent_works": 0}
    assert any("add a judgement" in t for t in texts(with_injury(base, **stretched, source=[READ])))
    called = with_injury(base, **stretched, source=[READ, OURS])
    assert not any("add a judgement" in text for text in texts(called))
    assert any("gives cold_injury_c of snakeheads again" in text for text in texts(called))


def test_an_injury_limit_inside_a_keeping_range_is_a_fault(base: RuleBase) -> None:
    assert any(
        "lies beyond its cold_injury_c 25" in t for t in texts(with_injury(base, value=25.0))
    )


def test_a_limit_for_no_kind_is_a_fault(base: RuleBase) -> None:
    changed = with_injury(base, groups=(), species=(), stretched_to=())
    assert any("holds for no kind" in text for text in texts(changed))


def test_every_deciding_limit_says_how_many_works_carry_it(base: RuleBase) -> None:
    deciding = deciding_limits(base)
    assert len(deciding) > 20
    assert all(base.limits[name].independent_works is not None for name in deciding)
