"""Case files of an archive, and the shipped ones."""

from __future__ import annotations

from pathlib import Path

from advisor.advice.facts.sheet import lots_of
from advisor.case import Case, Lot
from advisor.errors import AdvisorError


def shipped_cases() -> Path:
    """The cases inside an installed package, else those of the checkout."""
    package = Path(__file__).parents[2]
    inside = package / "cases"
    return inside if inside.is_dir() else package.parent / "cases"


def case_files(path: str | Path | None = None) -> list[Path]:
    """Every ``*.toml`` at or under ``path`` (default: the shipped cases), in order of path.

    Raises AdvisorError when there is none.
    """
    where = shipped_cases() if path is None else Path(path).expanduser()
    if where.is_file():
        return [where]
    if not where.is_dir():
        raise AdvisorError(f"{where}: there is no such file or folder; give a case or a folder.")
    # a link that leads nowhere is told of when it is read, not left out in silence
    found = sorted(each for each in where.rglob("*.toml") if not each.is_dir())
    if not found:
        raise AdvisorError(f"{where}: holds no case; case files end in .toml.")
    return found


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
