"""Where cases live: one visible folder of TOML files named by date and title.

The folder is ``--cases DIR``, else the environment's ADVISOR_CASES, else "advisor/cases"
in the user's data directory. Nothing is written outside it, save for a case
that the person names by its own path.
"""

from __future__ import annotations

import hashlib
import os
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.errors import AdvisorError
from advisor.wording.nearest import nearest

if TYPE_CHECKING:
    from advisor.case import Case

ENVIRONMENT = "ADVISOR_CASES"
SUFFIX = ".toml"
_MOST_SLUG = 40


def expanded(name: str | os.PathLike[str]) -> Path:
    """A path with ``~`` and ``~name`` filled in. Raises AdvisorError where nobody has that name."""
    try:
        return Path(name).expanduser()
    except RuntimeError:
        raise AdvisorError(f"{os.fspath(name)}: there is no such home folder here.") from None


def cases_folder(given: str | None = None, environ: Mapping[str, str] = os.environ) -> Path:
    """The folder of cases; not made here."""
    wanted = given or environ.get(ENVIRONMENT)
    if wanted:
        return expanded(wanted)
    from platformdirs import user_data_path

    return user_data_path("advisor", appauthor=False) / "cases"


def slug(title: str) -> str:
    """A title as part of a file name: plain letters, digits and dashes; "delivery" when empty."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    words = re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")
    return words[:_MOST_SLUG].strip("-") or "delivery"


def mark_of(path: Path) -> str:
    """A short mark of a case's file name, for addresses."""
    return hashlib.sha256(path.stem.encode("utf-8", "surrogateescape")).hexdigest()[:16]


def new_path(folder: Path, when: datetime, title: str = "") -> Path:
    """A file name of date and title that is not taken yet."""
    stem = f"{when:%Y-%m-%d}-{slug(title)}"
    path, number = folder / f"{stem}{SUFFIX}", 2
    while path.exists():
        path, number = folder / f"{stem}-{number}{SUFFIX}", number + 1
    return path


def beside(path: Path) -> Path:
    """A free name next to ``path``, for a case that must not overwrite it."""
    number = 2
    while (fresh := path.with_name(f"{path.stem}-{number}{path.suffix}")).exists():
        number += 1
    return fresh


def find_case(name: str, folder: Path) -> Path:
    """The file of a case given by path, file name, number, title, fish, or a part of these.

    A number is the one that ``advisor`` alone shows, the place by file name. Raises
    AdvisorError naming the cases that it may be, or the nearest names when there is none.
    """
    for path in (expanded(name), folder / name, folder / f"{name}{SUFFIX}"):
        if _is_file(path):
            return path
    if name.endswith(SUFFIX) or Path(name).name != name or os.path.exists(name):
        return Path(name)  # a file was meant: reading it says what is wrong
    files = _files(folder) if folder.is_dir() else []
    number = int(name) if name.isdecimal() and len(name) < 4 else None
    if number is not None and 1 <= number <= len(files):
        return files[number - 1]
    words = _plain(name).split() if number is None else []
    called = {path: f"{_plain(path.stem)} {_plain(_title(path))}" for path in files}
    found = [path for path in files if words and all(word in called[path] for word in words)]
    if len(found) == 1:
        return found[0]
    if found:
        listed = ", ".join(path.stem for path in found[:5])
        raise AdvisorError(f"{name}: may be {listed}{' ...' if len(found) > 5 else ''}; say more.")
    known = [path.stem for path in files]
    hint = nearest(Path(name).stem, known, 2, 0.4) or "; advisor alone lists the cases"
    raise AdvisorError(f"{name}: no such case here or in {folder}{hint}")


def case_named(name: str) -> Case:
    """The case of the user's folder by any name that :func:`find_case` takes."""
    from advisor.case.file import load_case

    return load_case(find_case(name, cases_folder()))


def number_in(folder: Path, path: Path) -> int:
    """The number by which a case of the folder is called."""
    return _files(folder).index(path) + 1


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _plain(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold().replace("_", " ")))


def _title(path: Path) -> str:
    """What a case is called: its title, and its fish; empty where the file cannot be read."""
    import tomllib

    try:
        with open(path, "rb") as file:
            data = tomllib.load(file)
        kinds = [
            f"{lot.get('count', '')} {lot.get('species') or lot.get('id', '')}"
            for lot in data.get("lot", ())
        ]
        return f"{data.get('delivery', {}).get('title', '')} {' '.join(kinds)}"
    except (OSError, ValueError, AttributeError, KeyError, TypeError):
        return ""


@dataclass(frozen=True)
class KeptCase:
    """A case file of the folder: the case, or the sentence why it cannot be read."""

    path: Path
    case: Case | None
    fault: str = ""


def kept_cases(folder: Path) -> Iterator[KeptCase]:
    """Every case file of the folder, by name."""
    from advisor.case import load_case

    for path in _files(folder):
        try:
            yield KeptCase(path, load_case(path))
        except AdvisorError as fault:
            yield KeptCase(path, None, str(fault).split("\n", 1)[0])


def _files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.glob(f"*{SUFFIX}") if path.is_file())
    except OSError as error:
        raise AdvisorError(f"{folder}: cannot be read ({error.strerror})") from None


def make_folder(folder: Path) -> None:
    """Make the folder of cases. Raises AdvisorError when that is not possible."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise AdvisorError(
            f"{folder}: cannot be made ({reason.lower()}); give another folder with --cases DIR"
        ) from None
