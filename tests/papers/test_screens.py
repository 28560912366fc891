"""README.md shows what the program prints today."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.papers.conftest import DELIVERY
from tests.papers.screens import README, refreshed


@pytest.mark.skipif(not README.exists(), reason="no README.md yet")
def test_the_screens_of_the_readme_are_not_stale() -> None:
    text = README.read_text(encoding="utf-8")
    assert refreshed(text, README.parent) == text, "run: python -m tests.papers.screens"


def test_a_stale_screen_is_made_again(tmp_path: Path) -> None:
    (tmp_path / "d.toml").write_bytes(DELIVERY.read_bytes())
    head = "# x\n<!-- screen, first 3 lines: advisor readings d.toml --events -->\n"
    stale = f"{head}old\n<!-- end of screen -->\nafter\n"
    fresh = refreshed(stale, tmp_path)
    assert fresh.startswith(f"{head}```text\n$ advisor readings d.toml --events\n")
    assert "\nhours after receipt [h],date and time,lot,kind,what\n" in fresh
    assert fresh.endswith("\n...\n```\n<!-- end of screen -->\nafter\n")
    assert refreshed(fresh, tmp_path) == fresh


def test_text_without_screens_is_left_alone(tmp_path: Path) -> None:
    text = "<!-- screen: rm -rf / -->\nx\n<!-- end of screen -->\n"
    assert refreshed(text, tmp_path) == text
