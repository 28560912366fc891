"""``advisor watch CASE``: a clock for each lot that rings when it is time to look again."""

from __future__ import annotations

import argparse
from typing import Any

from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor watch delivery.toml        counts down and rings the terminal's bell for each lot
  advisor watch delivery.toml --once says when to look, and ends
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "watch",
        help="count down to the next look at each lot, and ring",
        description="Count down to the next look at each lot and ring the terminal's bell.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="file, number, or part of a name or title")
    parser.add_argument("--once", action="store_true", help="say the times and end")
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.advice.assess import assess
    from advisor.advice.reasoner import default_reasoner
    from advisor.case.folder import case_named
    from advisor.screens.show_watch import watch

    case = case_named(args.case)
    return watch(case, assess(case, default_reasoner(args.rules)), once=args.once)
