"""After the decision: theirs, the advisor's, the expected and what happened, side by side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.advice.results import CauseResult, LotResult
from advisor.ask.hands import first_sentence
from advisor.case import Case
from advisor.explain.replay.lesson import Lesson
from advisor.explain.replay.progress import Line
from advisor.explain.replay.reasons import why_not_here
from advisor.explain.replay.score import (
    Decision,
    Score,
    difficulty,
    harmful,
    named_steps,
    right_causes,
)
from advisor.rulebase import RuleBase
from advisor.screens.session.talk import Talk
from advisor.wording.numbers import exact, fixed, signed

#: Lines of the balance sheet, and of what was not asked for, shown at most.
_MOST = 12


def show_reveal(
    lesson: Lesson, decision: Decision, score: Score, result: LotResult, talk: Talk
) -> None:
    """Everything side by side, the evidence not asked for, the balance sheet, the score."""
    base, case = lesson.base, lesson.case
    talk.say()
    talk.say(case.delivery.title or "How it was", strong=True)
    _causes(decision, case, result, base, talk)
    _actions(decision, case, result, base, talk)
    _harm(decision, case, result, base, score.wrongly, talk)
    _outcome(case, talk)
    _missed(lesson, result, talk)
    _sheet(result, case, talk)
    _score(score, result, base, talk)


def _causes(decision: Decision, case: Case, result: LotResult, base: RuleBase, talk: Talk) -> None:
    talk.say()
    talk.say("Cause", strong=True)
    expected = case.expected.first_cause if case.expected else ()
    advised = [f"{c.name} ({c.standing.replace('_', ' ')})" for c in result.causes[:3]]
    if result.not_enough:
        advised.insert(0, "not enough to tell")
    names = {cause.id: cause.name for cause in base.causes.values()}
    talk.item("you:     ", "; ".join(names[c] for c in decision.causes) or "none named")
    talk.item("advisor: ", "; ".join(advised))
    talk.item("expected:", " or ".join(names[c] for c in expected) or "nothing written")
    confirmed = [names.get(name, name) for name in case.outcome.confirmed_causes]
    by = f", {case.outcome.confirmed_by}" if case.outcome.confirmed_by else ""
    talk.item("happened:", f"{', '.join(confirmed)}{by}" if confirmed else "not confirmed")


def _actions(decision: Decision, case: Case, result: LotResult, base: RuleBase, talk: Talk) -> None:
    talk.say()
    talk.say("First step", strong=True)
    talk.item("you:     ", _step(decision.action, base) if decision.action else "none")
    talk.item("advisor: ", first_sentence(result.headline))
    best, more = named_steps(case, result, base)
    words = " or ".join(_step(name, base) for name in best)
    talk.item("expected:", words or "nothing written")
    if more:
        talk.item("         ", f"also accepted: {more} more")
    done = [piece for look in case.observation for piece in look.done]
    talk.item("happened:", "; ".join(done) or "not written down")


def _step(name: str, base: RuleBase) -> str:
    """A step in the words of its first sentence."""
    action = base.actions.get(name)
    return name.replace("_", " ") if action is None else first_sentence(action.text).rstrip(".")


def _harm(
    decision: Decision,
    case: Case,
    result: LotResult,
    base: RuleBase,
    wrongly: Sequence[str],
    talk: Talk,
) -> None:
    harm = harmful(case, result)
    if not harm and not decision.never:
        return
    talk.say()
    talk.say("What must not be done", strong=True)
    for name in harm:
        mark = "named" if name in decision.never else "not named"
        mark = "YOUR FIRST STEP" if name == decision.action else mark
        because = why_not_here(name, result, base)
        talk.item("-", f"{_step(name, base)} ({mark}) - {because}")
    for name in decision.never:
        if name not in harm:
            what = "is expected or advised" if name in wrongly else "nothing speaks against it"
            talk.item("-", f"{_step(name, base)} (named by you, but here {what})")


def _outcome(case: Case, talk: Talk) -> None:
    outcome = case.outcome
    lines = [f"{d.dead} dead by {exact(d.at_hours)} h ({d.lot})" for d in outcome.deaths]
    if outcome.survivors_48h is not None:
        lines.append(f"{outcome.survivors_48h} alive after 48 h")
    lines += [outcome.note] if outcome.note else []
    if lines:
        talk.say()
        talk.say("How it ended", strong=True)
        for line in lines:
            talk.item("-", line)


def _missed(lesson: Lesson, result: LotResult, talk: Talk) -> None:
    missed = lesson.not_asked()
    if not missed:
        return
    counted = _counted(result)
    missed.sort(key=lambda each: each.item[1] not in counted)
    talk.say()
    talk.say("What you did not ask for", strong=True)
    for each in missed[:_MOST]:
        talk.item("*" if each.item[1] in counted else "-", each.words)
    if len(missed) > _MOST:
        talk.say(f"and {len(missed) - _MOST} more", indent=1)
    if any(each.item[1] in counted for each in missed[:_MOST]):
        talk.say("* counted for or against one of the advisor's first three causes.")


def _counted(result: LotResult) -> set[str]:
    """Names of the facts that bear on the first three causes, back to what was read or seen."""
    pieces = [p for c in result.causes[:3] for p in (*c.evidence_for, *c.evidence_against)]
    names = [fact.name for piece in pieces if piece.counts for fact in piece.facts]
    inputs: dict[str, Sequence[str]] = {fact.name: fact.inputs for fact in result.facts}
    inputs |= {finding.id: [f.name for f in finding.facts] for finding in result.findings}
    found: set[str] = set()
    while names:
        name = names.pop()
        if name not in found:
            found.add(name)
            names += [each.rpartition(":")[2] for each in inputs.get(name, ())]
    return found


def _sheet(result: LotResult, case: Case, talk: Talk) -> None:
    """The balance of the advisor's first cause, and of the expected one where it is another."""
    right = right_causes(case)
    shown = [result.causes[0]]
    if right and shown[0].id not in right:
        shown += [next(cause for cause in result.causes if cause.id in right)]
    for cause in shown:
        _balance(cause, talk)


