"""Damaged case files by the thousand: each loads, or is refused in plain sentences.

    python -m tests.case.fuzz --count 20000 [--seed 1]

Ends with status 1 if a file caused anything but a case or an AdvisorError, took
longer than two seconds, or touched another file.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import sys
import tempfile
import time
import tomllib
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date
from datetime import time as clock
from pathlib import Path
from typing import Any

import tomli_w

from advisor.case import Case, load_case, save_case
from advisor.errors import AdvisorError, ManyFaults

SLOW_S = 2.0

#: Words of the libraries underneath that must not reach a person.
FOREIGN = re.compile(
    r"pydantic|Input should|https?://|Traceback|validation error|<class|object at 0x|NoneType"
    r"|at line \d+, column|Expecting|literal_error|float_type|None of",
    re.IGNORECASE,
)

SEED = """\
format = "arrival-case-1"

[delivery]
title = "Ember tetras, two boxes"
received = 2030-03-04T10:15:00
place = "Saltmarsh Quay (invented)"
notes = \"\"\"
One box was wet.
\\tThe other was not.\"\"\"
invented = true
law = "eu"

[transit]
hours_sealed = 30
air_low_c = 12.5
box = "insulated"
sedative = "unknown"

[receiving]
volume_l = 160.5
altitude_m = 40
supply = "chloramine"
added = [{ substance = "salt", amount = "1 g/L", at_hours = -2 }]

[history]
heater_failed = false
"hours out of water" = 0.1

[[lot]]
id = "embers"
species = "Hyphessobrycon amandae"
count = 40
bag_water_l = 1.5
dead_on_arrival = 2
packed.ph = 7.1
history.bags_leaking = true

[[observation]]
at_hours = 0.5
lot = "embers"
seen = ["gasping_at_surface", 'clamped_fins']
counts = { normal = 30, down = 6, dead = 2 }
bag.temperature_c = 18.4  # felt cold
tank.ph = { value = 7.8, low = 7.6, high = 8.0, kit = "strip" }
tank.tan_mg_l = { value = 0.5, entered = "0.5 ppm", at_least = true }
tap.temperature_c = "61 F"

[outcome]
deaths = [{ at_hours = 3, dead = 2 }]

[expected]
kind = "constructed"
source = "our own"
"""

TOKENS = [
    b"nan", b"-inf", b"1e999", b"-0.0", b"0x7fffffffffffffffffff", b"9" * 400, b"9" * 5000,
    b'"""', b"'''", b"[[", b"]]", b"{", b"}", b"[", b",", b"=", b"\n", b"\r", b"\r\n", b"\t",
    b"\0", b"\x1b[2J", b"\xff", b"\xef\xbb\xbf", "\u202e".encode(), "“".encode(), b"\\", b"\\u0000",
    b"\\ud800", b"#", b"true", b"2030-02-30", b"12:61:00", b"1,5", b"[lot]", b"[[delivery]]",
    b"tank_ph = 7\n", b"temperature_f = 78\n", b'ph = "7.4 or so"\n', b"a.b.c.d.e.f.g.h = 1\n",
    b"[red]", b"<script>", b'=cmd|" /C calc"!A0', b"[" * 300, b"{a=" * 300, b"lot = 1\n",
]  # fmt: skip

VALUES: list[Any] = [
    None, True, False, 0, -1, 10**30, 1.5, -1e308, float("nan"), float("inf"), "", "x" * 5000,
    "78 F", "unknown", "5 dKH", "0.5 ppm", "\x1b[31mred", "\u0000", [], [[]], {}, [{}], [1, "a"],
    {"value": 1}, {"value": "x", "low": 3}, {"a": {"b": {"c": {}}}}, ["x"] * 300,
    date(2030, 1, 2), clock(3, 4),
]  # fmt: skip
NAMES = ["ph", "tank", "tank_ph", "temperature_f", "lot", "a.b", "", "é", "\x1b", "value", "id"]


@dataclass
class Tally:
    """What became of the files so far."""

    kinds: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    slowest_s: float = 0.0
    slowest: bytes = b""


