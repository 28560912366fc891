"""A case is found by file, number, fragment of its name or title, in one place for all commands."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.case.folder import find_case, number_in
from advisor.errors import AdvisorError
from advisor.screens.app import main

TEXT = 'format = "arrival-case-1"\n[delivery]\ntitle = "{}"\ninvented = true\n[[lot]]\nid = "a"\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for stem, title in (
        ("2027-03-02-green-tails", "Swordtails on a wet Tuesday"),
        ("2027-03-05-neons", "Two bags of neons"),
        ("2027-04-01-neons-again", "Neons, second try"),
    ):
        (tmp_path / f"{stem}.toml").write_text(TEXT.format(title), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    "name", ["1", "green", "2027-03-02-green-tails", "2027-03-02-green-tails.toml", "Swordtails",
             "wet tuesday", "GREEN tails"],
)  # fmt: skip
def test_it_is_found(folder: Path, name: str) -> None:
    assert find_case(name, folder).stem == "2027-03-02-green-tails"


def test_several_are_named(folder: Path) -> None:
    with pytest.raises(AdvisorError, match="may be 2027-03-05-neons, 2027-04-01-neons-again"):
        find_case("neons", folder)


def test_none_names_the_nearest(folder: Path) -> None:
    with pytest.raises(AdvisorError, match='did you mean "2027-03-05-neons"'):
        find_case("2027-03-05-neonz", folder)
    with pytest.raises(AdvisorError, match="no such case"):
        find_case("4", folder)


def test_the_number_is_the_place_by_name(folder: Path) -> None:
    assert number_in(folder, folder / "2027-04-01-neons-again.toml") == 3


@pytest.mark.parametrize(
    "words", ["assess {}", "why {}", "paper {} --for log --text", "readings {}", "watch {} --once"]
)
@pytest.mark.parametrize("name", ["2", "two bags", "no-such-case"])
def test_every_command_takes_it(
    folder: Path, words: str, name: str, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.setenv("ADVISOR_CASES", str(folder))
    status = main([name if word == "{}" else word for word in words.split()])
    said = capsys.readouterr()
    found = "no such case" not in said.err
    assert found == (name != "no-such-case"), said.err
    assert status in ((0, 2) if found else (2,))


def test_without_a_title_it_is_called_by_its_fish(folder: Path) -> None:
    text = 'format = "arrival-case-1"\n[[lot]]\nid = "a"\nspecies = "koi"\ncount = 7\n'
    (folder / "2027-05-01-delivery.toml").write_text(text, encoding="utf-8")
    for name in ("koi", "7 koi", "delivery"):
        assert find_case(name, folder).stem == "2027-05-01-delivery"
