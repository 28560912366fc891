"""The session on a real terminal: interrupted, killed, resumed, narrow, full, read-only."""

from __future__ import annotations

import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pexpect
import pytest

from advisor.case import Case, load_case
from tests.said import Terminal, joined

SECOND = "How do they breathe"
THIRD = "Which fish, and how many"
FOURTH = "How many are dead so far"


def ask(
    folder: Path, *more: str, columns: int = 60, to: str = "ask", **options: object
) -> Terminal:
    """``advisor ask``, or what else ``to`` says, on a terminal of its own."""
    environment = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES")}
    child = Terminal(
        sys.executable,
        ["-m", "advisor", to, "--cases", str(folder), *more],
        dimensions=(40, columns),
        encoding="utf-8",
        timeout=60,
        echo=False,
        env={**environment, "NO_COLOR": "1"},
        **options,
    )
    child.delaybeforesend = None
    return child


def answer(child: Terminal, line: str, then: str) -> str:
    """Answer the question on the screen and wait for what follows; gives what was printed."""
    child.expect_exact("> ")
    child.sendline(line)
    child.until_said(then)
    return str(child.before)


def the_case(folder: Path) -> Case:
    (path,) = folder.glob("*.toml")
    return load_case(path)


def two_answers(folder: Path, **options: object) -> Terminal:
    child = ask(folder, **options)  # type: ignore[arg-type]
    answer(child, "3", SECOND)
    answer(child, "1", THIRD)
    child.expect_exact("> ")
    return child


def test_saved_after_every_answer_and_resumed_where_it_was(tmp_path: Path) -> None:
    child = two_answers(tmp_path)
    child.sendline("s")
    child.until_said("Go on with: advisor ask --resume")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    name = next(tmp_path.glob("*.toml")).stem
    child = ask(tmp_path, "--resume", name)
    child.until_said(THIRD)
    answer(child, "40 guppies", FOURTH)
    child.sendline("s")
    child.expect(pexpect.EOF)
    assert the_case(tmp_path).lot[0].count == 40


@pytest.mark.parametrize(
    "name, status", [("SIGINT", 130), ("SIGTERM", 143), ("SIGHUP", 129), ("SIGKILL", None)]
)
def test_whatever_ends_it_only_the_answer_being_typed_is_lost(
    name: str, status: int | None, tmp_path: Path
) -> None:
    child = two_answers(tmp_path)
    child.send("40 gup")  # being typed
    time.sleep(0.1)
    child.kill(getattr(signal, name))
    if status is not None:
        child.until_said("Everything up to your last answer is kept")
        child.until_said("--resume")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == status
    case = the_case(tmp_path)
    assert case.observation[0].seen == ("gasping_at_surface",)
    assert case.lot[0].count is None


def test_a_closed_terminal_loses_nothing(tmp_path: Path) -> None:
    child = two_answers(tmp_path)
    child.close(force=False)  # the other end of the terminal goes away
    until = time.monotonic() + 20
    while child.isalive() and time.monotonic() < until:
        time.sleep(0.05)
    assert not child.isalive()
    assert the_case(tmp_path).observation[0].seen == ("gasping_at_surface",)


@pytest.mark.slow
def test_end_of_input_saves_and_leaves(tmp_path: Path) -> None:
    child = two_answers(tmp_path)
    child.sendeof()
    child.until_said("Everything up to your last answer is kept")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_stopped_before_any_answer_keeps_nothing(tmp_path: Path) -> None:
    child = ask(tmp_path / "cases")
    child.expect_exact("> ")
    child.sendintr()
    child.until_said("Nothing was answered, so nothing is kept.")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    assert not (tmp_path / "cases").exists()


@pytest.mark.parametrize("columns", [pytest.param(40, marks=pytest.mark.slow), 60])
def test_a_narrow_terminal_gets_narrow_lines(columns: int, tmp_path: Path) -> None:
    child = ask(tmp_path, columns=columns)
    screen = answer(child, "2", SECOND) + answer(child, "1 3", THIRD)
    lines = [line for line in screen.replace("\r", "").split("\n") if str(tmp_path) not in line]
    assert max(map(len, lines)) <= columns
    child.close(force=True)


def test_a_long_file_name_can_be_copied_from_a_narrow_terminal(tmp_path: Path) -> None:
    folder = tmp_path / "a-folder-with-hyphens-and-a-name-longer-than-the-terminal-is-wide"
    child = two_answers(folder)
    child.sendline("s")
    child.expect(pexpect.EOF)
    (path,) = folder.glob("*.toml")
    assert str(path) in str(child.before).replace("\r", "").split(
        "\n"
    )  # whole, on a line of its own


