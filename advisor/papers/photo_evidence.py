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
from advisor.papers.blocks import Block, Para, Photos, Shot

_CHUNK = 1 << 20
#: Longer side of a picture in the paper [pixels].
SMALL = 260
NOTE = (
    "The file time is the one the computer keeps and changes when a file is edited or copied. "
    "SHA-256 names the content: the same file gives the same 64 characters."
)


@dataclass(frozen=True)
class PhotoLine:
    """A photograph's file as it is now; ``small``: the picture as a data URI, if it is one."""

    file: str
    changed: str
    size: int
    sha256: str
    small: str = ""


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
    return PhotoLine(place.name, changed, kept.st_size, digest.hexdigest(), _small(place))


def kept_beside(case: Case, path: Path) -> list[Path]:
    """Photographs that the case names and that lie beside its file, in its own folder of them.

    Only plain files of that folder are given: a name in a case is text that anyone may write.
    """
    folder = photo_folder(path)
    found = [folder / Path(photo.file).name for photo in case.photo]
    return [each for each in found if each.is_file() and not each.is_symlink()]


def photo_folder(path: Path) -> Path:
    """Where the photographs of the case of this file are kept."""
    return path.with_name(f"{path.stem}-photos")


def photo_rows(case: Case, given: Iterable[PhotoLine]) -> Iterator[Block]:
    """The photographs, those the case names first, each small where its file is at hand."""
    files = {line.file: line for line in given}
    shots = []
    for photo in case.photo:
        line = files.pop(Path(photo.file).name, None)
        taken = f"taken {photo.taken} (as written down)" if photo.taken else ""
        marks = (taken, photo.note or "", _file_time(line), _hash(photo.sha256, line))
        shots.append(Shot(photo.file, tuple(filter(None, marks)), line.small if line else ""))
    shots += [
        Shot(line.file, (_file_time(line), f"SHA-256 {line.sha256}"), line.small)
        for line in files.values()
    ]
    if not shots:
        yield Para("None listed.", "quiet")
        return
    yield Photos(tuple(shots))
    yield Para(NOTE, "quiet")


def _file_time(line: PhotoLine | None) -> str:
    return "" if line is None else f"file time {line.changed}"


def _small(path: Path) -> str:
    """The picture as a small JPEG in a data URI; empty for what is no picture.

    It is drawn anew, so that nothing of the file but its pixels gets into the page.
    """
    import base64
    import io

    from PIL import Image, ImageOps

    try:
        with Image.open(path) as picture:
            picture.draft("RGB", (SMALL, SMALL))
            shown = ImageOps.exif_transpose(picture).convert("RGB")
        shown.thumbnail((SMALL, SMALL))
        out = io.BytesIO()
        shown.save(out, "JPEG", quality=70)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return ""
    return f"data:image/jpeg;base64,{base64.b64encode(out.getvalue()).decode()}"


def _hash(written: str | None, line: PhotoLine | None) -> str:
    if line is None:
        return f"SHA-256 {written} (as written down)" if written else "file not at hand"
    if written and written.lower() != line.sha256:
        return f"SHA-256 {line.sha256} (now); written down was {written}"
    return f"SHA-256 {line.sha256}"
