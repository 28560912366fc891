"""Random cases for property tests, drawn from the model itself.

``cases()`` gives whole valid cases; ``readings()``, ``lots()`` and
``observations()`` their parts. A field added to the model is drawn without any
change here; only what a type cannot say (lots that exist, bands that hold
their value) is spelled out.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from hypothesis import strategies as st
from pydantic import BaseModel

from advisor.case.model import Case, Delivery, Lot, Observation
from advisor.case.readings import RANGES, Reading, Readings

Part = TypeVar("Part", bound=BaseModel)
Parts = dict[str, Any]

#: Any text a file may hold, control characters included; lone surrogates are no text.
CHARACTERS = st.characters(exclude_categories=["Cs"])
TEXT = st.text(CHARACTERS, max_size=30)
LOT_IDS = st.text(CHARACTERS, min_size=1, max_size=30).filter("all".__ne__)


@cache
def cases() -> st.SearchStrategy[Case]:
    """Valid cases of up to three lots and four observations."""
    given = {
        "lot": st.lists(lots(), max_size=3, unique_by=lambda lot: lot.id).map(tuple),
        "observation": st.lists(observations(), max_size=4).map(tuple),
    }

    def of_these_lots(parts: Parts) -> Parts:
        # Parts that name a lot are drawn before it is known which lots there are.
        ids = ["all", *(lot.id for lot in parts["lot"])]

        def of_one(part: Part) -> Part:
            named = getattr(part, "lot", None)
            return (
                part
                if named is None
                else part.model_copy(update={"lot": ids[len(named) % len(ids)]})
            )

        for kind in ("observation", "step", "sample"):
            parts[kind] = tuple(map(of_one, parts.get(kind, ())))
        if "outcome" in parts:
            deaths = tuple(map(of_one, parts["outcome"].deaths))
            parts["outcome"] = parts["outcome"].model_copy(update={"deaths": deaths})
        if parts.get("expected") is not None:
            parts["expected"] = of_one(parts["expected"])
        return parts

    return _built(Case, given, of_these_lots)


@cache
def lots() -> st.SearchStrategy[Lot]:
    """Lots with no more dead than fish."""

    def few_dead(parts: Parts) -> Parts:
        if parts.get("count") is not None and parts.get("dead_on_arrival") is not None:
            parts["dead_on_arrival"] = min(parts["count"], parts["dead_on_arrival"])
        return parts

    return _built(Lot, {"id": LOT_IDS}, few_dead)


@cache
def observations() -> st.SearchStrategy[Observation]:
    """Looks with no sign both seen and not seen."""

    def apart(parts: Parts) -> Parts:
        both = set(parts.get("seen", ()))
        return parts | {"not_seen": tuple(s for s in parts.get("not_seen", ()) if s not in both)}

    return _built(Observation, {}, apart)


@cache
def readings() -> st.SearchStrategy[Readings]:
    """Up to four readings, each inside its physical range and its own band."""
    one = st.sampled_from(sorted(RANGES)).flatmap(
        lambda name: st.tuples(st.just(name), reading(*RANGES[name]))
    )
    return st.lists(one, max_size=4).map(lambda pairs: Readings(**dict(pairs)))


@cache
def reading(low: float, high: float) -> st.SearchStrategy[Reading]:
    """A reading between two bounds, with or without a band, a kit and words."""
    ends = st.lists(st.floats(low, high), min_size=1, max_size=3).map(sorted)

    def banded(parts: Parts) -> Parts:
        ends = parts.pop("ends")
        band = dict(zip(("value", "high"), ends[-2:], strict=False))
        return parts | band | ({"low": ends[0]} if len(ends) == 3 else {})

    return _built(
        Reading, {"ends": ends, "value": st.none(), "low": st.none(), "high": st.none()}, banded
    )


def _built(
    part: type[Part],
    given: dict[str, st.SearchStrategy[Any]],
    mend: Callable[[Parts], Parts] = lambda parts: parts,
) -> st.SearchStrategy[Part]:
    """``part`` with the strategies in ``given`` and, now and then, each of its other fields."""
    required = dict(given)
    optional: dict[str, st.SearchStrategy[Any]] = {}
    for name, field in part.model_fields.items():
        if name not in given:
            strategy = _of(
                Annotated[(field.annotation, *field.metadata)]
                if field.metadata
                else field.annotation
            )
            (required if field.is_required() else optional)[name] = strategy
    return st.fixed_dictionaries(required, optional=optional).map(lambda p: part(**mend(dict(p))))


def _of(kind: Any) -> st.SearchStrategy[Any]:
    """Values of a type as the model writes types."""
    origin, inside = get_origin(kind), get_args(kind)
    if kind is Readings:
        return readings()
    if kind is Delivery:
        received = (
            st.none() | st.datetimes().map(datetime.isoformat) | st.dates().map(date.isoformat)
        )
        return _built(kind, {"received": received})
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return _built(kind, {})
    if origin is Annotated:
        return _limited(inside[0], _limits(inside[1:]))
    if origin is Literal:
        return st.sampled_from(inside)
    if origin in (Union, UnionType):
        return st.one_of(*(_of(one) for one in inside))
    if origin is tuple:
        return st.lists(_of(inside[0]), max_size=3).map(tuple)
    if origin is dict:
        return st.dictionaries(TEXT, _of(inside[1]), max_size=3)
    return _limited(kind, {})


def _limits(extras: tuple[Any, ...]) -> Parts:
    found: Parts = {}
    for extra in extras:
        for limit in getattr(extra, "metadata", [extra]):
            for name in ("ge", "gt", "le"):
                if hasattr(limit, name):
                    found[name] = getattr(limit, name)
    return found


def _limited(kind: Any, limits: Parts) -> st.SearchStrategy[Any]:
    if kind is bool:
        return st.booleans()
    if kind is int:
        return st.integers(limits.get("ge"), limits.get("le"))
    if kind is float:
        low = limits.get("ge", limits.get("gt"))
        return st.floats(
            low,
            limits.get("le"),
            exclude_min="gt" in limits,
            allow_nan=False,
            allow_infinity=False,
        )
    if kind is str:
        return TEXT
    if kind is type(None):
        return st.none()
    if get_origin(kind) is not None:
        return _of(kind)
    raise TypeError(f"no strategy for {kind!r}; teach tests/case/strategies.py this type")
