"""What was worked out, kept as lines of JSON so that the next start costs a fraction.

A kept file lies in the user's cache folder. Its name is made of what it was
worked out from: the fingerprint of the rules, this program's version and the
code concerned. Whatever goes wrong with it is no fault: everything is then
worked out again.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from advisor.version import VERSION

E = TypeVar("E")
T = TypeVar("T")
#: Kept files of other rules are taken away after this long.
FORGET_S = 30 * 86400
_DECODER = json.JSONDecoder()


class Kept(Mapping[str, E], Generic[T, E]):
    """Values by id, each made from what was kept of it when it is first asked for."""

    def __init__(self, kept: Mapping[str, T], make: Callable[[T], E]) -> None:
        self._kept = kept
        self._make = make
        self._made: dict[str, E] = {}

    def __getitem__(self, key: str) -> E:
        if key not in self._made:
            self._made[key] = self._make(self._kept[key])
        return self._made[key]

    def __contains__(self, key: object) -> bool:
        return key in self._kept

    def __iter__(self) -> Iterator[str]:
        return iter(self._kept)

    def __len__(self) -> int:
        return len(self._kept)


class KeptFile(NamedTuple):
    """Where what is known of ``subject`` is kept.

    fingerprint : of the rules it was worked out from, "" where they play no part
    code        : files of the program that worked it out
    """

    subject: str
    fingerprint: str
    code: tuple[str, ...]

    def path(self) -> Path:
        home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
        digest = hashlib.sha256(f"{VERSION} {self.fingerprint} ".encode())
        for file in self.code:
            digest.update(Path(file).read_bytes())
        return Path(home) / "advisor" / f"{self.subject}-{digest.hexdigest()[:24]}.jsonl"

    def read(self) -> list[str] | None:
        """The lines as they were written, or None."""
        try:
            mark, _, body = self.path().read_bytes().partition(b"\n")
            return body.decode().split("\n") if mark == _sum(body) else None
        except (OSError, ValueError, RuntimeError):
            return None

    def write(self, lines: Sequence[str]) -> None:
        """Keep the lines for the next start; silently not, where that cannot be done."""
        body = "\n".join(lines).encode()
        with suppress(OSError, RuntimeError):
            target = self.path()
            target.parent.mkdir(parents=True, exist_ok=True)
            _put(target, _sum(body) + b"\n" + body)
            for old in target.parent.glob("*.json*"):
                if old.stat().st_mtime < target.stat().st_mtime - FORGET_S:
                    old.unlink()


def as_line(value: Any) -> str:
    """One line of JSON."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def of_line(line: str) -> Any:
    """What ``as_line`` made a line of; ``json.loads`` would first look for blanks and BOMs."""
    return _DECODER.raw_decode(line)[0]


def _put(target: Path, content: bytes) -> None:
    """Write in one step: two programs may start at once."""
    import tempfile

    handle, fresh = tempfile.mkstemp(prefix=target.name, dir=target.parent)
    try:
        with open(handle, "wb") as file:
            file.write(content)
        os.replace(fresh, target)
    except OSError:
        os.unlink(fresh)
        raise


def _sum(body: bytes) -> bytes:
    return hashlib.blake2b(body, digest_size=16).hexdigest().encode()
