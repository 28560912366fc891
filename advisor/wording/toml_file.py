"""TOML from a file a person may have written, with every fault in plain words.

What it refuses, it refuses early: a file that is not text, that is too large,
or that is built to keep a parser busy.
"""

from __future__ import annotations

import codecs
import os
import re
import stat
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from advisor.errors import AdvisorError, ManyFaults
from advisor.wording.nearest import nearest

# Far above any case or file of rules (weeks of looks at ten lots come to some 300 kB and
# 15,000 values), and low enough that no file keeps the parser busy for long.
MOST_BYTES = 1_000_000
MOST_VALUES = 60_000
MOST_SAID = 400  # characters in one sentence
MOST_SHOWN = 20  # faults told of one file, more than anyone mends at one sitting


class Form(NamedTuple):
    """The words and examples that sentences about one kind of file use, and how deep it goes.

    key_parts : names such as tank.ph may have so many parts; the parser's time grows
                with their square
    """

    what: str
    line: str
    heading: str
    entry: str
    key_parts: int


# Text in quotes and comments, so that what is left is bare TOML. Closed by the end of the file, and
# the ways within a group begin with different characters: time stays linear in its length. No group
# is possessive: Python 3.11.2 matches such groups wrongly (CPython issues 100061, 106052).
_QUOTED = re.compile(
    r'"""(?:[^\\"]++|\\.|"(?!""))*(?:"{3,5}|\Z)'
    r"|'''(?:[^']++|'(?!''))*(?:'{3,5}|\Z)"
    r'|"(?:[^"\\\n]++|\\[^\n])*"?'
    r"|'[^'\n]*+'?"
    r"|\#[^\n]*+",
    re.DOTALL,
)
_LONG_KEY = r"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){%d}"


def one_line(sentence: str) -> str:
    """``sentence`` without line breaks and control characters, cut to what a person reads.

    Names and values in it come from files and must not steer the terminal.
    """
    cut = sentence[:MOST_SAID] + ("..." if len(sentence) > MOST_SAID else "")
    return "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in cut)


def _fault(sentence: str) -> AdvisorError:
    return AdvisorError(one_line(sentence))


def read_bytes(path: Path, where: str, form: Form) -> bytes:
    """The bytes of an ordinary file, or one sentence on why they cannot be had."""
    try:
        kind = os.stat(path).st_mode
        if stat.S_ISDIR(kind):
            raise _fault(f"{where}: is a folder; give the name of a {form.what} file in it")
        if not stat.S_ISREG(kind):  # reading a pipe or a device could wait for ever
            raise _fault(f"{where}: is not an ordinary file; save the {form.what} as a file first")
        with open(path, "rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise _fault(f"{where}: there is no such file{_near_file(path)}") from None
    except PermissionError:
        raise _fault(f"{where}: you are not allowed to read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a file name"
        raise _fault(f"{where}: cannot be read ({reason.lower()})") from None
    if len(raw) > MOST_BYTES:
        raise _fault(
            f"{where}: is larger than {MOST_BYTES // 1_000_000} MB, far more than any "
            f"{form.what} file; was another file meant?"
        )
    return raw


def _near_file(path: Path) -> str:
    try:
        names = [name for name in os.listdir(path.parent) if name.endswith(".toml")]
    except (OSError, ValueError):
        return ""
    return nearest(path.name, names)


def decode(raw: bytes, where: str, form: Form) -> str:
    """UTF-8 text, a byte order mark taken off; any other encoding gets a sentence."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _fault(f"{where}: is saved as UTF-16; save it as UTF-8 and try again")
    zero = raw.find(b"\0")
    if zero >= 0:
        line = raw.count(b"\n", 0, zero) + 1
        raise _fault(
            f"{where}: is not a text file (line {line} holds a zero byte); "
            f"give a {form.what} file saved as UTF-8 text"
        )
    try:
        return raw.removeprefix(codecs.BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _fault(
            f"{where}: line {line} is not UTF-8 text (byte {raw[error.start]:#04x}); "
            "the file may be saved as Latin-1: save it as UTF-8 and try again"
        ) from None


def parse(text: str, where: str, form: Form) -> dict[str, Any]:
    """The content of TOML text. Raises AdvisorError with line and way out."""
    bare = _QUOTED.sub(lambda found: "" if found[0].startswith("#") else "q", text)
    if found := re.search(_LONG_KEY % form.key_parts, bare):
        raise _fault(
            f"{where}: a name of more than {form.key_parts} parts ({found[0][:30].strip()}...) "
            f"has no place in a {form.what} file; names look like {form.line.split()[0]}"
        )
    if sum(map(bare.count, "=,[")) > MOST_VALUES:
        raise _fault(
            f"{where}: holds more than {MOST_VALUES} values, far more than any {form.what} file"
        )
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        from advisor.wording.toml_faults import sentence

        raise _fault(f"{where}, {sentence(str(error), text, form._asdict())}") from None
    except RecursionError:
        raise _fault(
            f"{where}: brackets are nested too deep; a {form.what} file never needs as much"
        ) from None
    except ValueError:  # all else the parser raises: a whole number past Python's limit
        raise _fault(f"{where}: a number is thousands of digits long; shorten it") from None


def raise_faults(faults: Sequence[str], where: str) -> None:
    """Raise what was found: nothing, one AdvisorError, or ManyFaults with the first twenty."""
    sentences = [one_line(fault) for fault in faults[:MOST_SHOWN]]
    if len(faults) > MOST_SHOWN:
        sentences.append(
            one_line(f"{where}: {len(faults) - MOST_SHOWN} more faults; mend these first")
        )
    if len(sentences) == 1:
        raise AdvisorError(sentences[0])
    if sentences:
        raise ManyFaults(sentences)
