"""The gate by itself: who comes in, from where, with how much; each bound from both sides."""

from __future__ import annotations

import asyncio
import base64
import hashlib
import hmac
import json
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from starlette.exceptions import HTTPException

from advisor.page.entry import Door, Guest, TooMany, called, secret_in
from advisor.page.guard import ALWAYS, POLICY, Guard
from tests.clock import Clock

SECRET = b"s" * 32
FORM, UPLOAD = 64 * 1024, 12 * 1024 * 1024  # as the sentence of a refusal says it: 64 and 12288 KiB


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def door(clock: Clock) -> Door:
    return Door(SECRET, clock)


# -- the code and the cookie -----------------------------------------------------------


def test_the_code_is_the_days_own_signature_in_letters_that_are_not_mistaken(door: Door) -> None:
    """Worked out here with the standard library's hmac, by RFC 2104."""
    letters = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
    number = int.from_bytes(hmac.new(SECRET, b"code 2026-03-02", hashlib.sha256).digest(), "big")
    wanted = ""
    while len(wanted) < 8:
        number, at = divmod(number, len(letters))
        wanted += letters[at]
    assert door.code() == f"{wanted[:4]}-{wanted[4:]}"
    assert not set("IOLU01") & set(letters)


def test_the_code_may_be_typed_in_any_case_with_or_without_its_dash(door: Door) -> None:
    code = door.code()
    for typed in (code, code.lower(), code.replace("-", ""), f" {code.replace('-', ' - ')} "):
        assert door.admits(typed, "here")
    for typed in ("", code[:-1], code + "A", code[::-1]):
        assert not door.admits(typed, "elsewhere")


def test_after_five_wrong_codes_an_address_waits_a_minute(door: Door, clock: Clock) -> None:
    for _ in range(5):
        assert not door.admits("AAAA-AAAA", "a")
    for _ in range(2):
        with pytest.raises(TooMany):
            door.admits(door.code(), "a")
    assert door.admits(door.code(), "b"), "others do not wait"
    clock.forward(seconds=59)
    with pytest.raises(TooMany):
        door.admits(door.code(), "a")
    clock.forward(seconds=1)
    assert door.admits(door.code(), "a")


def test_the_minute_counts_from_the_first_of_the_last_five(door: Door, clock: Clock) -> None:
    for _ in range(5):
        assert not door.admits("AAAA-AAAA", "a")
        clock.forward(seconds=20)
    assert not door.admits("AAAA-AAAA", "a"), "the first is 100 s old"
    assert not door.admits("AAAA-AAAA", "a"), "the second is 80 s old"
    assert not door.admits("AAAA-AAAA", "a"), "the third is 60 s old"
    with pytest.raises(TooMany):
        door.admits(door.code(), "a")


def test_who_came_in_begins_to_count_anew(door: Door) -> None:
    for _ in range(4):
        assert not door.admits("AAAA-AAAA", "a")
    assert door.admits(door.code(), "a")
    for _ in range(5):
        assert not door.admits("AAAA-AAAA", "a")


def test_so_many_addresses_are_remembered_and_the_oldest_goes_first(door: Door) -> None:
    for address in ("old", "kept"):
        for _ in range(5):
            assert not door.admits("AAAA-AAAA", address)
    for number in range(4998):
        door.admits("AAAA-AAAA", f"{number}")
    with pytest.raises(TooMany):
        door.admits("AAAA-AAAA", "old")  # 5,000 are remembered, and asking makes it the youngest
    door.admits("AAAA-AAAA", "one more")
    assert not door.admits("AAAA-AAAA", "kept"), "it was the oldest, and is forgotten"
    with pytest.raises(TooMany):
        door.admits("AAAA-AAAA", "old")


def test_a_cookie_names_its_guest_for_a_day(door: Door, clock: Clock) -> None:
    cookie = door.cookie("  Ana\nB ")
    guest = door.guest(cookie)
    assert guest is not None and guest.name == called("  Ana\nB ") and "\n" not in guest.name
    assert len(bytes.fromhex(guest.mark)) == 8
    assert door.guest(door.cookie("Ana")) != guest, "two of one name are two"
    clock.forward(hours=24)
    assert door.guest(cookie) == guest
    clock.forward(seconds=1)
    assert door.guest(cookie) is None


