"""Names of what the rule base counts in ids: standings, times, kits."""

from __future__ import annotations

#: Where a cause stands.
STANDING = {
    "very_likely": "very likely",
    "likely": "likely",
    "possible": "possible",
    "unlikely": "unlikely",
}
#: Days since receipt that starting odds differ by.
PHASES = {"arrival": "day of arrival", "day_2_4": "day 2 to 4", "day_5_14": "day 5 or later"}
#: When an action is due, or a person is called, in the order of time.
TIMES = {
    "now": "now",
    "within_hour": "within the hour",
    "today": "today",
    "until_48h": "until 48 hours",
    "quarantine": "through quarantine",
    "when_convenient": "when convenient",
}
#: What a reading was taken with.
KITS = {
    "colour_card": "colour card",
    "strip": "test strip",
    "drops": "drop test",
    "meter": "meter",
    "lab": "laboratory",
}


def with_unit(name: str, unit: str) -> str:
    """``nitrite [mg/L as N]``; the name alone where there is no unit."""
    return f"{name} [{unit}]" if unit else name
