"""What is kept of the rules from one start to the next is what would be worked out again."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.rulebase import RuleBase, default_folder, load_rulebase
from advisor.rulebase import kept as kept_room
from advisor.rulebase.base import KINDS
from advisor.rulebase.compiled import compile_rules
from advisor.rulebase.kept import FORGET_S
from advisor.rulebase.load import kept_differs

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache folder of this test's own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "advisor"


def fresh_and_kept() -> tuple[RuleBase, RuleBase]:
    return load_rulebase(), load_rulebase()


def test_entries_from_the_cache_equal_those_from_the_files(cache: Path) -> None:
    fresh, kept = fresh_and_kept()
    for _, attribute in KINDS.values():
        assert list(getattr(kept, attribute)) == list(getattr(fresh, attribute))
        assert dict(getattr(kept, attribute)) == dict(getattr(fresh, attribute)), attribute
    assert kept.settings == fresh.settings
    assert kept.names == fresh.names
    assert dict(kept.species_index) == dict(fresh.species_index)
    assert len(list(cache.iterdir())) == 1


def test_fields_that_were_given_are_remembered(cache: Path) -> None:
    fresh, kept = fresh_and_kept()
    for name, rule in fresh.rules.items():
        assert kept.rules[name].model_dump(exclude_unset=True) == rule.model_dump(
            exclude_unset=True
        )


def test_conditions_equal_those_worked_out_anew(cache: Path) -> None:
    fresh, kept = fresh_and_kept()
    anew = compile_rules(fresh)
    assert dict(kept.compiled.nodes) == anew.nodes
    assert list(kept.compiled.nodes) == list(anew.nodes)
    assert (kept.compiled.used, kept.compiled.rules) == (anew.used, anew.rules)
    assert kept.compiled.bears_on == anew.bears_on
    assert kept.compiled.emergencies == anew.emergencies
    assert kept.compiled.layout.lines() == anew.layout.lines()


@pytest.mark.parametrize("path", sorted((CASES / "demo").glob("*.toml")), ids=lambda p: p.stem)
def test_a_case_is_judged_alike_from_files_and_from_the_cache(cache: Path, path: Path) -> None:
    case = load_case(path)
    fresh = assess(case, Reasoner.of(load_rulebase()))
    Reasoner.load()
    assert assess(case, Reasoner.load()).model_dump_json() == fresh.model_dump_json()


@pytest.mark.parametrize(
    "harm",
    [
        lambda raw: raw.replace(b"a", b"b", 1),
        *(
            pytest.param(junk, marks=pytest.mark.slow)
            for junk in (b"", lambda raw: raw[:-1], b"\n", b"{}", b"\x00\xff")
        ),
    ],
    ids=["altered", "empty", "cut short", "line", "braces", "binary"],
)
def test_a_spoiled_file_is_worked_out_again(cache: Path, harm: object) -> None:
    base = load_rulebase()
    compiled = base.compiled
    for file in cache.iterdir():
        file.write_bytes(harm(file.read_bytes()) if callable(harm) else harm)
    assert dict(load_rulebase().rules) == dict(base.rules)
    assert dict(load_rulebase().compiled.nodes) == dict(compiled.nodes)


def test_other_rules_have_a_file_of_their_own(cache: Path, tmp_path: Path) -> None:
    for number, title in enumerate(("one", "two"), 1):
        folder = tmp_path / title
        folder.mkdir()
        text = (default_folder() / "rulebase.toml").read_text(encoding="utf-8")
        (folder / "rulebase.toml").write_text(text + f"# {title}\n", encoding="utf-8")
        load_rulebase(folder)
        assert len(list(cache.iterdir())) == number


def test_where_nothing_can_be_kept_all_still_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    base = load_rulebase()
    assert load_rulebase().compiled.used == compile_rules(base).used
    assert (tmp_path / "file").read_text(encoding="utf-8") == "no folder"


def test_files_of_old_rules_are_taken_away(cache: Path) -> None:
    cache.mkdir(parents=True)
    for name in ("rules-old.jsonl", "rules-new.jsonl"):
        (cache / name).write_bytes(b"")
    long_ago = (cache / "rules-old.jsonl").stat().st_mtime - FORGET_S - 3600
    os.utime(cache / "rules-old.jsonl", (long_ago, long_ago))
    load_rulebase()
    names = {path.name for path in cache.iterdir()}
    assert "rules-old.jsonl" not in names
    assert "rules-new.jsonl" in names


def only_file(cache: Path) -> Path:
    (file,) = cache.iterdir()
    return file


def forged(file: Path) -> None:
    """Another summary sentence for one entry, under a checksum that is right."""
    _, _, body = file.read_bytes().partition(b"\n")
    body = body.replace(b"Air the tank", b"Fan the tank", 1)
    file.write_bytes(kept_room._sum(body) + b"\n" + body)


@pytest.mark.slow
def test_a_forged_file_in_a_folder_of_ones_own_is_found_by_comparing(cache: Path) -> None:
    load_rulebase()
    assert not kept_differs(default_folder())
    forged(only_file(cache))
    assert kept_differs(default_folder())


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
@pytest.mark.parametrize(
    "mode", [0o666, *(pytest.param(mode, marks=pytest.mark.slow) for mode in (0o620, 0o602))]
)
def test_a_file_or_folder_that_others_may_write_is_not_believed(cache: Path, mode: int) -> None:
    load_rulebase()
    file = only_file(cache)
    forged(file)
    file.chmod(mode)
    assert not kept_differs(default_folder())
    file.chmod(0o600)
    assert kept_differs(default_folder())
    cache.chmod(mode | 0o100)
    assert not kept_differs(default_folder())
    cache.chmod(0o700)


def test_a_link_or_a_pipe_is_not_followed_and_not_waited_for(cache: Path, tmp_path: Path) -> None:
    load_rulebase()
    file = only_file(cache)
    forged(file)
    elsewhere = tmp_path / "elsewhere"
    file.rename(elsewhere)
    file.symlink_to(elsewhere)
    assert not kept_differs(default_folder())
    file.unlink()
    os.mkfifo(file)
    assert not kept_differs(default_folder())


def test_a_new_folder_is_this_users_alone(cache: Path) -> None:
    load_rulebase()
    assert cache.stat().st_mode & 0o077 == 0
    assert only_file(cache).stat().st_mode & 0o077 == 0
