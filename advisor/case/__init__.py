"""The delivery as the advisor keeps it: model, readings, files."""

from __future__ import annotations

from advisor.case.model import Case, Lot, Observation
from advisor.case.readings import Reading, Readings

__all__ = ["Case", "Lot", "Observation", "Reading", "Readings"]
