"""Completion scripts for shells, made from the command line's own description."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

#: What an argument is called on the help screen -> what completes it.
FILES = ("CASE", "FILE", "PATH")
FOLDERS = ("DIR", "RULES")


def script(parser: argparse.ArgumentParser, shell: str) -> str:
    """The script for ``bash`` or ``zsh``. It is static: a press of TAB starts no Python."""
    import shtab

    for action in _arguments(parser):
        if action.metavar in FILES:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif action.metavar in FOLDERS:
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
    return shtab.complete(parser, shell=shell)


def _arguments(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield from _arguments(below)
