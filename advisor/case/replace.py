"""The one way a file of this program takes its place: written beside, then put there in one step.

It follows no link, keeps owner and mode of the file it replaces, and leaves nothing beside it,
whatever goes wrong.
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

from advisor.errors import AdvisorError

try:
    import fcntl
except ImportError:  # not on Windows: two sessions are then told apart by the stamp alone
    fcntl = None  # type: ignore[assignment]

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


def reason_of(error: OSError | ValueError) -> str:
    """Why a file cannot be written, in a few words."""
    if not isinstance(error, OSError):  # a zero character, or one the disk's names cannot hold
        return "its name is not a file name"
    return _REASONS.get(error.errno or 0) or (error.strerror or "unknown reason").lower()


def replace_file(target: Path, raw: bytes) -> None:
    """Put ``raw`` where ``target`` is; on OSError what stood there stands."""
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


@contextmanager
def folder_alone(folder: Path, where: str) -> Iterator[None]:
    """Hold the folder against other savers, so that stamp and step belong together."""
    if fcntl is None:
        yield
        return
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except PermissionError:  # a folder one may write into and not list
        yield
        return
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
            time.sleep(0.002)
        except OSError:
            return  # some network disks have no locks; the stamp still guards against most
