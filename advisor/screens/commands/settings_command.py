"""``advisor settings``: units, sheet and address, kept for this user."""

from __future__ import annotations

import argparse
from typing import Any

from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor settings                           what is set, and where it is kept
  advisor settings units=us                  °F, gallons and ounces beside every amount
  advisor settings units=metric sheet=letter
  advisor settings teaspoons=yes             plain salt in level teaspoons too, roughly
  advisor settings address=http://192.168.1.20:8765   in the scan code of tank labels
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "settings",
        help="units, size of the sheet, address of the page: kept for you",
        description="Show or keep settings of this user.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("pairs", metavar="NAME=VALUE", nargs="*", help="what to keep")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.errors import AdvisorError
    from advisor.wording.settings import SETTINGS, keep, setting, settings_file
    from advisor.wording.text import one_line

    changes = {}
    for pair in args.pairs:
        name, sign, value = pair.partition("=")
        if not sign:
            raise AdvisorError(f'"{one_line(pair)}": write NAME=VALUE, such as units=us.')
        changes[name.strip().casefold()] = value.strip()
    path = settings_file()
    if changes:
        keep(path, changes)
    for name, allowed in SETTINGS.items():
        what = f"  ({' or '.join(allowed)})" if allowed else ""
        print(one_line(f"{name} = {setting(name) or 'not set'}{what}"))
    print(one_line(f"Kept in {path}"))
    return 0