def test_a_guest_without_a_name_is_told_by_the_mark(door: Door) -> None:
    guest = door.guest(door.cookie(" "))
    assert guest is not None and guest.name == f"guest {guest.mark[:3]}"


def test_a_cookie_changed_anywhere_or_signed_by_another_is_nobody(door: Door, clock: Clock) -> None:
    cookie = door.cookie("Ana")
    body, _, signature = cookie.partition(".")
    later = json.loads(base64.urlsafe_b64decode(body)) | {"until": 10**12}
    forged = base64.urlsafe_b64encode(json.dumps(later).encode()).decode()
    token = hmac.new(SECRET, body.encode(), hashlib.sha256).hexdigest()  # not as a cookie
    for wrong in (
        "",
        ".",
        body,
        f"{body}.",
        f"{forged}.{signature}",
        f"{body}.{token}",
        "ß.\udc80",
    ):
        assert door.guest(wrong) is None
    assert Door(b"t" * 32, clock).guest(cookie) is None
    assert door.guest(cookie) is not None


def test_a_token_is_its_guests_alone(door: Door, clock: Clock) -> None:
    ana, ben = Guest("Ana", "1"), Guest("Ana", "2")
    assert door.is_token(door.token(ana), ana)
    assert door.token(ana) == hmac.new(SECRET, b"form 1", hashlib.sha256).hexdigest()
    for wrong in (door.token(ben), "", "\udc80", Door(b"t" * 32, clock).token(ana)):
        assert not door.is_token(wrong, ana)


def test_names_are_short_and_on_one_line() -> None:
    assert called("a" * 30) == "a" * 24
    assert called("a" * 23 + " b") == "a" * 23


@pytest.mark.parametrize("length, stays", [(None, False), (0, False), (31, False), (32, True)])
def test_a_secret_is_made_once_and_made_anew_when_too_short(
    tmp_path: Path, length: int | None, stays: bool
) -> None:
    path = tmp_path / "secret"
    if length is not None:
        path.write_bytes(b"k" * length)
    found = secret_in(tmp_path)
    assert (found == b"k" * 32) is stays and len(found) == 32
    assert path.read_bytes() == found == secret_in(tmp_path)
    assert stays or length is not None or stat.S_IMODE(path.stat().st_mode) == 0o600


# -- where a request comes from and how much it brings ----------------------------------


class Reached:
    """What an application behind the gate was given."""

    def __init__(self, headers: Iterable[tuple[bytes, bytes]] = ()) -> None:
        self.headers = list(headers)
        self.body: bytes | None = None
        self.fault = 0

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        body, more = b"", True
        try:
            while more:
                message = await receive()
                body, more = body + message.get("body", b""), message.get("more_body", False)
        except HTTPException as fault:
            self.fault = fault.status_code
        self.body = body
        await send({"type": "http.response.start", "status": 200, "headers": self.headers})
        await send({"type": "http.response.body", "body": b"in"})


def ask(
    door: Door,
    method: str = "GET",
    path: str = "/",
    inner: Reached | None = None,
    pieces: Iterable[bytes] = (b"",),
    kind: str = "http",
    scheme: str = "http",
    host: str | None = "tank.local:8642",
    **headers: str,
) -> tuple[int, dict[str, str], str]:
    """Status, headers and text with which the gate, or what is behind it, answers."""
    app = Guard(inner or Reached(), ("Tank.local", "::1"), door)
    told = [(b"host", host.encode())] if host is not None else []
    told += [
        (name.lower().replace("_", "-").encode(), text.encode()) for name, text in headers.items()
    ]
    waiting = list(pieces)
    sent: list[Any] = []

    async def receive() -> Any:
        body = waiting.pop(0)
        return {"type": "http.request", "body": body, "more_body": bool(waiting)}

    async def send(message: Any) -> None:
        sent.append(message)

    scope = {"type": kind, "method": method, "path": path, "scheme": scheme, "headers": told}
    asyncio.run(app(scope, receive, send))
    if not sent:
        return 0, {}, ""
    names = {name.decode(): text.decode() for name, text in sent[0]["headers"]}
    return sent[0]["status"], names, b"".join(m.get("body", b"") for m in sent[1:]).decode()


