"""In which order the chosen steps stand.

By time, emergencies first, then by the place each step asks for. Where fish fail, whoever fails
gets a way out among the first three, however many things are to be shut off, and the way out of
what is likeliest is among them; and water is sampled before anything changes it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.rulebase.conditions import STANDINGS
from advisor.rulebase.engine import Firing
from advisor.rulebase.entries import Action

Fired = dict[str, list[Firing]]
Proposed = tuple[Action, list[Firing]]
TIMES = ("now", "within_hour", "today", "until_48h", "quarantine")
#: A hand's worth of steps: among so many whoever fails has a way out.
FIRST = 3
#: Up to this order stands what acts within minutes, as chlorine is bound: nothing displaces it.
MINUTES = 4
VERY_LIKELY = STANDINGS.index("very_likely")


def in_sequence(
    chosen: Sequence[Proposed], places: Mapping[str, int], fired: Fired
) -> list[Proposed]:
    """The steps as they are to be done. ``places`` are those of the causes, most likely first."""
    ordered = sorted(chosen, key=lambda proposed: place_of(proposed, places, fired))
    urgent = [p for p in ordered if p[0].time == TIMES[0] and is_emergency(p[0], fired)]
    steps = _ways_first(_likeliest_first(urgent, places)) + ordered[len(urgent) :]
    if len(urgent) >= FIRST:  # all of them may be shut off while whoever labours waits for air
        steps = _first_way_in_time(steps)
    return _samples_first(steps)


def is_emergency(action: Action, fired: Fired) -> bool:
    """Whether it is one here: fish fail now or within minutes."""
    return action.emergency or f"emergency:{action.id}" in fired


def place_of(
    proposed: Proposed, places: Mapping[str, int], fired: Fired
) -> tuple[int, bool, int, int, str]:
    """What steps are sorted by: time, emergency, order, place of the cause it helps with."""
    action = proposed[0]
    return (
        TIMES.index(action.time),
        not is_emergency(action, fired),
        action.order,
        _place_of_cause(proposed, places),
        action.id,
    )


def _likeliest_first(urgent: list[Proposed], places: Mapping[str, int]) -> list[Proposed]:
    """Of more ways out than stand among the first, that out of what is very likely is there."""
    ways = [p for p in urgent if _is_way(p[0])]
    room = sum(_is_way(p[0]) for p in _ways_first(urgent)[:FIRST])
    if not 0 < room < len(ways):
        return urgent
    likeliest = [way for way in ways if _is_very_likely(way)]
    best = min(likeliest, key=lambda way: _place_of_cause(way, places), default=None)
    if best is None or best in ways[:room] or ways[room - 1][0].order <= MINUTES:
        return urgent
    rest = [p for p in urgent if p is not best]
    at = rest.index(ways[room - 1])
    return [*rest[:at], best, *rest[at:]]


def _is_very_likely(proposed: Proposed) -> bool:
    return any(
        f.kind == "standing" and f.value == VERY_LIKELY for p in proposed[1] for f in p.facts
    )


def _place_of_cause(proposed: Proposed, places: Mapping[str, int]) -> int:
    """The place of the likeliest cause it helps with; past all of them where it names none."""
    causes = [places[f.name] for p in proposed[1] for f in p.facts if f.kind == "standing"]
    return min(causes, default=len(places))


def _ways_first(urgent: list[Proposed]) -> list[Proposed]:
    """What may follow the ways out stands ahead of them only as far as three ways leave room.

    What shuts something off, and would stand between the first two ways, follows the second.
    """
    ways = sum(_is_way(p[0]) for p in urgent)
    stops = sum(p[0].among_emergencies == "stop" for p in urgent)
    room = FIRST - stops - min(FIRST, ways)
    ahead: list[Proposed] = []
    shut: list[Proposed] = []
    later: list[Proposed] = []
    given = 0
    for proposed in urgent:
        among = proposed[0].among_emergencies
        if among == "after" and given < FIRST:
            (ahead if room > 0 else later).append(proposed)
            room -= 1
        elif among == "stop" and 0 < given < min(2, ways):
            shut.append(proposed)
        else:
            ahead.append(proposed)
            given += _is_way(proposed[0])
            if given >= min(2, ways):
                ahead, shut = ahead + shut, []
            if given >= min(FIRST, ways):
                ahead, later = ahead + later, []
    return _first_way_in_time(ahead + shut + later)


def _first_way_in_time(urgent: list[Proposed]) -> list[Proposed]:
    """However many things are to be shut off, the first way out is no later than third."""
    now = (k for k, p in enumerate(urgent) if p[0].time == TIMES[0] and _is_way(p[0]))
    at = next(now, 0)
    if at < FIRST:
        return urgent
    return [*urgent[: FIRST - 1], urgent[at], *urgent[FIRST - 1 : at], *urgent[at + 1 :]]


def _is_way(action: Action) -> bool:
    return action.step == "rescue" and action.among_emergencies == "way"


def _samples_first(steps: list[Proposed]) -> list[Proposed]:
    """A step goes up before the first of those that it must stand before, if any is shown.

    Another that does the same as it begins goes up in its stead. Not where the way out would
    be pushed out of the first three: then it follows that.
    """
    for asked in [p for p in steps if p[0].before]:
        moving = next((p for p in steps if asked[0].id in p[0].undoes), asked)
        at = steps.index(moving)
        first = next((k for k, p in enumerate(steps[:at]) if p[0].id in asked[0].before), None)
        if first is None:
            continue
        held = _is_way(moving[0]) or not any(_is_way(p[0]) for p in steps[:first])
        if first == FIRST - 1 and held:
            first += 1
        steps = [*steps[:first], moving, *steps[first:at], *steps[at + 1 :]]
    return steps
