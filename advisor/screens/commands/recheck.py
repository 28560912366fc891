"""``advisor recheck CASE``: a later look at the same delivery."""

from __future__ import annotations

import argparse
from typing import Any

from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor recheck 2026-03-02-delivery           look again: what changed, better or worse
  advisor recheck delivery.toml --answers FILE  with answers from a file
  advisor recheck delivery.toml --close         losses at 48 h, confirmed cause; close it
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "recheck",
        help="a later look at the same delivery",
        description="Look again at a delivery: what changed, better or worse, when to look next.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="a case, by name or path")
    parser.add_argument("--close", action="store_true", help="close the case")
    parser.add_argument("--answers", metavar="FILE", help="answers from a file (- for a pipe)")
    parser.add_argument("--cases", metavar="DIR", help="folder of cases (see advisor)")
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.screens.session.run import recheck

    return recheck(args)
