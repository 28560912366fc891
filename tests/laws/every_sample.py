"""All hand-written samples, in one place: importing this enters them."""

from tests.laws import (
    samples_care,
    samples_handling,
    samples_move,
    samples_rescue,
    samples_text,
    samples_water,
)
from tests.laws.samples import SAMPLES, Sample

__all__ = [
    "SAMPLES",
    "Sample",
    "samples_care",
    "samples_handling",
    "samples_move",
    "samples_rescue",
    "samples_text",
    "samples_water",
]
