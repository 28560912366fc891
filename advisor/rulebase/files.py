"""The files of a rule base, found and read within bounds; every fault is collected."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.wording.toml_file import Form, decode, one_line, raise_faults, read_bytes

SETTINGS_FILE = "rulebase.toml"
RULE_FILE = Form(
    "rule",
    line='strength = "strong"',
    heading="[decibans]",
    entry="[[rule]]",
    key_parts=12,
)
# Several times what the shipped rules come to; more is another folder given by mistake.
MOST_FILES = 500
MOST_NAMES = 5_000
MOST_BYTES = 8_000_000


def read_texts(where: Path) -> dict[str, str]:
    """Text of every ``*.toml`` under ``where``, by its path below it, in the order of the paths.

    Raises AdvisorError or ManyFaults: for a folder that holds no rules, and for files
    that are too large, unreadable or no UTF-8 text. Links to folders are not followed,
    and said so, because a rule left out in silence would change the advice.
    """
    if fault := _no_rules(where):
        raise AdvisorError(one_line(f"{where}: {fault}"))
    faults: list[str] = []
    texts: dict[str, str] = {}
    size = 0
    for name in sorted(_names(where, faults)):
        label = f"rules/{name}"
        try:
            text = decode(read_bytes(where / name, label, RULE_FILE), label, RULE_FILE)
        except AdvisorError as fault:
            faults.append(str(fault))
            continue
        size += len(text)
        if size > MOST_BYTES:
            faults.append(f"{label}: the rules are larger than {MOST_BYTES // 1_000_000} MB")
            break
        texts[name] = text.replace("\r\n", "\n")
    raise_faults(faults, "rules")
    return texts


def _no_rules(where: Path) -> str | None:
    """Why ``where`` cannot be a folder of rules, or None."""
    wanted = f"give a folder of rules, one that holds {SETTINGS_FILE}"
    try:
        if not stat.S_ISDIR(os.stat(where).st_mode):
            return f"is a file; {wanted}"
        if SETTINGS_FILE not in os.listdir(where):
            return f"holds no {SETTINGS_FILE}, so it is no folder of rules"
    except FileNotFoundError:
        return f"there is no such folder; {wanted}"
    except OSError as error:
        return f"cannot be read ({_reason(error)})"
    except ValueError:
        return "is not a folder name"
    return None


def _names(where: Path, faults: list[str]) -> Iterator[str]:
    """Paths of the rule files below ``where``."""
    files = seen = 0
    for folder, folders, names in os.walk(where, onerror=lambda e: faults.append(_unread(e))):
        here = Path(folder)
        for name in folders:
            below = (here / name).relative_to(where).as_posix()
            if (here / name).is_symlink():
                faults.append(f"rules/{below}: is a link to a folder; put the folder itself here")
            elif name.endswith(".toml"):
                faults.append(f"rules/{below}: is a folder; only files are called .toml")
        folders[:] = [name for name in folders if not name.startswith(".")]
        seen += len(names) + len(folders)
        chosen = [name for name in names if name.endswith(".toml")]
        files += len(chosen)
        if seen > MOST_NAMES or files > MOST_FILES:
            faults.append(
                f"{where}: holds far more than a rule base (at most {MOST_FILES} rule files "
                f"among {MOST_NAMES} names); was another folder meant?"
            )
            return
        for name in chosen:
            below = (here / name).relative_to(where).as_posix()
            if below.isprintable():  # a broken name is not: it cannot be told apart on a screen
                yield below
            else:
                faults.append(f"rules/{below}: its name is no plain text; rename it")


def _unread(error: OSError) -> str:
    return f"{error.filename}: cannot be read ({_reason(error)})"


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown reason").lower()
