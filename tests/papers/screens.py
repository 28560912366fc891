"""The screens in README.md, made again from real runs.

    python -m tests.papers.screens            writes them into README.md
    python -m tests.papers.screens --check    status 1 when one is stale

Between a line ``<!-- screen: advisor assess cases/x.toml -->`` and the line
``<!-- end of screen -->`` stands what that command prints at 80 columns, without
colour. ``<!-- screen, first 20 lines: ... -->`` keeps the first lines. Only
``advisor`` runs, in README.md's own folder; name commands that write nothing.
"""

from __future__ import annotations

import argparse
import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

README = Path(__file__).parents[2] / "README.md"
_BLOCK = re.compile(
    r"^<!-- screen(?:, first (?P<most>\d+) lines)?: (?P<command>advisor[^\n]*?) -->\n"
    r".*?^<!-- end of screen -->$",
    re.DOTALL | re.MULTILINE,
)


def shot(command: str, folder: Path, most: int | None = None) -> str:
    """What a person sees who types ``command`` in ``folder``."""
    words = shlex.split(command)
    assert words[0] == "advisor", command
    run = subprocess.run(
        [sys.executable, "-m", *words],
        cwd=folder,
        env={
            **os.environ, "COLUMNS": "80", "NO_COLOR": "1", "TERM": "dumb",
            "PYTHONIOENCODING": "utf-8", "PYTHONPATH": str(README.parent),
        },
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )  # fmt: skip
    lines = [line.rstrip() for line in (run.stdout + run.stderr).decode().splitlines()]
    shown = lines if most is None else lines[:most]
    if len(shown) < len(lines):
        shown.append("...")
    return "\n".join([f"$ {command}", *shown])


def refreshed(text: str, folder: Path) -> str:
    """``text`` with every screen made anew."""

    def made(block: re.Match[str]) -> str:
        command, most = block["command"], block["most"]
        kept = f", first {most} lines" if most else ""
        screen = shot(command, folder, int(most) if most else None)
        fence = "`" * max(3, *(len(run) + 1 for run in re.findall("`+", screen) or [""]))
        return (
            f"<!-- screen{kept}: {command} -->\n{fence}text\n{screen}\n{fence}\n"
            "<!-- end of screen -->"
        )

    return _BLOCK.sub(made, text)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="status 1 when one is stale")
    asked = parser.parse_args()
    old = README.read_text(encoding="utf-8")
    new = refreshed(old, README.parent)
    if asked.check:
        print("README.md: screens are fresh." if new == old else "README.md: screens are stale.")
        return int(new != old)
    README.write_text(new, encoding="utf-8")
    print(f"README.md: {len(_BLOCK.findall(new))} screens written.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
