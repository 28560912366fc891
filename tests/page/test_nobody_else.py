"""Nobody else gets in, and what comes in stays harmless: a test for each promise."""

from __future__ import annotations

import io
import re
import stat
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor.advice.reasoner import default_reasoner
from advisor.page.application import make_app
from advisor.page.guard import MOST_FORM
from advisor.page.views.photos import made_anew
from tests.page.conftest import Phone, Room, delivery

PAGES = ("", "/ask", "/look", "/plan", "/answers", "/bags", "/why", "/photo", "/trend", "/close")
PAPERS = ("/paper/vet", "/paper/supplier", "/paper/log", "/paper/labels")


@pytest.fixture
def phone(room: Room) -> Phone:
    """Somebody who has begun a delivery with one answer."""
    phone = room.phone()
    phone.post("/start")
    phone.answer(tap=re.findall(r'value="(take:[^"]+)"', phone.page)[0])
    return phone


def every_page(phone: Phone) -> list[str]:
    at = delivery(phone)
    return [
        "/",
        "/watch",
        "/receive",
        "/enter",
        "/train",
        "/train/3",
        *(at + each for each in (*PAGES[1:], *PAPERS)),
    ]


# -- the code ---------------------------------------------------------------------


def test_nothing_is_shown_without_the_code(room: Room, phone: Phone) -> None:
    stranger = room.client()
    for path in every_page(phone):
        if path != "/enter":
            answer = stranger.get(path, follow_redirects=False)
            assert (answer.status_code, answer.headers["location"]) == (303, "/enter"), path
    assert stranger.post("/start", follow_redirects=False).status_code == 403


def test_a_wrong_code_opens_nothing_and_guessing_ends_after_five(room: Room) -> None:
    stranger = room.client()
    wrong = [stranger.post("/enter", data={"code": f"AAAA-AAA{i}"}).status_code for i in range(5)]
    assert wrong == [403] * 5
    # from now on even the right one is not listened to, so that guessing tells nothing
    assert stranger.post("/enter", data={"code": room.code}).status_code == 429
    room.clock.forward(2 / 60)
    came_in = stranger.post("/enter", data={"code": room.code}, follow_redirects=False)
    assert came_in.status_code == 303


def test_the_code_has_enough_letters_and_changes_every_day(room: Room) -> None:
    today = room.code
    assert re.fullmatch(r"[A-HJ-NP-TV-Z2-9]{4}-[A-HJ-NP-TV-Z2-9]{4}", today)
    room.clock.forward(24)
    assert room.code != today


def test_the_cookie_is_for_this_page_alone(room: Room) -> None:
    answer = room.client().post("/enter", data={"code": room.code}, follow_redirects=False)
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie and "path=/" in cookie


@pytest.mark.parametrize("forge", [lambda c: c[:-1] + "0", lambda c: "x" + c, lambda c: "a.b"])
def test_a_forged_cookie_is_nobody(room: Room, forge: object) -> None:
    phone = room.phone()
    (name, value), *_ = phone.client.cookies.items()
    stranger = room.client()
    stranger.cookies.set(name, forge(value))  # type: ignore[operator]
    assert stranger.get("/", follow_redirects=False).status_code == 303


def test_a_cookie_ends_after_a_day_and_outlives_a_restart(room: Room) -> None:
    phone = room.phone()
    room.restart()
    again = TestClient(room.app, base_url="http://127.0.0.1", cookies=dict(phone.client.cookies))
    assert again.get("/", follow_redirects=False).status_code == 200
    room.clock.forward(25)
    assert again.get("/", follow_redirects=False).status_code == 303


def test_the_secret_is_its_owners_alone(room: Room) -> None:
    secret = room.folder / ".page" / "secret"
    assert stat.S_IMODE(secret.stat().st_mode) == 0o600
    assert stat.S_IMODE(secret.parent.stat().st_mode) == 0o700


