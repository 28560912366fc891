"""``advisor ask``: the guided session."""

from __future__ import annotations

import argparse
from typing import Any

from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor ask                              start; every answer is kept
  advisor ask --resume 2026-03-02-delivery  go on with a case, by name or path
  advisor ask --answers lines.txt          one answer a line, in the order asked
  advisor ask --answers named.txt          or by name: "hours_sealed: 30 h"

  advisor ask --hear counts "2 doa, rest fine"   what a line is taken to mean

keys at every question:
  ?  why it is asked and how to answer     Enter or u  not known
  b  back     p  plan so far     d  done   e  enough of this lot     s  save and leave
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "ask",
        help="be led through it by questions",
        description="The guided session: the right question next, emergencies first.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("--resume", metavar="CASE", help="go on with a case, by name or path")
    parser.add_argument("--answers", metavar="FILE", help="take answers from a file (- for a pipe)")
    parser.add_argument(
        "--cases", metavar="DIR", help="folder of cases (default: your data folder)"
    )
    parser.add_argument("--title", metavar="TEXT", help="name of a new case, also in its file name")
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument(
        "--hear",
        nargs=2,
        metavar=("QUESTION", "TEXT"),
        help="only say what a typed line is taken to mean (with --resume: in that case)",
    )
    parser.add_argument("--json", action="store_true", help="with --hear: as data")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    if args.hear:
        from advisor.screens.session.heard import hear

        return hear(args)
    from advisor.screens.session.run import ask

    return ask(args)
