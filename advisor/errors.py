"""Errors meant for the person at the keyboard.

Every fault a user can cause is an :class:`AdvisorError`: one clear sentence
that names the field, the value, what is allowed and how to mend it. The
command line shows the sentence, never a traceback, and ends with status 2.
"""

from __future__ import annotations

from collections.abc import Sequence


class AdvisorError(Exception):
    """One sentence for the person, shown without a traceback.

    Left uncaught in a program of one's own, Python shows the sentence last, without the
    fault of a library that was met on the way.
    """

    __module__ = "advisor"  # where it is imported from

    def __init__(self, *parts: object) -> None:
        super().__init__(*parts)
        self.__suppress_context__ = True


class ManyFaults(AdvisorError):
    """Several faults found together; ``faults`` holds one sentence each."""

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


def lacking(missing: ModuleNotFoundError) -> str:
    """The sentence for a package that is not installed; empty where a module of ours is missing."""
    package = (missing.name or "").partition(".")[0]
    if package in ("", "advisor"):
        return ""
    return (
        f"{package} is not installed for this Python; install the advisor with the first command "
        "of README.md and run .venv/bin/advisor."
    )
