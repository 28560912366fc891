"""How much room what is installed for the advisor takes, and how much of it is matplotlib's.

    python -m tests.benchmarks.installed_size

Counts the files of every package that pyproject.toml asks for and of what those ask for in turn,
as this Python has them; extras are left out.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

PROJECT = Path(__file__).parents[2] / "pyproject.toml"


def asked() -> list[str]:
    """Packages the project itself asks for."""
    return tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"]["dependencies"]


def closure(lines: Iterable[str]) -> dict[str, Distribution]:
    """These packages and all they need here, by name."""
    left, found = list(lines), dict[str, Distribution]()
    while left:
        wanted = Requirement(left.pop())
        if wanted.marker is not None and not wanted.marker.evaluate({"extra": ""}):
            continue
        name = re.sub(r"[-_.]+", "-", wanted.name).lower()
        if name not in found:
            found[name] = distribution(name)
            left += found[name].requires or ()
    return found


def megabytes(packages: Iterable[Distribution]) -> float:
    """Room their files take, compiled ones left out."""
    files = (package.locate_file(f) for package in packages for f in package.files or ())
    paths = (Path(str(file)) for file in files)
    return sum(p.stat().st_size for p in paths if p.suffix != ".pyc" and p.is_file()) / 1e6


def sizes() -> tuple[float, float]:
    """MB of all that is installed, and of what only matplotlib brings."""
    everything = closure(asked())
    without = closure(line for line in asked() if not line.startswith("matplotlib"))
    own = [each for name, each in everything.items() if name not in without]
    return megabytes(everything.values()), megabytes(own)


def main() -> None:
    for line in asked():
        try:
            size = megabytes([distribution(Requirement(line).name)])
            print(f"{Requirement(line).name:<16}{size:7.1f} MB")
        except PackageNotFoundError:
            print(f"{Requirement(line).name:<16} is not installed")
    whole, own = sizes()
    print(f"all with their needs {whole:.0f} MB, {own:.0f} MB of them for matplotlib alone")


if __name__ == "__main__":
    main()
