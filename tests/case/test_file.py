"""Case files on a real disk: read in every state a file can be in, written whole or not at all."""

from __future__ import annotations

import errno
import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from advisor.case import (
    ABSENT,
    Case,
    ChangedOnDisk,
    load_case,
    load_with_stamp,
    loads_case,
    save_case,
    stamp,
)
from advisor.errors import AdvisorError
from tests.case.fuzz import SEED

CASE = loads_case(SEED)
OTHER = Case.model_validate({"delivery": {"title": "another"}})


def refusal_to_read(path: Path) -> str:
    with pytest.raises(AdvisorError) as refusal:
        load_case(path)
    said = str(refusal.value)
    assert said.startswith(str(path))
    assert said.isprintable()
    return said.removeprefix(f"{path}").lstrip(":, ")


def refusal_to_save(path: Path) -> str:
    with pytest.raises(AdvisorError) as refusal:
        save_case(CASE, path)
    return str(refusal.value)


@contextmanager
def mounted(folder: Path, *options: str) -> Iterator[Path]:
    """A small file system of its own at ``folder``; skips where mounting is not allowed."""
    folder.mkdir(exist_ok=True)
    made = subprocess.run(["mount", *options, str(folder)], capture_output=True, text=True)
    if made.returncode:
        pytest.skip(f"mounting needs root: {made.stderr.strip()}")
    try:
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


# Reading


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "is empty"),
        (b"  \n\n", "is empty"),
        (b"\xef\xbb\xbf", "is empty"),
        (SEED.encode("utf-16"), "is saved as UTF-16; save it as UTF-8"),
        (SEED.encode("utf-16-le"), "is not a text file"),
        (b'[delivery]\nplace = "M\xfchle"', "line 2 is not UTF-8 text (byte 0xfc)"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "is not a text file (line 3 holds a zero byte)"),
        (b"[delivery]\ntitle = '\0'", "is not a text file (line 2 holds a zero byte)"),
        (b"#" * 2_000_001, "is larger than 1 MB, far more than any case"),
    ],
)
def test_what_is_no_case_file_is_told_apart(tmp_path: Path, raw: bytes, said: str) -> None:
    path = tmp_path / "den.toml"
    path.write_bytes(raw)
    assert refusal_to_read(path).startswith(said)


@pytest.mark.parametrize("change", [
    lambda raw: b"\xef\xbb\xbf" + raw,
    lambda raw: raw.replace(b"\n", b"\r\n"),
    lambda raw: b"\xef\xbb\xbf" + raw.replace(b"\n", b"\r\n"),
    lambda raw: raw.rstrip(b"\n"),
])  # fmt: skip
def test_marks_and_line_ends_of_other_systems_change_nothing(
    tmp_path: Path, change: Callable[[bytes], bytes]
) -> None:
    path = tmp_path / "den.toml"
    path.write_bytes(change(SEED.encode()))
    assert load_case(path) == CASE


def test_a_missing_file_names_the_nearest_one(tmp_path: Path) -> None:
    (tmp_path / "embers.toml").write_text(SEED)
    said = refusal_to_read(tmp_path / "ember.toml")
    assert said == 'there is no such file; did you mean "embers.toml"?'
    assert refusal_to_read(tmp_path / "no" / "such.toml") == "there is no such file"


def test_folders_pipes_and_devices_are_refused_without_waiting(tmp_path: Path) -> None:
    assert "is a folder" in refusal_to_read(tmp_path)
    os.mkfifo(tmp_path / "pipe")
    assert "not an ordinary file" in refusal_to_read(tmp_path / "pipe")
    assert "not an ordinary file" in refusal_to_read(Path("/dev/zero"))


def test_odd_paths_get_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert "cannot be read" in refusal_to_read(tmp_path / "loop")
    for name in ["x" * 300, "nul\0byte", "ti\x1b[2Jtle"]:
        with pytest.raises(AdvisorError) as refusal:
            load_case(tmp_path / name)
        assert str(refusal.value).isprintable()


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Root may do anything; for a while, be someone who may not."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


