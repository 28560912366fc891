"""What a log leaves open: questions, and what a person told in answer."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from advisor.errors import AdvisorError

#: What can be told about a log, with an example of an answer.
TELLABLE: dict[str, str] = {
    "unit": "unit:DO=mg/L",
    "basis": "basis:Ammonia=total, as N",
    "parameter": "parameter:CH1=temperature",
    "column": "column:temperature_c=Tank temp",
    "headings": "headings=Time, Temp (°C), pH",
    "zone": "zone=Europe/Berlin, or zone=+01:00",
    "start": "start=2027-03-02T14:10, or start=receipt",
    "interval": "interval=15 min",
    "date": "date=2027-03-02",
    "date_order": "date_order=day first, month first or year first",
    "time_unit": "time_unit:Elapsed=min",
    "time_column": "time_column=measured at",
    "number_form": "number_form:EC=point for thousands",
    "am_pm": "am_pm=AM at the first row",
    "site": "site:Site=Tank B",
    "row": "row=the first",
    "replace": "replace=yes",
    "temperature_c": "temperature_c=24.5",
    "salinity_g_kg": "salinity_g_kg=0",
    "altitude_m": "altitude_m=520",
    "receipt_zone": "receipt_zone=Europe/Berlin",
}


@dataclass(frozen=True)
class LogQuestion:
    """One thing a log does not say. ``what`` is a key of TELLABLE, ``such_as`` a likely answer."""

    what: str
    column: str | None
    sentence: str
    such_as: str = ""

    @property
    def key(self) -> str:
        return self.what if self.column is None else f"{self.what}:{self.column}"

    @property
    def example(self) -> str:
        return self.such_as or TELLABLE[self.what].split("=", 1)[1].split(",")[0]

    def shown(self) -> str:
        return f"{self.sentence} Answer with --told {shlex.quote(f'{self.key}={self.example}')}."


class LogAsks(AdvisorError):
    """Nothing was stored: ``questions`` must be answered first."""

    def __init__(self, where: str, questions: tuple[LogQuestion, ...]) -> None:
        self.questions = questions
        super().__init__("\n".join(f"{where}: {question.shown()}" for question in questions))


class LogRefused(AdvisorError):
    """Nothing was stored: ``line`` (from 1, 0 = the whole log) cannot be what it says."""

    def __init__(self, where: str, reason: str, line: int = 0) -> None:
        self.line = line
        super().__init__(f"{where}{f', line {line}' if line else ''}: {reason}")


@dataclass
class Doubts:
    """Questions gathered while a log is read; ``told`` holds (what, column) -> answer."""

    where: str
    told: Mapping[tuple[str, str | None], str] = field(default_factory=dict)
    questions: list[LogQuestion] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def answer(self, what: str, column: str | None = None) -> str | None:
        """What was told of this column, or of the whole log."""
        return self.told.get((what, column)) or self.told.get((what, None))

    def answers(self, what: str) -> Iterator[tuple[str | None, str]]:
        return ((column, text) for (kind, column), text in self.told.items() if kind == what)

    def ask(self, what: str, column: str | None, sentence: str, such_as: str = "") -> None:
        question = LogQuestion(what, column, sentence, such_as)
        if question.key not in {each.key for each in self.questions}:
            self.questions.append(question)

    def settle(self) -> None:
        """Raise LogAsks when something is still open."""
        if self.questions:
            raise LogAsks(self.where, tuple(self.questions))

    def refuse(self, reason: str, line: int = 0) -> LogRefused:
        return LogRefused(self.where, reason, line)

    def remark(self, text: str) -> None:
        if text not in self.remarks:
            self.remarks.append(text)


def told_from(texts: list[str]) -> dict[tuple[str, str | None], str]:
    """``["unit:DO=mg/L", "zone=UTC"]`` as (what, column) -> answer. Raises AdvisorError."""
    told: dict[tuple[str, str | None], str] = {}
    for text in texts:
        key, equals, answer = text.partition("=")
        what, colon, column = key.partition(":")
        if not equals or not answer.strip() or what.strip() not in TELLABLE:
            raise AdvisorError(
                f'--told "{text[:60]}": write WHAT=ANSWER or WHAT:COLUMN=ANSWER, WHAT being one of '
                f"{', '.join(TELLABLE)}; such as {TELLABLE['unit']}."
            )
        told[what.strip(), column.strip() if colon else None] = answer.strip()
    return told
