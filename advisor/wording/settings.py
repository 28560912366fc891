"""What a person has set for good: units, size of the sheet, address of the page, teaspoons.

Each is read from the environment (ADVISOR_UNITS and so on), else from
``settings.toml`` in the user's configuration folder. ADVISOR_SETTINGS names another file.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.wording.text import one_line

#: Name -> its allowed values; none where any text will do.
SETTINGS: Mapping[str, tuple[str, ...]] = {
    "units": ("metric", "us"),
    "sheet": ("A4", "letter"),
    "teaspoons": ("yes", "no"),
    "address": (),
}


def settings_file(environ: Mapping[str, str] = os.environ) -> Path:
    """Where settings are kept."""
    named = environ.get("ADVISOR_SETTINGS")
    if named:
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path("advisor", appauthor=False) / "settings.toml"


def setting(name: str, environ: Mapping[str, str] = os.environ) -> str | None:
    """A setting; None when it was never set.

    Raises AdvisorError for a file that cannot be read and a value that is not allowed.
    """
    from_environment = environ.get(f"ADVISOR_{name.upper()}")
    if from_environment:
        return checked(name, from_environment, f"ADVISOR_{name.upper()}")
    path = settings_file(environ)
    value = kept(path).get(name)
    return None if value is None else checked(name, value, f"{path}, {name}")


def kept(path: Path) -> dict[str, str]:
    """All settings of a file; none when there is no file. Raises AdvisorError."""
    try:
        read = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "no readable TOML"
        raise AdvisorError(f"{path}: settings cannot be read ({reason.lower()}).") from None
    return {name: str(value) for name, value in read.items() if name in SETTINGS}


def keep(path: Path, changes: Mapping[str, str]) -> dict[str, str]:
    """Write changed settings and return all; an empty value takes one away. Raises AdvisorError."""
    found = kept(path)
    for name, value in changes.items():
        if name not in SETTINGS:
            raise AdvisorError(
                f"{one_line(name)}: no such setting; there are {', '.join(SETTINGS)}."
            )
        if value:
            found[name] = checked(name, value, name)
        else:
            found.pop(name, None)
    import json

    lines = (f"{name} = {json.dumps(value)}\n" for name, value in sorted(found.items()))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("".join(lines), encoding="utf-8")
    except OSError as fault:
        reason = (fault.strerror or "unknown reason").lower()
        raise AdvisorError(f"{path}: settings cannot be kept ({reason}).") from None
    return found


def checked(name: str, value: str, where: str) -> str:
    """The value as it is spelt here. Raises AdvisorError for one that is not allowed."""
    allowed = SETTINGS[name]
    if not allowed:
        return one_line(value)
    for each in allowed:
        if value.strip().casefold() == each.casefold():
            return each
    raise AdvisorError(f'{where}: "{one_line(value)[:40]}" is not {" or ".join(allowed)}.')
