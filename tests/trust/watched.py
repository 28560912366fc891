"""Which files a stretch of code writes, seen by the interpreter's own audit events."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

_CHANGES = {
    "os.remove",
    "os.rename",
    "os.mkdir",
    "os.rmdir",
    "os.link",
    "os.symlink",
    "os.truncate",
    "os.chmod",
    "os.chown",
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "subprocess.Popen",
    "shutil.rmtree",
    "socket.connect",
}
_seen: list[str] | None = None
_hooked = False


def _notice(event: str, args: tuple[Any, ...]) -> None:
    if _seen is None:
        return
    if event == "open":
        path, _, flags = args
        writes = flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        if isinstance(path, (str, bytes)) and writes:
            _seen.append(os.fsdecode(path))
    elif event in _CHANGES:
        _seen.append(os.fsdecode(args[0]) if isinstance(args[0], (str, bytes)) else event)


@contextmanager
def written_outside(*allowed: Path) -> Iterator[list[str]]:
    """Collect what is written, removed, renamed or run outside the folders ``allowed``."""
    global _seen, _hooked
    if not _hooked:
        sys.addaudithook(_notice)  # stays for the process; silent while _seen is None
        _hooked = True
    found: list[str] = []
    _seen = []
    try:
        yield found
    finally:
        noticed, _seen = _seen, None
        found += [path for path in noticed if not _inside(path, allowed)]


def _inside(path: str, allowed: Sequence[Path]) -> bool:
    full = os.path.realpath(path)
    if "__pycache__" in full or full == os.devnull:
        return True
    return any(full.startswith(f"{os.path.realpath(folder)}{os.sep}") for folder in allowed)