@pytest.mark.parametrize(
    "host, status",
    [
        ("tank.local", 200), ("TANK.LOCAL:1", 200), ("[::1]:8642", 200), ("[::1]", 200),
        ("tank.local.evil.example", 400), ("tank", 400), ("::1", 400), ("[::2]", 400), ("", 400),
        (None, 400),
    ],
)  # fmt: skip
def test_it_answers_to_its_own_names_alone(door: Door, host: str | None, status: int) -> None:
    assert ask(door, host=host)[0] == status


def test_two_host_names_are_refused(door: Door) -> None:
    assert ask(door, Host="tank.local")[0] == 400


def test_an_address_is_bounded_and_methods_are_three(door: Door) -> None:
    assert [ask(door, path="/" + "a" * n)[0] for n in (299, 300)] == [200, 414]
    assert [ask(door, method)[0] for method in ("GET", "HEAD", "POST", "PUT", "get")] == [
        200, 200, 200, 405, 405,
    ]  # fmt: skip


@pytest.mark.parametrize(
    "headers, status",
    [
        ({}, 200),
        ({"sec_fetch_site": "same-origin"}, 200),
        ({"sec_fetch_site": "none"}, 403),
        ({"sec_fetch_site": "cross-site"}, 403),
        ({"origin": "http://tank.local:8642"}, 200),
        ({"origin": "HTTP://Tank.Local:8642"}, 200),
        ({"origin": "https://tank.local:8642"}, 403),
        ({"origin": "http://tank.local"}, 403),
        ({"origin": "http://tank.local:8642", "sec_fetch_site": "same-site"}, 403),
        ({"origin": "http://evil.example", "sec_fetch_site": "same-origin"}, 403),
    ],
)
def test_forms_come_from_its_own_pages(door: Door, headers: dict[str, str], status: int) -> None:
    inner = Reached()
    assert ask(door, "POST", inner=inner, **headers)[0] == status
    assert (inner.body is not None) is (status == 200)
    assert ask(door, **headers)[0] == 200, "looking is free"


@pytest.mark.parametrize("path, most", [("/ask", FORM), ("/d/1/photo", UPLOAD)])
def test_what_comes_in_is_bounded_by_what_it_says_and_by_what_it_is(
    door: Door, path: str, most: int
) -> None:
    assert ask(door, "POST", path, content_length=f"{most}")[0] == 200
    status, _, said = ask(door, "POST", path, content_length=f"{most + 1}")
    assert status == 413 and f"{most // 1024} KiB" in said
    whole, over = Reached(), Reached()
    ask(door, "POST", path, whole, [b"a" * (most - 1), b"a"])
    ask(door, "POST", path, over, [b"a" * most, b"a"])
    assert whole.fault == 0 and whole.body == b"a" * most
    assert over.fault == 413


@pytest.mark.parametrize("length", ["-1", "1e3", "", "many", "١²"])
def test_a_length_that_is_no_number_is_refused(door: Door, length: str) -> None:
    assert ask(door, "POST", content_length=length)[0] == 413


def test_every_answer_carries_the_policy_and_what_a_page_says_itself_stays(door: Door) -> None:
    own = Reached([(b"cache-control", b"max-age=60"), (b"x-own", b"1")])
    for status, headers, _ in (ask(door, inner=own), ask(door, "PUT")):
        wanted = {"content-security-policy": POLICY, **ALWAYS}
        if status == 200:
            wanted |= {"cache-control": "max-age=60", "x-own": "1"}
        assert headers.items() >= wanted.items()


def test_no_other_kind_of_talk_is_answered(door: Door) -> None:
    inner = Reached()
    for kind in ("websocket", "lifespan"):
        assert ask(door, kind=kind, inner=inner)[0] == 0
    assert inner.body is None
