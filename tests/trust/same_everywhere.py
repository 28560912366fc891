"""The JSON of every shipped case under other Pythons, hash seeds and locales: always the same.

    python -m tests.trust.same_everywhere [--python /path/to/python3.13 ...] [--cases DIR]

Each surrounding is a process of its own that runs ``assess --json`` and ``why --json`` on every
case. Compared is what the JSON says, in its order; where the output is UTF-8 its bytes are too
(elsewhere letters beyond ASCII stand there as JSON's own escapes). Locales the machine does not
have are named and left out. Ends with status 1 when anything differs.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import json
import locale
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
SEEDS = ("0", "1", "random")
ASCII = {"PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
LOCALES: Mapping[str, Mapping[str, str]] = {
    "C.UTF-8": {},
    "C": ASCII,
    "de_DE.UTF-8": {},
    "de_DE.ISO-8859-1": ASCII,
    "tr_TR.UTF-8": {},
}
COMMANDS = ("assess", "why")


class Said(NamedTuple):
    """Digests of one output: what it says, and its bytes where they are UTF-8."""

    status: int
    content: str
    raw: str | None


def in_this_process(folder: Path) -> Iterator[tuple[str, Said]]:
    """Each command on each case, its standard output taken as it would be written."""
    from advisor.screens.app import main

    locale.setlocale(locale.LC_ALL, "")  # numbers and letters of the place, all that there are
    encoding = sys.stdout.encoding
    for path in sorted(folder.rglob("*.toml")):
        for command in COMMANDS:
            taken = io.TextIOWrapper(io.BytesIO(), encoding)
            kept, sys.stdout = sys.stdout, taken
            try:
                status = main([command, str(path), "--json"])
            finally:
                sys.stdout = kept
            taken.flush()
            raw = taken.detach().getvalue()  # type: ignore[attr-defined]
            told = json.dumps(json.loads(raw.decode(encoding))) if status == 0 else ""
            utf8 = encoding.lower().replace("-", "") == "utf8"
            yield (
                f"{command} {path.relative_to(folder)}",
                Said(status, _digest(told.encode()), _digest(raw) if utf8 else None),
            )


def _digest(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()[:20]


def apart(python: str, seed: str, place: str, folder: Path) -> dict[str, Said]:
    """The same in a process with these surroundings and nothing kept from before."""
    with tempfile.TemporaryDirectory() as cache:
        surroundings = {
            **{k: v for k, v in os.environ.items() if not k.startswith(("LC_", "LANG", "PYTHON"))},
            "PYTHONHASHSEED": seed, "LC_ALL": place, "XDG_CACHE_HOME": cache,
            "PYTHONDONTWRITEBYTECODE": "1", **LOCALES[place],
        }  # fmt: skip
        done = subprocess.run(
            [python, "-m", "tests.trust.same_everywhere", "--here", "--cases", str(folder)],
            cwd=ROOT, env=surroundings, capture_output=True, text=True, check=False,
        )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"{python}, {seed}, {place}: {done.stderr[-1500:]}")
    return {name: Said(*each) for name, each in json.loads(done.stdout).items()}


def there_is(place: str) -> bool:
    """Whether the machine has this locale."""
    code = "import locale; locale.setlocale(locale.LC_ALL, '')"
    env = {**os.environ, "LC_ALL": place}
    return not subprocess.run([sys.executable, "-c", code], env=env, capture_output=True).returncode


def differing(first: Mapping[str, Said], other: Mapping[str, Said]) -> list[str]:
    """Outputs that are not the same in both."""
    found = sorted(first.keys() ^ other.keys())
    for name in first.keys() & other.keys():
        a, b = first[name], other[name]
        bytes_differ = a.raw is not None and b.raw is not None and a.raw != b.raw
        if a[:2] != b[:2] or bytes_differ:
            found.append(name)
    return sorted(found)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--python", nargs="+", default=[sys.executable])
    parser.add_argument("--cases", type=Path, default=ROOT / "cases")
    parser.add_argument("--here", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.here:
        print(json.dumps(dict(in_this_process(asked.cases))))
        return 0
    places = [place for place in LOCALES if there_is(place)]
    missing = [place for place in LOCALES if place not in places]
    print(f"locales: {', '.join(places)}; not on this machine: {', '.join(missing) or 'none'}")
    first: dict[str, Said] | None = None
    wrong = runs = 0
    for python in asked.python:
        # every seed at the first place, every other place at one seed
        for seed, place in [*((s, places[0]) for s in SEEDS), *(("random", p) for p in places[1:])]:
            began = time.monotonic()
            found = apart(python, seed, place, asked.cases)
            first = first or found
            differ = differing(first, found)
            failed = [name for name, each in found.items() if each.status]
            wrong, runs = wrong + len(differ) + len(failed), runs + 1
            print(
                f"{python}, seed {seed}, {place}: {len(found)} outputs, {len(differ)} differ, "
                f"{len(failed)} failed, {time.monotonic() - began:.0f} s",
                *differ[:5], *failed[:5], sep="\n  ", flush=True,
            )  # fmt: skip
    print(f"{runs} surroundings, {len(first or {})} outputs each: {wrong} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
