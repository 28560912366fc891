"""Damaged rule bases by the thousand: each loads, or is refused in plain sentences.

    python -m tests.trust.fuzz_rules --count 20000 [--seed 1]

A damaged base that loads is checked, compiled and used for an assessment as well.
Ends with status 1 if one caused anything but a result or an AdvisorError, took
longer than two seconds, or touched a file outside the cache folder.
"""

from __future__ import annotations

import argparse
import io
import os
import random
import sys
import tempfile
import time
import tomllib
import traceback
from collections import Counter
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any
from unittest import mock

import tomli_w
from rich.console import Console

from advisor.advice.amounts import unknown_names
from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.case import Case, loads_case
from advisor.errors import AdvisorError, ManyFaults
from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.base import KINDS
from advisor.rulebase.check import check
from advisor.rulebase.engine import limits_exceeded
from advisor.screens.show_assessment import show
from advisor.screens.show_entry import show_entry
from tests.case import fuzz as cases
from tests.trust.rule_bombs import bombs
from tests.trust.sample_rules import sample_files, write_files
from tests.trust.watched import written_outside

SLOW_S = 2.0

#: A delivery that meets the sample's rules, so that what loads is also run.
CASE = """\
[delivery]
title = "Invented, to meet the sample"
[receiving]
volume_l = 200
[[lot]]
id = "a"
species = "xiphophorus maculatus"
[[observation]]
at_hours = 1
seen = ["gasping_at_surface", "brown_gills"]
tank.nitrite_mg_l = 2.0
tank.chloride_mg_l = 10.0
tank.do_mg_l = 8.0
[history]
filter_state = "new"
salt_in_water = false
zeolite_in_filter = false
plants = false
invertebrates = false
"""

#: Values put where they do not belong; None takes the entry away.
VALUES: list[Any] = [
    None, None, None, True, False, 0, -1, 10**30, 2.5, -1e308, 1e308, 1e-320, float("nan"),
    float("inf"), "", " ", "x" * 5000, "yes", "12", "a-b", "A B", "\x1b[31mred", "\u202e", "é",
    "\u0000",
    [], [[]], {}, [{}], [1, "a"], ["x"] * 300, [True, 5, {"sign": "x"}], {"all": []}, {"not": {}},
    {"any": [{"not": [1]}]}, {"sign": ["a"]}, {"value": 1}, {"a": {"b": {"c": {}}}},
    date(2030, 1, 2),
    {"history": "salt_in_water", "is_any": 5}, {"phase": 3}, {"not_enough": "perhaps"},
    {"reading": "tank_do_mg_l", "below": float("nan")}, {"reading": "tank_do_mg_l", "above": True},
    {"standing": "nitrite", "at_least": ["likely"]}, {"first": "nitrite", "is": "so"},
]  # fmt: skip
NAMES = [
    "id", "when", "all", "any", "not", "sign", "reading", "source", "strength", "x", "", "\x1b",
    "file", "value", "above", "surely_above", "is", "known", "formula", "given", "order",
]  # fmt: skip
#: Words that mean something to the program rather than to the rules.
MEANT = [
    "salt_g", "water_change_l", "salt", "tank_volume_l", "receiving.volume_l", "receiving.age",
    "lot.id", "lot.", "transit.x", "history.", "delivery.title", "tank", "bag", "reading",
    "computed", "ph", "seen", "yes", "arrival", "decisive", "now", "signs", "choice",
]  # fmt: skip
SETTING_VALUES: list[Any] = [float("nan"), 0, -5, 1e308, "x", None]


@dataclass
class Tally:
    """What became of the rule bases so far."""

    kinds: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    slowest_s: float = 0.0
    slowest: str = ""


def damaged(raw: bytes, words: list[str], rng: random.Random) -> bytes:
    """One rule file with one to six things broken."""
    if rng.random() < 0.65:
        return restructured(raw, words, rng)
    for _ in range(rng.choice([1, 1, 1, 2, 3, 6])):
        raw = cases._bent(raw, rng)
    if rng.random() < 0.05:
        encoding = rng.choice(["utf-16", "utf-16-le", "utf-8-sig", "latin-1", "utf-32"])
        raw = raw.decode("utf-8", "replace").encode(encoding, "replace")
    return raw


