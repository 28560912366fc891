"""Case files on disk: read whole, written whole or not at all.

A save goes to a new file in the same folder, which then takes the place of the
old one in a single step. Whatever goes wrong before that step, a full disk or a
killed process included, leaves the old file as it was.
"""

from __future__ import annotations

import errno
import hashlib
import os
from pathlib import Path

from advisor.case.amend import amended
from advisor.case.model import Case
from advisor.case.replace import folder_alone, reason_of, replace_file
from advisor.case.toml_text import CASE_FILE, dumps_case, loads_case
from advisor.errors import AdvisorError
from advisor.wording.toml_file import MOST_BYTES, decode, one_line, read_bytes

#: Stamp of a file that does not exist yet.
ABSENT = "absent"


class ChangedOnDisk(AdvisorError):
    """The file was changed by another session since it was read; nothing was written."""


def load_case(path: str | os.PathLike[str]) -> Case:
    """The case kept in a TOML file.

    Raises AdvisorError, or ManyFaults with one sentence for each fault; every
    sentence begins with the file's name.
    """
    return load_with_stamp(path)[0]


def load_with_stamp(path: str | os.PathLike[str], *, weighed: bool = True) -> tuple[Case, str]:
    """The case and the stamp of the very bytes it was read from, for ``save_case``.

    weighed : as for ``loads_case``
    """
    where = _called(path)
    raw = read_bytes(Path(path), where, CASE_FILE)
    return loads_case(decode(raw, where, CASE_FILE), where, weighed=weighed), _stamp(raw)


def stamp(path: str | os.PathLike[str]) -> str:
    """Stamp of a file's content (SHA-256, hexadecimal), or ABSENT where there is no file."""
    if not os.path.exists(path):
        return ABSENT
    return _stamp(read_bytes(Path(path), _called(path), CASE_FILE))


def save_case(
    case: Case, path: str | os.PathLike[str], *, expected_stamp: str | None = None
) -> str:
    """Write ``case`` to ``path`` in one step, and give back the new stamp.

    expected_stamp : stamp the file had when it was read (ABSENT for a new file);
                     None writes over whatever is there

    A symbolic link stays and the file it leads to is replaced; permissions are
    kept, and so are comments in the old file. Raises ChangedOnDisk when the file's
    stamp is another, AdvisorError when it cannot be written. In both cases the
    old file stands as it was.
    """
    where = _called(path)
    try:
        target = Path(os.path.realpath(path))
        text = _text(case, target)
        raw = text.encode()
        _check_readable(text, len(raw), case, where)
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, "")
        if target.is_symlink():  # all links have been followed: this one has no end
            raise OSError(errno.ELOOP, "")
        with folder_alone(target.parent, where):
            if expected_stamp is not None and stamp(target) != expected_stamp:
                raise ChangedOnDisk(
                    f"{where}: was changed by another session since it was read; nothing was "
                    "written. Open it again, or save under another name"
                )
            replace_file(target, raw)
    except (OSError, ValueError) as error:
        raise AdvisorError(
            f"{where}: not saved, {reason_of(error)}; the old file, if any, is untouched"
        ) from None
    return _stamp(raw)


def _text(case: Case, target: Path) -> str:
    """The case as text, amended into what stands in the file where that is one."""
    try:
        old = read_bytes(target, "", CASE_FILE)
        return amended(decode(old, "", CASE_FILE), case)
    except AdvisorError:
        return dumps_case(case)


def _check_readable(text: str, size: int, case: Case, where: str) -> None:
    """Refuse to write what could not be read again; the old file is worth more."""
    try:
        sound = size <= MOST_BYTES and loads_case(text, weighed=False) == case
    except AdvisorError:
        sound = False
    if not sound:
        raise AdvisorError(f"{where}: not saved, the case is too large to be read again")


def _called(path: str | os.PathLike[str]) -> str:
    """The file's name in sentences: as given, its beginning cut off when very long."""
    name = one_line(os.fspath(path)[-120:])
    return name if len(os.fspath(path)) <= 120 else f"...{name}"


def _stamp(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()
