"""``advisor rules``: browse, explain and check the rule base."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from advisor.wording.help_text import ExampleLines

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.explain.replay.dead import Silent
    from advisor.rulebase import RuleBase

EXAMPLE = """\
examples:
  advisor rules                    what the rule base holds
  advisor rules nitrite            everything on one id: a cause, rule, action, limit, sign ...
  advisor rules --check            look for faults; status 1 when there are any
  advisor rules --sources          works with the entries they carry and how they were read
  advisor rules --check --dead     also for conditions that nothing meets (a minute)
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "rules",
        help="browse, explain and check the rule base",
        description="Browse, explain and check the rule base.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("id", nargs="*", metavar="ID", help="an id, a kind of fish, or words")
    parser.add_argument("--check", action="store_true", help="look for faults in the rules")
    parser.add_argument("--remarks", action="store_true", help="with --check: list remarks too")
    parser.add_argument(
        "--dead",
        action="store_true",
        help="with --check: look for what neither a shipped case nor a drawn delivery meets",
    )
    parser.add_argument(
        "--sources", action="store_true", help="list works, what they carry, how they were read"
    )
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument("--json", action="store_true", help="print as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.rulebase import load_rulebase
    from advisor.screens.console import make_console

    base = load_rulebase(args.rules)
    console = make_console()
    if args.check:
        dead = _dead(base) if args.dead else None
        return _check(base, console, dead, remarks=args.remarks, as_json=args.json)
    if args.sources:
        return _sources(base, console, as_json=args.json)
    if args.id:
        return _explain(base, " ".join(args.id), console, as_json=args.json)
    return _overview(base, console, as_json=args.json)


def _check(
    base: RuleBase, console: Console, dead: Silent | None, *, remarks: bool, as_json: bool
) -> int:
    import json

    from advisor.advice.soundness import unsound
    from advisor.rulebase.check import by_basis, check
    from advisor.rulebase.check_strength import by_passage
    from advisor.rulebase.engine import limits_exceeded
    from advisor.rulebase.load import kept_differs
    from advisor.wording.layout import hanging, styled
    from advisor.wording.numbers import percent

    found = check(base)
    over = limits_exceeded(base.compiled.rules)
    faults = [f"{r.where}: {r.text}" for r in found if r.severity == "fault"]
    faults += [*unsound(base), *over]
    if kept_differs(base.folder):
        faults.append("what is kept of these rules is not what the files say; empty the cache")
    soft = [f"{r.where}: {r.text}" for r in found if r.severity == "remark"]
    basis, read = dict(by_basis(base)), by_passage(base)
    if as_json:
        told = {"faults": faults, "remarks": soft, "rules_by_basis": basis, "read": read}
        if dead is not None:
            told["dead"] = dead.never
            told["met_only_by_drawn"] = dead.only_drawn
        print(json.dumps(told, indent=2))
        return 1 if faults else 0
    for line in faults + (soft if remarks else []):
        if console.is_terminal:
            hanging("- ", styled(line), console)
        else:
            console.print(styled(line), soft_wrap=True)  # one line each, for grep
    if dead is not None:
        _tell_dead(dead, console, remarks)
    counts = f"{len(base.rules)} rules, {len(base.causes)} causes, {len(base.actions)} actions"
    hanging("", styled(f"{counts}: {len(faults)} faults, {len(soft)} remarks."), console)
    words = ", ".join(f"{count} {name}" for name, count in sorted(basis.items()))
    hanging("", styled(f"Evidence rules by their best basis: {words}."), console)
    share = read["rules on something read"] / max(1, len(base.rules))
    said = (
        f"{read['rules on something read']} ({percent(share)}) say or work out what somebody read; "
        f"{read['citations described']} of {read['citations']} citations tell what their "
        "passage says."
    )
    hanging("", styled(said), console)
    if soft and not remarks:
        console.print(styled("See the remarks with --remarks."))
    return 1 if faults else 0


def _dead(base: RuleBase) -> Silent:
    """The search for conditions that nothing meets, with a bar where somebody watches."""
    from rich.progress import Progress

    from advisor.advice.reasoner import Reasoner
    from advisor.case import load_case
    from advisor.explain.replay.archive import case_files
    from advisor.explain.replay.dead import search
    from advisor.screens.console import make_console

    reasoner = Reasoner.of(base)
    cases = (load_case(path) for path in case_files())
    console = make_console(stderr=True)
    if not console.is_terminal:
        return search(reasoner, cases)
    with Progress(console=console, transient=True) as bar:
        task = bar.add_task("Looking for dead conditions", total=None)
        return search(reasoner, cases, told=lambda n, of: bar.update(task, completed=n, total=of))


def _tell_dead(dead: Silent, console: Console, remarks: bool) -> None:
    from advisor.wording.layout import hanging, styled

    for name in dead.never:
        hanging("- ", styled(f"{name}: nothing met it"), console)
    for name in dead.only_drawn if remarks else ():
        hanging("- ", styled(f"{name}: no shipped case meets it"), console)
    text = (
        f"{len(dead.never)} conditions were met by nothing, {len(dead.only_drawn)} by none of "
        f"{dead.cases} shipped cases but by a drawn delivery."
    )
    hanging("", styled(text), console)


def _overview(base: RuleBase, console: Console, *, as_json: bool) -> int:
    import json

    from advisor.rulebase.base import KINDS
    from advisor.wording.layout import styled

    counts = {kind: len(getattr(base, attribute)) for kind, (_, attribute) in KINDS.items()}
    if as_json:
        mark = {"version": base.version, "fingerprint": base.fingerprint, "entries": counts}
        print(json.dumps(mark, indent=2))
        return 0
    console.print(
        styled(f"{base.settings.title}. Rules {base.version} ({base.fingerprint})", "bold")
    )
    console.print(styled(base.settings.because))
    console.print()
    for cause in base.causes.values():
        mine = [r for r in base.rules.values() if cause.id in (r.supports, r.opposes)]
        console.print(styled(f"{cause.id:26} {cause.name} ({len(mine)} rules)"))
    console.print()
    console.print(styled(", ".join(f"{count} {kind}" for kind, count in counts.items()) + "."))
    console.print(styled("Explain one with: advisor rules ID"))
    return 0


def _sources(base: RuleBase, console: Console, *, as_json: bool) -> int:
    import json

    from advisor.screens.console import print_json
    from advisor.screens.show_sources import show_sources, sources_as_json

    if as_json:
        print_json(json.dumps(sources_as_json(base), indent=2, ensure_ascii=False))
    else:
        show_sources(base, console)
    return 0


def _explain(base: RuleBase, wanted: str, console: Console, *, as_json: bool) -> int:
    import json

    from advisor.screens.console import print_json
    from advisor.screens.find_entry import found
    from advisor.screens.show_entry import show_entry
    from advisor.wording.layout import hanging, styled

    hits, several = found(wanted, base)
    if as_json:
        dumped = [
            {"kind": kind, **entry.model_dump(mode="json", exclude_none=True)}
            for kind, entry in (*hits, *several)
        ]
        print_json(json.dumps(dumped, indent=2, ensure_ascii=False))
        return 0
    for place, (kind, entry) in enumerate(hits):
        if place:
            console.print(styled(""))
        show_entry(kind, entry, base, console)
    for kind, entry in several:
        said = (getattr(entry, name, "") for name in ("name", "text", "meaning", "because"))
        called = next(filter(None, said), "")
        hanging(f"{kind} {entry.id}  ", styled(called), console)
    if several:
        console.print(styled("Explain one with: advisor rules ID"))
    return 0
