"""The published form of an assessment as JSON Schema, made from the result models."""

from __future__ import annotations

from typing import Any

from advisor.advice.results import FORMAT, Assessment

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def assessment_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of what ``advisor assess --json`` prints."""
    schema = Assessment.model_json_schema(mode="serialization")
    return {
        "$schema": DIALECT,
        "$id": f"urn:{FORMAT}",
        "$comment": "Decibans are weights of evidence by judgement, not probabilities.",
        **schema,
    }
