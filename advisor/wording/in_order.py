"""An order in words, with those that nothing tells apart."""

from __future__ import annotations

from collections.abc import Sequence


def in_order(names: Sequence[str], tied: Sequence[bool]) -> tuple[str, ...]:
    """The names in their order; those tied with the one before stand in one part with it.

    tied : for each name, whether nothing known sets it behind the one before
    """
    parts: list[list[str]] = []
    for name, with_last in zip(names, tied, strict=True):
        if parts and with_last:
            parts[-1].append(name)
        else:
            parts.append([name])
    return tuple(_any_order(part) if len(part) > 1 else part[0] for part in parts)


def _any_order(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]} in any order, nothing known tells them apart"
