"""``advisor paper``, ``advisor readings``, the schema, the completion: as a person calls them."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.advice.result_schema import assessment_schema
from advisor.case import load_case
from advisor.errors import AdvisorError
from advisor.papers.photo_evidence import photo_line
from advisor.screens.app import main
from tests.papers.conftest import DELIVERY, HOSTILE
from tests.said import joined

CASES = Path(__file__).parents[2] / "cases"


@pytest.fixture
def case(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path(shutil.copy(DELIVERY, tmp_path / "delivery.toml"))


def test_a_paper_is_written_where_it_says(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paper", str(case), "--for", "log"]) == 0
    assert "delivery-log.html" in joined(capsys.readouterr().out)
    page = (case.parent / "delivery-log.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>")
    assert main(["paper", str(case), "--for", "log"]) == 0  # our own may be written again


@pytest.mark.parametrize("extra", [[], ["--text"]])
def test_what_is_not_a_paper_is_not_written_over(
    case: Path, extra: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    before = case.read_bytes()
    assert main(["paper", str(case), "--for", "log", *extra, "--out", str(case)]) == 2
    assert "not one of ours" in joined(capsys.readouterr().err)
    assert case.read_bytes() == before


def test_text_comes_to_the_screen(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["paper", str(case), "--for", "log", "--text"]) == 0
    assert capsys.readouterr().out.startswith("Paper (log): Tank log")


def test_photographs_are_hashed(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (case.parent / "bags_closed.jpg").write_bytes(b"abc")
    (case.parent / "=2.jpg").write_bytes(b"")
    photos = ["--photo", "bags_closed.jpg", "=2.jpg"]
    assert main(["paper", str(case), "--for", "supplier", "--text", *photos]) == 0
    text = "".join(capsys.readouterr().out.split())
    # FIPS 180-2, example B.1: SHA-256 of "abc"; and of nothing
    assert photo_line("bags_closed.jpg").sha256 == (
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    )
    assert photo_line("=2.jpg").sha256.startswith("e3b0c44298fc1c149afbf4c8996fb924")
    assert "=2.jpg" in text and "filenotathand" not in text


def test_a_photograph_that_is_not_there_is_one_sentence(case: Path) -> None:
    with pytest.raises(AdvisorError, match="there is no such file"):
        photo_line("nothing.jpg")


@pytest.mark.parametrize(
    "words, said",
    [
        (["--for", "log", "--lot", "Z"], "no such lot"),
        (["--for", "vet", "--photo", "x.jpg"], "no such file"),
        (["--for", "nobody"], "is no choice here"),
    ],
)
def test_faults_are_one_sentence(
    case: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        status = main(["paper", str(case), *words])
    except SystemExit as stop:
        status = int(stop.code or 0)
    assert status == 2
    assert said in joined(capsys.readouterr().err)


def test_readings_and_events_come_out(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["readings", str(case)]) == 0
    assert capsys.readouterr().out.startswith("hours after receipt [h],")
    assert main(["readings", str(case), "--events", "--out", "events.csv"]) == 0
    assert (case.parent / "events.csv").read_bytes().startswith(b"\xef\xbb\xbfhours after")
    assert main(["readings", str(case), "--out", "events.csv"]) == 0
    before = case.read_bytes()
    assert main(["readings", str(case), "--out", str(case)]) == 2
    assert case.read_bytes() == before


def test_a_log_goes_in_and_says_what_it_understood(
    case: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("probe.csv").write_text("hours,temp [°C],pH\n1,25,7.4\n2,25,\n", encoding="utf-8")
    before = case.read_bytes()
    assert main(["readings", str(case), "--add", "probe.csv"]) == 2
    assert "--told start=" in joined(capsys.readouterr().err) and case.read_bytes() == before
    told = ["--start", "receipt"]
    assert main(["readings", str(case), "--add", "probe.csv", "--check", *told]) == 0
    said = joined(capsys.readouterr().out)
    assert '"temp [°C]": temperature in °C, "25" to "25"' in said and "no value in 1" in said
    assert "Nothing was written" in said and case.read_bytes() == before
    assert main(["readings", str(case), "--add", "probe.csv", "--json", *told]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown["rows"] == 2 and shown["looks"] == 2 and shown["written"]
    logged = [x for x in load_case(case).observation if (x.from_log or "").startswith("probe.csv")]
    assert [look.at_hours for look in logged] == [1, 2]


def test_a_log_of_nothing_is_refused(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Path("probe.csv").write_text("hours,pH\n1,\n", encoding="utf-8")
    before = case.read_bytes()
    assert main(["readings", str(case), "--add", "probe.csv", "--start", "0"]) == 2
    assert case.read_bytes() == before and "no readings" in joined(capsys.readouterr().err)


def test_the_schema_is_sound_and_printed(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["assess", "--schema"])
    assert stop.value.code == 0
    schema = json.loads(capsys.readouterr().out)
    Draft202012Validator.check_schema(schema)
    assert schema == assessment_schema()
    assert schema["$schema"].endswith("2020-12/schema")


PARTS = 12


@pytest.mark.parametrize(
    "part", [0, *(pytest.param(part, marks=pytest.mark.slow) for part in range(1, PARTS))]
)
def test_every_case_prints_what_the_schema_says(reasoner: Reasoner, part: int) -> None:
    check = Draft202012Validator(assessment_schema())
    paths = [DELIVERY, HOSTILE, *sorted(CASES.rglob("*.toml"))][part::PARTS]
    assert len(paths) > 1
    for path in paths:
        printed = json.loads(assess(load_case(path), reasoner).model_dump_json())
        faults = [f"{path.name}: {error.message}" for error in check.iter_errors(printed)]
        assert not faults, faults[:3]


def test_the_schema_refuses_what_is_not_a_result(reasoner: Reasoner) -> None:
    check = Draft202012Validator(assessment_schema())
    printed = json.loads(assess(load_case(DELIVERY), reasoner).model_dump_json())
    for change in ({"format": "other"}, {"lots": [{}]}, {"more": 1}):
        assert not check.is_valid(printed | change)
    assert not check.is_valid({key: part for key, part in printed.items() if key != "lots"})


def test_plain_start_loads_neither_papers_nor_pictures() -> None:
    code = "import sys, advisor.screens.app as a; a.build_parser(['paper','readings','assess']); "
    code += "print([m for m in sys.modules if m.split('.')[0] in "
    code += "('jinja2','matplotlib','numpy','plotext','shtab','rich','pydantic')])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


@pytest.fixture(scope="module")
def scripts() -> dict[str, str]:
    found = {}
    for shell in ("bash", "zsh"):
        command = [sys.executable, "-m", "advisor", "--completion", shell]
        run = subprocess.run(command, capture_output=True, text=True, check=False)
        assert run.returncode == 0, run.stderr
        found[shell] = run.stdout
    return found


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
@pytest.mark.parametrize(
    "line, wanted",
    [
        ("advisor pa", "paper"),
        ("advisor paper x.toml --f", "--for"),
        ("advisor assess --sc", "--schema"),
    ],
)
def test_bash_completes(scripts: dict[str, str], tmp_path: Path, line: str, wanted: str) -> None:
    file = tmp_path / "advisor.bash"
    file.write_text(scripts["bash"], encoding="utf-8")
    words = line.split()
    asked = f"""source {file}; COMP_WORDS=({line}); COMP_CWORD={len(words) - 1}
    COMP_LINE='{line}'; COMP_POINT={len(line)}
    $(complete -p advisor | sed 's/.*-F \\([^ ]*\\).*/\\1/'); echo "${{COMPREPLY[@]}}" """
    run = subprocess.run(["bash", "-c", asked], capture_output=True, text=True, check=True)
    assert wanted in run.stdout.split()


@pytest.mark.skipif(shutil.which("zsh") is None, reason="needs zsh")
def test_zsh_reads_its_script(scripts: dict[str, str]) -> None:
    run = subprocess.run(["zsh", "-n"], input=scripts["zsh"], capture_output=True, text=True)
    assert run.returncode == 0, run.stderr


def test_the_zsh_script_names_every_command(scripts: dict[str, str]) -> None:
    from advisor.screens.app import COMMANDS

    assert scripts["zsh"].startswith("#compdef advisor")
    named = re.findall(r"""^    ["']?([a-z]+):""", scripts["zsh"], re.MULTILINE)  # quotes vary
    assert set(COMMANDS) <= set(named)
