"""``advisor assess CASE``: the reasoning without questions."""

from __future__ import annotations

import argparse
import math
import shlex
from typing import Any, NoReturn

from advisor.screens.typed import hours
from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor assess delivery.toml
  advisor assess delivery.toml --json
  advisor assess delivery.toml --until 1     only what was known 1 h after receipt
  advisor assess --schema                    the form of --json, as JSON Schema
"""


class _Schema(argparse.Action):
    """Print the JSON Schema of the result and stop."""

    def __call__(self, parser: Any, namespace: Any, values: Any, option: Any = None) -> NoReturn:
        import json

        from advisor.advice.result_schema import assessment_schema

        print(json.dumps(assessment_schema(), indent=2))
        raise SystemExit(0)


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "assess",
        help="what to do for a delivery on file",
        description="Rank likely causes and next actions for a case file.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="file, number, or part of a name or title")
    parser.add_argument("--json", action="store_true", help="print the result as JSON")
    parser.add_argument(
        "--schema", action=_Schema, nargs=0, help="print the JSON Schema of --json and stop"
    )
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument(
        "--until",
        metavar="HOURS",
        type=hours,
        default=math.inf,
        help="use only looks up to HOURS after receipt",
    )
    parser.add_argument("--all", action="store_true", help="show unlikely causes and all evidence")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.advice.assess import assess
    from advisor.advice.reasoner import default_reasoner
    from advisor.case.folder import case_named

    case = case_named(args.case)
    reasoner = default_reasoner(args.rules)
    result = assess(case, reasoner, until_hours=args.until)
    if args.json:
        from advisor.screens.console import print_json

        print_json(result.model_dump_json(indent=2))
        return 0
    from advisor.screens.console import make_console

    if args.all:
        from advisor.screens.show_assessment import show

        show(result, make_console(), everything=True)
    else:
        from advisor.screens.show_plan import show_plan

        show_plan(result, case, make_console(), shlex.quote(args.case))
    return 0
