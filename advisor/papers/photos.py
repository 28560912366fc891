"""Photographs as evidence: file name, file time, SHA-256 where the file is at hand."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.papers.blocks import Block, Para, Table

_CHUNK = 1 << 20
NOTE = (
    "The file time is the one the computer keeps and changes when a file is edited or copied. "
    "SHA-256 names the content: the same file gives the same 64 characters."
)


@dataclass(frozen=True)
class PhotoLine:
    """A photograph's file as it is now."""

    file: str
    changed: str
    size: int
    sha256: str


def photo_line(path: str | os.PathLike[str]) -> PhotoLine:
    """Name, time, size and hash of a file. Raises AdvisorError when it cannot be read."""
    place = Path(path)
    try:
        if not place.is_file():
            raise AdvisorError(f"--photo {place}: there is no such file.")
        digest = hashlib.sha256()
        with open(place, "rb") as file:
            while chunk := file.read(_CHUNK):
                digest.update(chunk)
        kept = os.stat(place)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        raise AdvisorError(f"--photo {place}: cannot be read ({reason.lower()}).") from None
    changed = datetime.fromtimestamp(kept.st_mtime).astimezone().isoformat(timespec="seconds")
    return PhotoLine(place.name, changed, kept.st_size, digest.hexdigest())


def photo_rows(case: Case, given: Iterable[PhotoLine]) -> Iterator[Block]:
    """The list: those the case names, with the file's hash where it was given, then the others."""
    files = {line.file: line for line in given}
    rows = []
    for photo in case.photo:
        line = files.pop(Path(photo.file).name, None)
        rows.append(
            (
                photo.file,
                photo.taken or "",
                "" if line is None else line.changed,
                _hash(photo.sha256, line),
                photo.note or "",
            )
        )
    rows += [(line.file, "", line.changed, line.sha256, "") for line in files.values()]
    if not rows:
        yield Para("None listed.", "quiet")
        return
    columns = ("file", "taken (as written down)", "file time", "SHA-256", "note")
    yield Table("", columns, tuple(rows))
    yield Para(NOTE, "quiet")


def _hash(written: str | None, line: PhotoLine | None) -> str:
    if line is None:
        return f"{written} (as written down)" if written else "file not at hand"
    if written and written.lower() != line.sha256:
        return f"{line.sha256} (now); written down was {written}"
    return line.sha256
