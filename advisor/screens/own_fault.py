"""A fault of the program itself: one sentence for the person, the trace in a file."""

from __future__ import annotations

import os
import tempfile
import traceback

from advisor.screens.console import complain
from advisor.version import PROGRAM
from advisor.wording.text import one_line

#: Exit status for a fault of the program (EX_SOFTWARE of BSD's sysexits.h).
STATUS = 70


def own_fault(error: Exception) -> int:
    """Say that the program failed, keep the trace for whoever mends it, return the status."""
    said = f"This is a fault of the program, not yours: {type(error).__name__}"
    detail = one_line(error)[:200]
    said += f" ({detail}). " if detail else ". "
    said += "What was saved is untouched. "
    try:
        descriptor, path = tempfile.mkstemp(prefix="advisor-fault-", suffix=".txt")
        with os.fdopen(descriptor, "w", encoding="utf-8", errors="replace") as file:
            file.write(f"{PROGRAM}\n")
            traceback.print_exception(error, file=file)
        said += f"Please send {path} to whoever looks after it."
    except OSError:
        said += "The details could not be kept."
    complain(said)
    return STATUS
