"""No way for a file to become code, and every dependency with the reason it is here."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterable
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "advisor").rglob("*.py"))

#: Calls that turn text into code or hand it to a shell.
CALLS = {
    "eval", "exec", "compile", "__import__", "os.system", "os.popen", "os.execv", "os.execvp",
    "os.spawnv", "subprocess.getoutput", "subprocess.getstatusoutput", "pty.spawn",
    "builtins.eval", "builtins.exec", "tempfile.mktemp",
}  # fmt: skip
#: Modules that make objects out of bytes, or talk to the network or a shell.
IMPORTS = {
    "pickle", "cPickle", "dill", "cloudpickle", "joblib", "marshal", "shelve", "dbm", "yaml",
    "ruamel", "code", "codeop", "pty", "commands", "telnetlib", "ftplib", "smtplib", "socket",
    "ssl", "http", "urllib.request", "requests", "httpx", "xmlrpc", "ctypes", "cffi",
}  # fmt: skip
#: Functions whose argument "shell" is the name of one, with no process started.
NO_PROCESS = {"shtab.complete"}
#: Where other processes are part of the work, and what for.
PROCESSES = {
    "advisor/explain/replay/crowd.py",  # cases over several cores
    "advisor/page/processes.py",  # deliveries over several cores
}
#: Where the network is: the port that the page is served on, and this computer's address.
NETWORK = {"advisor/page/command_serve.py": "imports socket"}
#: What is installed only when asked for, and where alone it is imported.
EXTRAS = {"page": "advisor/page/", "cluster": "advisor/explain/replay/crowd.py"}


def name_of(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        return f"{name_of(node.value)}.{node.attr}"
    return ""


def _is(node: ast.expr, value: bool) -> bool:
    return isinstance(node, ast.Constant) and node.value is value


def _called(call: ast.Call) -> list[str]:
    name = name_of(call.func)
    found = [f"calls {name}"] if name in CALLS else []
    for keyword in call.keywords:
        if keyword.arg == "shell" and name not in NO_PROCESS and not _is(keyword.value, False):
            found.append("uses a shell")
        if keyword.arg == "autoescape" and not _is(keyword.value, True):
            found.append("a template that does not escape")
    return found


def _imported(node: ast.Import | ast.ImportFrom) -> list[str]:
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    return [node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)]


def _and_parents(name: str) -> set[str]:
    parts = name.split(".")
    return {".".join(parts[:depth]) for depth in range(1, len(parts) + 1)}


def unsafe(tree: ast.AST) -> list[str]:
    """Everything in a module that this project does without."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            found += [f"line {node.lineno}: {what}" for what in _called(node)]
        elif isinstance(node, (ast.Import, ast.ImportFrom)):
            names = [name for name in _imported(node) if _and_parents(name) & IMPORTS]
            found += [f"line {node.lineno}: imports {name}" for name in names]
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_no_module_can_make_code_of_a_file(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    allowed = NETWORK.get(path.relative_to(ROOT).as_posix(), "nothing")
    assert [each for each in unsafe(ast.parse(text)) if not each.endswith(allowed)] == []
    if re.search(r"^\s*(import|from) (multiprocessing|subprocess|concurrent)\b", text, re.M):
        assert path.relative_to(ROOT).as_posix() in PROCESSES


@pytest.mark.parametrize(
    "text",
    [
        "eval('1')",
        "import os; os.system('ls')",
        "import subprocess; subprocess.run('ls', shell=True)",
        "import subprocess; subprocess.run('ls', shell=flag)",
        "import pickle",
        "from yaml import load",
        "from urllib import request",
        "import urllib.request",
        "__import__('x')",
        "Environment(autoescape=False)",
    ],
)
def test_the_search_finds_what_it_looks_for(text: str) -> None:
    assert unsafe(ast.parse(text))


def test_templates_escape_what_they_are_given() -> None:
    made = [
        node
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and name_of(node.func).split(".")[-1] == "Environment"
    ]
    assert made
    for call in made:
        assert any(keyword.arg == "autoescape" for keyword in call.keywords)


def dependencies() -> list[tuple[str, str]]:
    """(requirement, what stands beside it) of every dependency in pyproject.toml."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    beside = dict(re.findall(r'^\s*"([^"]+)",?[ \t]*(?:#[ \t]*(.*))?$', text, re.MULTILINE))
    return [(each, beside[each]) for each in tomllib.loads(text)["project"]["dependencies"]]


def test_every_dependency_says_why_it_is_here_and_from_which_release() -> None:
    found = dependencies()
    assert len(found) > 5
    for requirement, why in found:
        assert len(why) > 8, f"{requirement}: say why beside it"
        assert re.search(r"[>=]=\d", requirement), f"{requirement}: no lower bound"


def modules_of(requirements: Iterable[str]) -> set[str]:
    """What may be imported of these distributions."""
    provided = {
        "durable-rules": {"durable_rules_engine"},
        "jinja2": {"jinja2", "markupsafe"},
        "matplotlib": {"matplotlib", "PIL"},  # it comes with pillow
        "pillow": {"PIL"},
    }
    names = {re.split(r"[<>=!~ \[]", each)[0].lower() for each in requirements}
    return {module for name in names for module in provided.get(name, {name.replace("-", "_")})}


def test_nothing_is_imported_that_is_not_declared() -> None:
    always = modules_of(name for name, _ in dependencies())
    always |= set(sys.stdlib_module_names) | {"advisor"}
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    extras = tomllib.loads(text)["project"]["optional-dependencies"]
    for path in MODULES:
        known = set(always)
        for extra, where in EXTRAS.items():
            if path.relative_to(ROOT).as_posix().startswith(where):
                known |= modules_of(extras[extra])
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, (ast.Import, ast.ImportFrom)) and not getattr(node, "level", 0):
                strange = {name.split(".")[0] for name in _imported(node)} - known
                assert not strange, f"{path.relative_to(ROOT)} imports {sorted(strange)}"
