"""Scores of one trainee over time: one line of JSON for each delivery played.

Kept in "advisor/training" of the user's data directory, under the name the trainee
chose, on this machine only.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from advisor.case.folder import ENVIRONMENT, cases_folder, slug
from advisor.case.replace import reason_of
from advisor.errors import AdvisorError
from advisor.explain.replay.score import Score

COLUMNS = (
    "when",
    "case",
    "difficulty",
    "first_cause",
    "in_first_three",
    "first_action",
    "harm_avoided",
    "harms_named",
    "harms_there",
    "questions_asked",
    "minutes_on_the_clock",
)
Line = dict[str, str | float | None]


def progress_file(name: str, environ: Mapping[str, str] = os.environ) -> Path:
    """Where the scores of a name are kept."""
    if not name.strip():
        raise AdvisorError("--as: a name is needed to keep scores under; any will do.")
    plain = {key: value for key, value in environ.items() if key != ENVIRONMENT}
    return cases_folder(environ=plain).parent / "training" / f"{_file_name(name)}.jsonl"


def _file_name(name: str) -> str:
    """A name of plain letters as it is; any other with a part of its hash, so that none share."""
    plain = unicodedata.normalize("NFC", name).strip().casefold()
    if re.fullmatch(r"[a-z0-9]{1,40}", plain):
        return plain
    return f"{slug(name)}-{hashlib.sha256(plain.encode(errors='replace')).hexdigest()[:8]}"


def line_of(score: Score, case: str, difficulty: str, when: str) -> Line:
    """One score as it is kept."""
    return {
        "when": when,
        "case": case,
        "difficulty": difficulty,
        "first_cause": _word(score.first),
        "in_first_three": _word(score.in_three),
        "first_action": _word(score.action),
        "harm_avoided": _word(score.harm_avoided),
        "harms_named": len(score.named),
        "harms_there": score.of,
        "questions_asked": score.asked,
        "minutes_on_the_clock": round(score.seconds / 60, 1),
    }


def _word(value: bool | None) -> str | None:
    return None if value is None else "yes" if value else "no"


def keep(path: Path, line: Line) -> None:
    """Add one line."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # A line that a power loss cut off gets its end first, or it would take this one with it.
        text = json.dumps(line, ensure_ascii=False) + "\n"
        with path.open("ab") as file:
            file.write(("" if _ends_whole(path) else "\n").encode() + text.encode(errors="replace"))
            file.flush()
            os.fsync(file.fileno())
    except (OSError, ValueError) as error:
        raise AdvisorError(f"{path}: scores cannot be kept, {reason_of(error)}.") from None


def _ends_whole(path: Path) -> bool:
    with path.open("rb") as file:
        if file.seek(0, os.SEEK_END) == 0:
            return True
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"


def kept(path: Path) -> list[Line]:
    """All lines, oldest first; a line that was cut off is left out."""
    try:
        text = path.read_text(encoding="utf-8", errors="replace")  # a torn line costs only itself
    except FileNotFoundError:
        return []
    except OSError:
        raise AdvisorError(f"{path}: scores cannot be read; move the file away.") from None
    found = []
    for each in text.split("\n"):
        try:
            line = json.loads(each)
        except ValueError:
            continue
        if isinstance(line, dict):
            found.append({name: line.get(name) for name in COLUMNS})
    return found


def as_csv(lines: Iterable[Line], inert: Callable[[str], str]) -> str:
    """The lines as CSV; ``inert`` makes text safe for a spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(name.replace("_", " ") for name in COLUMNS)
    for line in lines:
        cells = (line[name] for name in COLUMNS)
        writer.writerow("" if c is None else inert(c) if isinstance(c, str) else c for c in cells)
    return "\ufeff" + out.getvalue()
