"""What is missing for the set-up is said in one sentence, before pip says it in thirty lines."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
CALL = (
    "import sys; sys.path.insert(0, '.ci'); import ready, sysconfig, shutil\n"
    "{}\nprint(ready.lacking())"
)


def _said(change: str) -> str:
    code = CALL.format(change)
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return done.stdout


def test_each_thing_that_is_missing_is_named() -> None:
    assert "C compiler" in _said("shutil.which = lambda name: None")
    assert "headers" in _said("ready.os.path.exists = lambda path: False")
    assert "3.11 or newer" in _said("sys.version_info = (3, 9, 1)")


def test_both_commands_of_the_readme_look_first() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"<!-- (?:main|test) command -->\n```\n(.*)\n```", readme)
    assert len(commands) == 2 and all(
        line.startswith("python3 .ci/ready.py; ") for line in commands
    )


def test_the_source_of_durable_rules_is_pinned_by_hash_and_ci_uses_it() -> None:
    pinned = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8")
    version = re.search(r"durable-rules==([\d.]+)", (ROOT / "pyproject.toml").read_text())
    assert version and re.search(
        rf"durable-rules=={re.escape(version[1])} --hash=sha256:[0-9a-f]{{64}}\n", pinned
    )
    assert "--require-hashes -r .ci/constraints.txt" in (ROOT / ".ci" / "run").read_text()
