"""An archive checked, or two rule bases compared, as tables of at most 60 columns."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from advisor.explain.replay.against import Groups, MovedCase, MovedGroup
from advisor.explain.replay.check_cases import ASKED, MOST_KEPT, CheckTable, Count, Judged
from advisor.wording.layout import hanging, styled
from advisor.wording.numbers import fixed, signed
from advisor.wording.text import plain

if TYPE_CHECKING:
    from rich.console import Console

HEADS = {
    "first_cause": "first",
    "in_first_three": "in 3",
    "first_action": "action",
    "never": "never",
    "measure_next": "read",
}
WORDS = {
    "first_cause": "first cause",
    "in_first_three": "in the first three",
    "first_action": "first action",
    "never": "must never be advised",
    "measure_next": "reading to take next",
}
LEGEND = (
    "first: an expected cause stands first. in 3: one stands among the first three. action: the "
    "first step is an expected one. never: nothing is advised that must not be. read: an "
    "expected reading is asked for next. Met of asked, or a share of more than 99; a dash where "
    "nothing was expected."
)
_NAME = 19
#: Failures shown one by one; --json has them all.
MOST = 60

#: Another column of the table: its name, and counts by set.
Other = tuple[str, Mapping[str, Mapping[str, Count]]]


def show_check(table: CheckTable, console: Console, others: Sequence[Other] = ()) -> None:
    """The table by set with starting odds beside it, then what failed and what was wanted."""
    _head(console)
    for row in table.ordered:
        name, _, late = row.name.partition(", ")
        _line(console, name if not late else f"  {late}", row.cases, row.advisor)
        _line(console, "    starting odds", None, row.odds)
        for called, counts in others:
            _line(console, f"    {called}", None, counts.get(row.name, {}))
    if table.silent:
        console.print(styled(f"{table.silent} more assessed; nothing is expected of them."))
    console.print()
    console.print(styled(LEGEND, "italic"))
    _failures(table, console)


def show_changes(new: Sequence[str], again: Sequence[str], console: Console) -> None:
    """What is missed or met other than the list of exceptions says."""
    console.print()
    if not new and not again:
        console.print(styled("As the list of exceptions says; nothing else was missed."))
    for line in new:
        console.print(styled(f"missed and not listed: {line}"))
    for line in again:
        console.print(styled(f"listed and met again, take it off the list: {line}"))


def _head(console: Console) -> None:
    heads = "".join(f"{HEADS[name]:>7}" for name in ASKED)
    console.print(styled(f"{'set':<{_NAME}}{'cases':>6}{heads}", "bold"))


def _line(console: Console, name: str, cases: int | None, counts: Mapping[str, Count]) -> None:
    cells = "".join(f"{_cell(counts.get(each)):>7}" for each in ASKED)
    console.print(styled(f"{name:<{_NAME}}{'' if cases is None else cases:>6}{cells}".rstrip()))


def _cell(count: Count | None) -> str:
    if count is None or count.share is None:
        return "-"
    if count.asked > 99:  # a column has no room for more figures
        return f"{fixed(100 * count.share, 1)}%"
    return f"{count.met}/{count.asked}"


def _failures(table: CheckTable, console: Console) -> None:
    for each in (table.unreadable + table.failures)[:MOST]:
        console.print()
        console.print(styled(short(each.path), "bold"))
        for mark, text in _complaints(each):
            hanging(mark, styled(text), console)
    hidden = table.failed + table.unread - MOST
    if hidden > 0:
        console.print(styled(f"... and {hidden} more; --json lists the first {MOST_KEPT}."))
    console.print()
    said = "Every expectation was met." if table.holds else _tally(table)
    console.print(styled(said, "bold"))


def short(path: str) -> str:
    """A path as seen from here, when that is shorter."""
    near = os.path.relpath(path)
    return near if len(near) < len(path) else path


def _tally(table: CheckTable) -> str:
    parts = []
    if table.failed:
        parts.append(f"{table.failed} cases did not meet an expectation")
    if table.unread:
        parts.append(f"{table.unread} could not be assessed")
    return f"{' and '.join(parts)}."


def _complaints(judged: Judged) -> Iterable[tuple[str, str]]:
    if judged.fault:
        yield "  ", judged.fault
    for name in judged.failed:
        got = ", ".join(judged.got(name)) or "nothing"
        if name == "never":
            yield "  ", f"advised, and must never be: {got}"
            continue
        if name == "first_cause" and judged.not_enough:
            got += " (not enough to tell)"
        yield "  ", f"{WORDS[name]}: {got}"
        yield "    wanted ", " or ".join(judged.wanted[name])


def show_groups(groups: Groups, cases: int, console: Console) -> None:
    """What moved, cases of one kind and reason together, and whether that is better."""
    if groups.moved > MOST:
        console.print(styled(f"... and {groups.moved - MOST} more, in the groups below."))
    for group in groups.ordered[:MOST]:
        _group(group, groups, console)
    console.print()
    console.print(styled(f"{groups.moved} of {cases} cases move.", "bold"))
    if groups.moved:
        words = {
            "better": "better",
            "worse": "worse",
            "both": "better in one thing and worse in another",
            "neither": "meeting their expectation as before",
        }
        tally = groups.verdicts
        text = ", ".join(f"{tally[name]} {word}" for name, word in words.items() if name in tally)
        console.print(styled(f"{text}."))


def _group(group: MovedGroup, groups: Groups, console: Console) -> None:
    console.print()
    head = f"{groups.counts[group]} x {', '.join(group.changed)}"
    console.print(styled(head, "bold"))
    if group.before != group.after:
        hanging("  first step ", styled(f"{group.before} -> {group.after}"), console)
    hanging("  by ", styled(group.reason), console)
    hanging("  such as ", styled(", ".join(short(e) for e in groups.examples[group])), console)


def show_moved(moved: MovedCase, console: Console) -> None:
    """One case that moved, and what moved it."""
    console.print()
    console.print(styled(short(moved.path), "bold"))
    words = {"both": "better and worse", "neither": "neither better nor worse"}
    what = ", ".join(moved.changed)
    hanging("  ", styled(f"{words.get(moved.verdict, moved.verdict)}: {what}"), console)
    for name, judged in (("before", moved.older), ("now", moved.newer)):
        hanging(f"  {name:<7}", styled(_summary(judged)), console)
    for entry in moved.steps[:4]:
        hanging("    by ", styled(f"{entry}, under one rule base only"), console)
    if not moved.rules and not moved.steps:
        text = "actions or settings; the evidence for the first two causes is the same"
        hanging("    by ", styled(text), console)
    for rule, cause, before, after in moved.rules[:8]:
        text = f"{rule} for {cause}: {signed(before)} became {signed(after)} decibans"
        hanging("    by ", styled(text), console)


def _summary(judged: Judged) -> str:
    if judged.fault:
        return judged.fault
    standing = judged.standing.replace("_", " ")
    unsure = ", not enough to tell" if judged.not_enough else ""
    action = judged.actions[0] if judged.actions else "no action"
    return f"{judged.causes[0]} ({standing}{unsure}); first {action}"


def watched(
    console: Console, doing: str, total: int
) -> tuple[Callable[[], None], Callable[[], None]]:
    """(one more done, all done): a bar where somebody watches, else now and then a line."""
    if not console.is_terminal:
        return _lines(console, doing, total), (lambda: None)
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description}"), BarColumn(20), MofNCompleteColumn())
    bar = Progress(*columns, TimeElapsedColumn(), console=console, transient=True)
    task = bar.add_task(plain(doing), total=total)
    bar.start()
    return (lambda: bar.advance(task)), bar.stop


def _lines(console: Console, doing: str, total: int) -> Callable[[], None]:
    """A line every half minute."""
    begun = told = time.monotonic()
    done = 0

    def step() -> None:
        nonlocal done, told
        done += 1
        now = time.monotonic()
        if now - told >= 30:
            told = now
            rate = done / (now - begun)
            text = f"{doing}: {done} of {total}, {fixed(rate, 1)} a second"
            console.print(styled(text), soft_wrap=True)

    return step
