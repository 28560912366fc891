"""TOML files that a person may have written: read within bounds, faults in plain sentences.

Used for cases and for rules; a :class:`Form` gives the words of each.
"""

from __future__ import annotations

from advisor.tomltext.reading import (
    MOST_BYTES,
    MOST_SHOWN,
    Form,
    decode,
    one_line,
    parse,
    read_bytes,
)
from advisor.tomltext.words import path_text, shown

__all__ = [
    "MOST_BYTES",
    "MOST_SHOWN",
    "Form",
    "decode",
    "one_line",
    "parse",
    "path_text",
    "read_bytes",
    "shown",
]
