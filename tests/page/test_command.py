"""``advisor serve``: what it says, and what it refuses."""

from __future__ import annotations

import socket
from pathlib import Path

import httpx
import pytest

from advisor.page.command_serve import OPEN_LINE, _tell
from advisor.screens.app import main
from tests.page.serving import Server


def test_a_network_is_told_that_its_line_is_open(capsys: pytest.CaptureFixture[str]) -> None:
    _tell("http://192.0.2.7:8765", "ABCD-EFGH", lan=True, secure=False)
    said = capsys.readouterr().out
    assert "http://192.0.2.7:8765" in said and "ABCD-EFGH" in said and OPEN_LINE in said
    assert "NOT encrypted" in OPEN_LINE
    assert said.count("\u2588") + said.count("\u2584") + said.count("\u2580") > 200, "a QR code"


def test_an_encrypted_line_is_not_called_open(capsys: pytest.CaptureFixture[str]) -> None:
    _tell("https://192.0.2.7:8765", "ABCD-EFGH", lan=True, secure=True)
    assert "NOT encrypted" not in capsys.readouterr().out


@pytest.mark.parametrize(
    "flags, said",
    [
        (["--port", "0"], "--port 0"),
        (["--port", "70000"], "--port 70000"),
        (["--cert", "only.pem"], "give both"),
        (["--cert", "none.pem", "--key", "none.key"], "no such file"),
    ],
)
def test_flags_that_do_not_fit_are_one_sentence(
    flags: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["serve", "--cases", str(tmp_path), *flags]) == 2
    assert said in capsys.readouterr().err


def test_a_port_in_use_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as other:
        other.bind(("", 0))
        other.listen()
        port = other.getsockname()[1]
        assert main(["serve", "--cases", str(tmp_path), "--port", str(port)]) == 2
    assert f"--port {port}: cannot be used" in capsys.readouterr().err


def test_without_the_further_parts_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "uvicorn", None)
    assert main(["serve", "--cases", str(tmp_path)]) == 2
    assert "advisor[page]" in capsys.readouterr().err


#: Multipart forms (RFC 7578) that are none: no boundary where one must stand, a header with a
#: space in its name, an end that never comes.
BROKEN = (b"nothing of the kind", b"--x\r\nno header\r\n\r\n--x--", b"--x\r\n\r\nbegun\r\n--y")


def test_a_form_that_is_none_is_answered_and_leaves_the_terminal_quiet(tmp_path: Path) -> None:
    said = tmp_path / "stderr"
    with said.open("w") as stderr:
        server = Server(tmp_path / "cases", stderr=stderr)
        try:
            answers = [
                httpx.post(
                    f"{server.url}/enter",
                    content=body,
                    headers={"content-type": "multipart/form-data; boundary=x"},
                    timeout=60,
                ).status_code
                for body in BROKEN
            ]
        finally:
            server.kill()
    assert all(400 <= status < 500 for status in answers)
    assert said.read_text() == ""
