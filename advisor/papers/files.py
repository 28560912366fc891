"""Writing what leaves the room, without writing over anything that is not ours."""

from __future__ import annotations

import os
from pathlib import Path

from advisor.errors import AdvisorError


def write_own(path: Path, text: str, own: str, *, encoding: str = "utf-8") -> None:
    """Write ``text`` to a new file, or over an earlier one of ours.

    own : what a file of ours has among its first letters

    Raises AdvisorError when another file stands there, or it cannot be written.
    """
    try:
        if path.exists() and not _is_own(path, own):
            raise AdvisorError(
                f"{path}: is there already and is not one of ours; give another name with --out."
            )
        fresh = path.with_name(f".{path.name}.writing")
        with open(fresh, "w", encoding=encoding, newline="") as file:
            file.write(text)
        os.replace(fresh, path)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        raise AdvisorError(f"{path}: cannot be written ({reason.lower()}).") from None


def _is_own(path: Path, own: str) -> bool:
    if not path.is_file():
        return False
    with open(path, "rb") as file:
        head = file.read(4096)
    return not head or own.encode() in head
