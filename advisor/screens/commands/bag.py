"""``advisor bag``: what a sealed bag holds, and which way of opening it costs its fish least."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from advisor.wording.help_text import ExampleLines

if TYPE_CHECKING:
    from advisor.advice.results import OpeningPlace
    from advisor.rulebase import RuleBase
    from advisor.screens.show_bag.bag_looked_at import BagView

EXAMPLE = """\
examples:
  advisor bag --water 2L --gas 4L --fish 40 --mass 0.4g --hours 30 --temp 24C
                                      a bag before it is opened
  advisor bag --water 2L --gas 4L --fish 40 --mass 0.4g --hours 30 \\
      --temp 19C --tank-temp 25C --tank-ph 7.8 --tank-alkalinity 6dKH --tank-volume 200L
                                      and the tank it goes to
  advisor bag ... --ph 6.3 --tan "4 ppm as N" --kit drops
                                      read at opening: the forecast starts from it
  advisor bag --ph 6.3 --tan "4 ppm as N" --temp 22C
                                      readings alone, nothing known of the journey
  advisor bag delivery.toml           every sealed lot of a case, in the order to open them
  advisor bag delivery.toml --lot A   one of them in full

What is not given, or is "unknown", widens the bands; it is never taken as zero. Values carry
their units (2L, 0.5 gal, 78F, 6 dKH); put quotes round those with spaces. -v lists every number
that was assumed, with its source. --json prints the form advisor-bag-1.
"""

#: Flags that describe a bag without a case: name, example, help.
_JOURNEY = (
    ("water", "2L", "water in the bag"),
    ("gas", "4L", "gas over it (0 for none; left out: one to four times the water)"),
    ("gas-kind", "oxygen", "oxygen, air or none (left out: oxygen)"),
    ("fish", "40", "number of fish in the bag"),
    ("mass", "0.4g", "mass of one fish (left out: from the species table)"),
    ("species", "NAME", "what fish, by any of its names"),
    ("group", "ID", "species group of the rule base, in place of a species"),
    ("hours", "30", "hours from sealing until now"),
    ("temp", "24C", "water temperature now; without the next two, on the whole way"),
    ("packed-temp", "25C", "water temperature at packing"),
    ("outside", "14-26C", "air around the box on the way"),
    ("fasted", "24h", "time without food before packing"),
    ("sedated", "no", "yes, no or unknown"),
)
_BAG_WATER = (
    ("ph", "6.4", "pH read in the bag at opening"),
    ("tan", '"4 ppm as N"', "total ammonia read in the bag at opening"),
    ("do", "8", "dissolved oxygen read in the bag at opening"),
    ("alkalinity", "5dKH", "alkalinity of the bag's water"),
    ("salinity", "35ppt", "salinity of the bag's water (left out: fresh, or by the kind)"),
    ("conductivity", "350", "conductivity of the bag's water"),
    ("packed-ph", "7.2", "pH of the packing water"),
    ("packed-tan", '"0.2 as N"', "total ammonia of the packing water"),
    ("minutes-open", "10", "minutes after opening at which it was read"),
    ("kit", "drops", "kind of kit: colour card, strip, drops, meter or lab"),
)
_TANK = (
    ("tank-volume", "200L", "water in the tank"),
    ("tank-temp", "25C", "its temperature"),
    ("tank-ph", "7.8", "its pH"),
    ("tank-alkalinity", "6dKH", "its alkalinity"),
    ("tank-tan", '"0 as N"', "its total ammonia"),
    ("tank-nitrite", '"0 as N"', "its nitrite"),
    ("tank-salinity", "35ppt", "its salinity (left out: the bag's)"),
    ("tank-conductivity", "420", "its conductivity"),
    ("filter", "mature", "mature, part or new"),
    ("later-temp", "22C", "bag temperature again, after floating ..."),
    ("after", "10min", "... so many minutes"),
)


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "bag",
        help="what a sealed bag holds, and how to open it",
        description="Forecast a sealed bag and compare the ways of opening it.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
        allow_abbrev=False,
    )
    parser.add_argument(
        "case",
        nargs="?",
        metavar="CASE",
        help="file, number, or part of a name or title",
    )
    parser.add_argument("--lot", metavar="LOT", help="with a case: this lot")
    for title, flags in (
        ("the bag and its journey", _JOURNEY),
        ("its water", _BAG_WATER),
        ("where the fish go", _TANK),
    ):
        group = parser.add_argument_group(title)
        for name, example, text in flags:
            group.add_argument(f"--{name}", metavar=example, help=text)
    parser.add_argument("--no-plot", action="store_true", help="leave the plots out")
    parser.add_argument(
        "-v", "--verbose", action="store_true", help="assumptions and their sources"
    )
    parser.add_argument("--json", action="store_true", help="print as JSON (advisor-bag-1)")
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.set_defaults(run=run)
    _kinder(parser)


def _kinder(parser: argparse.ArgumentParser) -> None:
    """Take "--water -2L" as a value, and name the nearest flag for one that is not known."""
    plain = parser.parse_known_args

    def parse_known_args(args: Sequence[str] | None = None, namespace: Any = None) -> Any:
        words = _joined(sys.argv[1:] if args is None else args)
        found, extra = plain(words, namespace)
        if extra:
            from advisor.wording.nearest import near_words

            known = [flag for action in parser._actions for flag in action.option_strings]
            wrong = extra[0].partition("=")[0]
            longer = [flag for flag in known if flag.startswith(wrong)]
            near = longer or near_words(wrong, known, 1, 0.5)
            hint = f" (nearest: {near[0]})" if near else ""
            parser.error(f'"{wrong}" is not known{hint}')
        return found, extra

    parser.parse_known_args = parse_known_args  # type: ignore[method-assign, assignment]


def _joined(words: Sequence[str]) -> list[str]:
    """A value that begins with a minus, joined to its flag so that it is read as a value."""
    out: list[str] = []
    for word in words:
        if out and re.fullmatch(r"--[a-z-]+", out[-1]) and re.match(r"-[\d.]", word):
            out[-1] += f"={word}"
        else:
            out.append(word)
    return out


def run(args: argparse.Namespace) -> int:
    from advisor.rulebase import load_rulebase

    base = load_rulebase(args.rules)
    if args.case is None:
        return _print(args, base, [_of_flags(args, base)], (), ())
    _refuse_flags(args)
    return _of_case(args, base)


def _of_flags(args: argparse.Namespace, base: RuleBase) -> BagView:
    from advisor.errors import AdvisorError
    from advisor.screens.show_bag.bag_asked import in_flags
    from advisor.screens.show_bag.bag_looked_at import look
    from advisor.screens.show_bag.from_flags import bag_of_flags

    if args.lot is not None:
        raise AdvisorError(f"--lot: lots belong to a case; give the case before --lot {args.lot}.")
    try:
        return look(bag_of_flags(args, base), base)
    except AdvisorError as fault:
        raise in_flags(fault) from None


def _refuse_flags(args: argparse.Namespace) -> None:
    """With a case its own figures count; a flag beside it would be silently lost."""
    from advisor.errors import AdvisorError

    for name, _, _ in (*_JOURNEY, *_BAG_WATER, *_TANK):
        if getattr(args, name.replace("-", "_")) is not None:
            raise AdvisorError(
                f"--{name}: with a case its own figures count; change the case, "
                "or leave CASE out and give the bag by flags."
            )


def _of_case(args: argparse.Namespace, base: RuleBase) -> int:
    from advisor.advice.assess import assess
    from advisor.advice.reasoner import default_reasoner
    from advisor.case.folder import case_named
    from advisor.errors import AdvisorError
    from advisor.screens.show_bag.bag_looked_at import look
    from advisor.screens.show_bag.from_case import bags_of_case, can_be_shown, why_not

    case = case_named(args.case)
    result = assess(case, default_reasoner(args.rules))
    order = result.opening_order
    urgent = {
        lot.lot: next((action.text for action in lot.actions if action.emergency), None)
        for lot in result.lots
    }
    moves = {lot.lot: lot.move for lot in result.lots}
    asked = bags_of_case(case, base, args.lot)
    shown = [each for each in asked if can_be_shown(each)]
    if not shown:
        raise AdvisorError(why_not(case, asked))
    places = {place.lot: place.place for place in order}
    shown.sort(key=lambda each: places.get(each.name, len(places) + 1))
    views = []
    others = [why_not(case, [each]) for each in asked if not can_be_shown(each)]
    for each in shown:
        try:
            emergency = urgent.get(each.name) if each.sealed else None
            move = moves.get(each.name) if each.sealed is not False and not each.released else None
            views.append(look(replace(each, emergency=emergency, move=move), base))
        except AdvisorError as fault:
            others.append(f"{each.name}: {fault}")
    if not views:
        raise AdvisorError(others[-1])
    wanted = [place for place in order if args.lot in (None, place.lot)]
    return _print(args, base, views, wanted, others)


def _print(
    args: argparse.Namespace,
    base: RuleBase,
    views: Sequence[BagView],
    order: Sequence[OpeningPlace],
    others: Sequence[str],
) -> int:
    from advisor.screens.show_bag.after import after_stocking

    after = after_stocking(views, base)
    if args.json:
        import json

        from advisor.screens.console import print_json
        from advisor.screens.show_bag.as_json import in_json

        form = in_json(views, order, after, others, base)
        print_json(json.dumps(form, indent=2, ensure_ascii=False, allow_nan=False))
        return 0
    from advisor.screens.console import make_console
    from advisor.screens.show_bag.screen import show

    console = make_console()
    show(views, order, after, console, verbose=args.verbose, plot=not args.no_plot, others=others)
    return 0
