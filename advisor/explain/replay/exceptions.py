"""Today's exceptions: expectations known not to be met, each with its reason.

A check that always fails tells nothing, and one that passes whatever happens tells
less. Held against this list a check fails on any change either way: an expectation
that is newly missed, and one that is listed and met again.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.explain.replay.check import ASKED, Judged

#: Case ("field/name.toml") -> the questions it is known to miss.
Exceptions = Mapping[str, frozenset[str]]


def read_exceptions(path: Path) -> Exceptions:
    """The list kept in a TOML file of ``[[exception]] case, fails, because``.

    Raises AdvisorError when it cannot be read, names a question that is none, or gives
    no reason.
    """
    try:
        entries = tomllib.loads(path.read_text(encoding="utf-8")).get("exception", [])
    except OSError as error:
        raise AdvisorError(f"{path}: cannot be read ({error.strerror})") from None
    except ValueError as error:
        raise AdvisorError(f"{path}: is no TOML file in UTF-8 ({error})") from None
    found: dict[str, frozenset[str]] = {}
    for at, entry in enumerate(entries, 1):
        where, fails = f"{path}, exception {at}", entry.get("fails", [])
        for key in ("case", "fails", "because"):
            if not entry.get(key):
                raise AdvisorError(f"{where}: {key} is missing; give case, fails and because")
        unknown = sorted(set(fails) - set(ASKED))
        if unknown:
            raise AdvisorError(f'{where}: fails: "{unknown[0]}" is none of {", ".join(ASKED)}')
        found[entry["case"]] = frozenset(fails)
    return found


def changes(
    failures: Iterable[Judged], assessed: Iterable[str], known: Exceptions
) -> tuple[list[str], list[str]]:
    """(newly missed, met again), each as "case: question".

    failures : cases that missed something
    assessed : every case that was read; an exception of a case not among them is left alone
    """
    missed = {short_name(each.path): frozenset(each.failed) for each in failures}
    new, again = [], []
    for name in sorted({short_name(path) for path in assessed}):
        got, listed = missed.get(name, frozenset()), known.get(name, frozenset())
        new += [f"{name}: {question}" for question in ASKED if question in got - listed]
        again += [f"{name}: {question}" for question in ASKED if question in listed - got]
    return new, again


def short_name(path: str) -> str:
    """A case's folder and file name, the same wherever the archive lies."""
    return "/".join(Path(path).parts[-2:])
