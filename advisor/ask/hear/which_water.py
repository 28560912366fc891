"""Which parameter and which water a number belongs to, by what is named beside it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Token:
    """A piece of a line of readings; ``name`` is what it stands for."""

    kind: str  # "water", "parameter", "value", "unit"
    name: str
    text: str
    start: int
    end: int


def value_is_named(value: Token, tokens: Sequence[Token], text: str) -> bool:
    """Whether a parameter or its unit stands right beside the number."""
    at = tokens.index(value)
    nexts = [i for i, t in enumerate(tokens) if t.kind == "value" and i > at]
    near = tokens[max(0, at - 2) : min([at + 3, *nexts])]
    return any(
        t.kind in ("parameter", "unit")
        and not re.search(r"[,;]\s", text[value.end : t.start])
        and (abs(t.start - value.end) < 12 or abs(value.start - t.end) < 14)
        for t in near
    )


def parameter_of(
    value: Token,
    tokens: Sequence[Token],
    values: Sequence[Token],
    at: int,
    order: Sequence[tuple[str, str]],
    used: Sequence[tuple[str, str]],
    text: str,
) -> str | None:
    """By its unit, by the name before it, by the name right after it, by the question's order."""
    unit = next((t for t in tokens if t.kind == "unit" and t.start == value.end), None)
    start = values[at - 1].end if at else 0
    units = {t.start for t in tokens if t.kind == "unit"}
    before = [
        t
        for t in tokens
        if t.kind == "parameter"
        and start <= t.start < value.start
        and not any(abs(t.start - u) <= 2 and u == start for u in units)
    ]
    stop = values[at + 1].start if at + 1 < len(values) else len(text)
    after = [
        t
        for t in tokens
        if t.kind == "parameter" and value.end <= t.start < min(stop, value.end + 16)
    ]
    named_after_style = not any(
        t.kind == "parameter" and t.start < values[0].start for t in tokens
    ) and any(t.kind == "parameter" and t.start >= values[-1].end for t in tokens)
    if after and named_after_style:
        return after[0].name
    if before:
        return before[-1].name
    if unit is not None:
        return unit.name
    if order:
        water = _nearest_water(value, tokens, values, text)
        free = [p for w, p in order if (w, p) not in used and (water is None or w == water)]
        if water is not None and not free:
            free = [p for _, p in order if (water, p) not in used]
        if not free and not _in_clause(value, tokens, text):
            free = [p for w, p in order if (w, p) not in used]
        if not free and water is not None and _in_clause(value, tokens, text):
            free = [p for w, p in order if w == water]  # a second figure: it is asked which
        return free[0] if free else None
    return after[0].name if after else None


def _nearest_water(
    value: Token, tokens: Sequence[Token], values: Sequence[Token], text: str
) -> str | None:
    """The water named in the number's own clause, else the one the line began with.

    "water 24.5, box 20": the box is no water of the first number.
    """
    waters = [t for t in tokens if t.kind == "water"]
    if not waters:
        return None
    start, stop = _clause(value, text)
    mine = [t for t in waters if start <= t.start < stop]
    first = next(v for v in values if v.start >= start)
    if not mine and waters[0].start > values[0].start:
        nexts = [v.start for v in values if v.start > value.start]
        after = [t for t in waters if value.end <= t.start < min([*nexts, len(text)])]
        alone = [t for t in after if not any(_clause(t, text) == _clause(v, text) for v in values)]
        return alone[0].name if alone else None
    if not mine or mine[0].start < first.start:
        before = [t for t in (mine or waters) if t.start < value.start]
        return before[-1].name if before else None
    ends = [v.start for v in values if value.start < v.start < stop]
    after = [t for t in mine if value.end <= t.start < min([*ends, stop])]
    return after[0].name if after else None


_CUTS = re.compile(r",(?!\d)|;|\band\b|\bbut\b|\bund\b")


def _clause(token: Token, text: str) -> tuple[int, int]:
    """From where to where the clause of a token runs."""
    cuts = [hit.start() for hit in _CUTS.finditer(text)]
    start = max([c for c in cuts if c < token.start], default=0)
    return start, min([c for c in cuts if c >= token.end], default=len(text))


def _in_clause(value: Token, tokens: Sequence[Token], text: str) -> bool:
    """Whether a water is named in the clause of a number."""
    start, stop = _clause(value, text)
    return any(t.kind == "water" and start <= t.start < stop for t in tokens)


def water_of(
    value: Token,
    parameter: str,
    tokens: Sequence[Token],
    values: Sequence[Token],
    order: Sequence[tuple[str, str]],
    used: Sequence[tuple[str, str]],
    text: str,
) -> str:
    near = _nearest_water(value, tokens, values, text)
    offered = [w for w, p in order if p == parameter and (w, p) not in used]
    taken = (near, parameter) in used and offered and not _in_clause(value, tokens, text)
    if near is not None and not taken:
        return near
    if offered:
        return offered[0]
    return order[0][0] if order and all(w == order[0][0] for w, _ in order) else "tank"
