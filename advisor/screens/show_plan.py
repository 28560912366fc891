"""The plan as one screenful, written as an emergency checklist is.

The condition, then one act a line, most pressing first; what not to do; when to look again;
at the end the first act once more and how to see the rest (Degani & Wiener 1990; Burian 2006).
Lots that share their steps share their lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from rich.console import Console
from rich.text import Text

from advisor.advice.results import Assessment
from advisor.ask.hands import (
    SharedPlan,
    amount_words,
    calls_now,
    done_before,
    done_words,
    first_sentence,
    grouped,
    held_back,
    held_words,
    next_look_words,
    read_next,
    sentences,
    steps_of,
    thought_words,
    who,
)
from advisor.case import Case
from advisor.wording.in_order import in_order
from advisor.wording.layout import styled
from advisor.wording.names import TIMES

#: Lines of one delivery at 80 columns, and more of them for each group of lots that differs.
LINES, LINES_MORE, COLUMNS = 24, 6, 80
#: Two lines of a step that is no emergency.
MOST_LETTERS = 150
URGENT, HEAD, QUIET = "bold red", "bold", "italic"


@dataclass
class Line:
    """Something to show: its rank decides what gives way when lines are short (0 never does)."""

    lead: str
    text: str
    rank: int
    style: str = ""
    step: bool = False


@dataclass
class Drawn(SharedPlan):
    """A group, and the lines said of it."""

    lines: list[Line] = field(default_factory=list)


def show_plan(result: Assessment, case: Case, console: Console, named: str = "CASE") -> None:
    """Print the plan of a delivery. ``named``: how the case is called on the command line."""
    groups = [Drawn(group.lots) for group in grouped(result.lots)]
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
        for line in _numbered(line for line in group.lines if id(line) in kept):
            _print(line, console)
        for line in () if place else head:
            _print(line, console)
    console.print()
    for line in tail:
        _print(line, console)


def _numbered(lines: Iterable[Line]) -> Iterator[Line]:
    """The lines, those of the steps that are shown counted without a gap."""
    number = 0
    for line in lines:
        number += line.step
        yield replace(line, lead=f" {number} ") if line.step else line


def _merged(groups: list[Drawn], kept: set[int]) -> list[Drawn]:
    """Groups without an emergency that would show the same steps become one."""
    found: dict[object, Drawn] = {}
    for group in groups:
        shown = tuple(line.text for line in group.lines if line.step and id(line) in kept)
        found.setdefault(id(group) if group.emergency else shown, Drawn([])).lots.extend(group.lots)
    return list(found.values())


def _lines(group: SharedPlan, case: Case, *, alone: bool) -> Iterable[Line]:
    lot = group.lots[0]
    steps = steps_of(group)
    lead = "DO NOW" if steps and steps[0].when == "now" else "FIRST"
    condition = _condition(group, named=not (alone and len(group.lots) == 1))
    yield Line(f"{lead}: ", condition, 0, URGENT if group.emergency else HEAD)
    for number, step in enumerate(steps, 1):
        rank = 0 if number == 1 else 1 if step.emergency else 3 if number <= 3 else 5
        text = step.text if step.emergency or number == 1 else _brief(step.text)
        later = "" if step.when == "now" else f"{TIMES[step.when].capitalize()}: "
        later = f"Again: {later}" if done_before(step.id, group, case) else later
        yield Line(f" {number} ", later + text, rank, URGENT if step.emergency else "", step=True)
        for amount in step.amounts:
            if amount.value is not None:
                yield Line("   ", f"{amount.label}: {amount_words(amount)}", rank)
    for place, (held, lots) in enumerate(held_back(group)[:3]):
        only = "" if len(lots) == len(group.lots) else f"({', '.join(lots)}) "
        text = f"{only}{', because '.join(held_words(held))}"
        yield Line("NOT NOW: ", first_sentence(text), 2 if place == 0 else 6)
    if done := done_words(group, case):
        yield Line("Done: ", "; ".join(done), 2)
    for call in calls_now(lot)[:1]:
        yield Line("CALL NOW: ", call, 1, HEAD)
    if wanted := read_next(lot):
        yield Line("Read next: ", wanted, 4)
    if look := next_look_words(case, emergency=group.emergency):
        yield Line("Look again ", look, 1)


def _condition(group: SharedPlan, *, named: bool) -> str:
    """``swordtails: green swordtail, day of arrival, ...``; a lot named as its kind once."""
    names = f"{who(group)}: " if named else ""
    kind = group.lots[0].label if len(group.lots) == 1 else ""
    if kind and named and kind.lower().replace(" ", "-") == group.lots[0].lot:
        kind = ""
    return f"{names}{f'{kind}, ' if kind else ''}{thought_words(group)}"


def _order(result: Assessment) -> Iterable[Line]:
    if len(result.opening_order) > 1:
        places = result.opening_order
        order = in_order([each.lot for each in places], [each.tied for each in places])
        head = "Open the bags in this order: " if len(order) > 1 else "Open the bags: "
        yield Line(head, f"{', then '.join(order)} (why: --all).", 0, HEAD)


def _tail(groups: Sequence[Drawn], named: str) -> Iterable[Line]:
    first = groups[0] if groups else None
    steps = steps_of(first) if first else []
    if steps:
        lead = "DO NOW: " if steps[0].when == "now" else "FIRST: "
        name = "" if len(groups) == 1 else f"{who(first) if first else ''}: "
        yield Line(lead, name + first_sentence(steps[0].text), 0, HEAD)
    yield Line("More: ", f"advisor assess {named} --all | advisor why {named}", 0, QUIET)


def _brief(text: str) -> str:
    """As many whole sentences as two lines hold; dots where more is said."""
    kept, *others = sentences(text)
    for sentence in others:
        if len(kept) + 1 + len(sentence) > MOST_LETTERS:
            return f"{kept} ..."
        kept = f"{kept} {sentence}"
    return kept


def _kept(groups: Sequence[Drawn], room: int, console: Console) -> set[int]:
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
