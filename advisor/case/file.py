"""Case files on disk: read whole, written whole or not at all.

A save goes to a new file in the same folder, which then takes the place of the
old one in a single step. Whatever goes wrong before that step, a full disk or a
killed process included, leaves the old file as it was.
"""

from __future__ import annotations

import errno
import hashlib
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from advisor.case.amend import amended
from advisor.case.model import Case
from advisor.case.text import CASE_FILE, dumps_case, loads_case
from advisor.errors import AdvisorError
from advisor.wording.toml_file import MOST_BYTES, decode, one_line, read_bytes

try:
    import fcntl
except ImportError:  # not on Windows: two sessions are then told apart by the stamp alone
    fcntl = None  # type: ignore[assignment]

#: Stamp of a file that does not exist yet.
ABSENT = "absent"
LOCK_WAIT_S = 5.0

_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is used up",
    errno.EFBIG: "the file would be larger than allowed here",
    errno.EROFS: "the disk or folder is read-only",
    errno.EACCES: "you are not allowed to write there",
    errno.EPERM: "you are not allowed to write there",
    errno.ENOENT: "there is no such folder",
    errno.ENOTDIR: "part of the path is a file, not a folder",
    errno.EISDIR: "this is a folder; give a file name in it",
    errno.ELOOP: "the link leads back to itself",
    errno.ENAMETOOLONG: "the file name is too long",
}


class ChangedOnDisk(AdvisorError):
    """The file was changed by another session since it was read; nothing was written."""


def load_case(path: str | os.PathLike[str]) -> Case:
    """The case kept in a TOML file.

    Raises AdvisorError, or ManyFaults with one sentence for each fault; every
    sentence begins with the file's name.
    """
    return load_with_stamp(path)[0]


def load_with_stamp(path: str | os.PathLike[str]) -> tuple[Case, str]:
    """The case and the stamp of the very bytes it was read from, for ``save_case``."""
    where = _called(path)
    raw = read_bytes(Path(path), where, CASE_FILE)
    return loads_case(decode(raw, where, CASE_FILE), where), _stamp(raw)


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
        with _folder_alone(target.parent, where):
            if expected_stamp is not None and stamp(target) != expected_stamp:
                raise ChangedOnDisk(
                    f"{where}: was changed by another session since it was read; nothing was "
                    "written. Open it again, or save under another name"
                )
            _replace(target, raw)
    except (OSError, ValueError) as error:
        raise AdvisorError(
            f"{where}: not saved, {_reason(error)}; the old file, if any, is untouched"
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
        sound = size <= MOST_BYTES and loads_case(text) == case
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


def _reason(error: OSError | ValueError) -> str:
    if not isinstance(error, OSError):  # a zero character, or one the disk's names cannot hold
        return "its name is not a file name"
    return _REASONS.get(error.errno or 0) or (error.strerror or "unknown reason").lower()


@contextmanager
def _folder_alone(folder: Path, where: str) -> Iterator[None]:
    """Hold the folder against other savers, so that stamp and step belong together."""
    if fcntl is None:
        yield
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        _lock(handle, where)
        yield
    finally:
        os.close(handle)


def _lock(handle: int, where: str) -> None:
    until = time.monotonic() + LOCK_WAIT_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except BlockingIOError:
            if time.monotonic() > until:
                raise AdvisorError(
                    f"{where}: not saved, another program keeps this folder locked; try again"
                ) from None
            time.sleep(0.01)
        except OSError:
            return  # some network disks have no locks; the stamp still guards against most


def _replace(target: Path, raw: bytes) -> None:
    # One name for each target: a file left by a killed process is found and taken away.
    name = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:12]
    fresh = target.parent / f".case-{name}.saving"
    old = os.stat(target) if target.exists() else None
    if old is not None:  # a file the person made read-only stays, though its folder would allow it
        os.close(os.open(target, os.O_WRONLY))
    with suppress(FileNotFoundError):
        os.unlink(fresh)
    try:
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        with open(handle, "wb") as file:
            if old is not None:
                _keep_owner(file.fileno(), old)
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
        os.replace(fresh, target)
    except BaseException:
        with suppress(OSError):
            os.unlink(fresh)
        raise
    _flush_folder(target.parent)


def _keep_owner(handle: int, old: os.stat_result) -> None:
    if hasattr(os, "fchown"):
        with suppress(PermissionError):  # only root may give a file away
            os.fchown(handle, old.st_uid, old.st_gid)
    if hasattr(os, "fchmod"):
        os.fchmod(handle, stat.S_IMODE(old.st_mode))


def _flush_folder(folder: Path) -> None:
    """Make the step itself last through a power cut, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
