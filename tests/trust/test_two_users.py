"""Two people with accounts of their own on one machine: neither is believed nor harmed by mistake.

The second is the account 65534 ("nobody" on Linux), to which only root may change. It is let in
to read everywhere, so that it can run a Python that lies in root's home; it may write nowhere.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.case import load_case
from tests.trust.kill_sessions import Told

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[2]
NOBODY = 65534
OTHER = [
    "setpriv", "--reuid", str(NOBODY), "--regid", str(NOBODY), "--clear-groups",
    "--inh-caps", "-all,+dac_read_search", "--ambient-caps", "-all,+dac_read_search",
]  # fmt: skip
CASE = ROOT / "tests" / "papers" / "delivery.toml"
ANSWERS = "".join(f"{k}: {v}\n" for k, v in Told(30, 40, 1, 25.0, 7.0).lines().items())


def run(words: list[str], place: Path, user: int = 0) -> tuple[int, str, str]:
    """Status, output and errors of a command of this user, or of the other."""
    environment = {
        "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "PATH": os.environ["PATH"],
        "HOME": str(place), "XDG_CACHE_HOME": str(place / "cache"), "TMPDIR": str(place),
        "COLUMNS": "100",
    }  # fmt: skip
    other = [] if user == 0 else OTHER
    done = subprocess.run(
        [*other, sys.executable, *words],
        cwd=place, env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True,
    )  # fmt: skip
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder in which both may look about, and the other may not write."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        pytest.skip("only root may become another user")
    if shutil.which("setpriv") is None:
        pytest.skip("setpriv of util-linux is not here")
    folder = tmp_path_factory.mktemp("two")
    for each in (folder, *folder.parents[:2]):
        each.chmod(0o755)
    mine = folder / "mine"
    mine.write_text("of root alone")
    mine.chmod(0o600)
    probe = ["-c", "import advisor.screens.app, pydantic; open('mine', 'a')"]
    if "PermissionError" not in run(probe, folder, NOBODY)[2]:
        pytest.skip("another user cannot run this Python here, or may write everywhere")
    (folder / "copy.toml").write_bytes(CASE.read_bytes())
    yield folder
    for each in folder.parents[:2]:
        each.chmod(0o700)


def _forged(cache: Path) -> None:
    """What is kept, changed by a hand that knows how its checksum is made."""
    for file in cache.glob("*.jsonl"):
        _, _, body = file.read_bytes().partition(b"\n")
        body = body.replace(b"ammonia", b"ammoni4")
        mark = hashlib.blake2b(body, digest_size=16).hexdigest().encode()
        file.write_bytes(mark + b"\n" + body)


def test_what_another_user_keeps_is_not_believed(place: Path) -> None:
    assess = ["-m", "advisor", "assess", "copy.toml"]
    first = run(assess, place)
    cache = place / "cache" / "advisor"
    _forged(cache)
    believed = run(assess, place)
    assert believed != first  # one's own file in one's own folder is trusted: the forgery works
    for owner_of in ("files", "folder"):
        _forged(cache)
        for owned in cache.iterdir() if owner_of == "files" else [cache]:
            os.chown(owned, NOBODY, NOBODY)
        assert run(assess, place) == first
        os.chown(cache, 0, 0)


def test_a_user_who_may_not_keep_anything_gets_the_same_advice(place: Path) -> None:
    assess = ["-m", "advisor", "assess", "copy.toml"]
    first = run(assess, place)
    kept = {path.name: path.read_bytes() for path in (place / "cache" / "advisor").iterdir()}
    assert run(assess, place, NOBODY) == first
    assert kept == {p.name: p.read_bytes() for p in (place / "cache" / "advisor").iterdir()}


def test_in_a_folder_of_another_user_answers_are_kept_elsewhere(place: Path) -> None:
    cases = place / "cases"
    cases.mkdir(0o755)
    (place / "answers.txt").write_text(ANSWERS)
    ask = ["-m", "advisor", "ask", "--answers", "answers.txt", "--cases", "cases"]
    status, said, _ = run(ask, place, NOBODY)
    assert status in (0, 2) and "hours_sealed = 30" in said
    assert list(cases.iterdir()) == []


@pytest.mark.parametrize("mode", [0o777, 0o1777])
def test_a_case_of_another_user_in_an_open_folder_stays_and_answers_are_shown(
    mode: int, place: Path
) -> None:
    cases = place / "cases"
    cases.mkdir()
    cases.chmod(mode)
    (place / "answers.txt").write_text(ANSWERS)
    ask = ["-m", "advisor", "ask", "--answers", "answers.txt"]
    assert run([*ask, "--cases", "cases"], place)[0] == 0
    (case,) = cases.glob("*.toml")
    before = case.read_bytes()
    (place / "answers.txt").write_text(ANSWERS.replace("25.0", "27.5"))
    status, _, wrong = run([*ask, "--resume", str(case)], place, NOBODY)
    assert status in (0, 2) and "Traceback" not in wrong
    assert [path.name for path in cases.iterdir()] == [case.name] and case.read_bytes() == before


@pytest.mark.parametrize("mode", [0o777, 0o1777])
def test_a_case_both_write_keeps_its_owner_and_mode(mode: int, place: Path) -> None:
    cases = place / "cases"
    cases.mkdir()
    cases.chmod(mode)
    case = cases / "one.toml"
    case.write_bytes(CASE.read_bytes())
    os.chown(case, NOBODY, NOBODY)
    case.chmod(0o660)
    log = place / "log.csv"
    log.write_text("Time,Temp (C)\n2027-03-03 01:00,25.5\n")
    add = ["-m", "advisor", "readings", str(case), "--add", "log.csv", "--water", "tank"]
    assert run(add, place)[0] == 0
    status = case.stat()
    assert (status.st_uid, status.st_mode & 0o777) == (NOBODY, 0o660)
    assert any(look.from_log for look in load_case(case).observation)


@pytest.mark.parametrize("mode", [0o777, 0o1777])
def test_a_link_that_another_user_planted_leads_nowhere(mode: int, place: Path) -> None:
    """The name under which a save is written is known; a link there must not be written through."""
    cases = place / "cases"
    cases.mkdir()
    cases.chmod(mode)
    case = cases / "one.toml"
    case.write_bytes(CASE.read_bytes())
    name = hashlib.sha256(b"one.toml").hexdigest()[:12]
    planted = cases / f".case-{name}.saving"
    planted.symlink_to(place / "mine")
    os.chown(planted, NOBODY, NOBODY, follow_symlinks=False)
    log = place / "log.csv"
    log.write_text("Time,Temp (C)\n2027-03-03 01:00,25.5\n")
    add = ["-m", "advisor", "readings", str(case), "--add", "log.csv", "--water", "tank"]
    assert run(add, place)[0] == 0  # root may take it away
    assert (place / "mine").read_text() == "of root alone"
    assert [path.name for path in cases.iterdir()] == ["one.toml"]
    # now the other way round: root's, which the other may not take away from a sticky folder
    planted.symlink_to(place / "mine")
    os.chown(case, NOBODY, NOBODY)
    log.write_text("Time,Temp (C)\n2027-03-03 02:00,25.6\n")
    before = case.read_bytes()
    status, _, wrong = run(add, place, NOBODY)
    assert (place / "mine").read_text() == "of root alone"
    assert status == 0 if mode == 0o777 else (status == 2 and "not saved" in wrong)
    assert (case.read_bytes() == before) is (status == 2)


def test_an_export_of_another_user_is_not_written_over(place: Path) -> None:
    place.chmod(0o777)
    out = ["-m", "advisor", "readings", "copy.toml", "--out", "out.csv"]
    assert run(out, place)[0] == 0
    before = (place / "out.csv").read_bytes()
    status, _, wrong = run(out, place, NOBODY)
    assert status == 2 and "not allowed" in wrong
    assert (place / "out.csv").read_bytes() == before
    assert not list(place.glob(".case-*"))
