"""Frozen parts of a case, changed by making a checked copy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import ValidationError

from advisor.case.model import Part
from advisor.case.readings import Readings
from advisor.errors import AdvisorError

P = TypeVar("P", bound=Part | Readings)


@dataclass(frozen=True)
class Place:
    """Where an answer belongs: which lot, and at which hour after receipt."""

    lot: str | None
    at_hours: float


def changed(part: P, **values: Any) -> P:
    """A copy with some values replaced and everything checked again.

    Raises AdvisorError naming the field when a value cannot stand there.
    """
    kept = {name: getattr(part, name) for name in type(part).model_fields}
    try:
        checked: P = type(part).model_validate({**kept, **values})  # type: ignore[assignment]
        return checked
    except ValidationError as error:
        fault = error.errors(include_url=False)[0]
        name = str(fault["loc"][0]) if fault["loc"] else next(iter(values))
        reason = fault["msg"].removeprefix("Value error, ")
        raise AdvisorError(f"{name.replace('_', ' ')}: {reason}.") from None
