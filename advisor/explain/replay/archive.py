"""Case files of an archive, and the shipped ones."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from advisor.advice.facts.sheet import lots_of
from advisor.case import Case, Lot
from advisor.case.folder import expanded
from advisor.errors import AdvisorError


def shipped_cases() -> Path:
    """The cases inside an installed package, else those of the checkout."""
    package = Path(__file__).parents[2]
    inside = package / "cases"
    return inside if inside.is_dir() else package.parent / "cases"


def case_files(path: str | Path | None = None) -> list[Path]:
    """Every case of :func:`case_names` as a path."""
    return [Path(each) for each in case_names(path)]


def case_names(path: str | Path | None = None) -> Iterator[str]:
    """Every ``*.toml`` at or under ``path`` (default: the shipped cases), in order of path.

    Held in memory are the names of one folder at a time.
    Raises AdvisorError when there is none.
    """
    where = shipped_cases() if path is None else expanded(path)
    if where.is_file():
        return iter([str(where)])
    if not where.is_dir():
        raise AdvisorError(f"{where}: there is no such file or folder; give a case or a folder.")
    if next(_walk(str(where)), None) is None:
        raise AdvisorError(f"{where}: holds no case; case files end in .toml.")
    return _walk(str(where))


def _walk(folder: str) -> Iterator[str]:
    try:
        with os.scandir(folder) as entries:
            names = sorted((e.name, e.is_dir(follow_symlinks=False)) for e in entries)
    except OSError as error:
        raise AdvisorError(f"{folder}: cannot be read ({error.strerror})") from None
    for name, is_folder in names:
        inside = os.path.join(folder, name)
        if is_folder:
            yield from _walk(inside)
        # a link that leads nowhere is told of when it is read, not left out in silence
        elif name.endswith(".toml") and not os.path.isdir(inside):
            yield inside


def judged_lot(case: Case) -> Lot:
    """The lot the expectation is about; the first when it names none."""
    lots = lots_of(case)
    wanted = case.expected.lot if case.expected else None
    if wanted is None:
        return lots[0]
    for lot in lots:
        if lot.id == wanted:
            return lot
    known = ", ".join(lot.id for lot in lots)
    raise AdvisorError(f'expected.lot: no lot "{wanted}"; the lots are {known}.')
