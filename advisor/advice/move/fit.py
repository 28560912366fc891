"""Whether the next water fits the fish that are bound for it, dimension by dimension.

What makes a water fit or not stands in ``rules/moves.toml`` as conditions; here
what fired is put together. Unknown is never taken as fit: a dimension that could
kill and was not read keeps the whole water "not known".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.ranking import matched
from advisor.advice.results import FitResult, MatchedFact, unchecked
from advisor.rulebase import RuleBase
from advisor.rulebase.engine import Fact, Firing
from advisor.rulebase.fits_and_moves import Fit

State = Literal["fit", "not_known", "not_fit"]
Fired = Mapping[str, list[Firing]]


def fits_of(fired: Fired, sheet: FactSheet, base: RuleBase) -> tuple[FitResult, ...]:
    """Every dimension of the next water; none where the fish are in the tank already."""
    if sheet.situation.next_water is None:
        return ()
    return tuple(_fit(base.fits[name], fired) for name in base.fits)


def _fit(fit: Fit, fired: Fired) -> FitResult:
    found = [
        (unfit, fired[f"unfit:{fit.id}:{at}"][0])
        for at, unfit in enumerate(fit.unfit, 1)
        if f"unfit:{fit.id}:{at}" in fired
    ]
    state: State = "not_known"
    because, sources = fit.unknown, fit.source
    of: Literal["water", "step", "days"] = "water"
    facts: tuple[MatchedFact, ...] = ()
    if found:
        found.sort(key=lambda pair: ("water", "step", "days").index(pair[0].of))
        worst, firing = found[0]
        state, of, sources = "not_fit", worst.of, worst.source
        because = " ".join(dict.fromkeys(unfit.because for unfit, _ in found))
        facts = matched(firing)
    elif f"fits:{fit.id}" in fired:
        state, because = "fit", ""
        facts = matched(fired[f"fits:{fit.id}"][0])
    return unchecked(FitResult)(
        dimension=fit.id,
        name=fit.name,
        state=state,
        of=of,
        kills=fit.kills or f"kills:{fit.id}" in fired,
        because=because,
        reads=fit.reads if state == "not_known" else (),
        asks=fit.asks if state == "not_known" else (),
        facts=facts,
        sources=tuple(sources),
    )


def overall(fits: Iterable[FitResult], base: RuleBase) -> dict[str, State]:
    """The water itself, the step into it, and both together (``release``)."""
    fits = tuple(fits)
    steps = {f.id for f in base.fits.values() if any(u.of == "step" for u in f.unfit)}
    open_ = [fit for fit in fits if fit.state == "not_known" and fit.kills]
    return {
        "water": _worst(any(_is(f, "water") for f in fits), bool(open_)),
        "step": _worst(any(_is(f, "step") for f in fits), any(f.dimension in steps for f in open_)),
        "release": _worst(any(_is(f, "water") or _is(f, "step") for f in fits), bool(open_)),
    }


def _is(fit: FitResult, of: str) -> bool:
    return fit.state == "not_fit" and fit.of == of


def _worst(unfit: bool, unknown: bool) -> State:
    return "not_fit" if unfit else "not_known" if unknown else "fit"


def fit_facts(fits: tuple[FitResult, ...], base: RuleBase) -> Iterator[Fact]:
    """The states as facts, the three that follow from all of them included."""
    if not fits:
        return
    for fit in fits:
        yield Fact("fit", fit.dimension, fit.state)
    for name, state in overall(fits, base).items():
        yield Fact("fit", name, state)
