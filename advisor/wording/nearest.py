"""The known word that was probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice

#: Longer words and lists are cut: nobody waits for a guess.
_LETTERS, _WORDS = 80, 10_000


def near_words(word: str, known: Iterable[str], most: int = 1, closeness: float = 0.6) -> list[str]:
    """At most ``most`` known words like ``word``, the likest first.

    closeness : 0 takes any word, 1 only the same one (difflib's ratio)
    """
    import difflib  # only when a word is not known

    kept = list(islice(known, _WORDS))
    return difflib.get_close_matches(str(word)[:_LETTERS], kept, most, closeness)


def nearest(word: str, known: Iterable[str], most: int = 1, closeness: float = 0.6) -> str:
    """'; did you mean "x"?' when a known word lies close, else nothing.

    >>> nearest("gasp", ["gasping", "resting"])
    '; did you mean "gasping"?'
    """
    near = [f'"{one}"' for one in near_words(word, known, most, closeness)]
    return f"; did you mean {' or '.join(near)}?" if near else ""
