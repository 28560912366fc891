"""Numbered choices: "1 4 7", "2-4", words of a line, near misses."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.errors import AdvisorError
from advisor.wording.nearest import near_words

_NONE = frozenset(
    {"0", "none", "nothing", "no", "nope", "neither", "nil", "n"}
    | {"none of these", "none of them", "nothing at all"}
)
_YES = frozenset(["yes", "y", "yeah", "yep", "aye", "true", "ok", "sure"])
_NO = frozenset(["no", "n", "nope", "nay", "false"])
_NUMBERS = re.compile(r"\d{1,3}(\s*-\s*\d{1,3})?")
#: Closer than this a mistyped word is taken for the line it resembles (judgement).
CLOSE = 0.78


class NotUnderstood(AdvisorError):
    """The line fits nothing offered; one sentence says what would."""


@dataclass(frozen=True)
class Picked:
    """keys chosen, in the order offered; what was taken for what when it was not exact.

    rest_unknown : the person did not look for the others
    left_over    : words that fit no line, for another reader
    """

    keys: tuple[str, ...]
    taken: tuple[tuple[str, str], ...] = ()
    rest_unknown: bool = False
    left_over: tuple[str, ...] = ()


def is_none(text: str) -> bool:
    """True for "0", "none" and their like: looked for, and none of it."""
    return plain(text) in _NONE


def is_yes(text: str) -> bool:
    return plain(text) in _YES


def is_no(text: str) -> bool:
    return plain(text) in _NO


def plain(text: str) -> str:
    """Lower case, apostrophes dropped, everything but letters, digits and minus as one space."""
    text = text.casefold().replace("'", "").replace("’", "")
    return " ".join(re.sub(r"[^\w\-]+", " ", text).split())


def pick(text: str, choices: Mapping[str, str], *, several: bool) -> Picked:
    """The choices (key -> label) that ``text`` names by number or by word.

    Raises NotUnderstood for a number out of range, for two lines where one is
    wanted, and for words that fit no line of a single choice; with ``several``
    such words come back as ``left_over``.
    """
    numbered = by_number(text, list(choices))
    found = list(numbered.keys)
    taken: list[tuple[str, str]] = []
    left: list[str] = []
    for piece in numbered.left_over:
        key, exact = _by_word(piece, choices)
        if key is None:
            left.append(piece)
            continue
        found.append(key)
        if not exact:
            taken.append((piece, choices[key]))
    found = list(dict.fromkeys(found))
    if not several:
        _one_only(text, found, left, choices)
    ordered = tuple(key for key in choices if key in found)
    return Picked(ordered, tuple(taken), numbered.rest_unknown, tuple(left))


def by_number(text: str, keys: Sequence[str]) -> Picked:
    """What ``text`` names by number; its words are left over.

    Raises NotUnderstood for a number out of range.
    """
    pieces, rest_unknown = _pieces(text)
    found: list[str] = []
    left: list[str] = []
    for piece in pieces:
        numbers = _numbers(piece, len(keys))
        if numbers is None:
            left.append(piece)
        else:
            found += [keys[n - 1] for n in numbers]
    ordered = tuple(key for key in keys if key in found)
    return Picked(ordered, (), rest_unknown, tuple(left))


def _pieces(text: str) -> tuple[list[str], bool]:
    """Parts of a line, numbers by themselves; a trailing "u" speaks of the rest."""
    parts: list[str] = []
    for part in re.split(r"[,;\n]|\s+and\s+|\s*&\s*", text):
        part = part.strip()
        lead = re.match(r"((?:\d{1,3}(?:\s*-\s*\d{1,3})?)(?:\s+|$))+", part)
        if lead:
            parts += [m.group(0) for m in _NUMBERS.finditer(lead.group(0))]
            part = part[lead.end() :].strip()
        if part:
            parts.append(part)
    rest_unknown = bool(parts) and plain(parts[-1]) in ("u", "rest unknown", "rest u", "others u")
    return (parts[:-1] if rest_unknown and len(parts) > 1 else parts), rest_unknown


def _numbers(piece: str, most: int) -> list[int] | None:
    if not _NUMBERS.fullmatch(piece):
        return None
    ends = [int(n) for n in re.findall(r"\d+", piece)]
    if min(ends) < 1 or max(ends) > most:
        apart = " ".join(piece) if piece.isdigit() and len(piece) > 1 else ""
        hint = f' For several type them apart: "{apart}".' if apart and "0" not in apart else ""
        raise NotUnderstood(f'There is no line "{brief(piece)}"; they go from 1 to {most}.{hint}')
    low, high = min(ends), max(ends)
    return list(range(low, high + 1))


def _by_word(piece: str, choices: Mapping[str, str]) -> tuple[str | None, bool]:
    """(key, whether it was said exactly): whole label, key, word of it, near spelling."""
    said = plain(piece)
    if not said:
        return None, False
    names = {key: (plain(label), plain(key.replace("_", " "))) for key, label in choices.items()}
    for key, forms in names.items():
        if said in forms:
            return key, True
    if set(choices) == {"yes", "no"}:
        return ("yes", True) if said in _YES else ("no", True) if said in _NO else (None, False)
    inside = [key for key, forms in names.items() if any(_holds(form, said) for form in forms)]
    if len(inside) == 1:
        return inside[0], False
    if len(inside) > 1:
        labels = " or ".join(f'"{choices[key]}"' for key in inside[:3])
        raise NotUnderstood(f'"{brief(piece)}" fits more than one line: {labels}. Type the number.')
    if len(said) <= 3:
        return None, False
    spelt = {rival: key for key, forms in names.items() for rival in _rivals(said, forms)}
    near = near_words(said, spelt, closeness=CLOSE)
    return (spelt[near[0]], False) if near else (None, False)


def _holds(form: str, said: str) -> bool:
    """Every word typed (of two letters or more) begins a word of the line."""
    words = [word for word in said.split() if len(word) > 1]
    return bool(words) and all(
        any(other.startswith(word) for other in form.split()) for word in words
    )


def _rivals(said: str, forms: Sequence[str]) -> list[str]:
    """What a spelling is held against; a single word against each word of a line."""
    words = [word for form in forms for word in form.split() if len(word) > 3]
    return [*forms, *(words if " " not in said else [])]


def _one_only(
    text: str, found: Sequence[str], left: Sequence[str], choices: Mapping[str, str]
) -> None:
    if len(found) > 1:
        raise NotUnderstood("Only one of these can hold; type one number.")
    if not found or left:
        hint = " or a word of the line" if len(choices) > 2 else ""
        raise NotUnderstood(
            f'"{brief(text)}" is none of these; type a number from 1 to {len(choices)}{hint}.'
        )


def brief(text: str) -> str:
    """What was typed, short and on one line, to be quoted back."""
    return " ".join(text.split())[:40]
