"""Ctrl-C at the worst moments: just before a wait, and in the middle of a save."""

from __future__ import annotations

import signal
import sys
from pathlib import Path

import pexpect
import pytest

from advisor.ask.keys import Back, Enough, Leave
from advisor.ask.records import Ask, Keep, Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.case import load_case
from advisor.screens.session import keep
from advisor.screens.session.ending import Ended, ending_signals, status_of, unbroken
from advisor.screens.session.run import Reader
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


#: The command with rules that are not read before a file is there, as on a slow machine.
SLOW = """
import os, sys, time
import advisor.screens.session.first_screen as first
load = first.Loading._load
def slowly(self):
    while not os.path.exists(sys.argv[2]):
        time.sleep(0.05)
    load(self)
first.Loading._load = slowly
from advisor.screens.app import main
sys.exit(main(["ask", "--cases", sys.argv[1]]))
"""


def _answered_early(folder: Path, go: Path) -> pexpect.spawn[str]:
    """A session whose first question is answered while its rules are still being read."""
    command = ["-c", SLOW, str(folder), str(go)]
    child = pexpect.spawn(sys.executable, command, encoding="utf-8", timeout=60)
    child.expect("Where are the fish now")
    child.sendline("in the shut bags")
    child.expect_exact("One moment")
    return child


def test_ctrl_c_while_the_rules_load_keeps_the_first_answer(tmp_path: Path) -> None:
    """Nothing entered may be lost."""
    child = _answered_early(tmp_path / "cases", tmp_path / "go")
    child.sendintr()
    (tmp_path / "go").touch()
    child.expect_exact("is kept")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    (path,) = (tmp_path / "cases").glob("*.toml")
    assert load_case(path).lot[0].sealed == "yes"


def test_ctrl_c_again_and_again_waits_for_no_rules(tmp_path: Path) -> None:
    """They are never read here."""
    child = _answered_early(tmp_path / "cases", tmp_path / "go")
    for _ in range(60):
        child.sendintr()
        ended = ["nothing is kept of this sitting", pexpect.TIMEOUT]
        if child.expect(ended, timeout=1) == 0:
            break
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    assert not list(tmp_path.glob("cases/*.toml"))


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
    bench = begin(["3", "1", "30 h"])
    bench.put("where_are_they")
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
        bench.put("breathing_and_posture")
    monkeypatch.setattr(keep, "save_case", save)
    (path,) = tmp_path.glob("*.toml")
    assert load_case(path).observation[0].seen == ("gasping_at_surface",)
    bench.put("hours_sealed")  # no false "another session has changed"
    assert list(tmp_path.glob("*.toml")) == [path]


def test_stopped_between_an_answer_and_its_writing(
    begin: Begin, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is said at the end, that everything is kept, is made true at the end."""
    bench = begin(["3"])

    def write(*given: object) -> None:
        monkeypatch.undo()
        raise KeyboardInterrupt

    def steps() -> Talking[Sitting]:
        yield Keep(bench.case.model_copy(update={"history": {"live_plants": True}}))
        raise AssertionError("it was stopped before this")

    monkeypatch.setattr(bench.keeper, "_write", write)
    assert Reader(bench.keeper.talk, bench.keeper).read(steps()) == 130
    (path,) = tmp_path.glob("*.toml")
    assert load_case(path).history == {"live_plants": True}


def test_a_reading_that_was_echoed_is_on_disk_before_the_next_is_asked(begin: Begin) -> None:
    """Two thermometers, one question: a stop between them loses only what was not echoed."""
    bench = begin([])
    asked = bench.at.reasoner.base.questions["thermometer"]
    steps = ask_one(bench.at, asked, bench.at.first_lot)
    kept, lines, reply = [], ["24"], None
    while True:
        step = steps.send(reply)
        reply = None
        if isinstance(step, Keep):
            kept.append(step.case)
        elif isinstance(step, Ask):
            if not lines:
                break  # here the key comes
            reply = lines.pop()
    read = [look.tank.temperature_c for look in kept[-1].observation]
    assert [each.value for each in read if each] == [24.0]
    assert not kept[-1].session.answered, "the question is put again for the other one"


@pytest.mark.parametrize("end", ["e", "s", "b"])
def test_the_first_of_two_readings_stays_when_the_second_is_left(end: str, begin: Begin) -> None:
    bench = begin(["24", end])
    with pytest.raises((Enough, Leave, Back)):
        bench.put("thermometer")
    held = [each.tank.temperature_c for each in bench.at.case.observation]
    assert [each.value for each in held if each] == ([] if end == "b" else [24.0])
    if end != "b":
        assert bench.keeper.path is not None and load_case(bench.keeper.path) == bench.at.case
