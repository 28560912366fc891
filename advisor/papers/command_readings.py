"""``advisor readings CASE``: readings and events as CSV, and a probe's log into a case."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.wording.numbers import grouped

if TYPE_CHECKING:
    from advisor.case import Case
    from advisor.papers.log_file import LogRead
    from advisor.papers.log_import import Imported

EXAMPLE = """\
examples:
  advisor readings delivery.toml                       readings as CSV, on the screen
  advisor readings delivery.toml --out readings.csv    as a file a spreadsheet opens
  advisor readings delivery.toml --events              what happened, in time order
  advisor readings delivery.toml --add probe.csv       a log into the case (its comments go)
  advisor readings delivery.toml --add probe.csv --check     only say what it would give

A log has a line of names first: time,parameter,value,unit or time,temperature [°C],pH.
Times are hours after receipt, or dates when the case says when the delivery was received.
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "readings",
        help="readings as CSV, out of a case and into it",
        description="Write the readings or events of a case as CSV, or add a probe's log to it.",
        epilog=EXAMPLE,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("case", metavar="CASE", help="a case file (TOML)")
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
        "--start", metavar="TIME", help="when an elapsed log began: hours after receipt, or a date"
    )
    parser.add_argument("--dates", choices=("day-first", "month-first"), help="order in dates")
    parser.add_argument("--check", action="store_true", help="with --add: write nothing")
    parser.add_argument("--json", action="store_true", help="with --add: say it as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    return _add(args) if args.add else _export(args)


def _export(args: argparse.Namespace) -> int:
    from advisor.case import load_case
    from advisor.papers.csv_out import OPENING, events_csv, readings_csv

    case, pipe = load_case(args.case), args.out in (None, "-")
    if args.events:
        from advisor.rulebase import load_rulebase

        text = events_csv(case, load_rulebase(), decimal_comma=args.decimal_comma, pipe=pipe)
    else:
        text = readings_csv(case, decimal_comma=args.decimal_comma, pipe=pipe)
    if pipe:
        print(text, end="")
        return 0
    from advisor.papers.files import write_own
    from advisor.wording.text import one_line

    write_own(Path(args.out), text, OPENING)
    print(one_line(f"Written: {args.out}, {text.count(chr(13)) - 1} rows."))
    return 0


def _add(args: argparse.Namespace) -> int:
    from advisor.case import load_with_stamp, save_case
    from advisor.errors import AdvisorError
    from advisor.papers.log_file import read_log
    from advisor.papers.log_import import add_log
    from advisor.wording.times import read_moment

    case, stamp = load_with_stamp(args.case)
    lots = [lot.id for lot in case.lot]
    if args.lot != "all" and args.lot not in lots:
        raise AdvisorError(f'--lot "{args.lot}": the lots are {", ".join(lots) or "none"}.')
    log = read_log(
        _bytes(args.add), args.add, read_moment(case.delivery.received),
        start_h=_start(args.start, case),
        dates=args.dates, water=args.water, lot=args.lot,
    )  # fmt: skip
    name = Path(args.add).name
    done = add_log(case, log, name, lot=args.lot, water=args.water, kit=args.kit)
    if not args.check and done.looks:
        save_case(done.case, args.case, expected_stamp=stamp)
    _tell(args, log, done)
    return 0 if done.looks else 1


def _bytes(path: str) -> bytes:
    from advisor.errors import AdvisorError
    from advisor.papers.log_file import MOST_BYTES

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


def _start(text: str | None, case: Case) -> float | None:
    """Hours after receipt at which an elapsed log began."""
    if text is None:
        return None
    from advisor.errors import AdvisorError
    from advisor.papers.log_times import Clock
    from advisor.wording.times import read_moment

    try:
        return Clock(read_moment(case.delivery.received)).hours(text)
    except AdvisorError as fault:
        raise AdvisorError(
            f'--start "{text}": {fault}; write hours after receipt, or a date and time such as '
            "2027-03-02T14:10."
        ) from None


def _tell(args: argparse.Namespace, log: LogRead, done: Imported) -> None:
    from advisor.papers.log_file import lines_words, skipped_in_all

    if args.json:
        import json

        print(
            json.dumps(
                {
                    "format": "advisor-log-import-1",
                    "log": args.add,
                    "rows": log.lines,
                    "readings_used": len(log.rows),
                    "skipped": [
                        {"because": why, "count": len(lines), "lines": lines[:100]}
                        for why, lines in log.skipped.items()
                    ],
                    "notes": log.notes,
                    "looks": done.looks,
                    "step_hours": done.step_h,
                    "replaced": done.replaced,
                    "same_time_twice": done.twice,
                    "written": not args.check and bool(done.looks),
                },
                indent=2,
            )
        )
        return
    from advisor.wording.text import one_line
    from advisor.wording.times import span

    say = [
        f"{grouped(log.lines)} rows: {grouped(len(log.rows))} readings used, "
        f"{grouped(skipped_in_all(log))} skipped."
    ]
    for why, lines in sorted(log.skipped.items(), key=lambda pair: -len(pair[1])):
        say.append(f"  skipped {grouped(len(lines))}: {why} ({lines_words(lines)})")
    say += [f"  note: {note}" for note in log.notes]
    if done.twice:
        say.append(
            f"  {grouped(done.twice)} readings had another of the same time; the last counts"
        )
    kept = "row by row" if done.step_h is None else f"one for every {span(done.step_h)}"
    say.append(f"Kept as {done.looks} looks, {kept}.")
    if done.replaced:
        say.append(f"{done.replaced} looks of an earlier import of this log were replaced.")
    if not done.looks:
        say.append("Nothing was written.")
    else:
        say.append("Nothing was written (--check)." if args.check else f"Written: {args.case}.")
    for line in say:
        print(one_line(line))
