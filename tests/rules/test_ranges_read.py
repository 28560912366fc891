"""A keeping range that goes past every range its sources print says that this end is ours."""

from __future__ import annotations

import re

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.kinds import Species

NUMBER = re.compile(r"\d+(?:\.\d+)?")
#: What a citation may say of a kind that is no range it is kept in.
NO_RANGE = ("dies", "note only", "ours", "memory")
#: What introduces the ends of a row that a citation does not print.
ELSEWHERE = "; not from here: "
#: The pH of fish waters and the temperatures of fish: sorts out days and salt.
PH, WARMTH = (2.0, 12.0), (0.0, 45.0)


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def printed(at: str) -> tuple[list[float], list[float]]:
    """Temperatures and pH that a citation prints."""
    warmth: list[float] = []
    acid: list[float] = []
    only_ph = "°C" not in at
    for part in re.split(r"[,;] ", at.partition(ELSEWHERE)[0]):
        found = [float(number) for number in NUMBER.findall(part)]
        if "pH" in part or only_ph:
            acid += [f for f in found if PH[0] <= f <= PH[1]]
        else:
            warmth += [f for f in found if WARMTH[0] <= f <= WARMTH[1]]
    return warmth, acid


def places(row: Species) -> list[str]:
    """What the citations of a range say."""
    return [
        cited.at or ""
        for cited in row.source
        if cited.basis not in ("memory", "judgement")
        and not any(word in (cited.at or "") for word in NO_RANGE)
    ]


def ends_past(row: Species, places: list[str]) -> set[str]:
    """The ends of a row beyond all that these places print, as the mark must name them."""
    warmth: list[float] = []
    acid: list[float] = []
    for at in places:
        degrees, ph = printed(at)
        warmth, acid = warmth + degrees, acid + ph
    found = set()
    for low, high, values, words in (
        (row.temperature_low_c, row.temperature_high_c, warmth, "{:g} °C"),
        (row.ph_low, row.ph_high, acid, "pH {:.1f}"),
    ):
        if low is not None and values and low < min(values):
            found.add(words.format(low))
        if high is not None and values and high > max(values):
            found.add(words.format(high))
    return found


def marked(row: Species) -> set[str]:
    ours = [c.at or "" for c in row.source if c.basis == "judgement" and "outside" in (c.at or "")]
    return {end for at in ours for end in at.split(": ours")[0].split(", ")}


def test_every_end_past_the_printed_ranges_is_called_ours(base: RuleBase) -> None:
    unlike = {
        row.id: (sorted(ends_past(row, places(row))), sorted(marked(row)))
        for row in base.species.values()
        if ends_past(row, places(row)) != marked(row)
    }
    assert not unlike


def test_every_citation_names_the_ends_that_it_does_not_carry(base: RuleBase) -> None:
    """Whoever opens one work finds there what the citation says is there, and no less."""
    unlike = {
        (row.id, at)
        for row in base.species.values()
        for at in places(row)
        if ends_past(row, [at]) != set(filter(None, at.partition(ELSEWHERE)[2].split(" and ")))
    }
    assert not unlike


def test_a_range_is_read_out_of_a_citation() -> None:
    assert printed("22 to 28 °C, pH 8.0 to 8.4, sea kinds in general") == ([22, 28], [8.0, 8.4])
    assert printed("FishBase pH 6 to 7, Seriously Fish 5.5 to 7") == ([], [6, 7, 5.5, 7])


def test_an_end_moved_outward_is_found(base: RuleBase) -> None:
    row = next(
        r for r in base.species.values() if not ends_past(r, places(r)) and "pH" in str(places(r))
    )
    moved = row.model_copy(update={"ph_high": 11.9})
    assert ends_past(moved, places(row)) == {"pH 11.9"}
