"""A paper as plain text: no colour, no control codes, readable in a letter or an e-mail."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from advisor.papers.blocks import (
    BlankTable,
    Block,
    Code,
    Items,
    ListItem,
    Pairs,
    Paper,
    Para,
    Photos,
    Picture,
    Table,
)
from advisor.wording.layout import hanging, styled
from advisor.wording.text import plain

if TYPE_CHECKING:
    from rich.console import Console

WIDTH = 80
#: First characters of a text paper, by which a later run knows it as its own.
OPENING = "Paper "
_MARKS = {"bullet": "-", "tick": "[ ]", "cross": "x"}
LINE = "_" * 24
#: A table without frames: only its heads are underlined.
_UNDERLINED = "    \n    \n -- \n    \n    \n    \n    \n    \n"


def to_text(paper: Paper, width: int = WIDTH) -> str:
    """The paper in ``width`` columns."""
    from rich.console import Console

    out = io.StringIO()
    console = Console(
        file=out, width=width, no_color=True, highlight=False, markup=False, emoji=False,
        force_terminal=False, legacy_windows=False,
    )  # fmt: skip
    console.print(styled(f"{OPENING}({paper.purpose}): {paper.title}"))
    console.print("=" * width)
    if paper.invented:
        console.print(styled("Names, places and figures of this delivery are invented."))
    for block in paper.lead:
        _block(block, console)
    for section in paper.sections:
        heading = section.title.upper() + (" [JUDGEMENT]" if section.judgement else "")
        console.print()
        console.print(styled(heading))
        console.print("-" * min(width, len(plain(heading))))
        for block in section.blocks:
            _block(block, console)
    console.print()
    for line in paper.foot:
        console.print(styled(line))
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


def _block(block: Block, console: Console) -> None:
    if isinstance(block, Para):
        lead = {"judgement": "Judgement: ", "urgent": "! "}.get(block.mood, "")
        # one paragraph, so that a name with a line break in it cannot begin a line
        console.print(styled(lead + block.text))
    elif isinstance(block, Pairs):
        wide = max((len(plain(name)) for name, _ in block.rows), default=0)
        for name, value in block.rows:
            lead = f"{plain(name)}:".ljust(min(wide, 34) + 2)
            hanging(lead, styled(value or LINE, lines=True), console)
    elif isinstance(block, Items):
        _items(block, console)
    elif isinstance(block, (Table, BlankTable)):
        _table(block, console)
    elif isinstance(block, Photos):
        entries = tuple(ListItem(shot.file, under=shot.marks) for shot in block.shots)
        _items(Items(entries), console)
    elif isinstance(block, Code):
        console.print(styled(f"Scan code: {block.holds}"))
    elif isinstance(block, Picture):
        if block.caption is None:
            console.print(styled(f"[{block.title}] {block.said}"))
        if block.table is not None:
            _table(block.table, console)


def _items(block: Items, console: Console) -> None:
    for number, entry in enumerate(block.entries, 1):
        mark = f"{number}." if block.mark == "number" else _MARKS[block.mark]
        hanging(f" {mark} ", styled(f"{entry.lead} {entry.text}".strip(), lines=True), console)
        for line in entry.under:
            hanging(" " * (len(mark) + 4), styled(line, lines=True), console)


def _table(block: Table | BlankTable, console: Console) -> None:
    if block.caption:
        console.print(styled(block.caption))
    if isinstance(block, BlankTable):
        _grid(block, block.rows, console)
        return
    group: list[tuple[str, ...]] = []
    for row in block.rows:
        if len(row) == 1 < len(block.columns):
            if group:
                _grid(block, tuple(group), console)
            group = []
            console.print(styled(f"* {row[0]}"))
        else:
            group.append(row)
    _grid(block, tuple(group), console)


def _grid(block: Table | BlankTable, rows: tuple[tuple[str, ...], ...], console: Console) -> None:
    from rich import box
    from rich.table import Table as Grid

    form = isinstance(block, BlankTable)
    lines = box.ASCII2 if form else box.Box(_UNDERLINED, ascii=True)
    grid = Grid(box=lines, pad_edge=False, show_lines=form, padding=(0, 1), expand=form)
    numbers = block.numbers if isinstance(block, Table) else frozenset[int]()
    tight = block.tight if isinstance(block, Table) else frozenset[int]()
    for at, name in enumerate(block.columns):
        grid.add_column(
            styled(name), justify="right" if at in numbers else "left", overflow="fold",
            no_wrap=at in tight or (form and at == 0),
        )  # fmt: skip
    for row in rows:
        cells = [*row, *[""] * (len(block.columns) - len(row))]
        grid.add_row(*(styled(cell, lines=True) for cell in cells))
    console.print(grid)