def test_a_file_of_someone_else_is_neither_read_nor_replaced() -> None:
    with TemporaryDirectory() as name:
        path = Path(name) / "den.toml"
        save_case(OTHER, path)
        path.chmod(0o000)
        path.parent.chmod(0o777)
        with ordinary_user():
            assert refusal_to_read(path) == "you are not allowed to read this file"
            assert "you are not allowed to write there" in refusal_to_save(path)
        path.chmod(0o444)
        with ordinary_user():
            assert load_case(path) == OTHER
            assert "you are not allowed to write there" in refusal_to_save(path)
        path.parent.chmod(0o555)
        with ordinary_user():
            assert "you are not allowed to write there" in refusal_to_save(path.with_name("new"))
        path.parent.chmod(0o700)
        assert os.listdir(name) == ["den.toml"]


# Writing


def test_what_is_saved_is_loaded_and_stamped(tmp_path: Path) -> None:
    path = tmp_path / "Fälle heute" / "Kiste 1.toml"
    path.parent.mkdir()
    made = save_case(CASE, path, expected_stamp=ABSENT)
    assert load_with_stamp(path) == (CASE, made)
    assert stamp(path) == made
    assert os.listdir(path.parent) == [path.name]


def test_permissions_are_kept_and_new_files_follow_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    before = os.umask(0o027)
    try:
        save_case(CASE, path)
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o7777 == 0o640
    path.chmod(0o604)
    save_case(OTHER, path)
    assert path.stat().st_mode & 0o7777 == 0o604


def test_a_link_stays_and_its_file_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    target, link = tmp_path / "far" / "den.toml", tmp_path / "link.toml"
    save_case(CASE, target)
    link.symlink_to(target)
    save_case(OTHER, link)
    assert link.is_symlink()
    assert load_case(target) == load_case(link) == OTHER
    assert sorted(os.listdir(tmp_path)) == ["far", "link.toml"]
    assert os.listdir(target.parent) == ["den.toml"]


def test_places_that_cannot_be_written_are_named(tmp_path: Path) -> None:
    assert "there is no such folder" in refusal_to_save(tmp_path / "no" / "den.toml")
    assert "this is a folder" in refusal_to_save(tmp_path)
    (tmp_path / "file").write_text("x")
    assert "is a file, not a folder" in refusal_to_save(tmp_path / "file" / "den.toml")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert "the link leads back to itself" in refusal_to_save(tmp_path / "loop")
    assert "the file name is too long" in refusal_to_save(tmp_path / ("x" * 300))
    assert "not a file name" in refusal_to_save(tmp_path / "nul\0")
    assert sorted(os.listdir(tmp_path)) == ["file", "loop"]


def test_a_case_that_could_not_be_read_again_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    save_case(CASE, path)
    huge = Case.model_validate({"delivery": {"notes": "x" * 1_200_000}})
    with pytest.raises(AdvisorError, match="not saved, the case is too large to be read again"):
        save_case(huge, path)
    assert load_case(path) == CASE


def test_another_sessions_change_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    first = save_case(CASE, path)
    second = save_case(OTHER, path, expected_stamp=first)
    with pytest.raises(ChangedOnDisk, match="changed by another session"):
        save_case(CASE, path, expected_stamp=first)
    with pytest.raises(ChangedOnDisk):
        save_case(CASE, path, expected_stamp=ABSENT)
    assert (load_case(path), stamp(path)) == (OTHER, second)
    path.unlink()
    with pytest.raises(ChangedOnDisk):
        save_case(CASE, path, expected_stamp=second)
    assert os.listdir(tmp_path) == []


