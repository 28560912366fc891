"""Ranking worked out by hand: sums, words, groups, and when there is not enough to tell.

Weights of evidence add (Good 1950, Probability and the Weighing of Evidence); which
number has which word is the rule base's own setting, here that of tests/tiny.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.ranking import Ranking, rank, standing_facts, standing_word
from advisor.advice.results import CauseResult
from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.engine import Fact, Firing
from tests.tiny import SETTINGS

JUDGED = "source = [{ ref = 'judgement', basis = 'judgement' }]\n"
DIRECTIONS = {"one": "air", "two": "wait", "three": "air"}


def written(settings: str = SETTINGS, extra: str = "") -> dict[str, str]:
    lines = ["[[sign]]\nid = 's'\nname = 's'\nlook_for = 's'\n" + JUDGED]
    for cause, direction in DIRECTIONS.items():
        lines.append(
            f"[[cause]]\nid = '{cause}'\nname = 'the {cause}'\nsummary = 'x'\nprove = 'x'\n"
            f"prior = {{ arrival = 0, day_2_4 = -2, day_5_14 = -4 }}\nkind = 'water'\n"
            f"direction = '{direction}'\n{JUDGED}"
        )
        for side in ("supports", "opposes"):
            for strength in ("weak", "supporting", "strong", "decisive"):
                lines.append(
                    f"[[rule]]\nid = '{cause}-{side}-{strength}'\n{side} = '{cause}'\n"
                    f"strength = '{strength}'\nbecause = 'x'\nwhen = {{ sign = 's' }}\n{JUDGED}"
                )
    return {"rulebase.toml": settings, "rules.toml": "\n".join(lines) + extra}


GROUPED = "".join(
    f"[[rule]]\nid = '{name}'\n{side} = 'one'\nstrength = '{strength}'\ngroup = 'g'\n"
    f"because = 'x'\nwhen = {{ sign = 's' }}\n{JUDGED}"
    for name, side, strength in (
        ("g-b-weak", "supports", "weak"),
        ("g-a-strong", "supports", "strong"),
        ("g-c-strong", "supports", "strong"),
        ("g-against", "opposes", "supporting"),
    )
)


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def loaded(folder: Path, settings: str = SETTINGS, extra: str = "") -> RuleBase:
    for name, text in written(settings, extra).items():
        (folder / name).write_text(text)
    return load_rulebase(folder)


@pytest.fixture
def small(tmp_path: Path) -> RuleBase:
    return loaded(tmp_path, extra=GROUPED)


SEEN = (Fact("sign", "s", True),)


def ranked(base: RuleBase, *rules: str, phase: str = "arrival") -> Ranking:
    return rank([Firing(f"rule:{name}", 0, SEEN) for name in rules], phase, base)


def cause(ranking: Ranking, name: str) -> CauseResult:
    return next(each for each in ranking.causes if each.id == name)


def test_weights_for_and_against_add_to_the_odds_of_the_day(small: RuleBase) -> None:
    rules = ("one-supports-weak", "one-supports-strong", "one-opposes-supporting")
    for phase, start in (("arrival", 0), ("day_2_4", -2), ("day_5_14", -4)):
        found = cause(ranked(small, *rules, phase=phase), "one")
        assert found.prior == start
        assert found.decibans == start + 3 + 10 - 6
        assert [e.decibans for e in found.evidence_for] == [10, 3]  # strongest first
        assert [e.decibans for e in found.evidence_against] == [-6]
    assert cause(ranked(small), "two").decibans == 0


def test_a_cause_that_nothing_speaks_for_starts_lower_by_what_the_rule_base_says(
    tmp_path: Path,
) -> None:
    base = loaded(
        tmp_path, SETTINGS.replace("close_call = 4", "close_call = 4\nnothing_for_it = 3.5")
    )
    for rules, start, against in (
        ((), -3.5, 0),
        (("one-opposes-supporting",), -3.5, -6),
        (("one-supports-weak", "one-opposes-supporting"), 0, 3 - 6),
    ):
        found = cause(ranked(base, *rules), "one")
        assert found.prior == start
        assert found.decibans == start + against


def test_of_a_group_the_strongest_counts_on_each_side_and_the_first_of_equals(
    small: RuleBase,
) -> None:
    rules = ("g-c-strong", "g-b-weak", "g-a-strong", "g-against", "one-supports-weak")
    found = cause(ranked(small, *rules), "one")
    assert found.decibans == 10 + 3 - 6
    assert [(e.rule, e.counts) for e in found.evidence_for] == [
        ("g-a-strong", True),
        ("one-supports-weak", True),
        ("g-c-strong", False),
        ("g-b-weak", False),
    ]
    assert [(e.rule, e.counts) for e in found.evidence_against] == [("g-against", True)]


def test_a_rule_that_fired_on_two_branches_counts_once(small: RuleBase) -> None:
    twice = [Firing("rule:one-supports-weak", branch, SEEN) for branch in (0, 1)]
    assert cause(rank(twice, "arrival", small), "one").decibans == 3


@pytest.mark.parametrize(
    ("decibans", "word"),
    [
        (10, "very_likely"), (9.999, "likely"), (3, "likely"), (2.999, "possible"),
        (-7, "possible"), (-7.001, "unlikely"), (-60, "unlikely"), (60, "very_likely"),
    ],
)  # fmt: skip
def test_each_word_begins_at_its_number(small: RuleBase, decibans: float, word: str) -> None:
    assert standing_word(decibans, small) == word


def test_equals_stand_in_the_order_of_their_ids(small: RuleBase) -> None:
    assert [each.id for each in ranked(small).causes] == ["one", "three", "two"]
    assert [each.id for each in ranked(small, "two-supports-weak").causes] == [
        "two",
        "one",
        "three",
    ]


def test_light_weights_count_too_and_sums_are_rounded_to_a_millionth(tmp_path: Path) -> None:
    light = loaded(tmp_path, SETTINGS.replace("weak = 3", "weak = 0.5000004"))
    found = cause(ranked(light, "one-supports-weak", "one-opposes-weak"), "one")
    assert [e.decibans for e in found.evidence_for] == [0.5000004]
    assert [e.decibans for e in found.evidence_against] == [-0.5000004]
    assert cause(ranked(light, "one-supports-weak"), "one").decibans == 0.5


# -- not enough to tell -------------------------------------------------------

NOT_ENOUGH = [
    # (what fired, part of the reason; None = enough)
    ((), "Little has been seen"),
    (("one-supports-weak",), "Little has been seen"),
    (("one-supports-supporting",), None),  # just the evidence that is asked for
    (("one-supports-supporting", "one-opposes-supporting"), "no more than possible"),
    (("one-supports-supporting", "one-opposes-weak"), "lie close together"),  # the others at 0
    (("one-supports-supporting", "two-supports-weak"), "The one and the two lie close"),
    (("one-supports-supporting", "three-supports-weak", "two-opposes-weak"), None),
    (("one-supports-supporting", "three-supports-weak", "two-supports-weak"), "and the two lie"),
    (("one-supports-strong", "two-supports-supporting"), None),  # very likely: both may be true
]


@pytest.mark.parametrize(("rules", "because"), NOT_ENOUGH)
def test_when_there_is_not_enough_to_tell(
    small: RuleBase, rules: tuple[str, ...], because: str | None
) -> None:
    found = ranked(small, *rules)
    assert found.not_enough == (because is not None)
    assert found.because is None if because is None else because.lower() in found.because.lower()


def test_just_as_far_apart_as_asked_is_far_enough(tmp_path: Path) -> None:
    far = loaded(tmp_path, SETTINGS.replace("close_call = 4", "close_call = 3"))
    assert ranked(far, "one-supports-supporting", "two-supports-weak").because is None
    near = loaded(tmp_path, SETTINGS.replace("close_call = 4", "close_call = 3.001"))
    assert ranked(near, "one-supports-supporting", "two-supports-weak").because is not None


def test_a_rule_base_without_causes_says_so(tmp_path: Path) -> None:
    (tmp_path / "rulebase.toml").write_text(SETTINGS)
    assert rank([], "arrival", load_rulebase(tmp_path)).because == "The rule base holds no cause."


def test_the_ranking_as_facts(small: RuleBase) -> None:
    found = ranked(small, "two-supports-supporting")
    facts = {(fact.kind, fact.name): fact.value for fact in standing_facts(found)}
    assert facts == {
        ("not_enough", "not_enough"): False,
        ("standing", "two"): 2,
        ("standing", "one"): 1,
        ("standing", "three"): 1,
        ("first", "two"): True,
        ("first", "one"): False,
        ("first", "three"): False,
    }
