"""From the words of the command line to the sum that is asked for and what is given."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.errors import AdvisorError
from advisor.screens.show_water.sums import Sum, Take
from advisor.screens.show_water.typed_units import PRESSURES
from advisor.screens.show_water.typed_values import (
    read_kit,
    read_number,
    read_share,
    read_value,
)
from advisor.units import Quantity, is_unknown
from advisor.units.kits import Kit
from advisor.wording.nearest import nearest

_AND = re.compile(r"\s+(?:and|&)\s+", re.I)
_FLAGS = {"-v": "verbose", "--verbose": "verbose", "--json": "json", "-h": "help", "--help": "help"}
_HEIGHTS = {"m": 1.0, "metres": 1.0, "meters": 1.0, "ft": 0.3048, "feet": 0.3048, "km": 1000.0}


@dataclass(frozen=True)
class Asked:
    """The words after the sum's name, sorted out.

    pairs : key -> what stands after "="
    bare  : words before the first key
    flags : verbose, json, help
    """

    pairs: dict[str, str]
    bare: str
    flags: frozenset[str]


def sort_out(words: Sequence[str]) -> Asked:
    """Keys, values and flags; a value runs on until the next key, so quotes can be left out.

    Raises AdvisorError for an unknown flag or a key given twice.
    """
    pairs: dict[str, list[str]] = {}
    bare: list[str] = []
    flags: set[str] = set()
    current = bare
    for word in words:
        if word in _FLAGS:
            flags.add(_FLAGS[word])
        elif re.match(r"--?[a-zA-Z]", word):
            raise AdvisorError(f'"{word}": no such option{nearest(word, _FLAGS) or "."}')
        elif "=" in word:
            key, _, rest = word.partition("=")
            key = key.strip().lower()
            if key in pairs:
                raise AdvisorError(f"{key}: given twice; keep one.")
            current = pairs[key] = [rest] if rest.strip() else []
        else:
            current.append(word)
    joined = {key: " ".join(value) for key, value in pairs.items()}
    return Asked(joined, " ".join(bare), frozenset(flags))


def read_all(entry: Sum, asked: Asked) -> dict[str, tuple[Quantity, ...]]:
    """The quantities given for a sum, by key.

    Raises AdvisorError, one sentence, for a key that is unknown, a value that
    is none, and something missing.
    """
    texts, kit = _texts(entry, asked)
    given: dict[str, tuple[Quantity, ...]] = {}
    for take in entry.takes:
        text = texts.get(take.key, "")
        if not text or is_unknown(text):
            if take.needed:
                raise AdvisorError(_missing(entry, take, bool(text)))
            continue
        pieces = _AND.split(text) if take.many else [text]
        given[take.key] = tuple(_read(piece, take, kit, given) for piece in pieces)
    return given


def _texts(entry: Sum, asked: Asked) -> tuple[dict[str, str], Kit | None]:
    """What was written for each key of the sum, and the kit."""
    texts: dict[str, str] = {}
    kit: Kit | None = None
    if asked.bare:
        texts[_only_key(entry, asked.bare)] = asked.bare
    for written, text in asked.pairs.items():
        if written == "kit":
            kit = read_kit(text, "kit")
            continue
        take = _take_named(entry, written)
        if take.key in texts:
            raise AdvisorError(f"{take.key}: given twice; keep one.")
        texts[take.key] = text
    return texts, kit


def _only_key(entry: Sum, bare: str) -> str:
    """The key a value without one stands for, when the sum needs no more than one."""
    needed = [take.key for take in entry.takes if take.needed]
    if len(needed) != 1:
        raise AdvisorError(
            f'"{bare}": say what it is, like {entry.takes[0].key}={bare.split()[0]}. '
            f"Example: advisor water {entry.word} {entry.example}"
        )
    return needed[0]


def _take_named(entry: Sum, written: str) -> Take:
    for take in entry.takes:
        if written == take.key or written in take.also:
            return take
    starts = [t for t in entry.takes if len(written) > 2 and t.key.startswith(written)]
    if len(starts) == 1:
        return starts[0]
    known = [name for take in entry.takes for name in (take.key, *take.also)]
    keys = ", ".join(take.key for take in entry.takes)
    hint = nearest(written, known) or "."
    raise AdvisorError(f"{written}: {entry.word} takes no such thing{hint} It takes {keys}, kit.")


def _missing(entry: Sum, take: Take, said_unknown: bool) -> str:
    why = "cannot be unknown here" if said_unknown else "is missing"
    return f"{take.key}: {why}. Example: advisor water {entry.word} {entry.example}"


def _read(
    text: str, take: Take, kit: Kit | None, given: Mapping[str, tuple[Quantity, ...]]
) -> Quantity:
    if take.parameter:
        around = {key: found[0].value for key, found in given.items()}
        return read_value(
            text,
            take.parameter,
            take.key,
            kit=kit,
            temperature_c=around.get("temp"),
            salinity_g_kg=around.get("salinity"),
        )
    if take.how == "share":
        return read_share(text, take.key)
    if take.how == "altitude":
        return read_number(text, take.key, {"": 1.0, **_HEIGHTS}, "1200 m or 4000 ft")
    if take.how == "pressure":
        return read_number(text, take.key, {"": 1.0, **PRESSURES}, "745 mmHg or 993 hPa")
    if take.how == "ppm":
        return read_number(text, take.key, {"": 1.0, "ppm": 1.0}, "420 ppm")
    if take.how == "same":
        return _in_any_unit(text, take.key)
    return read_number(text, take.key, {"": 1.0}, "3")


def _in_any_unit(text: str, key: str) -> Quantity:
    """A number whose unit does not matter, since all of them stand in the same."""
    number = re.match(r"\s*[-+]?\d+(?:[.,]\d+)?", text)
    if number is None:
        raise AdvisorError(f'{key}: "{text}" holds no number. Write it like 4 mg/L.')
    found = read_number(number[0], key, {"": 1.0}, "4 mg/L")
    return Quantity(found.value, found.low, found.high, text.strip())


def same_unit(given: Mapping[str, tuple[Quantity, ...]], keys: Sequence[str]) -> None:
    """Refuse values that are compared but written in different units."""
    written = {
        key: re.sub(r"^\s*[-+]?[\d.,]+\s*", "", given[key][0].entered).lower()
        for key in keys
        if key in given
    }
    units = {unit for unit in written.values() if unit}
    if len(units) > 1:
        said = " and ".join(f'{key} in "{unit}"' for key, unit in written.items() if unit)
        raise AdvisorError(f"{said}: write all of them in one unit.")