def test_a_full_disk_leaves_the_old_file_and_nothing_else(tmp_path: Path) -> None:
    with mounted(tmp_path / "disk", "-t", "tmpfs", "-o", "size=16k", "tmpfs") as disk:
        path = disk / "den.toml"
        save_case(OTHER, path)
        before = path.read_bytes()
        with (disk / "ballast").open("wb", buffering=0) as ballast, pytest.raises(OSError) as full:
            while True:
                ballast.write(b"x" * 512)
        assert full.value.errno == errno.ENOSPC
        assert refusal_to_save(path) == (
            f"{path}: not saved, the disk is full; the old file, if any, is untouched"
        )
        assert path.read_bytes() == before
        assert sorted(os.listdir(disk)) == ["ballast", "den.toml"]
        (disk / "ballast").unlink()
        save_case(CASE, path)
        assert load_case(path) == CASE


def test_a_write_that_stops_half_way_leaves_the_old_file(tmp_path: Path) -> None:
    """The same without root: the system itself cuts the write off at 100 bytes."""
    path = tmp_path / "den.toml"
    save_case(OTHER, path)
    limit = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100, limit[1]))
        said = refusal_to_save(path)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limit)
        signal.signal(signal.SIGXFSZ, handler)
    assert "the file would be larger than allowed here" in said
    assert load_case(path) == OTHER
    assert os.listdir(tmp_path) == ["den.toml"]


def test_a_read_only_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "disk").mkdir()
    path = tmp_path / "disk" / "den.toml"
    save_case(OTHER, path)
    with mounted(tmp_path / "disk", "--bind", str(tmp_path / "disk")) as disk:
        subprocess.run(["mount", "-o", "remount,bind,ro", str(disk)], check=True)
        assert load_case(path) == OTHER
        assert "the disk or folder is read-only" in refusal_to_save(path)
        assert "the disk or folder is read-only" in refusal_to_save(path.with_name("new.toml"))
    assert os.listdir(path.parent) == ["den.toml"]


SAVER = """
import sys
from advisor.case import load_with_stamp, save_case, ChangedOnDisk, stamp
path, tries = sys.argv[1], int(sys.argv[2])
saved = 0
print("ready", flush=True)
for _ in range(tries):
    case, was = load_with_stamp(path)
    notes = (case.delivery.notes or "") + "x" * 50
    case = case.model_copy(update={"delivery": case.delivery.model_copy(update={"notes": notes})})
    try:
        save_case(case, path, expected_stamp=was)
        saved += 1
    except ChangedOnDisk:
        pass
print(saved)
"""


def saver(path: Path, tries: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-c", SAVER, str(path), str(tries)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_two_sessions_at_once_lose_no_save(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    save_case(OTHER, path)
    running = [saver(path, 40) for _ in range(2)]
    saved = sum(int(one.communicate(timeout=60)[0].split()[1]) for one in running)
    assert saved >= 40
    assert len(load_case(path).delivery.notes or "") == saved * 50
    assert os.listdir(tmp_path) == ["den.toml"]


def test_a_killed_session_leaves_a_whole_file_and_the_next_save_tidies_up(tmp_path: Path) -> None:
    path = tmp_path / "den.toml"
    save_case(OTHER, path)
    rng = random.Random(4)
    for _ in range(6):
        with saver(path, 100_000) as running:
            assert running.stdout is not None
            assert running.stdout.readline() == "ready\n"
            time.sleep(rng.uniform(0.01, 0.1))
            running.kill()
        load_case(path)
    save_case(CASE, path)
    assert os.listdir(tmp_path) == ["den.toml"]


def test_a_locked_folder_is_waited_for_and_then_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl

    from advisor.case import replace

    monkeypatch.setattr(replace, "LOCK_WAIT_S", 0.05)
    holder = os.open(tmp_path, os.O_RDONLY)
    try:
        fcntl.flock(holder, fcntl.LOCK_EX)
        assert "another program keeps this folder locked" in refusal_to_save(tmp_path / "den.toml")
    finally:
        os.close(holder)
    save_case(CASE, tmp_path / "den.toml")
