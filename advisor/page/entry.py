"""Who may come in: a code for the day, then a signed cookie; forms carry a token.

Nothing is kept but one secret beside the cases, so that a restart turns nobody out.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import os
import secrets
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from advisor.wording.text import one_line

#: Letters and digits that are not taken for one another.
LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
CODE_LENGTH = 8
#: So many wrong codes from one address within so long, and it has to wait.
MOST_WRONG, WITHIN = 5, timedelta(minutes=1)
_MOST_ADDRESSES = 5000
STAYS = timedelta(hours=24)
MOST_NAME = 24


@dataclass(frozen=True)
class Guest:
    """Somebody who gave the code: the name that stands beside their answers."""

    name: str
    mark: str


class TooMany(Exception):
    """Too many wrong codes from this address; it is not listened to for a while."""


class Door:
    """Checks codes and cookies. ``clock`` is local time."""

    def __init__(self, secret: bytes, clock: Callable[[], datetime]) -> None:
        self._secret, self._clock = secret, clock
        self._wrong: OrderedDict[str, deque[datetime]] = OrderedDict()

    def code(self) -> str:
        """The code of today, as it is shown: two groups of four."""
        digest = self._signed(f"code {self._clock():%Y-%m-%d}".encode())
        number = int.from_bytes(digest, "big")
        found = ""
        for _ in range(CODE_LENGTH):
            number, at = divmod(number, len(LETTERS))
            found += LETTERS[at]
        return f"{found[:4]}-{found[4:]}"

    def admits(self, typed: str, address: str) -> bool:
        """Whether the code is right. Raises TooMany when this address has guessed too often."""
        now = self._clock()
        wrong = self._wrong.setdefault(address, deque(maxlen=MOST_WRONG))
        self._wrong.move_to_end(address)
        while len(self._wrong) > _MOST_ADDRESSES:
            self._wrong.popitem(last=False)
        if len(wrong) == MOST_WRONG and now - wrong[0] < WITHIN:
            raise TooMany
        said = "".join(letter for letter in typed.upper() if letter.isalnum())
        if hmac.compare_digest(said.encode(), self.code().replace("-", "").encode()):
            del self._wrong[address]
            return True
        wrong.append(now)
        return False

    def cookie(self, name: str) -> str:
        """A cookie for who came in, good for a day."""
        until = int((self._clock() + STAYS).timestamp())
        mark = secrets.token_hex(8)
        kept = {"name": called(name) or f"guest {mark[:3]}", "until": until, "mark": mark}
        body = base64.urlsafe_b64encode(json.dumps(kept).encode()).decode()
        return f"{body}.{self._signed(b'cookie ' + body.encode()).hex()}"

    def guest(self, cookie: str) -> Guest | None:
        """Who the cookie was made for; None for a forged, damaged or old one."""
        body, _, signature = cookie.partition(".")
        signed = self._signed(b"cookie " + body.encode("utf-8", "replace")).hex()
        if not hmac.compare_digest(signature.encode("utf-8", "replace"), signed.encode()):
            return None
        kept = json.loads(base64.urlsafe_b64decode(body))
        if kept["until"] < self._clock().timestamp():
            return None
        return Guest(str(kept["name"]), str(kept["mark"]))

    def token(self, guest: Guest) -> str:
        """What every form of this guest carries."""
        return self._signed(f"form {guest.mark}".encode()).hex()

    def is_token(self, given: str, guest: Guest) -> bool:
        return hmac.compare_digest(given.encode("utf-8", "replace"), self.token(guest).encode())

    def _signed(self, text: bytes) -> bytes:
        return hmac.new(self._secret, text, hashlib.sha256).digest()


def called(name: str) -> str:
    """A name short and on one line."""
    return one_line(name)[:MOST_NAME].strip()


def secret_in(folder: Path) -> bytes:
    """The secret of this folder, made when there is none; readable by its owner alone."""
    path = folder / "secret"
    try:
        kept = path.read_bytes()
        if len(kept) >= 32:
            return kept
    except FileNotFoundError:
        pass
    made = secrets.token_bytes(32)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(made)
    return made