def damaged(rng: random.Random) -> bytes:
    """The seed case with one to six things broken."""
    if rng.random() < 0.4:
        return _restructured(rng)
    raw = SEED.encode()
    for _ in range(rng.choice([1, 1, 1, 2, 3, 6])):
        raw = _bent(raw, rng)
    if rng.random() < 0.05:
        text = raw.decode("utf-8", "replace")
        encoding = rng.choice(["utf-16", "utf-16-le", "utf-8-sig", "latin-1", "utf-32"])
        raw = text.encode(encoding, "replace")
    return raw


def _bent(raw: bytes, rng: random.Random) -> bytes:
    at = rng.randrange(len(raw) + 1)
    to = min(len(raw), at + rng.choice([1, 1, 3, 20, 200]))
    lines = raw.split(b"\n")
    way = rng.randrange(8)
    if way == 0:
        return raw[:at] + bytes([rng.randrange(256)]) + raw[at + 1 :]
    if way == 1:
        return raw[:at] + raw[to:]
    if way == 2:
        return raw[:to] + raw[at:to] * rng.choice([1, 2, 30]) + raw[to:]
    if way == 3:
        return raw[:at] + rng.choice(TOKENS) + raw[to if rng.random() < 0.5 else at :]
    if way == 4:
        lines.insert(rng.randrange(len(lines) + 1), rng.choice(lines))
    elif way == 5:
        lines.pop(rng.randrange(len(lines)))
    elif way == 6:
        one = rng.randrange(len(lines))
        key = lines[one].split(b"=")[0]
        lines[one] = key + b"= " + rng.choice(TOKENS)
    else:
        rng.shuffle(lines)
    return b"\n".join(lines) or b"#"


def _restructured(rng: random.Random) -> bytes:
    """Sound TOML of the wrong shape: names and values put where they do not belong."""
    content = tomllib.loads(SEED)
    for _ in range(rng.choice([1, 1, 2, 4])):
        part: Any = content
        while True:
            keys = list(part) if isinstance(part, dict) else list(range(len(part)))
            if not keys:
                break
            key = rng.choice(keys)
            if isinstance(part[key], (dict, list)) and rng.random() < 0.8:
                part = part[key]
                continue
            value = deepcopy(rng.choice(VALUES))
            if value is None:
                del part[key]
            elif isinstance(part, dict) and rng.random() < 0.3:
                part[rng.choice(NAMES)] = value
            else:
                part[key] = value
            break
    return tomli_w.dumps(content).encode()


