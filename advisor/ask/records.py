"""What a session yields and what it takes: plain frozen records, the same for every reader.

A reader (terminal, page) renders ``Show``, writes the case of ``Keep`` to where it is kept,
and sends the reply to ``Ask``: a line as typed, or the keys of the choices taken.
"""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeVar

if TYPE_CHECKING:
    from advisor.advice.results import Assessment
    from advisor.case import Case


@dataclass(frozen=True)
class Say:
    """A paragraph. An empty text is a pause between subjects.

    mark   : what stands before it in a list ("1.", "-", "!!")
    level  : 0 for the session's own words, 1 beside a question, 2 inside a list of level 1
    strong : must not be overlooked
    """

    text: str = ""
    mark: str = ""
    level: int = 0
    strong: bool = False


@dataclass(frozen=True)
class ShowPlan:
    """The plan of these lots, on one screenful."""

    result: Assessment
    case: Case


@dataclass(frozen=True)
class ShowTrend:
    """Readings and survivors of a case over its looks."""

    case: Case


Block = Say | ShowPlan | ShowTrend


@dataclass(frozen=True)
class Show:
    """Blocks to be shown now, in order."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Keep:
    """The case as it now stands: to be on disk before anything more is asked.

    part : of an answer whose rest is asked next; a reader that notes parts itself may pass it over
    """

    case: Case
    part: bool = False


@dataclass(frozen=True)
class Choice:
    """A line to choose: ``label`` names it, ``detail`` says how to tell it."""

    key: str
    label: str
    detail: str = ""

    @property
    def line(self) -> str:
        return f"{self.label} - {self.detail}" if self.detail else self.label


class Waiting(NamedTuple):
    """An emergency that stands; ``which`` names its lots where it is not all of them.

    number : "d" with it ticks the step
    """

    action: str
    text: str
    lots: tuple[str, ...]
    which: str
    number: int = 0


@dataclass(frozen=True)
class Ask:
    """A line or a choice is wanted.

    question : id in the rule base; for a follow-up that of the question it belongs to
    key      : as the case remembers it ("counts/neons"); answers given by name use it
    follows  : what a follow-up is about ("kit", "basis", "taken_as", ...); empty for the question
    kind     : "one" or "several" of the choices, "line" of own words, "enter" when ready
    text     : the question; ``about`` names its lot where there are several
    part     : which reading of the question is meant, when it has several
    number   : place in the session; 0 for what follows a question
    again    : the same was asked just before, and its answer could not be used
    kept     : the answer that was taken back; Enter takes it again, "not known" does not
    left     : about so many questions are still worth asking; 0 where it was not worked out
    waiting  : the emergencies that are certain and not done, as they stand now
    """

    question: str
    key: str
    kind: Literal["one", "several", "line", "enter"]
    text: str
    choices: tuple[Choice, ...] = ()
    about: str = ""
    part: str = ""
    hint: str = ""
    number: int = 0
    follows: str = ""
    again: bool = False
    kept: str = ""
    left: int = 0
    waiting: tuple[Waiting, ...] = ()


@dataclass(frozen=True)
class Chosen:
    """Choices taken, by key; none of them when empty."""

    keys: tuple[str, ...]


@dataclass(frozen=True)
class Sitting:
    """How a session ended: all asked, left early, or the case closed.

    misread : lines that could not be used
    """

    case: Case
    how: Literal["done", "left", "closed"]
    misread: int = 0


class NoMoreLines(Exception):
    """Thrown into a session by a reader whose lines have come to an end."""


Step = Show | Ask | Keep
Reply = str | Chosen | None
T = TypeVar("T")
#: A part of a session that ends with a T.
Talking = Generator[Step, Reply, T]
