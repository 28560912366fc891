"""Ctrl-C at the worst moments: just before a wait, and in the middle of a save."""

from __future__ import annotations

import signal
import sys
from pathlib import Path

import pexpect
import pytest

from advisor.case import load_case
from advisor.screens.session import keep
from advisor.screens.session.ending import Ended, ending_signals, status_of, unbroken
from advisor.screens.session.run import guarded
from tests.ask.conftest import Begin

#: ``interrupt_main`` leaves Python the note that Ctrl-C was pressed and breaks off no wait,
#: as when the key comes after Python last looked and before the wait begins.
UNSEEN = """
import _thread, threading
from advisor.screens.session.talk import Talk
talk = Talk()
threading.Timer(0.5, _thread.interrupt_main).start()
try:
    talk.ask()
except KeyboardInterrupt:
    print("it was seen")
"""


def test_ctrl_c_just_before_the_wait_for_a_line_is_seen() -> None:
    child = pexpect.spawn(sys.executable, ["-c", UNSEEN], encoding="utf-8", timeout=20)
    child.expect_exact("it was seen")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_what_must_not_be_broken_off_is_finished_first() -> None:
    done = []
    with pytest.raises(KeyboardInterrupt), unbroken():
        signal.raise_signal(signal.SIGINT)
        done.append("all of it")
    assert done == ["all of it"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_the_second_ctrl_c_waits_no_longer() -> None:
    done = []
    with pytest.raises(KeyboardInterrupt), unbroken():
        signal.raise_signal(signal.SIGINT)
        signal.raise_signal(signal.SIGINT)
        done.append("never")
    assert done == []


def test_the_end_of_the_program_waits_too() -> None:
    done = []
    with ending_signals(), pytest.raises(Ended) as stop, unbroken():
        signal.raise_signal(signal.SIGTERM)
        done.append("all of it")
    assert done == ["all of it"]
    assert status_of(stop.value) == 143


@pytest.mark.parametrize("moment", ["before the file is written", "after it"])
def test_ctrl_c_while_an_answer_is_saved(
    moment: str, begin: Begin, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = begin(["3", "1", "30 h"])
    questions = session.reasoner.base.questions
    lot = next(iter(session.thoughts))
    session.put(questions["where_are_they"], lot)
    save = keep.save_case

    def interrupted(*given, **named):  # type: ignore[no-untyped-def]
        if moment == "before the file is written":
            signal.raise_signal(signal.SIGINT)
        stamp = save(*given, **named)
        if moment == "after it":
            signal.raise_signal(signal.SIGINT)
        return stamp

    monkeypatch.setattr(keep, "save_case", interrupted)
    with pytest.raises(KeyboardInterrupt):
        session.put(questions["breathing_and_posture"], lot)
    monkeypatch.setattr(keep, "save_case", save)
    (path,) = tmp_path.glob("*.toml")
    assert load_case(path).observation[0].seen == ("gasping_at_surface",)
    session.put(questions["hours_sealed"], lot)  # no false "another session has changed"
    assert list(tmp_path.glob("*.toml")) == [path]


def test_stopped_between_an_answer_and_its_writing(begin: Begin, tmp_path: Path) -> None:
    """What is said at the end, that everything is kept, is made true at the end."""
    session = begin(["3"])
    lot = next(iter(session.thoughts))

    def work() -> int:
        session.keeper.save = lambda case: (_ for _ in ()).throw(KeyboardInterrupt)  # type: ignore[method-assign]
        try:
            session.put(session.reasoner.base.questions["where_are_they"], lot)
        finally:
            del session.keeper.save  # type: ignore[method-assign]
        return 0

    assert guarded(session, work) == 130
    (path,) = tmp_path.glob("*.toml")
    assert load_case(path).lot[0].release_method == "netted"
