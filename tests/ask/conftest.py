"""A session played in memory: lines in, screen and case out."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from advisor.advice.assess import Reasoner, default_reasoner
from advisor.ask.answers.phrases import SignBook
from advisor.case import ABSENT, Case
from advisor.screens.session.keep import Keeper
from advisor.screens.session.loading import Ready
from advisor.screens.session.run import _questions, guarded
from advisor.screens.session.session import Session, look_hour, started
from advisor.screens.session.talk import Talk

NOON = datetime(2026, 3, 2, 12, 0)


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()


@pytest.fixture(scope="session")
def ready(reasoner: Reasoner) -> Ready:
    return Ready(reasoner, SignBook(reasoner.base))


class Clock:
    """A clock that moves when told."""

    def __init__(self, now: datetime = NOON) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def forward(self, hours: float) -> None:
        self.now += timedelta(hours=hours)


@dataclass
class Played:
    """What a session came to."""

    screen: str
    session: Session
    status: int

    @property
    def case(self) -> Case:
        return self.session.case


Begin = Callable[..., Session]
Play = Callable[..., Played]


@pytest.fixture
def begin(ready: Ready, tmp_path: Path) -> Begin:
    """A session on these lines, not yet run."""

    def start(
        lines: Iterable[str], case: Case | None = None, clock: Clock | None = None, width: int = 60
    ) -> Session:
        clock = clock or Clock()
        talk = Talk(io.StringIO(), list(lines), width=width)
        keeper = Keeper(talk, tmp_path, clock, stamp=ABSENT)
        held = started(case or Case(), clock())
        return Session(talk, ready, keeper, held, clock, look_hour(held, clock()))

    return start


@pytest.fixture
def play(begin: Begin) -> Play:
    """A whole ``advisor ask`` in memory; the end of the lines ends it."""

    def run(lines: Iterable[str], case: Case | None = None, **more: object) -> Played:
        session = begin(lines, case, **more)
        status = guarded(session, lambda: _questions(session, drawn=False))
        out = session.talk.out
        assert isinstance(out, io.StringIO)
        return Played(out.getvalue(), session, status)

    return run
