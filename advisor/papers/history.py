"""What happened to a delivery, in time order: for the papers and as a table of events."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.ask.hands import first_sentence
from advisor.case import Case, Observation
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from advisor.wording.times import span


@dataclass(frozen=True)
class Event:
    """Something at a time after receipt [h]; ``lot`` is "all" or a lot's id.

    kind : journey, step, look, done, loss, sample
    """

    at_hours: float
    lot: str
    kind: str
    text: str


def events_of(case: Case, base: RuleBase) -> tuple[Event, ...]:
    """Everything the case says happened, earliest first. Rows of an instrument are left out."""
    found = [*_journey(case), *_steps(case), *_looks(case, base), *_losses(case), *_samples(case)]
    return tuple(sorted(found, key=lambda event: event.at_hours))


def _journey(case: Case) -> Iterator[Event]:
    for lot in case.lot:
        sealed = lot.hours_sealed if lot.hours_sealed is not None else case.transit.hours_sealed
        opened = lot.opened_at_hours
        if sealed is not None:
            yield Event((opened or 0.0) - sealed, lot.id, "journey", "bags sealed")
        if opened is not None:
            yield Event(opened, lot.id, "journey", "bags opened")
        if lot.released_at_hours is not None:
            how = {"floated_open": "floated open, then released"}.get(
                lot.release_method or "", lot.release_method or ""
            )
            how = "" if how in ("", "unknown") else f" ({how})"
            yield Event(lot.released_at_hours, lot.id, "journey", f"fish in the tank{how}")
    yield Event(0.0, "all", "journey", "delivery received")
    for added in case.receiving.added:
        if added.at_hours is not None:
            amount = f", {added.amount}" if added.amount else ""
            yield Event(
                added.at_hours, "all", "done", f"put into the tank: {added.substance}{amount}"
            )
    if case.claim.reported_at_hours is not None:
        yield Event(case.claim.reported_at_hours, "all", "journey", "losses reported to supplier")


def _steps(case: Case) -> Iterator[Event]:
    for step in case.step:
        took = f" (took {span(step.minutes / 60)})" if step.minutes is not None else ""
        yield Event(step.at_hours, step.lot, "step", f"{step.what}{took}")


def _looks(case: Case, base: RuleBase) -> Iterator[Event]:
    for look in case.observation:
        if look.from_log:
            continue
        counted = heads(look.counts) + _fewer(case, look.lot, look.at_hours, look.counts.dead)
        text = "; ".join(filter(None, (counted, _seen(look, base), look.note or "")))
        if text:
            yield Event(look.at_hours, look.lot, "look", text)
        for done in look.done:
            yield Event(look.at_hours, look.lot, "done", step_words(done, base))


def step_words(done: str, base: RuleBase) -> str:
    """What was done in words: the order of the step that was ticked, else as it was written."""
    step = base.actions.get(done)
    return done if step is None else first_sentence(step.text).rstrip(".")


def _fewer(case: Case, lot: str, at_hours: float, dead: int | None) -> str:
    """A word where the dead written down are fewer than at an earlier time."""
    told = [(look.at_hours, look.counts.dead) for look in case.observation if look.lot == lot]
    told += [(death.at_hours, death.dead) for death in case.outcome.deaths if death.lot == lot]
    most = max((number or 0 for hours, number in told if hours < at_hours), default=0)
    if dead is None or dead >= most:
        return ""
    return f" (fewer than the {most} dead written down before: one of the two is wrong)"


def heads(counts: Counts) -> str:
    """``38 normal, 18 down, 4 dead``; what was not counted is left out."""
    named = (("normal", counts.normal), ("down", counts.down), ("dead", counts.dead))
    return ", ".join(f"{count} {word}" for word, count in named if count is not None)


def _seen(look: Observation, base: RuleBase) -> str:
    words = [*(sign_name(sign, base) for sign in look.seen), *(f'"{w}"' for w in look.words)]
    return f"seen: {', '.join(words)}" if words else ""


def sign_name(sign: str, base: RuleBase) -> str:
    """A sign's plain name; its id in plain letters when the rule base does not hold it."""
    entry = base.signs.get(sign)
    return sign.replace("_", " ") if entry is None else entry.name


def _losses(case: Case) -> Iterator[Event]:
    for lot in case.lot:
        if lot.dead_on_arrival:
            at = lot.opened_at_hours or 0.0
            yield Event(at, lot.id, "loss", f"{lot.dead_on_arrival} dead on arrival")
    for death in case.outcome.deaths:
        fewer = _fewer(case, death.lot, death.at_hours, death.dead)
        yield Event(death.at_hours, death.lot, "loss", f"{death.dead} dead in all so far{fewer}")


def _samples(case: Case) -> Iterator[Event]:
    for sample in case.sample:
        if sample.at_hours is not None:
            kept = f", {sample.kept}" if sample.kept else ""
            yield Event(sample.at_hours, sample.lot, "sample", f"kept: {sample.what}{kept}")


NO_LOOK = "no later look written down"


@dataclass(frozen=True)
class Effect:
    """What was done and what the next look at the same fish found."""

    at_hours: float
    lot: str
    done: str
    after: str


def effects_of(case: Case, base: RuleBase) -> tuple[Effect, ...]:
    """Each thing done, with heads and signs before and at the next look. No cause is claimed."""
    looks = [look for look in case.observation if not look.from_log]
    looks.sort(key=lambda look: look.at_hours)
    return tuple(
        Effect(look.at_hours, look.lot, step_words(done, base), _next(looks, place, base))
        for place, look in enumerate(looks)
        for done in look.done
    )


def _next(looks: Sequence[Observation], place: int, base: RuleBase) -> str:
    before = looks[place]
    theirs = ("all", before.lot)
    later = [
        look
        for look in looks[place + 1 :]
        if look.at_hours > before.at_hours and (before.lot == "all" or look.lot in theirs)
    ]
    after = next((look for look in later if look.seen or look.not_seen or heads(look.counts)), None)
    if after is None:
        return NO_LOOK
    of_lot = "" if after.lot in theirs else f", lot {after.lot}"
    parts = [f"{span(after.at_hours - before.at_hours)} later{of_lot}"]
    if heads(after.counts):
        was = f" (before: {heads(before.counts)})" if heads(before.counts) else ""
        parts.append(f"{heads(after.counts)}{was}")
    for word, signs in (
        ("gone", [s for s in before.seen if s in after.not_seen]),
        ("still seen", [s for s in before.seen if s in after.seen]),
        ("new", [s for s in after.seen if s not in before.seen]),
    ):
        if signs:
            parts.append(f"{word}: {', '.join(sign_name(s, base) for s in signs)}")
    return "; ".join(parts)
