"""Rule files that cannot be read or do not hold together: one plain sentence each."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.errors import AdvisorError, ManyFaults
from advisor.rulebase import load_rulebase
from tests.tiny import SETTINGS, write_tiny

JUDGED = "source = [{ ref = 'judgement', basis = 'judgement' }]\n"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))


def refusal(folder: Path) -> str:
    with pytest.raises(AdvisorError) as refused:
        load_rulebase(folder)
    said = str(refused.value)
    assert all(line.isprintable() for line in said.split("\n"))
    return said


def rule(**given: str) -> str:
    """One more rule for the tiny rule base, its lines changed as given."""
    lines = {
        "id": "'more'",
        "supports": "'short_of_air'",
        "strength": "'weak'",
        "because": "'x'",
        "when": "{ sign = 'gasping' }",
        "source": "[{ ref = 'judgement', basis = 'judgement' }]",
    } | given
    return "\n[[rule]]\n" + "".join(f"{name} = {value}\n" for name, value in lines.items() if value)


ENTRIES = [
    (rule(because=""), 'rule more: "because" is missing'),
    (rule(strength="'strng'"), "rule more: strength: \"strng\" is not one of weak, supporting, "
     'strong, decisive; did you mean "strong"?'),
    (rule(strenth="'weak'"), 'rule more: "strenth" is not known here; did you mean "strength"?'),
    (rule(id="'Two Words'"), 'id: "Two Words" is not an id; use lower case words joined by _ or -'),
    (rule(id=f"'{'x' * 90}'"), "is too long; at most 80 letters"),
    (rule(because="''"), "rule more: because: must not be empty"),
    (rule(because="5"), "rule more: because: 5 is not text; put it in quotes"),
    (rule(source="[]"), "rule more: source: must not be empty"),
    (rule(source="'noga'"), 'source: "noga" is not a list; write source = ["noga"]'),
    (rule(source="[{ ref = 'judgement', basis = 'rad' }]"), 'rule more: source 1, basis: "rad" is '
     'not one of read, abstract, opening, second-hand, derived, memory, practice, judgement; '
     'did you mean "read"?'),
    (rule(source="[{ ref = 'nogga', basis = 'read' }]"), 'rule more: no source "nogga"'),
    (rule(source="[{ ref = 'judgment', basis = 'read' }]"), 'did you mean "judgement"?'),
    (rule(when="'gasping'"), 'when: "gasping" is not a table; write it as { name = value }'),
    (rule(when="{ sign = 'gaspin' }"), 'rule more: no sign "gaspin"; did you mean "gasping"?'),
    (rule(when="{ reading = 'tank_do_mgl', below = 3 }"),
     'rule more: no reading "tank_do_mgl"; did you mean "tank_do_mg_l"?'),
    (rule(when="{ reading = 'tank_do_mg_l', below = nan }"), "is not a number that can be"),
    (rule(when="{ reading = 'tank_do_mg_l', below = 1e300 }"), "that can be measured"),
    (rule(when="{ history = 'invertebrates', is_any = 'yes' }"), 'write is_any = ["yes"]'),
    (rule(when="{ history = 'invertebrates', is_any = [] }"), "the list of answers is empty"),
    (rule(when="{ not = { not = 3 } }"), 'a condition is a table such as { sign = "gasping" }; '
     "found 3"),
    (rule(when="{ all = { sign = 'gasping' } }"), '"all" holds a list of conditions'),
    (rule(when="{ sign = 'gasping', is = 2030-01-02 }"), "found 2030-01-02; use a word, a number"),
    (rule(when="{not=" * 20 + "{ sign = 'gasping' }" + "}" * 20), "nested more than 10 deep"),
    (rule(when="{ all = [" + "{ any = [{ sign = 'gasping' }, { sign = 'calm' }] }," * 9 + "] }"),
     "more than 256 alternatives; make a finding of a part of it"),
    (rule(when="{ standing = 'resting', at_least = 'likely' }"), "is known only after ranking"),
    (rule(supports="'air'"), 'rule more: no cause "air"'),
    (rule(supports=""), "rule more: give supports or opposes, exactly one"),
    (rule(id="'air-gasping'"), "rule air-gasping: the id is used twice, first in rules/rules.toml"),
    ("[[wish]]\nid = 'x'\n", 'no kind of entry "wish"'),
    ("[[sing]]\nid = 'x'\n", 'no kind of entry "sing"; did you mean "sign"?'),
    ("[caution]\nid = 'x'\n", "write [[caution]] with double brackets"),
    ("[[caution]]\nid = 'c'\ntext = 'x'\nalways = 'often'\n" + JUDGED,
     'caution c: always: "often" is neither true nor false'),
    ("[[action]]\nid = 'a'\ntext = 'x'\nbecause = 'x'\ntime = 'now'\norder = 1.5\n" + JUDGED,
     "action a: order: 1.5 is not a whole number"),
    ("[[action]]\nid = 'a'\ntext = 'x'\nbecause = 'x'\ntime = 'now'\ncautions = ['wet']\n" + JUDGED,
     'action a: no caution "wet"'),
    ("[[limit]]\nid = 'l'\nparameter = 'x'\nvalue = inf\nunit = 'x'\nmeaning = 'x'\n" + JUDGED,
     "limit l: value: inf is not a number that can be measured"),
    ("[[cause]]\nid = 'c'\nname = 'x'\nsummary = 'x'\ndirection = 'x'\nkind = 'water'\n"
     "prove = 'x'\nprior = { arrival = 1, day_2_4 = 2 }\n" + JUDGED,
     "cause c: prior lacks day_5_14"),
    ("[[question]]\nid = 'q'\ntext = 'x'\nhelp = 'x'\nbecause = 'x'\nkind = 'signs'\n"
     "cost_seconds = 0\n" + JUDGED, "cost_seconds: 0 is too low; it must be more than 0"),
    ("[[finding]]\nid = 'f'\nname = 'x'\nbecause = 'x'\nwhen = { finding = 'f' }\n" + JUDGED,
     "finding f: rests on itself through f"),
    ("[[sign]]\nid = 's'\nname = 'x'\nlook_for = 'x'\nlook = 3\n" + JUDGED,
     "look: 3 is not one of glance, close, gills, memory"),
]  # fmt: skip


@pytest.mark.parametrize(("more", "says"), ENTRIES, ids=[says[:40] for _, says in ENTRIES])
def test_a_fault_of_an_entry_names_it_and_the_way_out(tmp_path: Path, more: str, says: str) -> None:
    said = refusal(write_tiny(tmp_path, more))
    assert said.startswith("rules/rules.toml")
    assert says in said
    assert "\n" not in said


def test_the_example_of_the_style_page(tmp_path: Path) -> None:
    (tmp_path / "causes").mkdir()
    more = rule(id="'nh3-high'", when="{ reading = 'tank_do_mgl', above = 1 }")
    (tmp_path / "causes" / "ammonia.toml").write_text(more)
    said = refusal(write_tiny(tmp_path))
    assert said == (
        'rules/causes/ammonia.toml, rule nh3-high: no reading "tank_do_mgl"; '
        'did you mean "tank_do_mg_l"?'
    )


WEIGHTS = [
    ("weak = 3\n", "", "decibans lacks weak"),
    ("weak = 3\n", "weak = 7\n", "decibans must rise from weak to decisive"),
    ("weak = 3\n", "weak = 0\n", "decibans must be above 0"),
    ("weak = 3\n", "weak = nan\n", "decibans.weak: nan is not a number that can be measured"),
    ("weak = 3\n", "weak = 'x'\n", 'decibans.weak: "x" is not a number'),
    ("weak = 3\n", "weak = 3\nfaint = 1\n", 'decibans.faint: "faint" is not one of weak,'),
    ("likely = 3\n", "", "standing lacks"),
    ("possible = -7", "possible = 4", "standing must rise from possible to very_likely"),
    ("close_call = 4\n", "", '"close_call" is missing'),
]


@pytest.mark.parametrize(("old", "new", "says"), WEIGHTS)
def test_weights_must_be_whole(tmp_path: Path, old: str, new: str, says: str) -> None:
    write_tiny(tmp_path)
    changed = SETTINGS.replace(old, new)
    assert changed != SETTINGS
    (tmp_path / "rulebase.toml").write_text(changed)
    assert refusal(tmp_path).startswith(f"rules/rulebase.toml: {says}")


def test_faults_of_a_pass_come_together_and_no_more_than_can_be_read(tmp_path: Path) -> None:
    write_tiny(tmp_path, rule(id="'a'", because="") + rule(id="'b'", strength="'x'"))
    (tmp_path / "bad.toml").write_text("x = ")
    (tmp_path / "latin.toml").write_bytes("# caf\xe9".encode("latin-1"))
    assert refusal(tmp_path).startswith("rules/latin.toml: ")  # what is no text comes first
    (tmp_path / "latin.toml").unlink()
    with pytest.raises(ManyFaults) as refused:
        load_rulebase(tmp_path)
    assert [f.split(":")[0] for f in refused.value.faults] == [
        "rules/bad.toml, line 1, the last",
        "rules/rules.toml, rule a",
        "rules/rules.toml, rule b",
    ]
    (tmp_path / "bad.toml").unlink()
    write_tiny(tmp_path, "".join(rule(id=f"'r{n}'", because="") for n in range(70)))
    with pytest.raises(ManyFaults) as refused:
        load_rulebase(tmp_path)
    assert len(refused.value.faults) == 21
    assert refused.value.faults[-1] == "rules: 50 more faults; mend these first"


FILES = [
    (b"\xff\xfe[\0", "is saved as UTF-16"),
    (b"a\0b", "is not a text file"),
    ("# caf\xe9".encode("latin-1"), "line 1 is not UTF-8 text"),
    (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "is not a text file"),
    (b"#" * 1_200_000, "is larger than 1 MB, far more than any rule file"),
    (b"a = " + b"[" * 5_000, "brackets are nested too deep; a rule file never needs as much"),
    (b"a" + b".a" * 20 + b" = 1", "a name of more than 12 parts"),
    (b"strength strong", 'such as strength = "strong"'),
    (b"[[rule]\nid = 1", "a heading that begins with [[ must end with ]], such as [[rule]]"),
]


@pytest.mark.parametrize(("raw", "says"), FILES, ids=[says[:30] for _, says in FILES])
def test_a_file_that_is_no_rule_file(tmp_path: Path, raw: bytes, says: str) -> None:
    (write_tiny(tmp_path) / "odd.toml").write_bytes(raw)
    said = refusal(tmp_path)
    assert said.startswith("rules/odd.toml")
    assert says in said


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(tmp_path: Path) -> None:
    first = load_rulebase(write_tiny(tmp_path)).fingerprint
    for path in tmp_path.iterdir():
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert load_rulebase(tmp_path).fingerprint == first


def test_an_empty_file_is_no_fault(tmp_path: Path) -> None:
    (write_tiny(tmp_path) / "empty.toml").write_bytes(b"")
    assert load_rulebase(tmp_path).rules


def test_folders_that_are_none(tmp_path: Path) -> None:
    assert "there is no such folder" in refusal(tmp_path / "nowhere")
    (tmp_path / "file").write_text("x")
    assert "is a file; give a folder of rules" in refusal(tmp_path / "file")
    assert "holds no rulebase.toml, so it is no folder of rules" in refusal(tmp_path)
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert "too many levels of symbolic links" in refusal(tmp_path / "loop")
    assert "is not a folder name" in refusal(Path("a\0b"))
    assert "\x1b" not in refusal(Path("\x1b[2J"))


def test_a_folder_far_too_large_is_not_walked_to_its_end(tmp_path: Path) -> None:
    write_tiny(tmp_path)
    for number in range(520):
        (tmp_path / f"{number}.toml").write_bytes(b"")
    assert "holds far more than a rule base" in refusal(tmp_path)


def test_links_and_what_is_no_file(tmp_path: Path) -> None:
    write_tiny(tmp_path)
    other = tmp_path / "loop.toml"
    other.symlink_to(other)
    assert refusal(tmp_path).startswith("rules/loop.toml: cannot be read (too many levels")
    other.unlink()
    other.symlink_to(tmp_path / "gone.toml")
    assert "there is no such file" in refusal(tmp_path)
    other.unlink()
    other.mkdir()
    assert "rules/loop.toml: is a folder" in refusal(tmp_path)
    other.rmdir()
    os.mkfifo(other)
    assert "is not an ordinary file" in refusal(tmp_path)
    other.unlink()
    (tmp_path / "more").symlink_to(tmp_path)
    assert "rules/more: is a link to a folder" in refusal(tmp_path)
    (tmp_path / "more").unlink()
    other.symlink_to(tmp_path / "rules.toml")  # a link to a file is read: every id stands twice
    assert "the id is used twice" in refusal(tmp_path)


def test_a_name_that_is_no_text_is_said_so(tmp_path: Path) -> None:
    write_tiny(tmp_path)
    with open(os.fsencode(tmp_path) + b"/caf\xe9.toml", "wb") as file:
        file.write(b"")
    assert "its name is no plain text; rename it" in refusal(tmp_path)


@pytest.fixture
def shut_out() -> Iterator[Path]:
    """A rule base with a file and a folder that may not be read, seen by an ordinary user."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_tiny(folder)
        for path in (folder, *folder.iterdir()):
            path.chmod(0o755)
        root = os.geteuid() == 0
        if root:
            os.seteuid(65534)  # "nobody": root may read everything
        try:
            yield folder
        finally:
            if root:
                os.seteuid(0)
            for path in folder.iterdir():
                path.chmod(0o700)


def test_what_may_not_be_read_is_never_left_out_in_silence(shut_out: Path) -> None:
    assert load_rulebase(shut_out).rules
    user = os.geteuid()
    for path, makes in ((shut_out / "more.toml", Path.touch), (shut_out / "more", Path.mkdir)):
        os.seteuid(os.getuid())
        makes(path)
        path.chmod(0)
        os.seteuid(user)
        said = refusal(shut_out)
        assert "you are not allowed to read this" in said or "permission denied" in said
        os.seteuid(os.getuid())
        path.chmod(0o700)
        path.rmdir() if path.is_dir() else path.unlink()
        os.seteuid(user)
    os.seteuid(os.getuid())
    shut_out.chmod(0)
    os.seteuid(user)
    said = refusal(shut_out)
    os.seteuid(os.getuid())
    shut_out.chmod(0o755)
    assert "cannot be read (permission denied)" in said
