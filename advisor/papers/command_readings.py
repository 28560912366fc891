"""``advisor readings CASE``: readings and events as CSV, and a probe's log into a case."""

from __future__ import annotations

import argparse
import sys
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.wording.help_text import ExampleLines

if TYPE_CHECKING:
    from advisor.case.logs import Log, LogAsks
    from advisor.case.logs.into_case import Imported

    Told = dict[tuple[str, str | None], str]

EXAMPLE = """\
examples:
  advisor readings delivery.toml                       readings as CSV, on the screen
  advisor readings delivery.toml --out readings.csv    as a file a spreadsheet opens
  advisor readings delivery.toml --events              what happened, in time order
  advisor readings delivery.toml --add probe.csv       a log into the case
  advisor readings delivery.toml --add probe.csv --check     only say what it would give
  advisor readings delivery.toml --add probe.csv --told "unit:DO=mg/L" --told zone=UTC

What was understood of every column is shown before anything is stored. What a log does not say
(a unit, a zone, when it began) is asked; in a terminal at once, else answer with --told.
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "readings",
        help="readings as CSV, out of a case and into it",
        description="Write the readings or events of a case as CSV, or add a probe's log to it.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="file, number, or part of a name or title")
    parser.add_argument("--events", action="store_true", help="events instead of readings")
    parser.add_argument("--out", metavar="FILE", help="write to a file instead of the screen")
    parser.add_argument(
        "--decimal-comma", action="store_true", help="7,4 and semicolons between cells"
    )
    parser.add_argument("--add", metavar="FILE", help="a log (CSV) to take into the case")
    parser.add_argument(
        "--water", choices=("tank", "bag", "tap"), default="tank", help="what the log measured"
    )
    parser.add_argument("--lot", metavar="LOT", default="all", help="the lot it belongs to")
    parser.add_argument(
        "--kit", choices=("meter", "lab", "drops", "strip", "colour_card"), default="meter",
        help="what kind of test gave the log (default: meter)",
    )  # fmt: skip
    parser.add_argument(
        "--start", metavar="TIME",
        help="when an elapsed log began: receipt, hours after it, or a date (as --told start=TIME)",
    )  # fmt: skip
    parser.add_argument(
        "--dates", choices=("day-first", "month-first", "year-first"), help="order in dates"
    )
    parser.add_argument(
        "--told", metavar="WHAT=ANSWER", action="append", default=[],
        help="what the log does not say; WHAT:COLUMN=ANSWER for one column",
    )  # fmt: skip
    parser.add_argument("--check", action="store_true", help="with --add: write nothing")
    parser.add_argument("--json", action="store_true", help="with --add: say it as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.case.folder import cases_folder, find_case

    args.case = str(find_case(args.case, cases_folder()))
    return _add(args) if args.add else _export(args)


def _export(args: argparse.Namespace) -> int:
    from advisor.case import load_case
    from advisor.papers.csv_out import events_csv, readings_csv

    case, pipe = load_case(args.case), args.out in (None, "-")
    if args.events:
        from advisor.rulebase import load_rulebase

        text = events_csv(case, load_rulebase(), decimal_comma=args.decimal_comma, pipe=pipe)
    else:
        text = readings_csv(case, decimal_comma=args.decimal_comma, pipe=pipe)
    if pipe:
        print(text, end="")
        return 0
    from advisor.case.exports import write_export
    from advisor.wording.text import one_line

    write_export(Path(args.out), text, "csv")
    print(one_line(f"Written: {args.out}, {text.count(chr(13)) - 1} rows."))
    return 0


def _add(args: argparse.Namespace) -> int:
    from advisor.case import load_with_stamp, save_case
    from advisor.case.logs import LogAsks, read_log, told_from
    from advisor.case.logs.into_case import add_log
    from advisor.errors import AdvisorError

    case, stamp = load_with_stamp(args.case)
    lots = [lot.id for lot in case.lot]
    if args.lot != "all" and args.lot not in lots:
        raise AdvisorError(f'--lot "{args.lot}": the lots are {", ".join(lots) or "none"}.')
    raw, name = _bytes(args.add), Path(args.add).name
    told = told_from(args.told)
    if args.start:
        told["start", None] = args.start
    if args.dates:
        told["date_order", None] = args.dates.replace("-", " ")
    while True:
        try:
            log = read_log(raw, name, told, water=args.water, lot=args.lot)
            done = add_log(case, log, told, lot=args.lot, water=args.water, kit=args.kit)
            break
        except LogAsks as asks:
            if args.json or not _ask(asks, told):
                raise
    if not args.json:
        _show(log, done)
    store = not args.check and done.case != case and (args.json or _agreed())
    if store:
        save_case(done.case, args.case, expected_stamp=stamp)
    _tell(args, log, done, store)
    return 0


def _ask(asks: LogAsks, told: Told) -> bool:
    """Put the questions at a terminal; False where there is none, or nothing was answered."""
    from advisor.wording.text import one_line

    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    answered = False
    for question in asks.questions:
        print(one_line(f"{question.sentence} (such as {question.example}; empty to stop)"))
        try:
            answer = input("> ").strip()
        except (EOFError, UnicodeDecodeError):
            return False
        if not answer:
            return False
        told[question.what, question.column] = answer
        answered = True
    return answered


def _agreed() -> bool:
    """Whether what was understood is to be stored: asked at a terminal only."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return True
    try:
        return input("Store this? yes or no: ").strip().lower() in ("y", "yes")
    except (EOFError, UnicodeDecodeError):
        return False


def _bytes(path: str) -> bytes:
    from advisor.case.logs.log_lines import MOST_BYTES
    from advisor.errors import AdvisorError

    try:
        if not Path(path).is_file():
            raise AdvisorError(f"--add {path}: there is no such file.")
        with open(path, "rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        raise AdvisorError(f"--add {path}: cannot be read ({reason.lower()}).") from None
    if len(raw) > MOST_BYTES:
        raise AdvisorError(f"--add {path}: is larger than {MOST_BYTES // 10**6} MB; cut it.")
    return raw


def _show(log: Log, done: Imported) -> None:
    """What was understood, before anything is stored."""
    from advisor.papers.log_understood import kept_lines, understood_lines
    from advisor.wording.text import one_line

    for line in (*understood_lines(log), *kept_lines(done)):
        print("\n".join(textwrap.wrap(one_line(line), 80, subsequent_indent="    ")))


def _tell(args: argparse.Namespace, log: Log, done: Imported, stored: bool) -> None:
    from advisor.wording.text import one_line

    if not args.json:
        why = " (--check)" if args.check else ""
        print(one_line(f"Written: {args.case}." if stored else f"Nothing was written{why}."))
        return
    import json
    from dataclasses import asdict

    told = {
        "format": "advisor-log-import-2",
        "log": args.add,
        "sha256": log.sha256,
        "rows": len(log.rows),
        "first": str(log.rows[0].at),
        "last": str(log.rows[-1].at),
        "columns": [asdict(column) for column in log.columns],
        "left_out": [asdict(left) for left in log.left_out],
        "skipped": [
            {"because": why, "count": len(lines), "lines": lines[:100]}
            for why, lines in log.skipped.items()
        ],
        "notes": log.remarks,
        "looks": done.looks,
        "step_hours": done.step_h,
        "replaced": done.replaced,
        "already_known": done.known,
        "too_far_from_receipt": done.far,
        "written": stored,
    }
    print(json.dumps(told, indent=2))
