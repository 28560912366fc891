"""``advisor why CASE [ID ...]``: why something was said, or was not, and what would change it."""

from __future__ import annotations

import argparse
import math
from typing import TYPE_CHECKING, Any

from advisor.screens.typed import hours
from advisor.wording.help_text import ExampleLines

if TYPE_CHECKING:
    from advisor.explain.flip import Firmness
    from advisor.explain.study import Study

EXAMPLE = """\
examples:
  advisor why delivery.toml                    the first cause and the first step
  advisor why delivery.toml nitrite            any cause, step, caution, note, rule or reading
  advisor why delivery.toml --what-if ph=7.2 --what-if "sign:gasping at surface=no"
  advisor why delivery.toml --flip             what would change the advice; how firm it is
  advisor why delivery.toml --saved            what moved since an assessment was kept in the case

keys of --what-if: ph (the tank's), bag.ph, tap.chlorine, sign:NAME=yes|no|unknown,
  history:ITEM=..., lot.FIELD, transit.FIELD, receiving.FIELD; values may carry units ("78 F")
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "why",
        help="why that was advised, or was not",
        description="Trace what was said back to rules, facts, readings, formulas and sources.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="file, number, or part of a name or title")
    parser.add_argument("id", nargs="*", metavar="ID", help="an id, or its name in words")
    parser.add_argument("--lot", metavar="LOT", help="which lot; else the most urgent")
    parser.add_argument("--what-if", metavar="KEY=VALUE", action="append", default=[])
    parser.add_argument("--flip", action="store_true", help="what would change the advice")
    parser.add_argument(
        "--saved", action="store_true", help="compare with assessments kept in the case"
    )
    parser.add_argument("--all", action="store_true", help="also rules that came nowhere near")
    parser.add_argument(
        "--until", metavar="HOURS", type=hours, default=math.inf, help="only looks up to HOURS"
    )
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument("--json", action="store_true", help="print as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.advice.reasoner import default_reasoner
    from advisor.case.folder import case_named
    from advisor.explain import study

    case = case_named(args.case)
    about = study(case, default_reasoner(args.rules), lot=args.lot, until_hours=args.until)
    if args.what_if:
        return _what_if(about, args)
    if args.flip:
        return _flip(about, args)
    return _why(about, args)


def _why(about: Study, args: argparse.Namespace) -> int:
    from advisor.explain import why
    from advisor.explain.saved import moved_since
    from advisor.screens.console import make_console

    told = why(about, args.id)
    kept = [s for s in about.case.assessment if s.lot == about.result.lot]
    entries = kept if args.saved else kept[-1:]
    moved = [moved_since(about, entry) for entry in entries]
    if not args.saved:  # unasked, only what a reader of an old advice must know
        moved = [m for m in moved if not (m.same_rules and m.same_program)]
    told = told.model_copy(update={"moved": tuple(moved)})
    if args.json:
        from advisor.screens.console import print_json

        print_json(told.model_dump_json(indent=2))
        return 0
    from advisor.screens.show_audit import show_audit
    from advisor.screens.show_change import show_moved
    from advisor.wording.layout import styled

    console = make_console()
    if args.saved and not entries:
        console.print(styled("No assessment is kept in this case."))
    for each in moved:
        show_moved(each, about.base, console)
        console.print()
    if not (args.id or args.saved):
        from advisor.screens.plots import plot_balance

        plot_balance(about.result.causes, console)
        console.print()
    if args.id or not args.saved:
        show_audit(told, about.base, console, everything=args.all)
    _other_lots(about)
    return 0


def _what_if(about: Study, args: argparse.Namespace) -> int:
    from advisor.explain.what_if import what_if
    from advisor.screens.console import make_console, print_json
    from advisor.screens.show_change import show_what_if

    told = what_if(about, args.what_if)
    if args.json:
        print_json(told.model_dump_json(indent=2))
        return 0
    show_what_if(told, about.base, make_console())
    _other_lots(about)
    return 0


def _flip(about: Study, args: argparse.Namespace) -> int:
    from advisor.screens.console import make_console, print_json
    from advisor.screens.show_change import show_firmness

    told = _with_progress(about)
    if args.json:
        print_json(told.model_dump_json(indent=2))
    else:
        show_firmness(told, about.base, make_console())
        _other_lots(about)
    return 0


def _with_progress(about: Study) -> Firmness:
    """The search, with a bar on standard error where somebody watches."""
    from rich.progress import Progress

    from advisor.explain.flip import flip
    from advisor.screens.console import make_console

    console = make_console(stderr=True)
    if not console.is_terminal:
        return flip(about)
    with Progress(console=console, transient=True) as bar:
        task = bar.add_task("Trying other answers", total=None)
        return flip(about, lambda done, of: bar.update(task, completed=done, total=of))


def _other_lots(about: Study) -> None:
    from advisor.advice.facts.sheet import lots_of
    from advisor.screens.console import make_console
    from advisor.wording.layout import styled

    others = [lot.id for lot in lots_of(about.case) if lot.id != about.result.lot]
    if others:
        names = ", ".join(others)
        make_console().print(styled(f"Other lots, with --lot: {names}.", "italic"))