# -- where a request comes from ------------------------------------------------------


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "[::2]:80"])
def test_a_foreign_host_name_is_refused(phone: Phone, host: str) -> None:
    assert phone.client.get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_form_of_another_page_is_refused(room: Room, headers: dict[str, str]) -> None:
    phone = room.phone()
    given = {"token": phone.hidden("token")}
    assert phone.client.post("/start", data=given, headers=headers).status_code == 403
    assert not list(room.folder.glob("*.toml"))


@pytest.mark.parametrize("token", ["", "0" * 64, "ß"])
def test_a_form_without_its_token_is_refused(room: Room, token: str) -> None:
    phone = room.phone()
    assert phone.client.post("/start", data={"token": token}).status_code == 403
    assert not list(room.folder.glob("*.toml"))


def test_the_token_of_somebody_else_does_not_fit(room: Room) -> None:
    ana, ben = room.phone("Ana"), room.phone("Ben")
    assert ben.client.post("/start", data={"token": ana.hidden("token")}).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(phone: Phone, method: str) -> None:
    assert phone.client.request(method, "/").status_code == 405


# -- what a page may load --------------------------------------------------------------


def test_every_page_forbids_what_is_not_its_own(phone: Phone) -> None:
    for path in every_page(phone):
        answer = phone.client.get(path)
        assert answer.status_code == 200, path
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "unsafe" not in policy and "http" not in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"


def test_no_page_carries_script_or_style_inside_it(phone: Phone) -> None:
    for path in every_page(phone):
        text = phone.client.get(path).text
        assert not re.search(r"<script(?![^>]*src=\"/static/)", text), path
        assert not re.search(r"<[^>]+\s(on\w+|style)=", text), path
        assert not re.search(r"(src|href|action)=\"(https?:)?//", text), path
        assert "/paper/" in path or "<style" not in text, path


# -- what comes in ---------------------------------------------------------------------


def test_a_body_too_large_is_refused_whatever_it_says_of_itself(phone: Phone) -> None:
    large = b"words=" + b"a" * (MOST_FORM + 1)
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert phone.client.post(phone.path, content=large, headers=kind).status_code == 413
    pieces = (large[at : at + 4096] for at in range(0, len(large), 4096))
    assert phone.client.post(phone.path, content=pieces, headers=kind).status_code == 413


@pytest.mark.parametrize(
    "path",
    [
        "/d/../../etc/passwd/plan",
        "/d/..%2f..%2fsecret/plan",
        "/d/.page/plan",
        "/d/secret/plan",
        "/d/0123456789abcdef/plan",
        "/static/../entry.py",
        "/static/..%2fentry.py",
        "/static/%2e%2e/app.py",
    ],
)
def test_no_address_reaches_a_file_that_is_not_listed(phone: Phone, path: str) -> None:
    answer = phone.client.get(path, follow_redirects=False)
    assert answer.status_code == 404
    assert "import" not in answer.text and "root:" not in answer.text


HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>\u202e{{7*7}}"


def test_hostile_text_is_only_text(room: Room) -> None:
    phone = room.phone(HOSTILE)
    phone.get("/receive")
    boxes = {"supplier": HOSTILE, "kind": HOSTILE, "count": "3", "bags": "1", "tank": HOSTILE}
    phone.post("/receive", **boxes)  # a kind in no table is asked for once
    assert phone.status == 422 and "<script>alert" not in phone.page
    phone.post("/receive", **boxes, asked=phone.hidden("asked"))
    assert phone.status == 200
    for path in every_page(phone):
        text = phone.client.get(path).text
        assert "<script>alert" not in text and "<img src=x" not in text, path
        assert "\u202e" not in text, path


def picture(kind: str = "JPEG", **more: object) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (60, 40), (20, 120, 90)).save(out, kind, **more)
    return out.getvalue()


def send(phone: Phone, raw: bytes, name: str = "a.jpg") -> int:
    phone.get(f"{delivery(phone)}/photo")
    answer = phone.client.post(
        phone.path, data={"token": phone.hidden("token")}, files={"picture": (name, raw)}
    )
    return int(answer.status_code)


