"""``advisor replay [PATH]``: training on saved deliveries; archives checked and compared."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from advisor.explain.replay.check import Table

EXAMPLE = """\
examples:
  advisor replay                            train on the shipped deliveries
  advisor replay cases --shuffle --as Ines  in random order, scores kept under a name
  advisor replay --difficulty hard --cause nitrite
  advisor replay --as Ines --export ines.csv
  advisor replay --from closed.toml lesson.toml    a closed delivery as a lesson
  advisor replay --check archive --jobs 2   every case against what is expected of it
  advisor replay cases --against OLD        which cases move between two rule bases
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "replay",
        help="train on saved deliveries, or check an archive",
        description="Play saved deliveries again: to learn, to check the rules, to compare them.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "path", nargs="?", metavar="PATH", help="a case or a folder of them; else the shipped ones"
    )
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument("--json", action="store_true", help="print --check or --against as JSON")
    check = parser.add_argument_group("checking")
    check.add_argument("--check", action="store_true", help="every case against its [expected]")
    check.add_argument(
        "--exceptions",
        metavar="FILE",
        help="with --check: misses known today and why; any other change fails, either way",
    )
    check.add_argument("--against", metavar="OLD", help="a folder of older rules to compare with")
    check.add_argument(
        "--jobs", metavar="N", type=int, help="processes; else one for every core (archives)"
    )
    train = parser.add_argument_group("training")
    train.add_argument("--as", dest="name", metavar="NAME", help="keep scores under this name")
    train.add_argument("--export", metavar="FILE", help="write the scores of --as NAME as CSV")
    train.add_argument("--shuffle", action="store_true", help="in random order")
    train.add_argument("--seed", metavar="N", type=int, help="the same random order again")
    train.add_argument("--cause", metavar="ID", help="only deliveries in which this is the cause")
    train.add_argument("--difficulty", choices=("easy", "middling", "hard"))
    train.add_argument("--answers", metavar="FILE", help="play from a file of lines")
    lesson = parser.add_argument_group("making a lesson of a closed delivery")
    lesson.add_argument("--from", dest="source", metavar="CASE", help="the closed delivery")
    for flag, what in (
        ("first-cause", "causes that may stand first"),
        ("first-three", "causes of which one must be among the first three"),
        ("first-action", "actions that may come first"),
        ("never", "actions that must not be advised"),
    ):
        lesson.add_argument(f"--{flag}", metavar="IDS", help=f"{what}, commas between")
    lesson.add_argument("--lot", metavar="LOT", help="the lot the lesson is about")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    if args.against:
        return _against(args)
    if args.check:
        return _check(args)
    if args.source:
        from advisor.screens.replay.teaching_screen import make_lesson

        return make_lesson(args)
    from advisor.screens.replay.training_screen import train

    return train(args)


def _check(args: argparse.Namespace) -> int:
    from pathlib import Path

    from advisor.explain.replay.check import Table, judge_with
    from advisor.explain.replay.exceptions import changes, read_exceptions
    from advisor.explain.replay.files import case_files
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import show_changes, show_check

    paths = case_files(args.path)
    found = _over(paths, judge_with, (_folder(args.rules),), args.jobs, "Checking cases")
    known = None if args.exceptions is None else read_exceptions(Path(args.exceptions))
    table = Table.of(found)
    if args.json:
        print(_as_json(table))
    else:
        show_check(table, make_console())
    if known is None:
        return 0 if table.holds else 1
    new, again = changes(table.failures, map(str, paths), known)
    show_changes(new, again, make_console(stderr=args.json))
    return 1 if new or again or table.unreadable else 0


def _against(args: argparse.Namespace) -> int:
    from advisor.explain.replay.against import compare_file
    from advisor.explain.replay.files import case_files
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import show_against

    paths = case_files(args.path)
    folders = (_folder(args.against), _folder(args.rules))
    found = _over(paths, compare_file, folders, args.jobs, "Comparing rules")
    moved = (each for each in found if each.changed)
    if args.json:
        import json
        from dataclasses import asdict

        print(json.dumps({"cases": len(paths), "moved": [asdict(m) for m in moved]}, indent=2))
        return 0
    show_against(moved, len(paths), make_console())
    return 0


def _folder(given: str | None) -> Path | None:
    from pathlib import Path

    return None if given is None else Path(given)


def _over(
    paths: list[Path],
    work: Callable[[Path, tuple[Any, ...]], Any],
    folders: tuple[Path | None, ...],
    jobs: int | None,
    doing: str,
) -> Iterator[Any]:
    """Results in order, with a bar on standard error where somebody watches."""
    from advisor.errors import AdvisorError
    from advisor.explain.replay.crowd import cores, over
    from advisor.rulebase import load_rulebase
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import watched

    if jobs is not None and jobs < 1:
        raise AdvisorError(f"--jobs: {jobs} is no number of processes; give 1 or more.")
    for folder in folders:  # a fault in the rules is said once, by this process
        load_rulebase(folder)
    several = cores() if len(paths) >= 40 else 1
    step, stop = watched(make_console(stderr=True), doing, len(paths))
    try:
        results: Iterable[Any] = over(paths, work, folders, jobs or several)
        for each in results:
            step()
            yield each
    finally:
        stop()


def _as_json(table: Table) -> str:
    import json
    from dataclasses import asdict

    def shares(counts: Any) -> dict[str, Any]:
        return {n: {"met": c.met, "asked": c.asked} for n, c in counts.items() if c.asked}

    rows = [
        {
            "set": row.name,
            "cases": row.cases,
            "advisor": shares(row.advisor),
            "starting_odds": shares(row.odds),
        }
        for row in table.ordered
    ]
    told = {
        "format": "advisor-check-1",
        "holds": table.holds,
        "sets": rows,
        "without_expectation": table.silent,
        "failures": [{**asdict(j), "failed": list(j.failed)} for j in table.failures],
        "unreadable": [{"path": j.path, "fault": j.fault} for j in table.unreadable],
    }
    return json.dumps(told, indent=2)
