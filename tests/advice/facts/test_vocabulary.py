"""Words of a case that the rule base must know."""

from __future__ import annotations

from pathlib import Path

import pytest

import advisor
from advisor.errors import AdvisorError


@pytest.mark.parametrize(
    "word, sign",
    [
        ("gasping", "gasping_at_surface"),
        ("panting", "rapid_gill_movement"),
        ("lying on side", "lying_on_side"),
        ("clamped", "clamped_fins"),
    ],
)
def test_a_sign_in_peoples_words_leads_to_its_id(word: str, sign: str, tmp_path: Path) -> None:
    """Written alike is not meant alike: "gasping" once led to "eating"."""
    path = tmp_path / "case.toml"
    path.write_text(
        f'format = "arrival-case-1"\n[[observation]]\nat_hours = 0\nseen = ["{word}"]\n',
        encoding="utf-8",
    )
    with pytest.raises(AdvisorError, match=f'no sign "{word}"; did you mean "{sign}"'):
        advisor.load_case(path)
