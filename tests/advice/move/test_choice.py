"""How the next water is judged and a way chosen, on small sets of grounds made for each test.

What is asked for is what DEVELOPERS.md and the rooms promise: a bar takes a way out only while
another is open; unknown is never fit; a harm of the water outranks one of the step, that one of
the days.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from advisor.advice.move.choose import choose_way, move_facts, move_result, ways_of
from advisor.advice.move.fit import fit_facts, fits_of, overall
from advisor.rulebase.engine import Fact, Firing

SEEN = (Fact("sign", "seen", "yes"),)


def ground(because: str, **more: Any) -> Any:
    return SimpleNamespace(because=because, source=(f"source of {because}",), **more)


def way(
    name: str, calls: tuple[int, ...] = (), bars: tuple[str, ...] = (), last: bool = False,
    places: tuple[str, ...] = ("tub",),
) -> Any:  # fmt: skip
    return SimpleNamespace(
        id=name, name=name.upper(), places=places, last_resort=last, source=("own",),
        calls=tuple(ground(f"{name} is called at {order}", order=order) for order in calls),
        bars=tuple(ground(f"{name} is barred {proof}", proof=proof) for proof in bars),
    )  # fmt: skip


def fired(*names: str) -> dict[str, list[Firing]]:
    return {name: [Firing(name, 0, SEEN)] for name in names}


def of(*moves: Any, fires: tuple[str, ...] | None = None, place: str = "tub") -> Any:
    """The ways of these moves; every call and bar holds unless told which fire."""
    every = [
        f"{word}:{move.id}:{at}"
        for move in moves
        for word, grounds in (("call", move.calls), ("bar", move.bars))
        for at in range(1, len(grounds) + 1)
    ]
    sheet: Any = SimpleNamespace(situation=SimpleNamespace(place=place))
    base: Any = SimpleNamespace(moves={move.id: move for move in moves})
    return ways_of(fired(*(every if fires is None else fires)), sheet, base)


def chosen(*moves: Any, **more: Any) -> str | None:
    way = choose_way(of(*moves, **more))
    return None if way is None else way.move.id


def test_the_most_pressing_call_that_is_open_is_taken() -> None:
    assert chosen(way("a", (5,)), way("b", (9, 2)), way("c", (3,))) == "b"
    assert chosen(way("b", (2,)), way("a", (2,))) == "a", "of equal ones the same each time"
    assert chosen(way("a", (0,)), way("b", (1,))) == "a"
    assert chosen(way("a", (5,)), way("b", (2,)), fires=("call:a:1",)) == "a", "only what holds"


def test_ways_of_other_places_are_no_ways() -> None:
    assert chosen(way("a", (1,), places=("tank", "open_bag")), way("b", (2,))) == "b"
    assert chosen(way("a", (1,), places=("tank",))) is None
    assert chosen(way("a", (1,), places=("tank", "tub"))) == "a"


@pytest.mark.parametrize("proof", ["sure", "possible"])
def test_a_bar_takes_a_way_out_while_another_is_called(proof: str) -> None:
    assert chosen(way("a", (1,), (proof,)), way("b", (2,))) == "b"
    assert chosen(way("a", (1,), ("possible",)), way("b", (2,), ("sure",))) == "a"


def test_rather_a_way_not_called_than_one_surely_barred() -> None:
    assert chosen(way("a", (1,), ("sure",)), way("b")) == "b"
    assert chosen(way("a", (1,), ("sure",)), way("b", last=True), way("c")) == "c"
    assert chosen(way("a", (1,), ("sure",)), way("b", bars=("possible",))) == "b"


def test_the_last_way_out_is_never_barred() -> None:
    assert chosen(way("b", (1,), ("sure",)), way("a", (2,), ("sure",))) == "a"
    assert chosen(way("a", (1,), ("sure",), last=True), way("b", (2,), ("sure", "possible"))) == "b"
    assert chosen() is None


def test_what_was_chosen_is_a_fact() -> None:
    assert list(move_facts(choose_way(of(way("a", (1,)))))) == [Fact("move", "move", "a")]
    assert list(move_facts(None)) == []


def told(ways: Any, sealed: bool = True, fits: tuple[Any, ...] = ()) -> Any:
    hours = SimpleNamespace(number=7.0, band=(5.0, 9.0))
    quantities = {"oxygen_hours_left": hours, "float_minutes": SimpleNamespace(number=20.0)}
    sheet: Any = SimpleNamespace(sealed=sealed, quantity=quantities.get)
    return move_result(ways, choose_way(ways), fits, sheet)


def test_each_way_says_why_it_is_taken_or_not() -> None:
    ways = of(way("a", (4, 1)), way("b", (2,)), way("c", (1,), ("possible",)), way("d"))
    result = told(ways)
    assert {each.move: (each.state, each.because) for each in result.ways} == {
        "a": ("chosen", "a is called at 1"),
        "b": ("called", "b is called at 2"),
        "c": ("barred", "c is barred possible"),
        "d": ("not_called", "Nothing here calls for it."),
    }
    assert (result.chosen, result.name, result.because) == ("a", "A", "a is called at 1")
    by = {each.move: each for each in result.ways}
    assert by["a"].sources == ("source of a is called at 1",) and by["d"].sources == ("own",)
    assert [fact.name for fact in by["a"].facts] == ["seen"] and by["d"].facts == ()


def test_a_way_left_over_says_that_the_others_are_barred() -> None:
    result = told(of(way("a", (1,), ("sure",)), way("b")))
    assert (result.chosen, result.because) == ("b", "Every other way is barred.")
    barred = told(of(way("a", (1,), ("sure",))))
    assert (barred.chosen, barred.because) == ("a", "a is called at 1"), "the last way out"
    assert told(()) is None


def test_hours_belong_to_shut_bags_and_minutes_to_floating() -> None:
    shut, opened = told(of(way("a", (1,)))), told(of(way("a", (1,))), sealed=False)
    assert (shut.hours_left, shut.hours_left_low, shut.hours_left_high) == (7.0, 5.0, 9.0)
    assert (opened.hours_left, opened.hours_left_low, opened.hours_left_high) == (None,) * 3
    assert told(of(way("float", (1,)))).minutes == 20.0 and shut.minutes is None


# -- the fit of the next water -------------------------------------------------------


def dimension(name: str, *of: str, kills: str = "", unknown: str = "not read") -> Any:
    return SimpleNamespace(
        id=name, name=name.upper(), kills=kills, unknown=unknown, source=("of the fit",),
        reads=("ph",), asks=("asked",),
        unfit=tuple(ground(f"{name} {at} {what}", of=what) for at, what in enumerate(of, 1)),
    )  # fmt: skip


def judged(dimensions: tuple[Any, ...], *fires: str, water: str | None = "tank") -> Any:
    sheet: Any = SimpleNamespace(situation=SimpleNamespace(next_water=water))
    base: Any = SimpleNamespace(fits={each.id: each for each in dimensions})
    return fits_of(fired(*fires), sheet, base), base


def test_what_was_not_read_is_not_known() -> None:
    (fit,), _ = judged((dimension("ph", "water"),))
    assert (fit.state, fit.because, fit.kills, fit.of) == ("not_known", "not read", False, "water")
    assert (fit.reads, fit.asks, fit.sources, fit.facts) == (
        ("ph",), ("asked",), ("of the fit",), (),
    )  # fmt: skip


def test_what_fits_says_so_and_asks_nothing() -> None:
    (fit,), _ = judged((dimension("ph", "water"),), "fits:ph")
    assert (fit.state, fit.because, fit.reads, fit.asks) == ("fit", "", (), ())
    assert [fact.name for fact in fit.facts] == ["seen"] and fit.sources == ("of the fit",)


def test_what_is_unfit_outweighs_what_fits_and_leads_with_the_water() -> None:
    (fit,), _ = judged((dimension("ph", "days", "step", "water"),), "unfit:ph:1", "unfit:ph:2",
                       "unfit:ph:3", "fits:ph")  # fmt: skip
    assert (fit.state, fit.of) == ("not_fit", "water")
    assert fit.because == "ph 3 water ph 2 step ph 1 days"
    assert fit.sources == ("source of ph 3 water",) and fit.reads == () and fit.facts
    (fit,), _ = judged((dimension("ph", "days", "step", "water"),), "unfit:ph:1", "unfit:ph:2")
    assert fit.of == "step"


def test_fish_that_are_in_the_tank_have_no_next_water() -> None:
    found, base = judged((dimension("ph", "water"),), water=None)
    assert found == () and list(fit_facts(found, base)) == []


@pytest.mark.parametrize("kills, fires", [("always", ()), ("", ("kills:ph",))])
def test_what_may_kill_is_told_by_the_entry_or_by_what_fired(
    kills: str, fires: tuple[str, ...]
) -> None:
    (fit,), _ = judged((dimension("ph", "water", kills=kills),), *fires)
    assert fit.kills
    assert told(of(way("a", (1,))), fits=(fit,)).would_change == ("PH: not read",)


@pytest.mark.parametrize(
    "fires, water, step, release",
    [
        (("fits:ph", "fits:salt"), "fit", "fit", "fit"),
        (("fits:salt",), "not_known", "fit", "not_known"),  # ph kills, and has no step
        (("fits:ph",), "not_known", "not_known", "not_known"),  # salt kills, by a step too
        (("unfit:ph:1", "fits:salt"), "not_fit", "fit", "not_fit"),
        (("fits:ph", "unfit:salt:1"), "fit", "not_fit", "not_fit"),
        (("unfit:ph:2", "fits:salt"), "fit", "fit", "fit"),  # days are no bar to the release
    ],
)
def test_water_step_and_release_follow_from_all(
    fires: tuple[str, ...], water: str, step: str, release: str
) -> None:
    both = (dimension("ph", "water", "days", kills="x"), dimension("salt", "step", kills="x"))
    fits, base = judged((*both, dimension("odd", "water")), *fires)
    assert overall(fits, base) == {"water": water, "step": step, "release": release}
    facts = {(fact.kind, fact.name): fact.value for fact in fit_facts(fits, base)}
    assert facts[("fit", "release")] == release and facts[("fit", "odd")] == "not_known"
    assert len(facts) == 6


def test_what_would_change_the_move_is_first_what_may_kill_unread_then_what_could_be_mended() -> (
    None
):
    four = (
        dimension("hot", "water"), dimension("quiet", "water"), dimension("days", "days"),
        dimension("deadly", "water", kills="x", unknown="may kill"),
    )  # fmt: skip
    fits, _ = judged(four, "unfit:hot:1", "unfit:days:1")
    assert told(of(way("a", (1,))), fits=fits).would_change == (
        "DEADLY: may kill",
        "HOT: hot 1 water",
    )
