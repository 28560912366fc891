"""Every statement on the screen leads back to a reading or an answer, and to a source.

What is checked, for each statement that an assessment shows (causes, steps,
steps held back, cautions, notes, notices, findings, worked-out values, what to
measure next):

1. No link is broken, and every place named in the case really holds something.
2. The chain ends in at least one source, and in at least one answer, absence of
   one ("not measured", or nothing at all for or against a cause), or time of the
   delivery. Exempt from the second half: cautions that always hold.
3. Taking away one cited answer from the case, and reasoning again, changes every
   statement that cites it: it is gone, or its standing or balance is another, or
   what holds below it is. No fact cites the place any more. Exempt are answers
   whose facts come about the same from other places they are told in, or are supposed
   and say so (fish of a day ago are in the tank).
4. Taking away an answer that a statement does not cite leaves it standing on all
   it stood on. Exempt are statements that rest on the ranking as a whole ("stands
   first", "not enough to tell", the move), which every cause's evidence bears on, those
   with a rule below them that fires on an absence ("not measured", "not looked for"),
   answers without which the fish are in another place: then other readings count, and a
   way to move that gives place to another, which is then called for instead.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.explain import Study, audit, everything_shown, study
from tests.explain.chain import Json, deep, kinds_below, walk
from tests.explain.conftest import OWN, SHIPPED
from tests.explain.where import empty, look_up


def told(about: Study) -> Json:
    full = audit(about, everything_shown(about), why_not=False)
    shown: Json = json.loads(full.model_dump_json())
    return shown


def studies(path: Path, reasoner: Reasoner) -> list[Study]:
    case = load_case(path)
    return [study(case, reasoner, lot=lot.id if case.lot else None) for lot in lots_of(case)]


def by_key(audit_json: Json) -> dict[str, Json]:
    return {f"{s['kind']}:{s['id']}": s for s in audit_json["statements"]}


@pytest.mark.parametrize("path", OWN + SHIPPED[::12], ids=lambda p: p.stem)
def test_every_chain_reaches_an_answer_and_a_source(path: Path, reasoner: Reasoner) -> None:
    check_chains(path, reasoner)


@pytest.mark.trial
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_every_chain_of_every_shipped_case(path: Path, reasoner: Reasoner) -> None:
    check_chains(path, reasoner)


def check_chains(path: Path, reasoner: Reasoner) -> None:
    for about in studies(path, reasoner):
        shown = told(about)
        assert shown["statements"]
        for key, statement in by_key(shown).items():
            reached = walk(statement, shown)
            assert not reached.broken, f"{key}: {reached.broken}"
            assert reached.sources, f"{key} rests on no source"
            for place, name in reached.inputs | reached.unmet:
                assert look_up(about.case, place, name) is not None, f"{key}: nothing at {place}"
            if not statement["always"]:
                ends = reached.inputs | reached.unmet | reached.absences | reached.times
                assert ends, f"{key} rests on no answer"


@pytest.mark.parametrize(
    "path",
    # one of them in the quick suite: every answer of a case is taken away in turn
    [OWN[0], *(pytest.param(path, marks=pytest.mark.slow) for path in OWN[1:])],
    ids=lambda p: p.stem,
)
def test_what_is_taken_away_is_missed(path: Path, reasoner: Reasoner) -> None:
    check_removals(path, reasoner)


@pytest.mark.trial
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_what_is_taken_away_is_missed_in_every_shipped_case(path: Path, reasoner: Reasoner) -> None:
    check_removals(path, reasoner)


def check_removals(path: Path, reasoner: Reasoner) -> None:
    for about in studies(path, reasoner):
        shown = told(about)
        statements = by_key(shown)
        reached = {key: walk(statement, shown) for key, statement in statements.items()}
        cited = {key: each.inputs for key, each in reached.items()}
        lot = about.lot.id if about.case.lot else None
        pairs = set().union(*cited.values())
        for place, name in sorted({(p, n if "seen" in p else "") for p, n in pairs}):
            after = told(study(empty(about.case, place, name), reasoner, lot=lot))
            now = by_key(after)
            assert not citing(place, after), f"{citing(place, after)} cite what is not there"
            for key, before in statements.items():
                pair = (before, shown), (now.get(key), after)
                names = {n for p, n in cited[key] if p == place and ("seen" not in p or n == name)}
                if names and not carried_by_others(names, shown, after):
                    cited_taken_away(key, *pair, place)
                elif not any(same(p, place) for p, _ in reached[key].unmet | cited[key]) and (
                    place_of(shown) == place_of(after)
                ):
                    other_taken_away(key, *pair, place)


def same(one: str, other: str) -> bool:
    """Whether two places tell of one thing, at whichever look: emptied is every look."""
    ends = [re.sub(r"^observation \d+", "observation", each) for each in (one, other)]
    return ends[0] == ends[1]


def place_of(told: Json) -> object:
    """Where the fish are, as far as anything shown rests on it."""
    trace = told["facts"].get("place:place")
    return None if trace is None else trace["fact"]["value"]


def citing(place: str, told_after: Json) -> list[str]:
    """Facts that still name a place, looks at signs apart: those tell of other signs too."""
    facts = told_after["facts"].items()
    return [key for key, t in facts if "seen" not in place and place in t["fact"]["where"]]


def carried_by_others(names: set[str], before: Json, after: Json) -> bool:
    """Whether all these facts come about the same from the other places they are told in.

    The heads counted stand in for the number bought, a bag is taken as one, a bag
    opened at some hour is no longer sealed: then nothing needs to change.
    """
    then, now = (
        {f["fact"]["name"]: f["fact"] for f in x["facts"].values()} for x in (before, after)
    )
    return all(
        name in now
        and now[name]["value"] == then[name]["value"]
        and (now[name]["where"] or (now[name]["note"] or "").startswith("supposed"))
        for name in names
    )


def cited_taken_away(
    key: str, before: tuple[Json, Json], after: tuple[Json | None, Json], place: str
) -> None:
    if after[0] is None:
        return
    same = all(before[0][n] == after[0][n] for n in ("verdict", "word", "balance"))
    same = same and deep(*before) == deep(after[0], after[1])
    assert not same, f"{key} cites {place} but stands the same without it"


def other_taken_away(
    key: str, before: tuple[Json, Json], after: tuple[Json | None, Json], place: str
) -> None:
    after_kinds = kinds_below(after[0], after[1]) if after[0] is not None else set()
    if (kinds_below(*before) | after_kinds) & {"first", "not_enough", "known", "action", "move"}:
        return
    if before[0]["kind"] == "fact" and before[0]["verdict"] == "open":
        return  # what to measure next depends on all that is known
    if before[0]["kind"] == "move" and after[0] is None:
        chosen = [key for key in by_key(after[1]) if key.startswith("move:")]
        assert chosen, f"{key} is gone without {place} and no other way stands in its place"
        return
    assert after[0] is not None, f"{key} does not cite {place} but is gone without it"
    lost = deep(*before) - deep(after[0], after[1])
    assert not lost, f"{key} does not cite {place} but without it loses {sorted(lost)[:3]}"
