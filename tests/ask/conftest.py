"""A session played in memory: lines in, screen and case out."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.ask.hours import started
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.ask.session import session
from advisor.case import ABSENT, Case
from advisor.screens.session.keep import Keeper
from advisor.screens.session.run import Reader
from advisor.screens.session.talk import Talk
from tests.clock import Clock


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()


@dataclass
class Played:
    """What a session came to."""

    screen: str
    case: Case
    status: int
    keeper: Keeper


def told(keeper: Keeper) -> str:
    """What stands on the screen that the keeper speaks on."""
    assert isinstance(keeper.talk.out, io.StringIO)
    return keeper.talk.out.getvalue()


def read(steps: Talking[Sitting], keeper: Keeper) -> Played:
    """A session read on a screen in memory."""
    status = Reader(keeper.talk, keeper).read(steps)
    return Played(told(keeper), keeper.case, status, keeper)


@dataclass
class Bench:
    """A session that has begun, to put single questions to."""

    at: Inquiry
    keeper: Keeper

    def put(self, question: str) -> None:
        """Put one question about the first lot."""

        def steps() -> Talking[Sitting]:
            asked = self.at.reasoner.base.questions[question]
            yield from ask_one(self.at, asked, self.at.first_lot)
            yield from self.at.out()
            return Sitting(self.at.case, "done")

        Reader(self.keeper.talk, self.keeper)._through(steps())

    @property
    def case(self) -> Case:
        return self.at.case

    @property
    def screen(self) -> str:
        return told(self.keeper)


Begin = Callable[..., Bench]
Play = Callable[..., Played]


@pytest.fixture
def begin(reasoner: Reasoner, tmp_path: Path) -> Begin:
    """A session on these lines, with no question put yet."""

    def start(lines: Iterable[str]) -> Bench:
        clock = Clock()
        keeper = Keeper(Talk(io.StringIO(), list(lines), width=60), tmp_path, clock, stamp=ABSENT)
        return Bench(Inquiry(started(Case(), clock()), reasoner, clock), keeper)

    return start


@pytest.fixture
def play(reasoner: Reasoner, tmp_path: Path) -> Play:
    """A whole ``advisor ask`` in memory; the end of the lines ends it."""

    def run(
        lines: Iterable[str], case: Case | None = None, clock: Clock | None = None, width: int = 60
    ) -> Played:
        clock = clock or Clock()
        keeper = Keeper(Talk(io.StringIO(), list(lines), width=width), tmp_path, clock)
        steps = session(case or Case(), reasoner, clock)
        return read(steps, keeper)

    return run
