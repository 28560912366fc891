"""From shut bags on, whatever is ticked, left out, taken back or typed: no sitting breaks.

As a foreman met it: bags told shut, fish on their side, "d" and then "e" twice - an IndexError, and
the same again at every later sitting.
"""

from __future__ import annotations

import io
import random
from pathlib import Path
from typing import Literal

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.session import session
from advisor.case import ABSENT, Case, load_with_stamp, loads_case, save_case
from advisor.screens.session.keep import Keeper
from advisor.screens.session.talk import Talk
from tests.ask.conftest import Play, Played, read
from tests.clock import Clock
from tests.said import joined

KEYS = ["d", "d", "d 1", "d 2", "d b", "d 1 2", "e", "e", "b", "b", "p", "a", "a 2", "=", "u", ""]
NUMBERS = [
    "0",
    "1",
    "2",
    "3",
    "6",
    "1 2",
    "8",
    "12",
    "0 dead 3 down",
    "1 dead",
    "30 h",
    "25",
    "7.2",
]
WORDS = ["5 on side", "gasping all", "swim ok", "out", "netted", "all out", "not yet", "open", "n",
         "y", "20 min", "half hour ago", "2 shut, 1 in a tub", "all in the tub", "34 C", "better",
         "guppies", "mollies", "one bag", "all", "fine", "s"]  # fmt: skip
KINDS = ("guppy", "black molly", "neon tetra")
TO: tuple[Literal["ask", "look", "close"], ...] = ("ask", "ask", "look", "close")


def _shut(lots: int, rng: random.Random) -> Case:
    """Bags told shut, with fish on their side in one of them or in all."""
    text = '[delivery]\nreceived = "2026-03-02T12:00:00"\n'
    for kind in KINDS[:lots]:
        bags = rng.choice(["", "bags = 1\n", "bags = 3\n"])
        text += f'[[lot]]\nid = "{kind}"\nspecies = "{kind}"\ncount = 12\nsealed = "yes"\n{bags}'
    where = rng.choice(["all", *KINDS[:lots]])
    text += f'[[observation]]\nlot = "{where}"\nseen = ["lying_on_side"]\n'
    return loads_case(text)


def _line(rng: random.Random) -> str:
    return rng.choice(rng.choice((KEYS, KEYS, NUMBERS, WORDS)))


def _sittings(seed: int, reasoner: Reasoner, folder: Path) -> None:
    """Sittings on one delivery, one after the other; each begins from what lies on disk."""
    rng = random.Random(seed)
    case, clock = _shut(rng.randint(1, 3), rng), Clock()
    path = folder / f"{seed}.toml"
    stamp = save_case(case, path, expected_stamp=ABSENT)
    for to in TO[: rng.randint(1, len(TO))]:
        lines = [_line(rng) for _ in range(rng.randint(2, 14))]
        talk = Talk(io.StringIO(), lines, width=60)
        keeper = Keeper(talk, folder, clock, path=path, stamp=stamp, case=case)
        try:
            played = read(session(case, reasoner, clock, to=to), keeper)
        except Exception as fault:
            raise AssertionError(f"seed {seed}, {to}: {lines}") from fault
        assert played.status in (0, 2), (seed, to, lines)
        case, stamp = load_with_stamp(path)
        assert case == played.case, (seed, to, lines)
        clock.forward(rng.choice((0.02, 0.3, 20.0)))


@pytest.mark.parametrize("seed", range(6))
def test_no_keys_break_a_sitting(seed: int, reasoner: Reasoner, tmp_path: Path) -> None:
    _sittings(seed, reasoner, tmp_path)


@pytest.mark.slow
def test_no_keys_break_a_sitting_many(reasoner: Reasoner, tmp_path: Path) -> None:
    for seed in range(100, 200):
        _sittings(seed, reasoner, tmp_path)


@pytest.mark.parametrize("lots", [1, 2, 3])
def test_a_ticked_opening_and_e_end_in_a_plan(lots: int, play: Play) -> None:
    """The foreman's own keys, and the sitting after it."""
    case = _shut(lots, random.Random(0))
    played: Played = play(["d 1", "e", "e", "e", "e"], case)
    assert played.status == 0 and "DO NOW" in joined(played.screen)
    again = play(["e", "e", "e", "e"], played.case)
    assert again.status == 0
