"""Judges the import of a log against what a careful person takes from its text.

The fixtures and their expectations stand in ``tests/reference/logs``, written before any import
was run on them. ``python -m tests.case.log_judge`` prints every disagreement and the figures.
"""

from __future__ import annotations

import argparse
import hashlib
import re
import tomllib
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from advisor.case.logs import Log, LogAsks, LogRefused, read_log

ROOT = Path(__file__).parents[1] / "reference" / "logs"
Told = dict[tuple[str, str | None], str]


def expectations() -> Iterator[tuple[str, Path, dict[str, Any]]]:
    """(name, log, expectation) of every fixture."""
    for path in sorted(ROOT.rglob("*.expect.toml")):
        expect = tomllib.loads(path.read_text(encoding="utf-8"))
        name = path.relative_to(ROOT).as_posix().removesuffix(".expect.toml")
        yield name, path.with_name(expect["file"]), expect


def is_tuned(name: str) -> bool:
    """Whether the import was mended by this fixture (a half by hash); the others only score."""
    text = f"{name}.expect.toml"
    return int(hashlib.sha256(text.encode()).hexdigest(), 16) % 2 == 0


def outcome_of(raw: bytes, name: str, told: Told | None = None) -> Log | LogAsks | LogRefused:
    try:
        return read_log(raw, name, told)
    except (LogAsks, LogRefused) as fault:
        return fault


def judge(raw: bytes, expect: dict[str, Any]) -> str:
    """Empty when the import did what a person expects, else what is wrong."""
    got = outcome_of(raw, expect["file"])
    right = {expect["outcome"], *expect.get("also_right", [])}
    if isinstance(got, LogRefused):
        if "refused" not in right:
            return f"refused: {got}"
        if expect["outcome"] == "refused" and expect.get("line", got.line) != got.line:
            return f"refused for line {got.line}, not {expect['line']}: {got}"
        return ""
    if isinstance(got, LogAsks):
        return _judge_asks(raw, got, expect) if "asks" in right else f"asks: {got}"
    if_taken = re.search(r"(\d+) rows, (\d+) skipped", expect.get("if_taken", ""))
    if if_taken and "taken" in right:
        shape = (len(got.rows), sum(map(len, got.skipped.values())))
        wanted = (int(if_taken[1]), int(if_taken[2]))
        return "" if shape == wanted else f"{shape} rows and skipped, not {wanted}"
    if "taken" not in right:
        return "taken, " + ", ".join(f"{c.title}={c.first}..{c.last}" for c in got.columns)
    return differs(got, expect)


def _judge_asks(raw: bytes, got: LogAsks, expect: dict[str, Any]) -> str:
    """What was asked, answered as a person does, must give what a person gets."""
    if expect["outcome"] != "asks":
        return ""
    told: Told = {(a["what"], a.get("column")): str(a["answer"]) for a in expect["asks"]}
    asked = {q.what for q in got.questions}
    wanted = {a["what"] for a in expect["asks"]}
    if not asked & wanted:
        return f"asks for {sorted(asked)}, not {sorted(wanted)}: {got}"
    answered = outcome_of(raw, expect["file"], told)
    if not isinstance(answered, Log):
        return f"after the answers: {answered}"
    return differs(answered, expect)


def differs(log: Log, expect: dict[str, Any]) -> str:
    """What is taken otherwise than expected; empty when all is the same."""
    found = []
    if "columns" not in expect:
        return "taken, where nothing is to be taken"
    if len(log.rows) != expect["rows"]:
        found.append(f"{len(log.rows)} rows, not {expect['rows']}")
    skipped = sum(map(len, log.skipped.values()))
    if skipped != expect["skipped"]:
        found.append(f"{skipped} skipped, not {expect['skipped']} {log.skipped}")
    for when, row in (("first_time", log.rows[0]), ("last_time", log.rows[-1])):
        wrong = _time_differs(row.at, expect[when], expect.get("time_tolerance_s", 0))
        found += [f"{when} {wrong}"] if wrong else []
    wanted = {c["parameter"]: c for c in expect["columns"] if c["parameter"] != "none"}
    got = {c.parameter: c for c in log.columns}
    if wanted.keys() != got.keys():
        found.append(f"holds {sorted(got)}, not {sorted(wanted)}")
    for key in wanted.keys() & got.keys():
        for end in ("first", "last"):
            mine, other = getattr(got[key], end), wanted[key][end]
            allowed = max(6e-5, wanted[key].get("tolerance_rel", 0) * abs(other))
            if abs(mine - other) > allowed:
                found.append(f"{key} {end} {mine}, not {other}")
    left = {each.title for each in log.left_out}
    for column in expect["columns"]:
        if column["parameter"] == "none" and column["header"] not in left:
            found.append(f"{column['header']} is left out without a word")
    return "; ".join(found)


def _time_differs(at: object, expected: str, tolerance_s: float) -> str:
    wanted = datetime.fromisoformat(expected)
    if not isinstance(at, datetime):
        return f"{at}, not {wanted}"
    if (at.tzinfo is None) != (wanted.tzinfo is None):
        return f"{at}, not {wanted}"
    return (
        ""
        if abs(at - wanted) <= timedelta(seconds=max(tolerance_s, 0.6))
        else f"{at}, not {wanted}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("show", nargs="?", choices=("tuned", "all", "none"), default="tuned")
    only = parser.parse_args().show
    scores = {True: [0, 0], False: [0, 0]}
    for name, path, expect in expectations():
        try:
            wrong = judge(path.read_bytes(), expect)
        except Exception as fault:
            wrong = f"CRASH {type(fault).__name__}: {fault}"
        scores[is_tuned(name)][0 if wrong else 1] += 1
        if wrong and (only == "all" or (only == "tuned" and is_tuned(name))):
            print(f"{name}: {wrong[:300]}")
    for tuned, (wrong_count, right_count) in scores.items():
        print("tuned" if tuned else "scored only", f"{right_count} of {right_count + wrong_count}")


if __name__ == "__main__":
    main()
