"""``advisor water``: one-line water arithmetic."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from advisor.wording.help_text import ExampleLines
from advisor.wording.numbers import exact

if TYPE_CHECKING:
    from advisor.screens.show_water.sums import Sum

EXAMPLE = """\
examples:
  advisor water                                       every sum, with an example
  advisor water nh3 tan=2 ppm as N ph=7.8 temp=78 F   un-ionised ammonia
  advisor water nh3 tan="2 ppm unknown" ph=7.8 temp=26 kit=drops
                                                      basis not known: the band spans them all
  advisor water mix volume=2 L and 10 L ph=6.4 and 7.8 alkalinity=3 dKH and 7 dKH temp=24
  advisor water salt volume=25 gal to=3 g/L           how much salt
  advisor water convert 6 dKH to ppm
  advisor water nh3 tan=1 ph=8 temp=26 fish=koi       a verdict for these fish; case=NAME takes
                                                      those of a delivery
  advisor water nh3 --help                            what one sum takes

Add -v for the formula with the numbers put in, the range it covers and its source;
--json for the machine-readable form. Values are written as people write them, with
their units; quotes can be left out.
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "water",
        help="water arithmetic: ammonia, CO2, pH after mixing, doses, units",
        description="One-line water arithmetic from published formulas.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("-v", "--verbose", action="store_true", help="show formula and source")
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    parser.add_argument("sum", nargs="?", metavar="SUM", help="which sum; leave out to list them")
    parser.add_argument(
        "words", nargs=argparse.REMAINDER, metavar="KEY=VALUE", help="what is known"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.screens.show_water.which_sum import read_all, same_unit, sort_out

    if args.sum is None:
        return _print_all()
    asked = sort_out(args.words)
    verbose = args.verbose or "verbose" in asked.flags
    as_json = args.json or "json" in asked.flags
    if args.sum == "convert":
        return _convert(asked.pairs, asked.bare, "help" in asked.flags, verbose, as_json)
    entry = _sum_named(args.sum)
    if "help" in asked.flags:
        return _print_one(entry)
    from advisor.screens.show_water.working import work_out

    apart = {key: asked.pairs.pop(key, None) for key in ("fish", "case")}
    given = read_all(entry, asked)
    same_unit(given, [take.key for take in entry.takes if take.how == "same"])
    answer = work_out(entry, given)
    answer = replace(answer, verdicts=_verdicts(answer, apart["fish"], apart["case"]))
    return _print_answer(answer, verbose, as_json)


def _verdicts(answer: Any, fish: str | None, named: str | None) -> tuple[str, ...]:
    """What the answer means for the fish named, for those of a case, or for the usual ones."""
    from advisor.rulebase import load_rulebase
    from advisor.screens.show_water.verdict import verdicts, whom

    case = None
    if named:
        from advisor.case.folder import case_named

        case = case_named(named)
    base = load_rulebase()
    return tuple(verdicts(answer, whom(fish, case, base), base))


def sums() -> dict[str, Sum]:
    """Every sum by its word, in the order they are listed."""
    from advisor.screens.show_water import chemistry, dosing

    return {entry.word: entry for entry in (*chemistry.SUMS, *dosing.SUMS)}


def _sum_named(word: str) -> Sum:
    from advisor.errors import AdvisorError
    from advisor.wording.nearest import nearest

    known = sums()
    if word not in known:
        hint = nearest(word, [*known, "convert"], closeness=0.5) or "."
        raise AdvisorError(f'"{word}": no such sum{hint} List them with: advisor water')
    return known[word]


def _convert(pairs: Any, bare: str, wants_help: bool, verbose: bool, as_json: bool) -> int:
    from advisor.screens.show_water import convert

    if wants_help or not (pairs or bare):
        print("convert: a value in the unit the advisor keeps it in, or in another one")
        print(f"examples: {', '.join(convert.EXAMPLES)}")
        print(f"names: {', '.join(sorted(convert.NAMES))}")
        return 0
    return _print_answer(convert.convert(pairs, bare), verbose, as_json)


def _print_answer(answer: Any, verbose: bool, as_json: bool) -> int:
    import sys
    from textwrap import fill

    from advisor.screens.show_water.answer import (
        at_length,
        in_json,
        in_teaspoons,
        line,
        outside,
        wrapped,
    )

    if as_json:
        import json

        from advisor.screens.console import print_json

        print_json(json.dumps(in_json(answer), indent=2, ensure_ascii=False))
        return 0
    width = _width()
    first = line(answer)
    print(fill(first, width) if sys.stdout.isatty() else first)
    for sentence in answer.verdicts:
        print("\n".join(wrapped("verdict", sentence, width)))
    for sentence in outside(answer):
        print("\n".join(wrapped("outside", sentence, width)))
    for note in (*in_teaspoons(answer), *answer.notes):
        print("\n".join(wrapped("note", note, width)))
    if verbose:
        for lead, text in at_length(answer):
            print("\n".join(wrapped(lead, text, width)))
    return 0


def _print_all() -> int:
    from textwrap import fill

    from advisor.screens.show_water import convert

    width = _width()
    for entry in sums().values():
        _print_entry(entry.word, entry.meaning, entry.example, width)
    _print_entry("convert", "a value in another unit", convert.EXAMPLES[0], width)
    more = "Add -v for formula and source, --json for the data; advisor water SUM --help for one."
    print(fill(more, width))
    return 0


def _print_entry(word: str, meaning: str, example: str, width: int) -> None:
    from advisor.screens.show_water.answer import wrapped

    print("\n".join(wrapped(word, meaning, width))[2:])
    print("\n".join(wrapped("", f"advisor water {word} {example}", width))[2:])


def _print_one(entry: Sum) -> int:
    from textwrap import fill

    from advisor.screens.show_water.answer import wrapped
    from advisor.units.parameters import PARAMETERS

    width = _width()
    print(fill(f"{entry.word}: {entry.meaning}", width))
    for take in entry.takes:
        known = PARAMETERS.get(take.parameter)
        text = f"{known.name}, like {known.write}" if known else _PLAIN[take.how]
        if take.many:
            text += '; several, joined by "and"'
        if not take.needed:
            text += "; may be left out" + (f" ({exact(take.default)})" if take.default else "")
        print("\n".join(wrapped(f"{take.key}=", text, width)))
    print("\n".join(wrapped("kit=", "kind of kit; widens the answer by what it can tell", width)))
    if entry.about:
        print(fill(entry.about, width))
    print(fill(f"example: advisor water {entry.word} {entry.example}", width))
    return 0


_PLAIN = {
    "parameter": "a reading",
    "share": "a share, like 50 %",
    "same": "a number, all in one unit",
    "count": "a number",
    "altitude": "height above the sea, like 1200 m",
    "pressure": "pressure of the air at the place, like 745 mmHg",
    "ppm": "carbon dioxide of the air, like 420 ppm",
}


def _width() -> int:
    import sys

    from advisor.screens.session.talk import columns_of

    return columns_of(sys.stdout)