def _balance(cause: CauseResult, talk: Talk) -> None:
    talk.say()
    talk.say(f"The balance for {cause.name}, in decibans (judgement)", strong=True)
    talk.item(signed(cause.prior).rjust(5), "starting odds on that day")
    pieces = [p for p in (*cause.evidence_for, *cause.evidence_against) if p.counts]
    for piece in pieces[:_MOST]:
        talk.item(signed(piece.decibans).rjust(5), piece.because.strip())
    rest = pieces[_MOST:]
    if rest:
        talk.item(signed(sum(p.decibans for p in rest)).rjust(5), f"{len(rest)} more pieces")
    standing = cause.standing.replace("_", " ")
    talk.item(signed(cause.decibans).rjust(5), f"in all: {standing}")


def _score(score: Score, result: LotResult, base: RuleBase, talk: Talk) -> None:
    talk.say()
    judged = [score.first, score.in_three, score.action, score.harm_avoided]
    known = [each for each in judged if each is not None]
    talk.say(f"Your score: {sum(known)} of {len(known)}", strong=True)
    talk.item("cause first:       ", _word(score.first))
    talk.item("in your three:     ", _word(score.in_three))
    talk.item("first step:        ", _word(score.action))
    talk.item("harm avoided:      ", _word(score.harm_avoided))
    if score.of:
        talk.item("harms named:       ", f"{len(score.named)} of {score.of}")
    if score.wrongly:
        names = "; ".join(_step(name, base) for name in score.wrongly)
        talk.item("wrongly called harm:", names)
    talk.item("asked:             ", f"{score.asked}, {fixed(score.seconds / 60)} min on the clock")
    talk.item("difficulty:        ", difficulty(result))


def _word(value: bool | None) -> str:
    return "nothing to compare with" if value is None else "right" if value else "no"


def show_progress(lines: Sequence[Line], talk: Talk) -> None:
    """All played under a name, and the last ten beside the ten before."""
    talk.say()
    talk.say("So far under this name", strong=True)
    talk.say(f"{len(lines)} deliveries", indent=1)
    talk.say(_shares(lines, "all"), indent=1, hang=2)
    if len(lines) > 10:
        talk.say(_shares(lines[-20:-10], "the ten before"), indent=1, hang=2)
        talk.say(_shares(lines[-10:], "the last ten"), indent=1, hang=2)


def _shares(lines: Iterable[Line], name: str) -> str:
    kept = list(lines)
    parts = []
    for column in ("first_cause", "in_first_three", "first_action", "harm_avoided"):
        said = [line[column] for line in kept if line[column] in ("yes", "no")]
        parts.append(f"{column.replace('_', ' ')} {said.count('yes')}/{len(said)}")
    return f"{name}: {', '.join(parts)}"
