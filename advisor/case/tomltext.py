"""TOML from a file a person may have written, with every fault in plain words.

Knows nothing of cases. What it refuses, it refuses early: a file that is not
text, that is too large, or that is built to keep a parser busy.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from advisor.errors import AdvisorError

MOST_BYTES = 1_000_000  # the largest made-up case stays under 100 kB; this parses in about 1 s
MOST_KEY_PARTS = 6  # the deepest name in a case has 4; the parser's time grows with the square
MOST_ENTRIES = 10_000  # in one list or table

# Text in quotes and comments, so that what is left is bare TOML. Possessive
# throughout and closed by the end of the file: time stays linear in its length.
_QUOTED = re.compile(
    r'"""(?:[^\\"]++|\\.|"(?!""))*+(?:"{3,5}|\Z)'
    r"|'''(?:[^']++|'(?!''))*+(?:'{3,5}|\Z)"
    r'|"(?:[^"\\\n]++|\\[^\n])*+"?'
    r"|'[^'\n]*+'?"
    r"|\#[^\n]*+",
    re.DOTALL,
)
_LONG_KEY = re.compile(rf"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){{{MOST_KEY_PARTS}}}")


def read_bytes(path: Path, where: str) -> bytes:
    """The bytes of an ordinary file, or one sentence on why they cannot be had."""
    try:
        kind = os.stat(path).st_mode
        if stat.S_ISDIR(kind):
            raise AdvisorError(f"{where}: is a folder; give the name of a case file in it")
        if not stat.S_ISREG(kind):  # reading a pipe or a device could wait for ever
            raise AdvisorError(f"{where}: is not an ordinary file; save the case as a file first")
        with open(path, "rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise AdvisorError(f"{where}: there is no such file{_near_file(path)}") from None
    except PermissionError:
        raise AdvisorError(f"{where}: you are not allowed to read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        raise AdvisorError(f"{where}: cannot be read ({reason.lower()})") from None
    if len(raw) > MOST_BYTES:
        raise AdvisorError(
            f"{where}: is larger than {MOST_BYTES // 1_000_000} MB, far more than any case; "
            "was another file meant?"
        )
    return raw


def _near_file(path: Path) -> str:
    import difflib

    try:
        names = [name for name in os.listdir(path.parent) if name.endswith(".toml")]
    except (OSError, ValueError):
        return ""
    near = difflib.get_close_matches(path.name, names[:MOST_ENTRIES], n=1)
    return f"; did you mean {near[0]}?" if near else ""


def decode(raw: bytes, where: str) -> str:
    """UTF-8 text, a byte order mark taken off; any other encoding gets a sentence."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise AdvisorError(f"{where}: is saved as UTF-16; save it as UTF-8 and try again")
    zero = raw.find(b"\0")
    if zero >= 0:
        line = raw.count(b"\n", 0, zero) + 1
        raise AdvisorError(
            f"{where}: is not a text file (line {line} holds a zero byte); "
            "give a case file saved as UTF-8 text"
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise AdvisorError(
            f"{where}: line {line} is not UTF-8 text (byte {raw[error.start]:#04x}); "
            "the file may be saved as Latin-1: save it as UTF-8 and try again"
        ) from None


def parse(text: str, where: str) -> dict[str, Any]:
    """The content of TOML text. Raises AdvisorError with line and way out."""
    bare = _QUOTED.sub(lambda found: "" if found[0].startswith("#") else "q", text)
    if found := _LONG_KEY.search(bare):
        raise AdvisorError(
            f"{where}: a name of more than {MOST_KEY_PARTS} parts ({found[0][:30].strip()}...) "
            "has no place in a case; names look like tank.ph"
        )
    try:
        content = tomllib.loads(text)
        _check_sizes(content, where)
    except tomllib.TOMLDecodeError as error:
        from advisor.case.syntax import sentence

        raise AdvisorError(f"{where}, {sentence(str(error), text)}") from None
    except RecursionError:
        raise AdvisorError(
            f"{where}: brackets are nested too deep; a case needs at most four levels"
        ) from None
    except ValueError:  # all else the parser raises: a whole number past Python's limit
        raise AdvisorError(f"{where}: a number is thousands of digits long; shorten it") from None
    return content


def _check_sizes(content: dict[str, Any], where: str) -> None:
    open_parts: list[tuple[str, Any]] = [("the file", content)]
    while open_parts:
        name, part = open_parts.pop()
        if len(part) > MOST_ENTRIES:
            raise AdvisorError(
                f"{where}: {name[:40]} holds {len(part)} entries; at most {MOST_ENTRIES} are read"
            )
        pairs = part.items() if isinstance(part, dict) else ((name, entry) for entry in part)
        open_parts += [(key, entry) for key, entry in pairs if isinstance(entry, (dict, list))]
