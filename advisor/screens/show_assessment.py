"""An assessment on the screen. The first line answers "what do I do now"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.text import Text

from advisor.advice.results import (
    ActionResult,
    AmountResult,
    Assessment,
    CauseResult,
    Evidence,
    LotResult,
    OpeningPlace,
)
from advisor.advice.weighing import names_used, sums
from advisor.ask.hands import amount_words
from advisor.screens.audit_facts import value_words
from advisor.wording.layout import hanging, styled
from advisor.wording.names import STANDING, TIMES
from advisor.wording.numbers import signed
from advisor.wording.text import plain

#: Whom a caution that always holds protects, as its line begins.
ALWAYS = {
    "people": "Always, for you",
    "fish": "Always, for the fish",
    "law": "Always, as law mostly asks",
}
#: Oddities of the case as written that are named one by one.
MOST_REMARKS = 5
HEAD = "bold"
URGENT = "bold red"
QUIET = "italic"
JUDGEMENT = (
    "Weights are judgement, not measurements. This ranks possibilities; only a veterinarian "
    "can diagnose, and local law comes first."
)


def show(result: Assessment, console: Console, *, everything: bool = False) -> None:
    """Print the whole assessment, lot by lot, most urgent lot first.

    What was said of one lot is not said again of the next: reasons, notices, vet
    notes and cautions stand once.
    """
    lots = sorted(result.lots, key=lambda lot: lot.urgency)
    told: set[str] = set()
    for place, lot in enumerate(lots):
        if place:
            console.print()
        _first_line(lot, console, alone=len(lots) == 1)
        if place == 0 and len(lots) > 1:
            _overview(lots, console)
            _order(result.opening_order, console)
        _lot(lot, console, told, everything=everything)
    _remarks(result.remarks, console)
    _cautions(lots, console)
    console.print()
    hanging("", styled(JUDGEMENT, QUIET), console)
    mark = f"Rules {result.rulebase}, {result.program}."
    hanging("", styled(mark, QUIET), console)


def _remarks(remarks: Sequence[str], console: Console) -> None:
    """What is odd in the case as written: taken as it stands, and to be looked at."""
    if remarks:
        _heading("Check what is written", console)
    for remark in remarks[:MOST_REMARKS]:
        _item("-", remark, console)
    if len(remarks) > MOST_REMARKS:
        _item("-", f"{len(remarks) - MOST_REMARKS} more; see --json", console)


def _first_line(lot: LotResult, console: Console, *, alone: bool) -> None:
    first = lot.actions[0] if lot.actions else None
    line = Text()
    label = "DO NOW: " if first is not None and first.when == "now" else "FIRST: "
    line.append(label, style=URGENT if first and first.emergency else HEAD)
    line.append(plain(lot.headline), style=HEAD)
    hanging("", line, console)
    who = lot.label if alone else f"Lot {lot.lot}: {lot.label}"
    hanging("", styled(f"{who}. {lot.day[:1].upper()}{lot.day[1:]}.", QUIET), console)


def _overview(lots: Sequence[LotResult], console: Console) -> None:
    """All lots in one look."""
    _heading(f"{len(lots)} lots, most urgent first", console)
    for lot in lots:
        state = "EMERGENCY" if lot.urgent else "no emergency"
        cause = lot.causes[0]
        view = "not enough to tell" if lot.not_enough else STANDING[cause.standing]
        _item("-", f"{lot.lot}: {state}; {view}: {cause.name}", console)


def _lot(lot: LotResult, console: Console, told: set[str], *, everything: bool) -> None:
    _actions(lot, console, told, everything=everything)
    _held_back(lot, console)
    _causes(lot, console, everything=everything)
    _numbers(lot, console, everything=everything)
    _measure(lot, console)
    _notices(lot, console, told)
    _vet(lot, console, told)


def _order(order: Sequence[OpeningPlace], console: Console) -> None:
    """Which sealed bags to open first, when there is more than one lot of them."""
    if len(order) < 2:
        return
    _heading("Open the bags in this order", console)
    for place in order:
        alike = "nothing known tells it from the one before; " if place.tied else ""
        _item(f"{place.place}.", f"{place.lot}: {alike}{place.because}.", console)
    _below("Computed strain of the water against limits, not a measured harm.", console, indent=2)


def _heading(text: str, console: Console) -> None:
    console.print()
    console.print(styled(text.upper(), HEAD))


def _item(mark: str, text: str, console: Console, style: str = "", indent: int = 2) -> None:
    """A marked item whose further lines stand under its first word."""
    hanging(f"{' ' * indent}{mark} ", styled(text, style), console)


def _below(text: str, console: Console, style: str = QUIET, indent: int = 5) -> None:
    hanging(" " * indent, styled(text, style), console)


def _actions(lot: LotResult, console: Console, told: set[str], *, everything: bool) -> None:
    _heading("What to do", console)
    number = 0
    for time, name in TIMES.items():
        chosen = [action for action in lot.actions if action.when == time]
        if not chosen:
            continue
        console.print(styled(f" {name.capitalize()}", HEAD))
        for action in chosen:
            number += 1
            early = time in ("now", "within_hour")
            new = action.id not in told
            told.add(action.id)
            _action(number, action, console, reason=everything or (early and new))
    if number == 0:
        _below("Nothing the rules know of. Keep watching.", console, indent=2)


def _action(number: int, action: ActionResult, console: Console, *, reason: bool) -> None:
    text = action.text + (" [EMERGENCY]" if action.emergency else "")
    _item(f"{number}.", text, console, URGENT if action.emergency else HEAD)
    under = len(f"  {number}. ")
    if reason:
        _below(action.because, console, indent=under)
    for amount in action.amounts:
        _below(_amount(amount), console, style="", indent=under)


def _amount(amount: AmountResult) -> str:
    if amount.value is None:
        return f"{amount.label}: to work it out, give {' and '.join(amount.missing)}."
    return f"{amount.label}: {amount_words(amount)}. {amount.working}".rstrip()


def _held_back(lot: LotResult, console: Console) -> None:
    held_back = [held for held in lot.withheld if not held.moot]
    if held_back:
        _heading("Held back: do not do this now", console)
        for held in held_back:
            _item("x", held.shown, console)
            _below(held.because, console)
    needless = [held for held in lot.withheld if held.moot]
    if needless:
        _heading("Not needed here: done, covered by another step, or of no use", console)
        for held in needless:
            _item("-", held.text, console)
            _below(held.because, console)


def _causes(lot: LotResult, console: Console, *, everything: bool) -> None:
    _heading("Likely causes", console)
    if lot.not_enough:
        _item("!", f"Not enough to tell. {lot.not_enough_because}", console, HEAD)
    shown = [cause for cause in lot.causes if everything or cause.standing != "unlikely"]
    for cause in shown[: None if everything else 5] or lot.causes[:2]:
        _cause(cause, console, everything=everything)


def _cause(cause: CauseResult, console: Console, *, everything: bool) -> None:
    supports, against = sums(cause)
    balance = f"for {signed(supports)}, against {signed(against)}, start {signed(cause.prior)}"
    line = f"{STANDING[cause.standing]}: {cause.name} ({balance})"
    _item("-", line, console, HEAD if cause.is_likely else "")
    if cause.standing == "unlikely" and not everything:
        return
    for mark, pieces in (("+", cause.evidence_for), ("-", cause.evidence_against)):
        for piece in _shown(pieces, everything):
            _item(mark, f"{piece.strength}: {piece.because}", console, QUIET, indent=5)


def _shown(pieces: Sequence[Evidence], everything: bool) -> Iterable[Evidence]:
    counted = [piece for piece in pieces if everything or piece.counts]
    return counted if everything else counted[:3]


def _numbers(lot: LotResult, console: Console, *, everything: bool) -> None:
    """Worked-out values that the shown evidence and actions rest on."""
    used = names_used(lot)
    chosen = [f for f in lot.computed if f.working]
    if not everything:
        chosen = [f for f in chosen if f.name in used and not f.within]
    if chosen:
        _heading("Worked out", console)
    for fact in chosen:
        _item("=", f"{fact.label}: {value_words(fact)}", console)


def _measure(lot: LotResult, console: Console) -> None:
    if lot.measure_next:
        _heading("Measure next", console)
        names = {cause.id: cause.name for cause in lot.causes}
        for measure in lot.measure_next:
            apart = ", ".join(names.get(c, c) for c in measure.tells_apart[:3])
            _item("?", f"{measure.label} (bears on {apart})", console)


def _notices(lot: LotResult, console: Console, told: set[str]) -> None:
    new = [notice for notice in lot.notices if notice.id not in told]
    if new:
        _heading("Keep in mind", console)
    for notice in new:
        told.add(notice.id)
        _item("-", notice.text, console)


def _vet(lot: LotResult, console: Console, told: set[str]) -> None:
    new = [note for note in lot.vet if note.id not in told]
    if new:
        _heading("For the veterinarian", console)
    urgency = {"now": "call now", "today": "call today", "when_convenient": "ask"}
    for note in new:
        told.add(note.id)
        who = {"vet": "", "authority": "authority: ", "lab": "laboratory: "}[note.who]
        _item("-", f"{urgency[note.urgency]}: {who}{note.text}", console)
        for line in note.prepare:
            _item("have ready:", line, console, indent=5)
        for line in note.ask:
            _item("ask:", line, console, indent=5)


def _cautions(lots: Sequence[LotResult], console: Console) -> None:
    """Cautions of this delivery one by one; those that always hold by whom they protect."""
    cautions = {caution.id: caution for lot in lots for caution in lot.cautions}
    if not cautions:
        return
    _heading("Cautions", console)
    for caution in cautions.values():
        if not caution.always:
            _item("!", caution.text, console)
    for protects, words in ALWAYS.items():
        always = [c.text for c in cautions.values() if c.always and c.protects == protects]
        if always:
            _item("!", f"{words}: {' '.join(always)}", console)
