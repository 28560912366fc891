"""``advisor replay [PATH]``: training on saved deliveries; archives checked and compared."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any, NamedTuple

from advisor.wording.help_text import ExampleLines

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from pathlib import Path

    from advisor.explain.replay.check_cases import CheckTable
    from advisor.explain.replay.crowd import Work

EXAMPLE = """\
examples:
  advisor replay                            train on the shipped deliveries
  advisor replay cases --shuffle --as Ines  in random order, scores kept under a name
  advisor replay --difficulty hard --cause nitrite
  advisor replay --as Ines --export ines.csv
  advisor replay --from closed.toml lesson.toml    a closed delivery as a lesson
  advisor replay --check archive --jobs 2   every case against what is expected of it
  advisor replay cases --against OLD        which cases move between two rule bases
  advisor replay --against OLD --random 10000       the same over random deliveries
  advisor replay --check archive --resume done.jsonl    goes on where it stopped
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "replay",
        help="train on saved deliveries, or check an archive",
        description="Play saved deliveries again: to learn, to check the rules, to compare them.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
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
        "--random", metavar="N", type=int, help="with --against: N random deliveries (--seed)"
    )
    check.add_argument(
        "--jobs", metavar="N", type=int, help="processes; else one for every core (archives)"
    )
    check.add_argument(
        "--on", metavar="ADDRESS", help="a Dask cluster instead, such as tcp://10.0.0.5:8786"
    )
    check.add_argument(
        "--resume", metavar="FILE", help="keep results in FILE and go on from those it holds"
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

    from advisor.explain.replay.archive import case_names
    from advisor.explain.replay.check_cases import (
        CheckTable,
        Judged,
        Unlisted,
        judge_all,
        read_exceptions,
    )
    from advisor.explain.replay.crowd import WorkersLost
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import show_changes, show_check

    listed = None
    if args.exceptions is not None:
        listed = Unlisted(read_exceptions(Path(args.exceptions)))
    table, lost = CheckTable(), None
    job = _Job("check", "Checking cases", judge_all, Judged, (_folder(args.rules),))
    try:
        for judged in _over(args, lambda: case_names(args.path), job):
            table.add(judged)
            if listed is not None:
                listed.add(judged)
    except WorkersLost as fault:
        lost = fault
    if args.json:
        print(_as_json(table, complete=lost is None))
    else:
        show_check(table, make_console())
    if lost is not None:
        return _cut_short(lost, table.done, args)
    if listed is None:
        return 0 if table.holds else 1
    show_changes(listed.missed, listed.met_again, make_console(stderr=args.json))
    return 1 if listed.missed or listed.met_again or table.unread else 0


def _against(args: argparse.Namespace) -> int:
    from itertools import chain

    from advisor.explain.replay.against import Groups, MovedCase, compare_all, draws
    from advisor.explain.replay.archive import case_names
    from advisor.explain.replay.crowd import WorkersLost
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import MOST, show_groups, show_moved

    def tasks() -> Iterable[str]:
        if args.random is not None and args.path is None:
            return draws(args.random, args.seed or 1)
        return chain(case_names(args.path), draws(args.random or 0, args.seed or 1))

    folders = (_folder(args.against), _folder(args.rules))
    job = _Job("against", "Comparing rules", compare_all, MovedCase, folders)
    groups, done, lost = Groups(), 0, None
    listed: list[MovedCase] = []
    console = make_console()
    try:
        for each in _over(args, tasks, job):
            done += 1
            if not each.changed:
                continue
            groups.add(each)
            if args.json and len(listed) < _MOST_MOVED:
                listed.append(each)
            elif not args.json and groups.moved <= MOST:
                show_moved(each, console)
    except WorkersLost as fault:
        lost = fault
    if args.json:
        print(_moved_as_json(done, listed, groups, complete=lost is None))
    else:
        show_groups(groups, done, console)
    return 0 if lost is None else _cut_short(lost, done, args)


def _folder(given: str | None) -> Path | None:
    from pathlib import Path

    return None if given is None else Path(given)


def _cut_short(lost: Exception, done: int, args: argparse.Namespace) -> int:
    """The sentence after what was done so far."""
    import sys

    onward = "run it again to go on from there" if args.resume else "--resume FILE keeps results"
    print(f"advisor: {lost} {done} cases were done before, as shown; {onward}.", file=sys.stderr)
    return 1


#: Moved cases that --json lists one by one; the groups count them all.
_MOST_MOVED = 1000


class _Job(NamedTuple):
    """What is done with each case. ``kind``: as a file of results names it."""

    kind: str
    words: str
    work: Work[Any]
    form: type[Any]
    folders: tuple[Path | None, ...]


def _over(args: argparse.Namespace, tasks: Callable[[], Iterable[str]], job: _Job) -> Iterator[Any]:
    """Results in order, with a bar on standard error where somebody watches."""
    from pathlib import Path

    from advisor.errors import AdvisorError
    from advisor.explain.replay.crowd import cores, over
    from advisor.explain.replay.resume import kept_results
    from advisor.rulebase import load_rulebase
    from advisor.screens.console import make_console
    from advisor.screens.replay.check_screen import watched

    for flag, number in (("--jobs", args.jobs), ("--random", args.random)):
        if number is not None and number < 1:
            raise AdvisorError(f"{flag}: {number} is too few; give 1 or more.")
    # a fault in the rules is said once, by this process
    marks = [load_rulebase(folder).fingerprint for folder in job.folders]
    total = sum(1 for _ in tasks())
    jobs = args.jobs or (cores() if total >= 40 else 1)

    def run(left: Iterable[str]) -> Iterator[Any]:
        return over(left, job.work, job.folders, jobs, args.on)

    step, stop = watched(make_console(stderr=True), job.words, total)
    try:
        if args.resume:
            found = kept_results(Path(args.resume), job.kind, marks, tasks(), run, job.form)
        else:
            found = run(tasks())
        for each in found:
            yield each
            step()
    finally:
        stop()


def _moved_as_json(done: int, listed: list[Any], groups: Any, complete: bool) -> str:
    import json
    from dataclasses import asdict

    told = {
        "format": "advisor-against-1",
        "complete": complete,
        "cases": done,
        "count": groups.moved,
        "groups": [
            {**g._asdict(), "count": groups.counts[g], "examples": groups.examples[g]}
            for g in groups.ordered
        ],
        "moved": [asdict(each) for each in listed],
    }
    return json.dumps(told, indent=2)


def _as_json(table: CheckTable, complete: bool) -> str:
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
        "complete": complete,
        "holds": complete and table.holds,
        "sets": rows,
        "without_expectation": table.silent,
        "failed": table.failed,
        "unread": table.unread,
        "failures": [{**asdict(j), "failed": list(j.failed)} for j in table.failures],
        "unreadable": [{"path": j.path, "fault": j.fault} for j in table.unreadable],
    }
    return json.dumps(told, indent=2)
