"""Why something was said, or was not: from the statement back to readings and sources."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.advice.results import RuleBaseMark
from advisor.explain.audit_form import Audit, Kind, Statement
from advisor.explain.naming import meant
from advisor.explain.statements import make
from advisor.explain.study import Study
from advisor.explain.tracing import Tables
from advisor.version import PROGRAM


def why(study: Study, asked: Sequence[str] = ()) -> Audit:
    """The grounds of what was asked for.

    asked : ids or words, see :func:`advisor.explain.naming.meant`; none stands for
            the first cause and the first action

    Raises AdvisorError with the nearest names for words that name nothing.
    """
    targets = [meant(text, study) for text in asked] or list(first_things(study))
    return audit(study, targets)


def first_things(study: Study) -> Iterable[tuple[Kind, str]]:
    """The first cause and the first action."""
    for cause in study.result.causes[:1]:
        yield "cause", cause.id
    for action in study.result.actions[:1]:
        yield "action", action.id


def everything_shown(study: Study) -> list[tuple[Kind, str]]:
    """Every statement the assessment puts on the screen."""
    result = study.result
    shown: list[tuple[Kind, str]] = [("cause", each.id) for each in result.causes]
    shown += [("action", each.id) for each in result.actions]
    shown += [("action", each.action) for each in result.withheld]
    shown += [("caution", each.id) for each in result.cautions]
    shown += [("vet", each.id) for each in result.vet]
    shown += [("notice", each.id) for each in result.notices]
    shown += [("finding", each.id) for each in result.findings]
    shown += [("fact", f"computed:{each.name}") for each in result.computed]
    shown += [("fact", f"reading:{each.name}") for each in result.measure_next]
    if result.move is not None:
        shown.append(("move", result.move.chosen))
    shown += [("fit", each.dimension) for each in result.fit if each.state != "not_known"]
    return shown


def audit(study: Study, targets: Iterable[tuple[Kind, str]], *, why_not: bool = True) -> Audit:
    """Statements of the given kinds and ids, with everything below them.

    why_not : with the rules that did not fire, and those that wait for a reading
    """
    tables = Tables(study, why_not=why_not)
    statements = tuple(make(kind, name, tables) for kind, name in targets)
    tables.why_not = False
    have = {f"{each.kind}:{each.id}": each for each in statements}
    while tables.wanted:
        key = tables.wanted.pop()
        kind, _, name = key.partition(":")
        found: Statement = have.get(key) or make(kind, name, tables)  # type: ignore[arg-type]
        tables.below[key] = found
    base, result = study.base, study.result
    return Audit(
        program=PROGRAM,
        rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
        title=study.case.delivery.title,
        lot=result.lot,
        label=result.label,
        phase=result.phase,
        weights=base.settings.because,
        not_enough=result.not_enough_because,
        statements=statements,
        below=dict(sorted(tables.below.items())),
        facts=dict(sorted(tables.facts.items())),
        limits=dict(sorted(tables.limits.items())),
        sources=dict(sorted(tables.sources.items())),
    )
