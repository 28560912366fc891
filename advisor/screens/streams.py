"""Standard input and output as a person's machine gives them: closed, full, in any encoding."""

from __future__ import annotations

import codecs
import errno
import os
import sys
from contextlib import suppress

#: Name of the way to read bytes that are not UTF-8: as Windows-1252, Latin-1 with more letters.
AS_WINDOWS_1252 = "as-windows-1252"
_OF_OUTPUT = frozenset(
    (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EBADF, errno.EAGAIN, errno.ENXIO)
)


def ready() -> bool:
    """Make the streams usable; False, and said, where nothing could be shown."""
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    if sys.stdin is None:
        sys.stdin = open(os.devnull, encoding="utf-8")  # noqa: SIM115
    if sys.stdout is None:
        sys.stderr.write("Nothing can be shown: the output is closed.\n")
        return False
    codecs.register_error(AS_WINDOWS_1252, _one_byte)
    for stream, errors in (
        (sys.stdout, "replace"),
        (sys.stderr, "replace"),
        (sys.stdin, AS_WINDOWS_1252),  # a pasted Latin-1 letter costs no answer
    ):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            with suppress(ValueError, OSError):
                reconfigure(errors=errors)
                # input in two-byte units cannot be mended letter by letter; nobody types it
                if stream is sys.stdin and stream.encoding[:6].lower() in ("utf-16", "utf-32"):
                    reconfigure(encoding="utf-8", errors=errors)
    return True


def _one_byte(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("cp1252", "replace"), error.end


def output_failed(error: OSError) -> bool:
    """Whether an error is of the output, not of a file; it is then said, the rest goes nowhere.

    What is written to files ends in an AdvisorError; what names no file is the output.
    """
    if error.filename is not None or error.errno not in _OF_OUTPUT:
        return False
    give_up_output()
    with suppress(OSError, ValueError):
        reason = (error.strerror or "").lower()
        sys.stderr.write(f"Not all could be shown: the output cannot be written ({reason}).\n")
    return True


def place_failed(error: OSError) -> bool:
    """Whether an error is of a file or folder that cannot be used; it is then said."""
    if error.filename is None:
        return False
    from advisor.screens.console import complain
    from advisor.wording.text import one_line

    name = os.fsdecode(error.filename) if not isinstance(error.filename, int) else "a file"
    shown = name if len(name) <= 120 else f"...{name[-110:]}"
    complain(
        f"{one_line(shown)}: cannot be used ({(error.strerror or 'no reason given').lower()})."
    )
    return True


def give_up_output() -> None:
    """Let what is still to be written go nowhere, so that the end of the program is quiet."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