def test_wrong_input_is_asked_again_in_one_sentence(tmp_path: Path) -> None:
    child = ask(tmp_path, columns=100)
    answer(child, "99", "they go from 1 to 9")
    answer(child, "on the moon", "is none of these")
    answer(child, "nettd", SECOND)
    answer(child, "14", 'type them apart: "1 4"')
    answer(child, "stressed", "is not something seen")
    answer(child, "1 4", THIRD)
    answer(child, "40 guppies", FOURTH)
    answer(child, "-3 dead", "How many")
    child.close(force=True)
    assert the_case(tmp_path).lot[0].release_method == "netted"


@pytest.mark.parametrize("at_part", [False, True])
def test_a_key_at_a_prompt_of_readings_is_followed_by_the_prompt_in_words(
    at_part: bool, tmp_path: Path
) -> None:
    """What d shows may fill the screen: the question is put again below it, not only its mark."""
    run(tmp_path, "3\n1\n40 guppies\n0\n0\n20 min\n0\n\n")
    child = ask(tmp_path, "--resume", next(tmp_path.glob("*.toml")).stem)
    prompt = "tank temperature (like 25.5 °C or 78 °F), Enter if not measured:"
    child.until_said(prompt)
    if at_part:
        prompt = prompt.replace("tank", "bag")
        answer(child, "25", prompt)
    for key, said in (("d", "Done and noted"), ("p", "More: advisor assess"), ("a", "a with its")):
        answer(child, key, said)
        child.until_said(prompt)
    child.close(force=True)


def test_a_look_at_shut_bags_that_is_broken_off_says_how_to_look_again(tmp_path: Path) -> None:
    (tmp_path / "shut.toml").write_text(
        'format = "arrival-case-1"\n[delivery]\nreceived = "2026-03-02T12:00:00"\n'
        '[[lot]]\nid = "a"\nspecies = "guppy"\ncount = 40\nsealed = "yes"\n'
        "[[observation]]\nat_hours = 0\nseen = []\n",
        encoding="utf-8",
    )
    child = ask(tmp_path, "shut", to="recheck")
    child.expect_exact("> ")
    child.sendintr()
    child.until_said("Kept in")
    child.until_said("A later look: advisor recheck")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130


@pytest.mark.slow
def test_plain_output_without_cursor_tricks(tmp_path: Path) -> None:
    child = two_answers(tmp_path)
    child.sendline("p")
    child.until_said("More: advisor assess")
    # bold and the like (SGR), and the line editor's bracketed paste, move nothing
    left = re.sub(r"\x1b\[(?:[0-9;]*m|\?2004[hl])", "", str(child.before))
    assert "\x1b" not in left
    child.close(force=True)


def run(folder: Path, lines: str, *more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "advisor", "ask", "--cases", str(folder), *more],
        input=lines, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip


def test_piped_answers_one_a_line(tmp_path: Path) -> None:
    done = run(tmp_path, "3\n1\n30 h\n40 guppies\n")
    assert done.returncode == 0
    assert "DO NOW: Air the tank" in joined(done.stdout) and "More: advisor assess" in joined(
        done.stdout
    )
    assert "\x1b" not in done.stdout
    case = the_case(tmp_path)
    assert (case.transit.hours_sealed, case.lot[0].count) == (30, 40)


@pytest.mark.slow
def test_answers_from_a_file(tmp_path: Path) -> None:
    (tmp_path / "lines").write_text("# a comment\n1\n1\n30 h\n", encoding="utf-8")
    done = run(tmp_path / "cases", "", "--answers", str(tmp_path / "lines"))
    assert done.returncode == 0
    assert the_case(tmp_path / "cases").transit.hours_sealed == 30
    missing = run(tmp_path / "cases", "", "--answers", str(tmp_path / "none"))
    assert missing.returncode == 2 and "cannot be read" in joined(missing.stderr)


