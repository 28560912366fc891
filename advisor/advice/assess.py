"""The whole flow for one case: facts -> engine -> ranking -> plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from advisor.advice.doubts import doubt_facts, doubts_of, in_doubt, of_unmet_water, resting_on
from advisor.advice.facts.forecast import foresee_lots
from advisor.advice.facts.record import Record
from advisor.advice.facts.sheet import FactSheet, fact_sheet, lots_of, place_of
from advisor.advice.facts.vocabulary import check_vocabulary, written_remarks
from advisor.advice.move.choose import Way, choose_way, move_facts, move_result, ways_of
from advisor.advice.move.fit import fit_facts, fits_of
from advisor.advice.neighbours import told_by
from advisor.advice.plan import Plan, advised, by_id, make_plan
from advisor.advice.ranking import Ranking, matched, rank, standing_facts
from advisor.advice.reasoner import Reasoned, Reasoner, default_reasoner
from advisor.advice.results import (
    ActionResult,
    Assessment,
    DoubtResult,
    FactResult,
    FindingResult,
    FitResult,
    LotResult,
    Measure,
    OpeningPlace,
    RuleBaseMark,
    unchecked,
)
from advisor.advice.worth import reading_worths
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import Value
from advisor.rulebase.engine import Fact, Firing
from advisor.rulebase.entries import Action
from advisor.version import PROGRAM
from advisor.wording.times import day_words


def assess(
    case: Case, reasoner: Reasoner | None = None, *, until_hours: float = math.inf
) -> Assessment:
    """Assess every lot of ``case`` on what was known up to ``until_hours`` after receipt.

    Raises ManyFaults when the case uses words the rule base does not hold.
    """
    reasoner = reasoner or default_reasoner()
    check_vocabulary(case, reasoner.base)
    reasoned = reason_all(case, reasoner, until_hours)
    latest = max(each.sheet.at_hours for each in reasoned)
    lots = tuple(lot_result(each, reasoner, latest) for each in reasoned)
    return unchecked(Assessment)(
        program=PROGRAM,
        rulebase=unchecked(RuleBaseMark)(
            version=reasoner.base.version, fingerprint=reasoner.base.fingerprint
        ),
        title=case.delivery.title,
        weights=reasoner.base.settings.because,
        lots=lots,
        opening_order=tuple(_opening_order(case, reasoned, lots, reasoner.base)),
        remarks=tuple(written_remarks(case, reasoner.base)),
    )


def _opening_order(
    case: Case, reasoned: list[Reasoned], lots: tuple[LotResult, ...], base: RuleBase
) -> Iterator[OpeningPlace]:
    """Sealed lots in the order to open them; those an emergency stands against come first."""
    if not any(each.sheet.sealed for each in reasoned):
        return
    from advisor.advice.move.order import opening_order  # with much of the simulation

    urgent = frozenset(lot.lot for lot in lots if lot.urgent)
    for place in opening_order(case, reasoned, base, urgent):
        yield unchecked(OpeningPlace)(**place._asdict())


def reason_all(case: Case, reasoner: Reasoner, until_hours: float = math.inf) -> list[Reasoned]:
    """Every lot of a delivery; what one lot shows is told to those that share its water."""
    if len(case.lot) > 1:
        foresee_lots(((case, lot) for lot in case.lot), reasoner.base, until_hours)
    thoughts = [_alone(case, lot, reasoner, until_hours) for lot in lots_of(case)]
    return [
        _alone(case, each.sheet.lot, reasoner, until_hours, told) if told else each
        for each in thoughts
        for told in (told_by((o for o in thoughts if o is not each), reasoner.base),)
    ]


def reason(
    case: Case,
    lot: Lot,
    reasoner: Reasoner,
    until_hours: float = math.inf,
    others: Sequence[Reasoned] | None = None,
) -> Reasoned:
    """Facts, firings and ranking of one lot, with what its neighbours in the water show.

    others : what :func:`reason_others` gives of this case, where that is known already
    """
    if others is None:
        others = reason_others(case, lot, reasoner, until_hours)
    return _alone(case, lot, reasoner, until_hours, told_by(others, reasoner.base))


def reason_others(
    case: Case, lot: Lot, reasoner: Reasoner, until_hours: float = math.inf
) -> list[Reasoned]:
    """The lots that ``lot`` hears of, each by itself."""
    return [
        _alone(case, other, reasoner, until_hours)
        for other in lots_heard(case, lot, reasoner.base, until_hours)
    ]


def lots_heard(
    case: Case, lot: Lot, base: RuleBase, until_hours: float = math.inf
) -> Iterator[Lot]:
    """The other lots that what is known of ``lot`` rests on: those that live in the tank."""
    for other in case.lot:
        if other.id != lot.id and _lives_in_the_tank(case, other, base, until_hours):
            yield other


def _lives_in_the_tank(case: Case, lot: Lot, base: RuleBase, until_hours: float) -> bool:
    return place_of(case, lot, base, until_hours).has_met("tank")


def _alone(
    case: Case,
    lot: Lot,
    reasoner: Reasoner,
    until_hours: float = math.inf,
    told: tuple[Record, ...] = (),
) -> Reasoned:
    """One lot by itself.

    told : what other lots in the same water show (:mod:`advisor.advice.neighbours`)
    """
    base = reasoner.base
    sheet = fact_sheet(case, lot, base, until_hours, told)
    used = reasoner.compiled.used
    given = [Fact(*each) for each in sheet.engine_facts(used)]
    ranking: Ranking
    fits: tuple[FitResult, ...] = ()
    ways: tuple[Way, ...] = ()
    doubts: tuple[DoubtResult, ...] = ()
    later: list[Fact] = []

    def after_evidence(firings: tuple[Firing, ...]) -> list[Fact]:
        """What the evidence comes to, and whether the next water fits."""
        nonlocal ranking, fits, doubts
        fired = by_id(firings)
        doubts = doubts_of(fired, base)
        weak = in_doubt(firings, resting_on(doubts, sheet))
        unmet = of_unmet_water(firings, sheet, base)
        heard = tuple(f for f in firings if f not in unmet)
        ranking = rank(heard, sheet.phase, base, doubted=weak)
        fits = fits_of(fired, sheet, base)
        later.extend(standing_facts(ranking))
        later.extend((*fit_facts(fits, base), *doubt_facts(doubts)))
        return [f for f in later if (f.kind, f.name) in used]

    def after_fit(firings: tuple[Firing, ...]) -> list[Fact]:
        """The move, by what calls for the ways and bars them."""
        nonlocal ways
        ways = ways_of(by_id(firings), sheet, base)
        moved = list(move_facts(choose_way(ways)))
        later.extend(moved)
        return moved

    firings = reasoner.engine.run(given, after_evidence, after_fit)
    facts: dict[tuple[str, str], Value] = {(f.kind, f.name): f.value for f in given}
    for firing in firings:
        kind, _, name = firing.rule_id.partition(":")
        if kind in ("finding", "not-finding"):
            facts[("finding", name)] = kind == "finding"
    for fact in later:
        facts[(fact.kind, fact.name)] = fact.value
    doubted = in_doubt(firings, resting_on(doubts, sheet))
    return Reasoned(sheet, facts, firings, ranking, fits, ways, doubts, doubted)


def plan_of(reasoned: Reasoned, reasoner: Reasoner) -> Plan:
    """What to do about one reasoned lot."""
    return make_plan(
        reasoned.firings, reasoned.ranking, reasoned.sheet, reasoner.base, reasoned.doubted
    )


def steps_of(reasoned: Reasoned, reasoner: Reasoner) -> tuple[Action, ...]:
    """The steps of that plan, in order; no amounts are worked out and nothing is worded."""
    return advised(
        reasoned.firings, reasoned.ranking, reasoned.sheet, reasoner.base, reasoned.doubted
    )


def lot_result(reasoned: Reasoned, reasoner: Reasoner, latest: float = 0.0) -> LotResult:
    """The published result of one reasoned lot.

    latest : the newest hour the delivery tells of, which may be another lot's
    """
    base, sheet, ranking = reasoner.base, reasoned.sheet, reasoned.ranking
    plan = plan_of(reasoned, reasoner)
    facts = tuple(_fact(record, base) for record in sheet.records.values())
    kind = sheet.kind
    return unchecked(LotResult)(
        lot=sheet.lot.id,
        label=sheet.lot.species or sheet.lot.group or sheet.lot.id,
        kind_of_fish=kind.species.name if kind and kind.species else None,
        group=kind.group.id if kind else None,
        phase=sheet.phase,
        headline=_headline(plan.actions),
        not_enough=ranking.not_enough,
        not_enough_because=ranking.because,
        causes=ranking.causes,
        actions=plan.actions,
        withheld=plan.withheld,
        cautions=plan.cautions,
        vet=plan.vet,
        notices=plan.notices,
        measure_next=tuple(measure_next(reasoned, reasoner, [a.id for a in plan.actions])),
        facts=facts,
        findings=tuple(_findings(reasoned, base)),
        computed=tuple(fact for fact in facts if fact.kind == "computed"),
        place=sheet.situation.place,
        fit=reasoned.fits,
        doubts=reasoned.doubts,
        move=move_result(reasoned.ways, reasoned.way, reasoned.fits, sheet),
        day=_day(sheet, max(latest, sheet.at_hours)),
    )


def _day(sheet: FactSheet, latest: float) -> str:
    """The day of their stay, as far as somebody could tell it."""
    if sheet.records[("phase", "phase")].note is None:
        return day_words(sheet.at_hours, latest)
    return "day not known" if sheet.phase == "arrival" else "day not known, not the first"


def _headline(actions: tuple[ActionResult, ...]) -> str:
    """What to do now, in one line."""
    return actions[0].text if actions else "Nothing to do that the rules know of; keep watching."


def _fact(record: Record, base: RuleBase) -> FactResult:
    told: dict[str, Any] = record._asdict()
    del told["at_hours"], told["entry"]  # for the flow alone
    label = label_of(record.kind, record.name, base)
    return unchecked(FactResult)(label=label, within=_within(record, base), **told)


def _within(record: Record, base: RuleBase) -> bool:
    quantity = base.quantities.get(record.name)
    if quantity is None or not quantity.excess:
        return False
    top = record.value if record.high is None else record.high
    return isinstance(top, (int, float)) and top <= 0


def label_of(kind: str, name: str, base: RuleBase) -> str:
    """A fact's plain name; the rule base holds the words."""
    tables: dict[str, Mapping[str, Any]] = {
        "sign": base.signs,
        "history": base.history,
        "trait": base.traits,
        "finding": base.findings,
        "standing": base.causes,
        "first": base.causes,
    }
    entry = tables.get(kind, base.quantities).get(name)
    return name.replace("_", " ") if entry is None else str(entry.name)


def _findings(reasoned: Reasoned, base: RuleBase) -> Iterator[FindingResult]:
    seen = set()
    for firing in reasoned.firings:
        kind, _, name = firing.rule_id.partition(":")
        if kind in ("finding", "not-finding") and name not in seen:
            seen.add(name)
            finding = base.findings[name]
            yield unchecked(FindingResult)(
                id=name,
                name=finding.name,
                holds=kind == "finding",
                because=finding.because,
                facts=matched(firing),
                sources=finding.source,
                certain=finding.certain,
            )


def measure_next(
    reasoned: Reasoned, reasoner: Reasoner, shown: Iterable[str], most: int = 3
) -> Iterator[Measure]:
    """Readings most worth taking, by evidence per unit of time."""
    for worth in reading_worths(reasoned, reasoner, shown)[:most]:
        quantity = reasoner.base.quantities[worth.question]
        yield unchecked(Measure)(
            name=quantity.id,
            label=quantity.name,
            worth=round(worth.total, 2),
            cost_seconds=quantity.cost_seconds,
            tells_apart=worth.tells_apart[:4],
            how=quantity.how_to_read or "",
        )
