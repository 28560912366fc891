"""Shipped cases with figures and words changed by hand: what is loaded is what the text says.

``tomllib`` reads the same text apart from the program; every number and word of it must stand in
the loaded case as it is, or the case is refused. ``python -m tests.case.case_mutants 40000``.
"""

from __future__ import annotations

import random
import re
import tomllib
from functools import cache
from typing import Any

from advisor.case import loads_case
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import case_files
from tests.trials import tally

_NUMBER = re.compile(r"(?<![\w.\"-])-?\d+(?:\.\d+)?(?![\w.\"-])")


@cache
def _texts() -> list[str]:
    return [path.read_text(encoding="utf-8") for path in case_files()]


def change(text: str, rng: random.Random) -> str:
    """One to three figures, letters or lines changed as a hand slips."""
    for _ in range(rng.randint(1, 3)):
        lines = text.split("\n")
        at = rng.randrange(len(lines))
        numbers = list(_NUMBER.finditer(lines[at]))
        if numbers:
            found = rng.choice(numbers)
            new = rng.choice(["0", "-1", "1e3", found[0] + "0", found[0] + "000", "0." + found[0]])
            lines[at] = lines[at][: found.start()] + new + lines[at][found.end() :]
        elif rng.random() < 0.3 and lines[at]:
            place = rng.randrange(len(lines[at]))
            lines[at] = lines[at][:place] + rng.choice("aeiou5._") + lines[at][place + 1 :]
        elif rng.random() < 0.2:
            del lines[at]
        text = "\n".join(lines)
    return text


def differs(written: Any, loaded: Any, where: str = "") -> str:
    """What the text says and the case does not; empty when it says all of it."""
    if isinstance(written, dict):
        if not isinstance(loaded, dict):
            loaded = {"value": loaded}
        for key, part in written.items():
            if key not in loaded:
                return f"{where}.{key} is gone"
            as_typed = key == "value" and isinstance(part, str) and loaded.get("entered")
            if found := differs(part, as_typed or loaded[key], f"{where}.{key}"):
                return found
        return ""
    if isinstance(written, list):
        if len(written) != len(loaded):
            return f"{where} has {len(loaded)} of {len(written)}"
        pairs = enumerate(zip(written, loaded, strict=True))
        return next((f for n, (a, b) in pairs if (f := differs(a, b, f"{where}[{n}]"))), "")
    if isinstance(loaded, dict):  # a reading: the number as it stands, or text as it was entered
        loaded = loaded["entered"] if isinstance(written, str) else loaded["value"]
    if isinstance(written, (int, float, bool)):
        return "" if written == loaded else f"{where}: {written} became {loaded}"
    said = written.isoformat() if hasattr(written, "isoformat") else str(written)
    return "" if said.strip() == str(loaded).strip() else f"{where}: {said} became {loaded}"


def trial(number: int) -> tuple[str, str]:
    """(loaded or refused, what is wrong with that)."""
    rng = random.Random(number)
    text = change(rng.choice(_texts()), rng)
    try:
        case = loads_case(text)
    except AdvisorError:
        return "refused", ""
    return "loaded", differs(tomllib.loads(text), case.model_dump(mode="python"))


if __name__ == "__main__":
    tally(__doc__, trial, 2000)
