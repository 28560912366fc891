"""The program's own version, as written into saved assessments."""

from __future__ import annotations

VERSION = "0.1.0"
PROGRAM = f"advisor {VERSION}"
