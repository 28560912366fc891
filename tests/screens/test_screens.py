"""The program as a person meets it: in a real terminal, piped, interrupted, and given nonsense."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pexpect
import pytest
from rich.cells import cell_len

ROOT = Path(__file__).parents[2]
CASE = "cases/demo/four-lots-one-burned-on-opening.toml"
STYLE = re.compile(r"\x1b\[[0-9;]*m")


def environment(**more: str) -> dict[str, str]:
    kept = ("PATH", "HOME", "LD_LIBRARY_PATH", "XDG_CACHE_HOME")
    plain = {name: os.environ[name] for name in kept if name in os.environ}
    return plain | {"PYTHONPATH": str(ROOT), "LANG": "C.UTF-8", "TERM": "xterm-256color"} | more


def in_terminal(*words: str, columns: int, **more: str) -> tuple[int, str]:
    """Status and everything a terminal of that width receives."""
    child = pexpect.spawn(
        sys.executable,
        ["-m", "advisor", *words],
        cwd=str(ROOT),
        env=environment(**more),  # type: ignore[arg-type]
        dimensions=(40, columns),
        encoding="utf-8",
        timeout=60,
    )
    child.expect(pexpect.EOF)
    child.close()
    return int(child.exitstatus or 0), child.before.replace("\r\n", "\n")


def piped(*words: str, **more: str) -> tuple[int, str, str]:
    done = subprocess.run(
        [sys.executable, "-m", "advisor", *words],
        cwd=ROOT,
        env=environment(**more),
        capture_output=True,
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )
    assert done.returncode in (0, 1, 2, 130) and b"Traceback" not in done.stderr + done.stdout
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def widest(screen: str) -> int:
    return max(cell_len(line) for line in STYLE.sub("", screen).split("\n"))


@pytest.mark.parametrize("columns", [60, 80, 100])
@pytest.mark.parametrize(
    "words", [("assess", CASE), ("rules",), ("rules", "nitrite")], ids=["assess", "rules", "entry"]
)
def test_no_line_is_wider_than_the_terminal(words: tuple[str, ...], columns: int) -> None:
    status, screen = in_terminal(*words, columns=columns)
    assert status == 0
    assert widest(screen) <= columns
    assert "Traceback" not in screen and "fault of the program" not in screen
    assert STYLE.search(screen)  # a real terminal gets bold and colour


def test_the_first_line_says_what_to_do_now() -> None:
    _, screen = in_terminal("assess", CASE, columns=60)
    first = STYLE.sub("", screen).split("\n")[0]
    assert re.match(r"DO NOW: \w+", first)


def test_no_colour_where_none_is_wanted() -> None:
    plain = piped("assess", CASE, COLUMNS="80")[1]
    assert "\x1b" not in plain
    _, dumb = in_terminal("assess", CASE, columns=80, TERM="dumb")
    assert "\x1b" not in dumb
    _, bare = in_terminal("assess", CASE, columns=80, NO_COLOR="1")
    # weight and slant stay, as no-color.org allows; colours go
    assert not re.search(r"\x1b\[[0-9;]*(3[0-7]|4[0-7]|9[0-7]|38|48)[;m]", bare)
    assert STYLE.sub("", bare).split() == dumb.split() == plain.split()


def test_a_screen_is_narrow_enough_where_the_width_is_unknown() -> None:
    for words in (("assess", CASE), ("rules", "--check"), ("rules", "nitrite")):
        assert widest(piped(*words)[1]) <= 80


@pytest.mark.skipif(
    not str(ROOT).isascii() and sys.version_info < (3, 13),
    reason="there Python itself cannot read the path of an editable install in this locale",
)
def test_a_locale_without_utf8_is_no_obstacle() -> None:
    status, screen, _ = piped("assess", CASE, LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert status == 0
    assert screen.startswith("DO NOW: ")
    assert screen.isascii()
    status, written, _ = piped(
        "rules", "nitrite", "--json", LC_ALL="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0"
    )
    assert status == 0
    assert written.isascii()


@pytest.mark.parametrize("words", [f"assess {CASE}", f"assess {CASE} --json", "rules --json x"])
def test_a_reader_that_goes_away_is_no_fault(words: str) -> None:
    done = subprocess.run(
        f"{sys.executable} -m advisor {words} | head -1",
        shell=True,  # a real pipe, as a person makes it; the words are ours
        cwd=ROOT,
        env=environment(),
        capture_output=True,
        timeout=60,
        check=False,
    )
    for word in (b"Traceback", b"BrokenPipe", b"fault of the program"):
        assert word not in done.stderr


def test_ctrl_c_ends_in_a_word() -> None:
    for wait_s in (0.02, 0.15, 0.4):
        child = subprocess.Popen(
            [sys.executable, "-m", "advisor", "assess", CASE, "--all"],
            cwd=ROOT,
            env=environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        )
        time.sleep(wait_s)
        child.send_signal(signal.SIGINT)
        _, err = child.communicate(timeout=60)
        said = err.decode()
        if child.returncode == 1:  # Python's own start was stopped, before any line of ours ran
            assert "KeyboardInterrupt" in said  # 3.13 may add that its own modules were not read
            assert str(ROOT / "advisor") not in said
            continue
        assert child.returncode in (0, 130, -signal.SIGINT)
        if child.returncode == 130:
            assert said == "\nStopped.\n"


WRONG = [
    (("assess", "no-such-file.toml"), "no-such-file.toml: there is no such file"),
    (("assess", "cases"), "cases: is a folder; give the name of a case file in it"),
    (("assess", "README.md"), "README.md, line"),
    (("assess", CASE, "--until", "soon"), "--until: 'soon' is no number of hours"),
    (("assess", CASE, "--rules", "cases"), "cases: holds no rulebase.toml"),
    (("assess", CASE, "--rules", "nowhere"), "nowhere: there is no such folder"),
    (("assess", CASE, "--colour"), '"--colour" has no place here'),
    (("assess",), "CASE is missing"),
    (("asess", CASE), 'there is no command "asess"; did you mean "assess"?'),
    (("rules", "nitrit"), '"nitrit": no such id in the rule base; did you mean "nitrite'),
    (("rules", "\x1b[2J"), "no such id in the rule base"),
    (("rules", "--rules", "README.md"), "README.md: is a file; give a folder of rules"),
]


@pytest.mark.parametrize(("words", "says"), WRONG, ids=[says[:30] for _, says in WRONG])
def test_wrong_input_gets_one_sentence_and_status_2(words: tuple[str, ...], says: str) -> None:
    status, out, err = piped(*words, COLUMNS="100")
    assert (status, out) == (2, "")
    sentence = " ".join(err.split())
    assert says in sentence
    assert len(err.split("\n")) <= 5
    assert "\x1b" not in err
    assert widest(err) <= 100
