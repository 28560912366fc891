"""A fault in a program of one's own: Python's own last words are the sentence, and only it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

FAULTY = {
    "no such file": "import advisor; advisor.load_case('no-such-delivery.toml')",
    "no TOML": "import advisor; advisor.load_case('broken.toml')",
    "not a number": "import advisor; advisor.load_case('words.toml')",
    "no rules": "import advisor; advisor.load_rulebase('no-such-folder')",
    "unit": "from advisor.units import parse; parse('5 ppmm', 'tan_mg_l')",
    "met on the way": (
        "import advisor\ntry:\n    {}['x']\n"
        "except KeyError:\n    raise advisor.AdvisorError('x: y.')"
    ),
}


@pytest.mark.parametrize("what", FAULTY)
def test_the_sentence_stands_last_and_alone(what: str, tmp_path: Path) -> None:
    (tmp_path / "broken.toml").write_text("= nothing\n")
    (tmp_path / "words.toml").write_text('[transit]\nhours_sealed = "many"\n')
    run = subprocess.run(
        [sys.executable, "-c", FAULTY[what]],
        cwd=tmp_path,
        env={"PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 1
    assert run.stderr.count("Traceback (most recent call last)") == 1, run.stderr
    assert "During handling" not in run.stderr and "direct cause" not in run.stderr
    last = run.stderr.strip().splitlines()[-1]
    kind, _, sentence = last.partition(": ")
    assert kind == "advisor.AdvisorError" or kind.startswith("advisor.units."), last
    assert len(sentence.split()) > 1 and "pydantic" not in sentence