def test_a_picture_is_made_anew_and_kept_with_time_and_hash(room: Room, phone: Phone) -> None:
    import hashlib

    from PIL import Image

    from advisor.case import load_case

    exif = Image.Exif()
    exif[0x010E] = "SECRETPLACE"
    raw = picture(exif=exif) + b"<script>after the picture</script>"
    assert send(phone, raw, "../../../evil.php") == 200
    case = load_case(next(room.folder.glob("*.toml")))
    (photo,) = case.photo
    kept = (room.folder / photo.file).read_bytes()
    assert photo.sha256 == hashlib.sha256(kept).hexdigest() and photo.taken == "2026-03-02T12:00:00"
    assert b"SECRETPLACE" not in kept and b"script" not in kept
    assert Path(photo.file).parent.name.endswith("-photos")
    shown = phone.client.get(f"{delivery(phone)}/photo/1")
    assert shown.content == kept and shown.headers["content-type"] == "image/jpeg"


@pytest.mark.parametrize("purpose", ["vet", "supplier"])
def test_a_paper_shows_the_pictures_that_were_kept(room: Room, phone: Phone, purpose: str) -> None:
    """The picture itself, with the hash that hashlib gives of the file; no other file at hand."""
    import base64
    import hashlib

    from PIL import Image

    address = f"{delivery(phone)}/paper/{purpose}"
    assert "data:image" not in phone.client.get(address).text
    assert send(phone, picture()) == 200
    (kept,) = room.folder.glob("*-photos/*")
    (kept.parent / "not-named.jpg").write_bytes(picture())
    paper = phone.client.get(address).text.replace("<wbr>", "")  # places to break a line
    assert hashlib.sha256(kept.read_bytes()).hexdigest() in paper
    (shown,) = re.findall(r'src="data:image/jpeg;base64,([^"]+)"', paper)
    with Image.open(io.BytesIO(base64.b64decode(shown))) as small:
        assert small.size == (60, 40)
        found = small.convert("RGB").getpixel((30, 20))
    assert all(abs(a - b) < 12 for a, b in zip(found, (20, 120, 90), strict=True))  # JPEG is lossy


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.4",
        picture()[:200],
        picture("GIF"),
        picture("BMP"),
    ],
)
def test_what_is_no_picture_is_refused(room: Room, phone: Phone, raw: bytes) -> None:
    assert send(phone, raw) == 422
    assert not list(room.folder.glob("*-photos/*"))


def test_a_picture_of_too_many_pixels_is_refused() -> None:
    from PIL import Image

    from advisor.errors import AdvisorError

    out = io.BytesIO()
    Image.new("1", (9000, 9000)).save(out, "PNG")  # 10 kB that would unpack to 240 MB
    with pytest.raises(AdvisorError):
        made_anew(out.getvalue())


def test_a_fault_of_the_program_shows_no_trace(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    phone = room.phone()

    def broken(*_: object) -> None:
        raise RuntimeError("inner matters")

    monkeypatch.setattr("advisor.page.open_cases.Desk.paths", broken)
    client = TestClient(
        room.app, base_url="http://127.0.0.1", cookies=dict(phone.client.cookies),
        raise_server_exceptions=False,
    )  # fmt: skip
    answer = client.get("/watch")
    assert answer.status_code == 500
    assert "inner matters" not in answer.text and "Traceback" not in answer.text
    assert "default-src" in answer.headers["content-security-policy"]


@pytest.mark.parametrize(
    ("address", "secure", "open_line"),
    [
        ("http://192.0.2.7:8765", False, True),
        ("http://127.0.0.1:8765", False, False),
        ("http://localhost:8765", False, False),
        ("https://192.0.2.7:8765", True, False),
    ],
)
def test_an_open_line_is_told_only_where_others_share_it(
    tmp_path: Path, address: str, secure: bool, open_line: bool
) -> None:
    app = make_app(
        tmp_path, default_reasoner(), hosts=("192.0.2.7", "127.0.0.1", "localhost"), secure=secure
    )
    said = TestClient(app, base_url=address).get("/enter").text
    assert ("not encrypted" in said) is open_line