def restructured(raw: bytes, words: list[str], rng: random.Random) -> bytes:
    """Sound TOML of the wrong shape: names, values and whole entries out of place."""
    content = tomllib.loads(raw.decode())
    if rng.random() < 0.4:
        for _ in range(rng.choice([1, 2, 5])):
            _swap(content, rng)
        return tomli_w.dumps(content).encode()
    for _ in range(rng.choice([1, 1, 1, 2, 4])):
        part: Any = content
        while isinstance(part, (dict, list)) and part:
            key = rng.choice(list(part) if isinstance(part, dict) else range(len(part)))
            if isinstance(part[key], (dict, list)) and part[key] and rng.random() < 0.88:
                part = part[key]
                continue
            _replace(part, key, words, rng)
            break
    return tomli_w.dumps(content).encode()


def _swap(content: dict[str, Any], rng: random.Random) -> None:
    """Give one entry what another of its kind says, or take away what it may do without."""
    lists = [items for items in content.values() if isinstance(items, list) and items]
    if not lists:
        return
    items = rng.choice(lists)
    one, other = rng.choice(items), rng.choice(items)
    key = rng.choice(list(other))
    if key != "id" and rng.random() < 0.8:
        one[key] = deepcopy(other[key])
    elif len(one) > 1:
        del one[rng.choice([k for k in one if k != "id"])]


