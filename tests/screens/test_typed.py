"""Slips on the command line, from the parser itself so that its next release cannot surprise."""

from __future__ import annotations

import pytest

from advisor.screens.app import main

SLIPS = [
    ("asess x", 'advisor: there is no command "asess"; did you mean "assess"? See'),
    ("zzz", 'advisor: there is no command "zzz"; choose from ask, assess, '),
    ("assess", "advisor assess: CASE is missing. See advisor assess --help."),
    ("assess a --until x", "advisor assess: --until: 'x' is no number of hours; write one"),
    ("assess a --until nan", "advisor assess: --until: 'nan' is no number of hours"),
    ("assess a --until", "advisor assess: --until needs a value after it."),
    ("assess a --colour", 'advisor: "--colour" has no place here.'),
    ("assess a b", 'advisor: "b" has no place here.'),
    ("paper x --for vt", 'advisor paper: --for: "vt" is no choice here; did you mean "vet"?'),
]


@pytest.mark.parametrize(("line", "says"), SLIPS)
def test_a_slip_is_told_in_one_sentence(
    line: str, says: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    with pytest.raises(SystemExit) as end:
        main(line.split())
    assert end.value.code == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert " ".join(said.err.split()).startswith(says)
    for foreign in ("argument ", "invalid", "unrecognized", "usage"):
        assert foreign not in said.err


def test_ids_may_stand_behind_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    case = "cases/demo/four-lots-one-burned-on-opening.toml"
    for line in (f"why {case} nitrite --all", f"why {case} --all nitrite"):
        assert main(line.split()) == 0
    said = capsys.readouterr().out
    half = len(said) // 2
    assert said[:half] == said[half:]
    assert "nitrite" in said.casefold()
