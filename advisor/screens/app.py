"""The command line: which command runs, and how faults end.

Exit status: 0 done, 1 a check did not hold, 2 bad input, 70 a fault of the program, 130
interrupted.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Sequence
from importlib import import_module
from typing import Any, NoReturn

from advisor.errors import AdvisorError, lacking
from advisor.screens.streams import give_up_output, output_failed, place_failed, ready
from advisor.version import PROGRAM
from advisor.wording.help_text import ExampleLines

#: Commands in the order a person meets them, and the module of each.
COMMANDS = {
    "ask": "advisor.screens.commands.ask",
    "assess": "advisor.screens.commands.assess",
    "recheck": "advisor.screens.commands.recheck",
    "watch": "advisor.screens.commands.watch",
    "why": "advisor.screens.commands.why",
    "bag": "advisor.screens.commands.bag",
    "water": "advisor.screens.commands.water",
    "replay": "advisor.screens.commands.replay",
    "paper": "advisor.papers.command_paper",
    "readings": "advisor.papers.command_readings",
    "rules": "advisor.screens.commands.rules",
    "settings": "advisor.screens.commands.settings_command",
    "serve": "advisor.page.command_serve",
}

DESCRIPTION = "Advice for fish that arrive stressed: what to do first, why, and what not to do."
EPILOG = """\
examples:
  advisor assess delivery.toml       what to do for a delivery on file
  advisor ask                        be led through it by questions
  advisor why CASE                   why that was advised

It ranks possibilities by rules and is no veterinarian. Weights are judgement.
"""


class _Completion(argparse.Action):
    """Print the shell's completion script and stop; its library is loaded only then."""

    def __call__(self, parser: Any, namespace: Any, values: Any, option: Any = None) -> NoReturn:
        from advisor.screens.completion import script

        print(script(build_parser(), values))
        raise SystemExit(0)


class _Parser(argparse.ArgumentParser):
    """argparse whose faults are one sentence and status 2, as everywhere else."""

    def error(self, message: str) -> NoReturn:
        from advisor.screens.console import complain
        from advisor.screens.typed import command_fault

        said = command_fault(message, tuple(COMMANDS))
        end = "" if said.endswith("?") else "."
        complain(f"{self.prog}: {said}{end} See {self.prog} --help.")
        raise SystemExit(2)


def build_parser(names: Iterable[str] = COMMANDS) -> argparse.ArgumentParser:
    """The command line with these commands."""
    parser = _Parser(
        prog="advisor",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=ExampleLines,
    )
    parser.add_argument("--version", action="version", version=PROGRAM)
    parser.add_argument(
        "--completion",
        choices=("bash", "zsh"),
        action=_Completion,
        help="print a script that completes commands and options, to be sourced by the shell",
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands")
    for name in names:
        import_module(COMMANDS[name]).add(commands)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    if not ready():
        return 2
    try:
        status = _run(argv)
        sys.stdout.flush()
        return status
    except AdvisorError as fault:
        from advisor.screens.console import complain

        complain(fault)
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped.\n")
        return 130
    except BrokenPipeError:
        give_up_output()  # the reader went away (head, less): nothing left to say, nothing wrong
        return 0
    except Exception as error:  # no trace on a person's screen; it is kept in a file
        if isinstance(error, OSError) and (output_failed(error) or place_failed(error)):
            return 2
        if isinstance(error, ModuleNotFoundError) and (sentence := lacking(error)):
            sys.stderr.write(f"{sentence}\n")
            return 2
        from advisor.screens.own_fault import own_fault

        return own_fault(error)


def _more_ids(args: argparse.Namespace, rest: Sequence[str]) -> bool:
    """Whether the words left over are ids that stand behind an option."""
    return isinstance(getattr(args, "id", None), list) and not any(w[:1] == "-" for w in rest)


def _run(argv: Sequence[str] | None) -> int:
    words = list(sys.argv[1:] if argv is None else argv)
    # one command's own code is enough to read its line, and starts sooner
    named = words[:1] if words and words[0] in COMMANDS else COMMANDS
    parser = build_parser(named)
    args, rest = parser.parse_known_args(words)
    if rest and _more_ids(args, rest):  # argparse takes what may be many in one place only
        args.id = [*args.id, *rest]
    elif rest:
        parser.error(f"unrecognized arguments: {' '.join(rest)}")
    if args.command is None:
        home = import_module("advisor.screens.commands.home")
        return int(home.run(args))
    return int(args.run(args))