def test_a_folder_that_cannot_be_written_does_not_stop_the_session(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    child = ask(tmp_path / "file" / "cases", columns=100)
    answer(child, "3", "Your answers are kept in memory")
    child.expect_exact("folder> ")
    child.sendline(str(tmp_path / "other"))
    child.until_said("Kept after every answer in")
    child.until_said(SECOND)
    answer(child, "1", THIRD)
    child.close(force=True)
    assert the_case(tmp_path / "other").observation[0].seen == ("gasping_at_surface",)


@pytest.mark.slow
def test_without_any_folder_the_case_is_printed_at_the_end(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = run(tmp_path / "file" / "cases", "1\n1\n30 h\n")
    said, text = re.split(r"to\s+keep\s+it:\n", done.stdout)
    assert "Copy what follows into a file" in joined(said)
    (tmp_path / "copied.toml").write_text(text, encoding="utf-8")
    assert load_case(tmp_path / "copied.toml").transit.hours_sealed == 30


def test_a_full_disk_goes_on_in_memory(tmp_path: Path) -> None:
    """A file size limit stands in for a full disk: writing fails half way, as it would there."""

    def no_room() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))

    child = ask(tmp_path, columns=100, preexec_fn=no_room)
    answer(child, "3", "not saved")
    child.expect_exact("folder> ")
    child.sendline("")
    child.until_said(SECOND)
    answer(child, "1", THIRD)
    child.expect_exact("> ")
    child.sendline("s")
    child.until_said("Copy what follows into a file")
    child.until_said("gasping_at_surface")
    child.expect(pexpect.EOF)
    assert list(tmp_path.iterdir()) == []  # nothing half written is left behind


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 16 kB of its own; not everyone may mount one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    words = ["mount", "-t", "tmpfs", "-o", "size=16k,mode=777", "tmpfs", str(disk)]
    if shutil.which("mount") is None or subprocess.run(words, capture_output=True).returncode:
        pytest.skip("needs the right to mount a file system")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_disk_that_is_really_full_and_then_has_room_again(small_disk: Path) -> None:
    (small_disk / "other").write_bytes(bytes(16384))
    child = ask(small_disk, columns=100)
    answer(child, "3", "the disk is full")
    child.expect_exact("folder> ")
    child.sendline("")
    child.until_said("Not saved: your answers are in memory only")
    answer(child, "1", THIRD)
    assert list(small_disk.glob("*.toml")) == []
    (small_disk / "other").unlink()
    child.expect_exact("> ")
    child.sendline("40 guppies")
    child.until_said("Kept after every answer in")
    child.until_said(FOURTH)
    assert "Not saved" not in joined(str(child.before))
    child.close(force=True)
    case = the_case(small_disk)
    assert (case.lot[0].count, case.observation[0].seen) == (40, ("gasping_at_surface",))


def test_a_disk_that_turns_read_only_keeps_what_it_held(small_disk: Path) -> None:
    child = ask(small_disk, columns=100)
    answer(child, "3", SECOND)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    answer(child, "1", "the disk or folder is read-only")
    child.expect_exact("folder> ")
    child.sendline("")
    child.until_said(THIRD)
    subprocess.run(["mount", "-o", "remount,rw", str(small_disk)], check=True)
    answer(child, "40 guppies", "Saved again, in")
    child.close(force=True)
    case = the_case(small_disk)
    assert (case.lot[0].count, case.observation[0].seen) == (40, ("gasping_at_surface",))


def test_two_sessions_on_one_case_are_noticed_and_not_mangled(tmp_path: Path) -> None:
    child = two_answers(tmp_path)
    path = next(tmp_path.glob("*.toml"))
    other = ask(tmp_path, "--resume", str(path), columns=100)
    other.until_said(THIRD)
    answer(other, "48 guppies", FOURTH)
    other.close(force=True)
    child.sendline("30 guppies")
    child.until_said("Another session has changed")
    child.until_said(FOURTH)
    child.close(force=True)
    assert load_case(path).lot[0].count == 48
    assert load_case(path.with_name(f"{path.stem}-2.toml")).lot[0].count == 30


def test_advisor_alone_lists_open_cases_and_how_to_start(tmp_path: Path) -> None:
    run(tmp_path, "3\n1\n")
    done = subprocess.run(
        [sys.executable, "-m", "advisor"], capture_output=True, text=True, timeout=60, check=True,
        env={**os.environ, "ADVISOR_CASES": str(tmp_path)},
    )  # fmt: skip
    said = joined(done.stdout)
    assert "Open cases in" in said and "to do now: Air the tank hard" in said
    assert "advisor ask" in said
    empty = subprocess.run(
        [sys.executable, "-m", "advisor"], capture_output=True, text=True, timeout=60, check=True,
        env={**os.environ, "ADVISOR_CASES": str(tmp_path / "none")},
    )  # fmt: skip
    assert "No cases yet" in joined(empty.stdout)
    assert not (tmp_path / "none").exists()


@pytest.mark.slow
def test_a_later_look_on_the_terminal(tmp_path: Path) -> None:
    run(tmp_path, "3\n1\n40 guppies\n0\n0\n20 min\n")
    name = next(tmp_path.glob("*.toml")).stem
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "recheck", name, "--cases", str(tmp_path)],
        input="0\n12\n1 2 3\n\n\n\n", capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "BETTER than at the last look" in joined(done.stdout)
    assert "gone: gasping at surface" in joined(done.stdout)