def _replace(part: Any, key: Any, words: list[str], rng: random.Random) -> None:
    way = rng.random()
    old = part[key]
    if way < 0.3 and isinstance(old, str):
        # a word that exists, but perhaps not here
        part[key] = rng.choice(words if rng.random() < 0.6 else MEANT)
    elif way < 0.4 and isinstance(old, (int, float)) and not isinstance(old, bool):
        part[key] = rng.choice([old * 1000, -old, old + 0.1, 0, 1e15, str(old)])
    elif way < 0.5:
        nested: Any = deepcopy(old) if isinstance(old, dict) else {"sign": "gasping_at_surface"}
        for _ in range(rng.choice([1, 3, 12, 60])):
            nested = {rng.choice(("not", "all", "any")): nested}
            if "not" not in nested:
                nested = {next(iter(nested)): [next(iter(nested.values()))]}
        part[key] = nested
    elif way < 0.6 and isinstance(part, dict):
        part[rng.choice(NAMES)] = deepcopy(rng.choice(VALUES[3:]))
    elif way < 0.68 and isinstance(part, list):
        part.append(deepcopy(old))
    elif way < 0.74 and isinstance(part, dict) and isinstance(key, str) and key:
        spelt = key[: len(key) // 2] + key[len(key) // 2 + 1 :]
        part[spelt or "x"] = part.pop(key)
    else:
        value = deepcopy(rng.choice(VALUES))
        if value is None:
            del part[key]
        else:
            part[key] = value


def bent_settings(rng: random.Random, files: dict[str, bytes]) -> bytes:
    content = tomllib.loads(files["rulebase.toml"].decode())
    part = rng.choice([content, content["decibans"], content["standing"]])
    key = rng.choice(list(part))
    value = rng.choice(SETTING_VALUES)
    if value is None:
        del part[key]
    else:
        part[key] = value
    return tomli_w.dumps(content).encode()


def examine(folder: Path, case: Case, sound: RuleBase, tally: Tally, label: str) -> None:
    """Load the rules in ``folder`` and use them; note everything that must not have happened."""
    before = _listing(folder)
    began = time.process_time()  # of this process alone: other work on the machine does not count
    cache = Path(os.environ["XDG_CACHE_HOME"])
    with written_outside(cache) as outside:
        try:
            tally.kinds[_outcome(folder, case, sound, tally)] += 1
        except Exception as error:  # whatever it is, a person would have met a traceback
            place = traceback.extract_tb(error.__traceback__)[-1]
            at = f"{Path(place.filename).name}:{place.name}"
            tally.wrong.append(f"{type(error).__name__} in {at}: {error!s:.80} | {label}")
            tally.kinds["crashed"] += 1
    took = time.process_time() - began
    if took > tally.slowest_s:
        tally.slowest_s, tally.slowest = took, label
    if outside:
        tally.wrong.append(f"written outside the cache: {outside[:3]}")
    if _listing(folder) != before:
        tally.wrong.append("rule files touched")


def _outcome(folder: Path, case: Case, sound: RuleBase, tally: Tally) -> str:
    try:
        base = load_rulebase(folder)
    except AdvisorError as error:
        for sentence in getattr(error, "faults", (str(error),)):
            if fault := bad(sentence, folder):
                tally.wrong.append(f"{fault}: {sentence[:160]!r}")
        many = isinstance(error, ManyFaults)
        if many and len(error.faults) > 21:
            tally.wrong.append(f"{len(error.faults)} faults at once")
        return "refused"
    _read_entries(base, sound)
    faults = [r for r in check(base) if r.severity == "fault"]
    faults += limits_exceeded(base.compiled.rules)
    try:
        reasoner = Reasoner.of(base)
        result = assess(case, reasoner)
    except AdvisorError:
        return "loaded, assessment refused"
    show(result, Console(file=io.StringIO(), width=60), everything=True)
    result.model_dump_json()
    reasoner.engine.close()
    return "loaded, faults found" if faults else "loaded"


def _read_entries(base: RuleBase, sound: RuleBase) -> None:
    """What ``advisor rules ID`` shows of each entry that is not as it was and of a few that are,
    and what the checker asks of amounts."""
    console = Console(file=io.StringIO(), width=60)
    for kind, (_, attribute) in KINDS.items():
        before = getattr(sound, attribute)
        for at, (name, entry) in enumerate(getattr(base, attribute).items()):
            if at < 2 or before.get(name) != entry:
                show_entry(kind, entry, base, console)
    for action in base.actions.values():
        if action.amount is not None:
            unknown_names(action.amount)


def _listing(folder: Path) -> list[tuple[str, int, int]]:
    return sorted(
        (str(path), path.lstat().st_size, path.lstat().st_mtime_ns) for path in folder.rglob("*")
    )


def bad(sentence: str, folder: Path) -> str:
    """What is wrong with a sentence meant for a person; empty when nothing is."""
    if not sentence.startswith(("rules/", "rules: ", str(folder))):
        return "names no file"
    if not sentence.isprintable():
        return "holds control characters"
    if len(sentence) > 450 + len(str(folder)):
        return "too long"
    return "foreign words" if cases.FOREIGN.search(sentence) else ""


def run(count: int, seed: int, *, with_bombs: bool = False, progress: bool = False) -> Tally:
    """Examine ``count`` damaged rule bases drawn from ``seed``."""
    rng = random.Random(seed)
    tally = Tally()
    case = loads_case(CASE)
    shipped = load_rulebase()
    files = sample_files(shipped)
    words = [name for _, attribute in KINDS.values() for name in getattr(shipped, attribute)]
    with tempfile.TemporaryDirectory() as name, tempfile.TemporaryDirectory() as cache:
        folder = Path(name) / "rules"
        write_files(files, folder)
        with mock.patch.dict(os.environ, XDG_CACHE_HOME=cache):
            sound = load_rulebase(folder)
            for number in range(count):
                chosen = rng.choice(list(files))
                settings = chosen == "rulebase.toml" and rng.random() < 0.5
                raw = bent_settings(rng, files) if settings else damaged(files[chosen], words, rng)
                (folder / chosen).write_bytes(raw)
                examine(folder, case, sound, tally, f"{seed}/{number} {chosen}")
                (folder / chosen).write_bytes(files[chosen])
                if progress and number % 1000 == 999:
                    _emptied(Path(cache))
                    so_far = f"{number + 1}: {dict(tally.kinds)}, {len(tally.wrong)} wrong"
                    print(so_far, file=sys.stderr, flush=True)
            for label, chosen, raw in bombs(files) if with_bombs else ():
                (folder / chosen).write_bytes(raw)
                examine(folder, case, sound, tally, f"bomb {label}")
                (folder / chosen).write_bytes(files.get(chosen, b"\n"))
    return tally


def _emptied(cache: Path) -> None:
    for path in cache.rglob("*.json"):
        path.unlink()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began = time.perf_counter()
    tally = run(asked.count, asked.seed, with_bombs=True, progress=True)
    count, took = sum(tally.kinds.values()), time.perf_counter() - began
    print(f"{count} rule bases in {took:.0f} s: {dict(tally.kinds)}")
    print(f"slowest {tally.slowest_s:.2f} s: {tally.slowest}")
    for kind, times in Counter(w.split(" | ")[0] for w in tally.wrong).most_common(40):
        print(f"WRONG {times} times: {kind}")
    for wrong in tally.wrong[:40]:
        print(wrong)
    return 1 if tally.wrong or tally.slowest_s > SLOW_S else 0


if __name__ == "__main__":
    sys.exit(main())
