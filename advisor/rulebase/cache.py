"""A checked rule base kept as JSON, so that reading it again costs a fraction.

The cache is a file in the user's cache folder named by the fingerprint of the
rules, of this program's version and of the models. Whatever goes wrong with it
is no fault: the rules are then read from their own files.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from advisor.version import VERSION


def cache_file(fingerprint: str) -> Path:
    """Where the checked form of these rules is kept."""
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    models = Path(__file__).with_name("model.py").read_bytes()
    mark = hashlib.sha256(f"{VERSION} {fingerprint} ".encode() + models).hexdigest()[:24]
    return Path(home) / "advisor" / f"rules-{mark}.json"


def read_cached(fingerprint: str) -> dict[str, Any] | None:
    """The tables as they were stored, or None."""
    try:
        content = json.loads(cache_file(fingerprint).read_bytes())
    except (OSError, ValueError, RuntimeError):
        return None
    return content if isinstance(content, dict) else None


def write_cached(fingerprint: str, tables: Mapping[str, Any]) -> None:
    """Keep the tables for the next start; silently not, where that cannot be done."""
    try:
        target = cache_file(fingerprint)
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(
            "w", dir=target.parent, prefix=target.name, delete=False, encoding="utf-8"
        ) as handle:
            json.dump(tables, handle, ensure_ascii=False, separators=(",", ":"))
        os.replace(handle.name, target)
        for old in target.parent.glob("rules-*.json"):
            if old != target and old.stat().st_mtime < target.stat().st_mtime - 30 * 86400:
                old.unlink()
    except (OSError, RuntimeError):
        return