def bombs() -> Iterator[tuple[str, bytes]]:
    """Files built to keep a reader busy, each just under the size that is refused unread."""
    room = 990_000
    yield "many names", b"".join(b"k%d=1\n" % at for at in range(room // 10))
    yield "many lots", b"[[lot]]\n" * (room // 8)
    yield "many sound lots", b"".join(b"[[lot]]\nid='%d'\n" % at for at in range(room // 50))
    yield "many looks", b"[[observation]]\nlot='x'\n" * (room // 24)
    yield "long list", b"history.a=[" + b"1," * (room // 2) + b"]"
    yield "list of lists", b"a=[" + b"[]," * (room // 3) + b"]"
    yield "deep brackets", b"a=" + b"[" * room
    yield "deep tables", b"a=" + b"{a=" * (room // 3)
    yield "long name", b"a" + b".a" * (room // 2) + b"=1"
    yield "long heading", b"[a" + b".a" * (room // 2) + b"]"
    yield "many dotted names", b"".join(b"a.b.c.k%d=1\n" % at for at in range(room // 16))
    yield "unknown name", b"[transit]\n" + b"x" * room + b" = 1"
    yield (
        "near names",
        b"[transit]\n" + b"".join(b"hours_sealed%d=1\n" % at for at in range(room // 21)),
    )
    yield "wrong entries", b"[[observation]]\nseen=[" + b"1," * 50_000 + b"]"
    yield "long text", b'delivery.title="' + b"x" * room + b'"'
    yield "escapes", b'delivery.title="' + b"\\n" * (room // 2) + b'"'
    yield "quotes", b'a="""' + b'\\"""' * (room // 5)
    yield "half open quotes", b"a='" + b"''" * (room // 2)
    yield "digits", b"transit.hours_sealed=" + b"9" * room
    yield "decimals", b"transit.hours_sealed=1." + b"9" * room
    yield "hexadecimal", b"transit.hours_sealed=0x" + b"f" * room
    yield "words and spaces", b"a " * (room // 2)
    yield "comment", b"#" * room
    yield "long reading", b'[[observation]]\ntank.ph="' + b"7." * (room // 2) + b'"'
    for text, parameter in (
        ("78 F", "temperature_c"),
        ("0.5 ppm", "tan_mg_l"),
        ("7 xyzzy", "tan_mg_l"),
    ):
        look = f'[[observation]]\ntank.{parameter}="{text}"\n'.encode()
        yield f"many readings of {text}", look * 14_000
    look = b'[[observation]]\ntank.tan_mg_l="0.5 ppm"\n'
    yield "as many readings in text as are read", look * 1_000
    yield "too large", b"#" * 3_000_000


def check(raw: bytes, folder: Path, tally: Tally) -> None:
    """Load one file and note what happened, and everything that must not have."""
    path = folder / "case.toml"
    path.write_bytes(raw)
    case = None
    began = time.process_time()  # of this process: others may keep the machine busy
    try:
        case = load_case(path)
    except AdvisorError as refusal:
        tally.kinds["refused"] += 1
        faults = refusal.faults if isinstance(refusal, ManyFaults) else (str(refusal),)
        tally.wrong += [f"{problem}: {said!r}" for said in faults if (problem := _bad(said, path))]
    except BaseException as error:
        tally.wrong.append(f"{type(error).__name__}: {error!s:.200} from {raw[:300]!r}")
    took = time.process_time() - began
    if took > tally.slowest_s:
        tally.slowest_s, tally.slowest = took, raw
    if case is not None:
        tally.kinds["loaded"] += 1
        if len(raw) < 100_000:  # beyond that, short readings may grow past what can be read
            _check_copy(case, folder, tally)
    if os.listdir(folder) != ["case.toml"] or path.read_bytes() != raw:
        tally.wrong.append(f"files touched: {os.listdir(folder)}")


def _check_copy(case: Case, folder: Path, tally: Tally) -> None:
    copy = folder / "copy.toml"
    save_case(case, copy)
    if load_case(copy) != case:
        tally.wrong.append(f"not the same after saving: {case!r:.300}")
    copy.unlink()


def _bad(sentence: str, path: Path) -> str:
    """What is wrong with a sentence meant for a person; empty when nothing is."""
    if not sentence.startswith(str(path)):
        return "names no file"
    words = sentence.removeprefix(str(path))
    if not sentence.isprintable():
        return "holds control characters"
    if len(words) > 450:
        return "too long"
    return "foreign words" if FOREIGN.search(words) else ""


def run(count: int, seed: int, *, with_bombs: bool = False) -> Tally:
    """Check ``count`` damaged files drawn from ``seed``."""
    rng = random.Random(seed)
    tally = Tally()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for _ in range(count):
            check(damaged(rng), folder, tally)
        for _, raw in bombs() if with_bombs else ():
            check(raw, folder, tally)
    return tally


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began = time.perf_counter()
    tally = run(asked.count, asked.seed, with_bombs=True)
    count, took = sum(tally.kinds.values()), time.perf_counter() - began
    print(f"{count} files in {took:.0f} s: {dict(tally.kinds)}")
    print(f"slowest {tally.slowest_s:.2f} s: {tally.slowest[:60]!r}")
    for kind, times in Counter(tally.wrong).most_common(20):
        print(f"WRONG {times} times: {kind}")
    return 1 if tally.wrong or tally.slowest_s > SLOW_S else 0


if __name__ == "__main__":
    sys.exit(main())
