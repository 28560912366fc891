"""Files that leave the room: written over only where what stands there is our own, unchanged.

A file of ours carries the hash of all the rest of it. So a file by other hands is never taken
for ours, whatever words it holds, and one of ours that a person has worked on is theirs.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from pathlib import Path
from typing import Literal

from advisor.case.replace import folder_alone, reason_of, replace_file
from advisor.errors import AdvisorError
from advisor.wording.text import one_line

Form = Literal["html", "text", "csv"]
_EMPTY = "export 0000000000000000"
_MARK = re.compile(rb"export ([0-9a-f]{16})(?![0-9a-f])")
#: No export is larger; a larger file is no export of ours.
_MOST_BYTES = 100_000_000


def write_export(path: Path, text: str, form: Form) -> None:
    """Write ``text`` to a new file, or over an unchanged earlier one of ours.

    Raises AdvisorError when another file, a link or a device stands there, or it cannot be
    written; what stood there then stands as it was.
    """
    where = one_line(path)
    try:
        with folder_alone(path.absolute().parent, where):  # two exports at once share the name
            if os.path.lexists(path) and not _is_own(path):
                raise AdvisorError(
                    f"{where}: is there already and is not one of ours as it was written; give "
                    "another name, or move it away."
                )
            replace_file(path, marked(text, form))
    except (OSError, ValueError) as error:
        raise AdvisorError(f"{where}: cannot be written, {reason_of(error)}.") from None


def marked(text: str, form: Form) -> bytes:
    """The bytes of an export with its mark."""
    if form == "html":
        text = text.replace("</head>", f'<meta name="mark" content="{_EMPTY}">\n</head>', 1)
    elif form == "csv":
        head, end, rows = text.partition("\n")
        quoted = head.rstrip("\r")
        text = f"{quoted},[{_EMPTY}]{head[len(quoted) :]}{end}{rows}"  # a heading of its own
    else:
        text = f"{text.rstrip()}\n\n{_EMPTY}\n"
    raw = text.encode("utf-8", errors="replace")
    empty = _EMPTY.encode()
    at = raw.rfind(empty) if form == "text" else raw.find(empty)
    return raw[:at] + b"export " + _hash(raw) + raw[at + len(empty) :]


def _is_own(path: Path) -> bool:
    """Whether a plain file holds just what we once wrote; an empty one is nobody's."""
    status = os.lstat(path)
    if not stat.S_ISREG(status.st_mode) or status.st_size > _MOST_BYTES:
        return False
    raw = path.read_bytes()
    return not raw or any(
        found[1] == _hash(raw[: found.start(1)] + b"0" * 16 + raw[found.end(1) :])
        for found in list(_MARK.finditer(raw))[:20]
    )


def _hash(raw: bytes) -> bytes:
    return hashlib.sha256(raw).hexdigest()[:16].encode()
