"""``python -m tests.replay.baselines [PATH]``: the check with two baselines beside it.

Starting odds alone, and a signs-only vote over the reference table (votes.py), judged on
the same cases in the same run.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

from advisor.advice.assess import lot_result, reason
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.case import load_case
from advisor.explain.replay.archive import case_files, judged_lot
from advisor.explain.replay.check_cases import ASKED, CheckTable, Count, judge, met_by
from advisor.screens.console import make_console
from advisor.screens.replay.check_screen import show_check
from tests.replay.votes import vote

Counts = dict[str, dict[str, Count]]


def run(paths: Iterable[Path], reasoner: Reasoner) -> tuple[CheckTable, Counts]:
    """The table of the check, and what the vote came to by the same sets."""
    table, votes = CheckTable(), {}
    for path in paths:
        case = load_case(path)
        reasoned = reason(case, judged_lot(case), reasoner)
        judged = judge(case, lot_result(reasoned, reasoner), reasoner.base, str(path))
        table.add(judged)
        if case.expected is None:
            continue
        records = reasoned.sheet.records.values()
        seen = [r.name for r in records if r.kind == "sign" and r.value is True]
        met = met_by(case.expected, vote(seen, reasoner.base.causes))
        late = "" if case.expected.after_arrival else ", not new arrivals"
        for name in (f"{case.expected.kind}{late}", "all"):
            counts = votes.setdefault(name, {each: Count() for each in ASKED})
            for each, value in met.items():
                counts[each].add(value)
    return table, votes


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("path", nargs="?", help="a case or a folder of them")
    table, votes = run(case_files(parser.parse_args().path), default_reasoner())
    show_check(table, make_console(), [("signs-only vote", votes)])


if __name__ == "__main__":
    main()
