"""What was worked out, kept as lines of JSON so that the next start costs a fraction.

A kept file lies in a folder of this user's own. Its name is made of what it was worked
out from: the content of the rules, this program's version and the code concerned.
Whatever is wrong with it (torn, another's, open to others, no plain file) is no fault:
everything is then worked out again, and ``advisor rules --check`` compares the two.
"""

from __future__ import annotations

import atexit
import hashlib
import json
import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence, ValuesView
from contextlib import suppress
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from advisor.version import VERSION

E = TypeVar("E")
T = TypeVar("T")
#: Kept files of other rules are taken away after this long.
FORGET_S = 30 * 86400
#: A larger file was not written here (the shipped rules take 3 MB).
MOST_BYTES = 64 * 2**20
_OTHERS_MAY_WRITE = stat.S_IWGRP | stat.S_IWOTH


class Kept(Mapping[str, E], Generic[T, E]):
    """Values by id, each made from what was kept of it when it is first asked for."""

    def __init__(self, kept: Mapping[str, T], make: Callable[[T], E]) -> None:
        self._kept = kept
        self._make = make
        self._made: dict[str, E] = {}
        self._all: dict[str, E] | None = None

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

    def values(self) -> ValuesView[E]:
        """All of them, in the order kept; walked as fast as those of a dict."""
        if self._all is None:
            self._all = {key: self[key] for key in self._kept}
        return self._all.values()


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
            mark, _, body = _own_bytes(self.path()).partition(b"\n")
            return body.decode().split("\n") if mark == _sum(body) else None
        except (OSError, ValueError, RuntimeError):
            return None

    def write(self, lines: Sequence[str]) -> None:
        """Keep the lines for the next start; silently not, where that cannot be done."""
        body = "\n".join(lines).encode()
        with suppress(OSError, RuntimeError):
            target = self.path()
            target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            _own(os.lstat(target.parent))
            _put(target, _sum(body) + b"\n" + body)
            for old in target.parent.glob("*.json*"):
                if old.stat().st_mtime < target.stat().st_mtime - FORGET_S:
                    old.unlink()


class KeptAnswers:
    """The last answers of a slow sum by what was asked, word for word the same.

    They are kept for the program's own ``code``: when that changes they are worked out
    again. Written once, when the program ends, so that thousands in one run cost no more.
    """

    def __init__(self, subject: str, code: Sequence[Path], most: int) -> None:
        self._subject, self._code, self.most = subject, code, most
        self._held: dict[str, Any] | None = None
        self._awaits_end = False

    def recall(self, asked: str) -> Any:
        """What was kept, as JSON has it; None where nothing was."""
        return self._known().get(asked)

    def remember(self, asked: str, answer: Any) -> None:
        """Keep an answer among the last ``most``."""
        held = self._known()
        held[asked] = answer
        if len(held) > self.most:
            del held[next(iter(held))]
        if not self._awaits_end:
            self._awaits_end = True
            atexit.register(self.save)

    def save(self) -> None:
        """Write what is held; called when the program ends."""
        self._file().write([as_line(each) for each in self._known().items()])

    def forget(self) -> None:
        """Read the file anew at the next question."""
        self._held = None

    def _known(self) -> dict[str, Any]:
        if self._held is None:
            try:
                self._held = dict(json.loads(line) for line in self._file().read() or ())
            except (ValueError, TypeError):
                self._held = {}
        return self._held

    def _file(self) -> KeptFile:
        return KeptFile(self._subject, "", tuple(map(str, self._code)))


def as_line(value: Any) -> str:
    """One line of JSON."""
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _own_bytes(path: Path) -> bytes:
    """Content of a plain file that this user alone may write, in a folder that is so too.

    Raises OSError for anything else; a pipe or device is not waited for.
    """
    _own(os.lstat(path.parent))
    handle = os.open(
        path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    )
    with open(handle, "rb") as file:
        about = os.fstat(handle)
        _own(about)
        if not stat.S_ISREG(about.st_mode) or about.st_size > MOST_BYTES:
            raise OSError("not a kept file")
        return file.read()


def _own(about: os.stat_result) -> None:
    """Raises OSError where another user owns it or may write to it, or where it is a link."""
    mine = not hasattr(os, "getuid") or about.st_uid == os.getuid()
    open_to_others = os.name == "posix" and about.st_mode & _OTHERS_MAY_WRITE
    if stat.S_ISLNK(about.st_mode) or not mine or open_to_others:
        raise OSError("not this user's own")


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
