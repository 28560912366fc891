"""Names in plain letters, and the tables in which a kind of fish is found by them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from advisor.rulebase.kinds import Injury, Species


def index_of(species: Iterable[Species]) -> dict[str, Species]:
    """Every name of every species, in plain letters; as written goes before cut short."""
    entries = list(species)
    index: dict[str, Species] = {}
    for cut in ("", "s"):
        for entry in entries:
            for name in (entry.scientific, entry.name, *entry.also):
                index.setdefault(plain_name(name).removesuffix(cut), entry)
    return index


def keys_of(names: Iterable[tuple[str, Iterable[str]]]) -> dict[str, str]:
    """Name in plain letters -> id, from ids and the names that lead to them."""
    pairs = [(plain_name(name), entry) for entry, each in names for name in each]
    index = dict(reversed(pairs))
    for name, entry in pairs:
        index.setdefault(name.removesuffix("s"), entry)
    return index


def injuries_by_kind(injuries: Iterable[Injury]) -> dict[str, dict[str, str]]:
    """Group or species id -> name of the limit -> id of the entry that gives it."""
    index: dict[str, dict[str, str]] = {}
    for entry in injuries:
        for kind in entry.kinds:
            index.setdefault(kind, {}).setdefault(entry.limit, entry.id)
    return index


def plain_name(text: str) -> str:
    """Small letters and figures with single blanks: how names are compared.

    Letters that are not seen (zero width, direction) part no word.
    """
    seen = text if text.isascii() else _seen(text)
    return re.sub(r"[^a-z0-9]+", " ", seen.casefold()).strip()


def _seen(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text)
    hidden = ("Cf", "Cc", "Mn")
    return "".join(letter for letter in apart if unicodedata.category(letter) not in hidden)
