"""One paper of a case, as HTML or as text."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Literal

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.papers.blocks import Paper
from advisor.papers.photo_evidence import photo_line
from advisor.papers.until import known_until

Purpose = Literal["vet", "supplier", "log", "labels"]
PURPOSES: tuple[Purpose, ...] = ("vet", "supplier", "log", "labels")


def make_paper(
    case: Case,
    purpose: Purpose,
    reasoner: Reasoner,
    *,
    lot: str | None = None,
    until_hours: float | None = None,
    photos: Iterable[str | Path] = (),
    full: bool = False,
    scan: str = "",
) -> Paper:
    """The paper for the vet, the supplier or the tank.

    lot         : id of the one lot it is about
    until_hours : what was known so many hours after receipt; None for everything
    photos      : files to be hashed and shown (vet and supplier)
    full        : workings, balances and pictures too
    scan        : what the labels' scan code holds: the case's address or name

    Raises AdvisorError for a lot the case does not have and files that cannot be read.
    """
    if lot is not None and lot not in [each.id for each in case.lot]:
        names = ", ".join(each.id for each in case.lot) or "none"
        raise AdvisorError(f'--lot "{lot}": the case has no such lot; its lots are {names}.')
    if until_hours is not None:
        case = known_until(case, until_hours)
    lines = [photo_line(path) for path in photos]
    if lines and purpose not in ("supplier", "vet"):
        raise AdvisorError("--photo: only the papers for vet and supplier show photographs.")
    if purpose == "supplier":
        from advisor.papers.supplier import supplier_paper

        return supplier_paper(case, reasoner.base, lines, lot, full=full)
    result = assess(case, reasoner)
    if purpose == "vet":
        from advisor.papers.vet import vet_paper

        return vet_paper(case, result, reasoner.base, lot, lines, full=full)
    if purpose == "labels":
        from advisor.papers.labels import labels_paper

        return labels_paper(case, result, reasoner.base, lot, scan)
    from advisor.papers.tank_log import log_paper

    return log_paper(case, result, reasoner.base, lot)
