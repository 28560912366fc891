"""What is missing for the set-up is said in one sentence, before pip says it in thirty lines."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CALL = (
    "import sys; sys.path.insert(0, '.ci'); import ready, sysconfig, shutil\n"
    "ready.built = lambda: False\n{}\nprint(ready.lacking())"
)
SYSTEMS = ("Debian", "Fedora", "macOS", "Windows")


def _said(change: str) -> str:
    code = CALL.format(change)
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return done.stdout


def test_each_thing_that_is_missing_is_named_with_what_brings_it() -> None:
    no_compiler = _said("shutil.which = lambda name: None")
    no_headers = _said("ready.os.path.exists = lambda path: False")
    for said, what in ((no_compiler, "C compiler"), (no_headers, "headers")):
        assert what in said and all(system in said for system in SYSTEMS)
    assert "3.11 or newer" in _said("sys.version_info = (3, 9, 1)")


def test_a_build_that_is_there_needs_no_compiler(tmp_path: Path) -> None:
    (tmp_path / ".venv/lib/python3.11/site-packages/durable_rules_engine.so").mkdir(parents=True)
    for folder, status in ((tmp_path, 0), (tmp_path / ".venv", 1)):
        done = subprocess.run(
            [sys.executable, ROOT / ".ci" / "ready.py"],
            cwd=folder,
            env={"PATH": "", "CC": "no-such-compiler"},
            capture_output=True,
            text=True,
        )
        assert done.returncode == status
        assert len(done.stdout.splitlines()) == status  # one sentence, or silence


def test_both_commands_of_the_readme_stop_there() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"<!-- (?:main|test) command -->\n```\n(.*)\n```", readme)
    assert len(commands) == 2 and all(
        line.startswith("python3 .ci/ready.py && ") for line in commands
    )


def test_the_line_without_a_compiler_builds_the_version_that_is_pinned() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    line = re.search(r"<!-- no compiler command -->\n```\n(.*)\n```", readme)
    pinned = re.search(r"durable-rules==[\d.]+", (ROOT / "pyproject.toml").read_text())
    assert line and pinned and line[1].endswith(f" {pinned[0]}")


def test_the_source_of_durable_rules_is_pinned_by_hash_and_ci_uses_it() -> None:
    pinned = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8")
    version = re.search(r"durable-rules==([\d.]+)", (ROOT / "pyproject.toml").read_text())
    assert version and re.search(
        rf"durable-rules=={re.escape(version[1])} --hash=sha256:[0-9a-f]{{64}}\n", pinned
    )
    assert "--require-hashes -r .ci/constraints.txt" in (ROOT / ".ci" / "run").read_text()


SENTENCE = (
    "{} is not installed for this Python; install the advisor with the first command of README.md "
    "and run .venv/bin/advisor."
)
#: A command that needs the package; the others need it at the start.
NEEDED_BY = {
    "pint": ["ask", "--hear", "thermometer", "78 F", "--json"],
    "tomlkit": ["recheck", "{copy}", "--answers", "{answers}"],
    "numpy": ["bag", "{copy}"],
    "plotext": ["bag", "{copy}"],
    "jinja2": ["paper", "{copy}", "--for", "vet", "--out", "vet.html"],
    "matplotlib": ["paper", "{copy}", "--for", "vet", "--full", "--out", "vet.html"],
    "shtab": ["--completion", "bash"],
    "segno": ["paper", "{copy}", "--for", "labels", "--out", "labels.html"],
    "rapidfuzz": ["ask", "--hear", "kinds", "12 gupies", "--json"],
}
#: It has to be built, so its sentence says how.
BUILT = r"durable-rules cannot be loaded .* install it with: CPPFLAGS=\S+ pip install .*"


def _packages() -> list[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return [re.split(r"[<>=]", line)[0] for line in project["dependencies"]]


def test_a_python_without_any_package_is_told_in_one_sentence() -> None:
    # -S: this Python as it is before anything is installed for it
    done = subprocess.run(
        [sys.executable, "-S", "-m", "advisor"], cwd=ROOT, capture_output=True, text=True
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert re.fullmatch(SENTENCE.format(r"\w+"), done.stderr.strip())


@pytest.mark.slow
@pytest.mark.parametrize("package", _packages())
def test_each_package_that_is_missing_is_named(package: str, tmp_path: Path) -> None:
    built = package == "durable-rules"
    module = "durable_rules_engine" if built else package.replace("-", "_")
    copy, answers = tmp_path / "copy.toml", tmp_path / "answers.txt"
    copy.write_bytes((ROOT / "tests" / "papers" / "delivery.toml").read_bytes())
    answers.write_text("ph: 7.2 meter\n")
    words = [
        word.format(copy=copy, answers=answers)
        for word in NEEDED_BY.get(package, ["assess", "{copy}"])
    ]
    code = f"import sys; sys.modules[{module!r}] = None\nfrom advisor.__main__ import main\nmain()"
    done = subprocess.run(
        [sys.executable, "-c", code, *words],
        cwd=tmp_path,
        env={"PYTHONPATH": str(ROOT), "HOME": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2, done.stderr
    sentence = BUILT if built else re.escape(SENTENCE.format(module))
    # a session also says where its answers are, before
    assert re.search(f"{sentence}$", " ".join(done.stderr.split()))
