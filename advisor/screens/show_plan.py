"""The plan as one screenful, written as an emergency checklist is.

The condition, then one act a line, most pressing first; what not to do; when to look again;
at the end the first act once more and how to see the rest (Degani & Wiener 1990; Burian 2006).
Lots that share their steps share their lines.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from rich.console import Console
from rich.text import Text

from advisor.advice.results import ActionResult, Assessment, LotResult, Withheld
from advisor.ask.rechecks import next_look
from advisor.case import Case
from advisor.wording.layout import styled
from advisor.wording.names import PHASES, STANDING, TIMES
from advisor.wording.numbers import short
from advisor.wording.text import one_line
from advisor.wording.times import moment, span, time_of_day

#: Lines of one delivery at 80 columns, and more of them for each group of lots that differs.
LINES, LINES_MORE, COLUMNS = 24, 6, 80
MOST_STEPS = 5
EARLY = ("now", "within_hour", "today")
URGENT, HEAD, QUIET = "bold red", "bold", "italic"
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


@dataclass
class Line:
    """Something to show: its rank decides what gives way when lines are short (0 never does)."""

    lead: str
    text: str
    rank: int
    style: str = ""
    step: bool = False


@dataclass
class Group:
    """Lots that share their steps, and the lines said of them."""

    lots: list[LotResult]
    lines: list[Line] = field(default_factory=list)

    @property
    def emergency(self) -> bool:
        return any(action.emergency for lot in self.lots for action in lot.actions)


def show_plan(result: Assessment, case: Case, console: Console, named: str = "CASE") -> None:
    """Print the plan of a delivery. ``named``: how the case is called on the command line."""
    groups = grouped(result.lots)
    while True:
        for group in groups:
            group.lines = list(_lines(group, case, alone=len(groups) == 1))
        head = list(_order(result))
        tail = list(_tail(groups, named))
        budget = LINES + LINES_MORE * (len(groups) - 1)
        budget = budget * COLUMNS // min(COLUMNS, console.width)
        used = sum(_height(line, console) for line in (*head, *tail)) + len(groups)
        kept = _kept(groups, budget - used, console)
        fewer = _merged(groups, kept)
        if len(fewer) == len(groups):
            break
        groups = fewer
    for place, group in enumerate(groups):
        if place:
            console.print()
        for line in group.lines:
            if id(line) in kept:
                _print(line, console)
        for line in () if place else head:
            _print(line, console)
    console.print()
    for line in tail:
        _print(line, console)


def grouped(lots: Iterable[LotResult]) -> list[Group]:
    """Lots by their first steps, emergencies first, then those with most to do now."""
    groups: dict[tuple[str, ...], Group] = {}
    for lot in lots:
        key = tuple(step.id for step in first_steps(lot) if step.emergency or step.when == "now")
        groups.setdefault(key, Group([])).lots.append(lot)
    return sorted(groups.values(), key=lambda group: (not group.emergency, -_now(group)))


def _merged(groups: list[Group], kept: set[int]) -> list[Group]:
    """Groups without an emergency that would show the same steps become one."""
    found: dict[object, Group] = {}
    for group in groups:
        shown = tuple(line.text for line in group.lines if line.step and id(line) in kept)
        found.setdefault(id(group) if group.emergency else shown, Group([])).lots.extend(group.lots)
    return list(found.values())


def steps_of(group: Group) -> list[ActionResult]:
    """The first steps that all lots of the group share."""
    shared = set.intersection(*({a.id for a in lot.actions} for lot in group.lots))
    return [step for step in first_steps(group.lots[0]) if step.id in shared]


def first_steps(lot: LotResult) -> tuple[ActionResult, ...]:
    """What the hands do first: at most five steps of today, emergencies before the others."""
    early = [action for action in lot.actions if action.when in EARLY]
    chosen = sorted(early, key=lambda action: (EARLY.index(action.when), not action.emergency))
    return tuple(chosen[:MOST_STEPS])


def _now(group: Group) -> int:
    return sum(action.when == "now" for action in group.lots[0].actions)


def who(group: Group) -> str:
    """The lots of a group by their names."""
    return ", ".join(lot.lot for lot in group.lots)


def _lines(group: Group, case: Case, *, alone: bool) -> Iterable[Line]:
    lot = group.lots[0]
    steps = steps_of(group)
    lead = "DO NOW" if steps and steps[0].when == "now" else "FIRST"
    names = "" if alone and len(group.lots) == 1 else f"{who(group)}: "
    yield Line(f"{lead}: ", f"{names}{_condition(group)}", 0, URGENT if group.emergency else HEAD)
    for number, step in enumerate(steps, 1):
        rank = 0 if number == 1 else 1 if step.emergency else 3 if number <= 3 else 5
        text = step.text if step.emergency or number == 1 else _brief(step.text)
        later = "" if step.when == "now" else f"{TIMES[step.when].capitalize()}: "
        yield Line(f" {number} ", later + text, rank, URGENT if step.emergency else "", step=True)
        for amount in step.amounts:
            if amount.value is not None:
                yield Line("   ", f"{amount.label}: {_amount(amount)}", rank)
    for place, (held, lots) in enumerate(_held(group)[:3]):
        only = "" if len(lots) == len(group.lots) else f"({', '.join(lots)}) "
        text = f"{only}{_lower(_first(held.text)).rstrip('.')}, because {_lower(held.because)}"
        yield Line("NOT NOW: ", _first(text), 2 if place == 0 else 6)
    for note in lot.vet:
        if note.urgency == "now":
            yield Line("CALL NOW: ", _first(note.text), 1, HEAD)
            break
    if lot.measure_next:
        yield Line("Read next: ", ", ".join(each.label for each in lot.measure_next[:2]), 4)
    if look := next_look_words(case, emergency=group.emergency):
        yield Line("Look again ", look, 1)


def _held(group: Group) -> list[tuple[Withheld, list[str]]]:
    """What is held back from lots of the group, and from which; what bars more of them first."""
    found: dict[str, tuple[Withheld, list[str]]] = {}
    for lot in group.lots:
        for held in lot.withheld:
            found.setdefault(held.action, (held, []))[1].append(lot.lot)
    return sorted(found.values(), key=lambda pair: -len(pair[1]))


def _condition(group: Group) -> str:
    lot = group.lots[0]
    view = "; ".join(dict.fromkeys(map(_view, group.lots)))
    kind = f"{lot.label}, " if len(group.lots) == 1 else ""
    return f"{kind}{PHASES[lot.phase]}, {view}"


def _view(lot: LotResult) -> str:
    if lot.not_enough or not lot.causes:
        return "not enough to tell yet"
    return f"{lot.causes[0].name} {STANDING[lot.causes[0].standing]}"


def _amount(amount: object) -> str:
    value, low, high = (getattr(amount, name) for name in ("value", "low", "high"))
    unit = getattr(amount, "unit", "")
    text = f"{short(value)} {unit}".rstrip()
    if low is not None and high is not None and low != high:
        text += f" ({short(low)} to {short(high)})"
    return text


def next_look_words(case: Case, *, emergency: bool) -> str:
    """``10:25 (15 min after the last look)``; empty when no look is due."""
    due = next_look(case, urgent=emergency)
    if due is None:
        return ""
    last = max((look.at_hours for look in case.observation), default=0.0)
    at = moment(case.delivery.received, due.at_hours)
    after = f"{span(due.at_hours - last)} after the last look"
    if at is None:
        return after
    day = "" if due.at_hours - last < 12 else f"{at.day} {at:%b} "
    return f"{day}{time_of_day(at)} ({after})"


def _order(result: Assessment) -> Iterable[Line]:
    if len(result.opening_order) > 1:
        order = ", then ".join(each.lot for each in result.opening_order)
        yield Line("Open the bags in this order: ", f"{order} (why: --all).", 0, HEAD)


def _tail(groups: Sequence[Group], named: str) -> Iterable[Line]:
    first = groups[0] if groups else None
    steps = steps_of(first) if first else []
    if steps:
        lead = "DO NOW: " if steps[0].when == "now" else "FIRST: "
        name = "" if len(groups) == 1 else f"{who(first) if first else ''}: "
        yield Line(lead, name + _first(steps[0].text), 0, HEAD)
    yield Line("More: ", f"every step and reason: --all | why: advisor why {named}", 0, QUIET)


def _first(text: str) -> str:
    """The first sentence."""
    return _SENTENCE.split(one_line(text), maxsplit=1)[0]


def _brief(text: str, most: int = 150) -> str:
    """As many whole sentences as two lines hold; dots where more is said."""
    sentences = _SENTENCE.split(one_line(text))
    kept = sentences[0]
    for place, sentence in enumerate(sentences[1:], 1):
        if len(kept) + 1 + len(sentence) > most:
            return f"{kept} ..."
        kept = " ".join(sentences[: place + 1])
    return kept


def _lower(text: str) -> str:
    first, _, _ = text.partition(" ")
    named = len(first) > 1 and any(letter.isupper() for letter in first[1:])
    return text if named else text[:1].lower() + text[1:]


def _kept(groups: Sequence[Group], room: int, console: Console) -> set[int]:
    """The lines that fit, those of a low rank first; what must not be missed always stays."""
    kept: set[int] = set()
    ranks = sorted({line.rank for group in groups for line in group.lines})
    for rank in ranks:
        for group in groups:
            for line in group.lines:
                height = _height(line, console)
                if line.rank == rank and (rank <= 1 or height <= room):
                    kept.add(id(line))
                    room -= height
    return kept


def _wrapped(line: Line, console: Console) -> list[Text]:
    lead = line.lead if len(line.lead) <= console.width // 2 else ""
    text = styled(line.text if lead else line.lead + line.text, line.style)
    inner = len(lead) if len(lead) <= 4 else 2 if len(lead) > 10 else len(lead)
    first = Text(lead, style=line.style or HEAD).append_text(text)
    if inner == len(lead):
        rows = text.wrap(console, console.width - inner)
        return [Text(lead if at == 0 else " " * inner, line.style or HEAD).append_text(row)
                for at, row in enumerate(rows)]  # fmt: skip
    rows = first.wrap(console, console.width - inner)
    return [Text(" " * inner if at else "").append_text(row) for at, row in enumerate(rows)]


def _height(line: Line, console: Console) -> int:
    return len(_wrapped(line, console))


def _print(line: Line, console: Console) -> None:
    for row in _wrapped(line, console):
        row.rstrip()
        console.print(row, soft_wrap=True)
