"""Many cases: the same over one process, several, and a cluster; nothing lost when one dies."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.errors import AdvisorError
from advisor.explain.replay.against import MovedCase, compare, compare_all, draws
from advisor.explain.replay.archive import case_names
from advisor.explain.replay.check_cases import Judged, judge_all
from advisor.explain.replay.crowd import WorkersLost, over
from advisor.explain.replay.resume import kept_results
from tests.commands.running import run
from tests.replay.conftest import CASES, ROOT

SOME = list(case_names(CASES / "constructed"))[:6]
MANY = SOME * 30


def lethal(tasks: list[str], reasoners: tuple[Reasoner, ...]) -> Iterator[str]:
    """Work whose process is killed from outside when it comes to one task."""
    for task in tasks:
        if task == "die":
            os.kill(os.getpid(), signal.SIGKILL)
        yield task


def test_a_killed_process_ends_the_run_with_a_sentence() -> None:
    tasks = [*map(str, range(200)), "die", *map(str, range(100))]
    done = []
    began = time.monotonic()
    with pytest.raises(WorkersLost, match="ended before its work was done"):
        for each in over(tasks, lethal, jobs=2):
            done.append(each)
    assert done == tasks[: len(done)], "what came before stands, in order"
    assert time.monotonic() - began < 60


@pytest.mark.slow
def test_the_command_tells_what_was_done_when_a_process_is_killed(tmp_path: Path) -> None:
    folder = tmp_path / "archive"
    folder.mkdir()
    for number, name in enumerate(MANY * 5):
        shutil.copy(name, folder / f"{number:04}.toml")
    words = ["replay", "--check", str(folder), "--jobs", "2", "--resume", str(tmp_path / "kept")]
    with started(*words) as check:
        wait_for_lines(tmp_path / "kept", 40)
        victims = children(check.pid)
        os.kill(victims[-1], signal.SIGKILL)
        out, err = check.communicate(timeout=120)
    assert check.returncode == 1
    assert "ended before its work was done" in err and "Traceback" not in err
    assert "starting odds" in out, "the table of what was done"
    done = int(err.split(" cases were done")[0].rsplit(" ", 1)[1])
    assert 40 <= done < 900
    with started(*words) as again:
        resumed = again.communicate(timeout=300)[0]
    with started(*words[:3], "--jobs", "1") as afresh:
        assert resumed == afresh.communicate(timeout=300)[0]


@contextmanager
def started(*words: str) -> Iterator[subprocess.Popen[str]]:
    command = [sys.executable, "-m", "advisor", *words]
    with subprocess.Popen(
        command, cwd=ROOT, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        yield process


def children(parent: int) -> list[int]:
    """Worker processes, by the name multiprocessing gives their command."""
    found = []
    for each in Path("/proc").glob("[0-9]*"):
        try:
            state = (each / "stat").read_text().rpartition(")")[2].split()
            command = (each / "cmdline").read_bytes()
        except OSError:
            continue
        if int(state[1]) == parent and b"spawn_main" in command:
            found.append(int(each.name))
    return sorted(found)


def wait_for_lines(file: Path, count: int) -> None:
    for _ in range(600):
        if file.exists() and file.read_bytes().count(b"\n") > count:
            return
        time.sleep(0.1)
    raise AssertionError(f"{file} has not {count} lines after a minute")


# -- going on where it stopped ------------------------------------------------


def kept(file: Path, tasks: list[str], calls: list[str]) -> list[Judged]:
    def work(left: Iterator[str]) -> Iterator[Judged]:
        for task in left:
            calls.append(task)
            yield Judged(task, met={"never": True}, causes=("cold", "nitrite"), decibans=(1.5,))

    return list(kept_results(file, "check", ["f"], tasks, work, Judged))  # type: ignore[arg-type]


def test_kept_results_are_not_made_again(tmp_path: Path) -> None:
    file, calls = tmp_path / "kept", list[str]()
    first = kept(file, ["a", "b"], calls)
    assert kept(file, ["a", "b", "c"], calls)[:2] == first
    assert calls == ["a", "b", "c"]


def test_a_line_cut_off_and_all_after_it_is_done_again(tmp_path: Path) -> None:
    file, calls = tmp_path / "kept", list[str]()
    whole = kept(file, ["a", "b", "c"], calls)
    text = file.read_bytes()
    for cut in range(len(text.splitlines()[0]) + 1, len(text)):
        file.write_bytes(text[:cut])
        assert kept(file, ["a", "b", "c"], calls) == whole
        assert file.read_bytes() == text


def test_a_case_changed_since_is_done_again(tmp_path: Path) -> None:
    case, calls = tmp_path / "a.toml", list[str]()
    case.write_text("x")
    kept(tmp_path / "kept", [str(case), "b"], calls)
    case.write_text("another")
    kept(tmp_path / "kept", [str(case), "b"], calls)
    assert calls == [str(case), "b"] * 2


@pytest.mark.parametrize("text", ["a diary\n", '{"format": "advisor-results-1", "rules": []}\n'])
def test_a_file_of_something_else_is_left_alone(tmp_path: Path, text: str) -> None:
    file = tmp_path / "kept"
    file.write_text(text)
    with pytest.raises(AdvisorError, match="new file"):
        kept(file, ["a"], [])
    assert file.read_text() == text


def test_real_results_come_back_the_same(tmp_path: Path, reasoner: Reasoner) -> None:
    tasks = [*SOME[:2], *draws(2, 1)]

    def work(left: Iterator[str]) -> Iterator[MovedCase]:
        return (compare(task, (reasoner, reasoner)) for task in left)

    file = tmp_path / "kept"
    ends = [
        list(kept_results(file, "against", [], tasks, work, MovedCase))  # type: ignore[arg-type]
        for _ in range(2)
    ]
    assert ends[0] == ends[1] and not any(each.older.fault for each in ends[0])


def test_memory_stays_flat(tmp_path: Path) -> None:
    """Ten times the cases, the same memory: names and results pass by."""

    def most(count: int) -> int:
        tasks = (f"case {number}" for number in range(count))
        work = lambda left: (Judged(task, met={"never": True}) for task in left)  # noqa: E731
        tracemalloc.start()
        for _ in kept_results(tmp_path / str(count), "check", [], tasks, work, Judged):
            pass
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak

    most(10)
    assert most(5000) < 1.5 * most(500) + 100_000


# -- random deliveries under two rule bases -----------------------------------


@pytest.mark.slow
def test_moved_draws_are_grouped_by_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], reasoner: Reasoner
) -> None:
    """Older rules without one bar: what it barred moves, and the bar is named as the reason."""
    older = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", older)
    file = older / "causes" / "settling.toml"
    text = file.read_text(encoding="utf-8")
    prior = f"arrival = {reasoner.base.causes['settling'].prior['arrival']:g}"
    assert prior in text
    file.write_text(text.replace(prior, "arrival = 30"), encoding="utf-8")
    words = ("replay", "--against", str(older), "--random", "24", "--json")
    told = json.loads(run(capsys, *words).out)
    assert told["cases"] == 24 and 0 < told["count"] == len(told["moved"])
    assert sum(group["count"] for group in told["groups"]) == told["count"]
    assert any("starting odds for settling" in group["reason"] for group in told["groups"])
    screen = run(capsys, *words[:-1]).out
    assert f"{told['count']} of 24 cases move." in screen
    assert list(over(draws(24, 1), compare_all, (older, None), jobs=2)) == list(
        over(draws(24, 1), compare_all, (older, None))
    )
    same = json.loads(run(capsys, "replay", "--against", str(ROOT / "rules"), *words[3:]).out)
    assert same["count"] == 0


# -- a cluster ----------------------------------------------------------------


@pytest.mark.slow
def test_no_cluster_is_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    ran = run(capsys, "replay", "--check", SOME[0], "--on", "tcp://127.0.0.1:1")
    assert ran.status == 2 and "--on" in ran.err and "Traceback" not in ran.err


@pytest.mark.slow
def test_a_cluster_says_the_same_though_one_of_its_workers_is_killed() -> None:
    """A local cluster of two processes, one killed in the middle, against one process here."""
    distributed = pytest.importorskip("distributed")
    alone = list(over(SOME, judge_all)) * 30
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        address = cluster.scheduler_address
        victim = next(iter(cluster.workers.values())).pid
        found = []
        for each in over(MANY, judge_all, on=address):
            found.append(each)
            if len(found) == 60:
                os.kill(victim, signal.SIGKILL)
    assert found == alone


@pytest.mark.slow
@pytest.mark.parametrize("doing", ["check", "against"])
def test_one_process_all_cores_and_a_cluster_print_the_same_bytes(
    doing: str, tmp_path: Path
) -> None:
    """The commands themselves, a worker of the cluster killed in the middle."""
    distributed = pytest.importorskip("distributed")
    archive, older = tmp_path / "archive", tmp_path / "older"
    archive.mkdir()
    for number, name in enumerate(SOME * 40):
        shutil.copy(name, archive / f"{number:04}.toml")
    words = ["replay", str(archive), "--check"]
    if doing == "against":
        shutil.copytree(ROOT / "rules", older)
        settings = older / "rulebase.toml"
        text = settings.read_text(encoding="utf-8")
        assert "strong = 10" in text
        settings.write_text(text.replace("strong = 10", "strong = 7"), encoding="utf-8")
        words = ["replay", str(archive), "--against", str(older), "--random", "60"]
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        ways = {"one": ["--jobs", "1"], "cores": [], "cluster": ["--on", cluster.scheduler_address]}
        told, kept = {}, {}
        for name, way in ways.items():
            file = tmp_path / name
            with started(*words, "--json", "--resume", str(file), *way) as run_apart:
                if name == "cluster":
                    wait_for_lines(file, 40)
                    os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
                    assert file.read_bytes().count(b"\n") < 200, "killed in the middle"
                told[name] = run_apart.communicate(timeout=1200)[0]
            kept[name] = file.read_bytes()
            with started(*words, "--resume", str(file), "--jobs", "1") as report:
                told[f"{name}, report"] = report.communicate(timeout=300)[0]
    assert json.loads(told["one"])["complete"]
    assert told["one"] == told["cores"] == told["cluster"]
    assert told["one, report"] == told["cores, report"] == told["cluster, report"] != ""
    assert kept["one"] == kept["cores"] == kept["cluster"]
