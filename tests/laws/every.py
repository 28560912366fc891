"""All laws, in one place: importing this enters them."""

from tests.laws import (
    laws_care,
    laws_handling,
    laws_moving,
    laws_people,
    laws_rescue,
    laws_source,
    laws_temperature,
    laws_text,
    laws_water,
)
from tests.laws.law import LAWS

__all__ = [
    "LAWS",
    "laws_care",
    "laws_handling",
    "laws_moving",
    "laws_people",
    "laws_rescue",
    "laws_source",
    "laws_temperature",
    "laws_text",
    "laws_water",
]
