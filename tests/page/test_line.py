"""An encrypted line: a certificate of one's own, made by openssl, checked by who asks."""

from __future__ import annotations

import shutil
import ssl
import subprocess
from pathlib import Path

import httpx
import pytest

from tests.page.serving import Server

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("openssl") is None, reason="needs openssl"),
]


@pytest.fixture
def papers(tmp_path: Path) -> tuple[Path, Path]:
    """Certificate and key for 127.0.0.1."""
    cert, key = tmp_path / "room.pem", tmp_path / "room.key"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2",
         "-keyout", key, "-out", cert, "-subj", "/CN=fish room",
         "-addext", "subjectAltName=IP:127.0.0.1"],
        check=True, capture_output=True,
    )  # fmt: skip
    return cert, key


def test_a_line_with_a_certificate_is_encrypted_and_the_cookie_says_so(
    tmp_path: Path, papers: tuple[Path, Path]
) -> None:
    cert, key = papers
    server = Server(tmp_path / "cases", "--cert", str(cert), "--key", str(key))
    try:
        with pytest.raises(httpx.ConnectError):  # nobody vouches for it
            httpx.get(server.url, timeout=20)
        with pytest.raises(httpx.HTTPError):
            httpx.get(server.url.replace("https", "http"), timeout=20)
        known = ssl.create_default_context(cafile=cert)
        with httpx.Client(base_url=server.url, verify=known, timeout=60) as client:
            answer = client.post("/enter", data={"code": server.code, "name": "Ana"})
            assert "; secure" in answer.headers["set-cookie"].lower()
            page = client.get("/")
            assert page.status_code == 200 and "not encrypted" not in page.text
            foreign = client.post("/start", headers={"origin": "http://127.0.0.1"})
            assert foreign.status_code == 403, "the open line is another origin"
    finally:
        server.kill()
