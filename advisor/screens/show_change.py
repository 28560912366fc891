"""What changed answers move, how firm the advice stands, and what moved since it was saved."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console

from advisor.ask.hands import first_sentence
from advisor.explain.audit_form import Moved
from advisor.explain.flip import Edge, Firmness, Flip, Holds
from advisor.explain.what_if import CauseMove, Difference, Listed, ValueMove, WhatIf
from advisor.rulebase import RuleBase
from advisor.wording.layout import hanging, styled
from advisor.wording.names import STANDING
from advisor.wording.numbers import fixed, short, signed

HEAD = "bold"
KINDS = {
    "action": "do",
    "withheld": "held back",
    "caution": "caution",
    "vet": "for the veterinarian",
    "notice": "keep in mind",
    "finding": "found",
}


def show_what_if(told: WhatIf, base: RuleBase, console: Console) -> None:
    """Two assessments side by side; only what differs is shown."""
    console.print(styled(f"WHAT IF {', '.join(told.changes)}", HEAD))
    if told.difference.nothing:
        console.print(styled("  Nothing changes: same causes, same actions, same numbers."))
    elif not _moves_advice(told.difference):
        said = "No change of advice: no cause that is more than unlikely moves, and the steps stay."
        hanging("  ", styled(said), console)
    show_difference(told.difference, base, console)


def show_difference(difference: Difference, base: RuleBase, console: Console) -> None:
    """Before and after of everything that differs."""
    if difference.first_cause:
        _moved("first cause", [_cause(c, base) for c in difference.first_cause], console)
    if difference.first_action:
        _moved("first step", [_action(a, base) for a in difference.first_action], console)
    if difference.not_enough:
        words = {True: "not enough to tell", False: "enough to act on"}
        _moved("evidence", [words[each] for each in difference.not_enough], console)
    told = [m for m in difference.causes if _worth_telling(m)]
    if told:
        console.print(styled("  Causes", HEAD))
    for move in told:
        _cause_move(move, console)
    rest = len(difference.causes) - len(told)
    if rest:
        hanging("    ", styled(f"and {rest} unlikely before and after.", "dim"), console)
    _came_and_went("No more", "-", difference.went, console)
    _came_and_went("New", "+", difference.came, console)
    if difference.values:
        console.print(styled("  Worked out", HEAD))
    for value in difference.values:
        hanging("    = ", styled(_value_move(value)), console)


def _moves_advice(difference: Difference) -> bool:
    """Whether anything but numbers moves, and causes that are unlikely either way."""
    led = (difference.first_cause, difference.first_action, difference.not_enough)
    listed = (*difference.came, *difference.went)
    return any(led) or bool(listed) or any(map(_worth_telling, difference.causes))


def _moved(what: str, pair: Sequence[str], console: Console) -> None:
    hanging(f"  {what}: ", styled(f"{pair[0]} -> {pair[1]}", HEAD), console)


def _cause(name: str, base: RuleBase) -> str:
    return base.causes[name].name if name in base.causes else name or "none stands out"


def _action(name: str, base: RuleBase) -> str:
    return base.actions[name].text if name in base.actions else name or "none"


def _worth_telling(move: CauseMove) -> bool:
    return {move.standing_before, move.standing_after} != {"unlikely"}


def _cause_move(move: CauseMove, console: Console) -> None:
    before, after = STANDING[move.standing_before], STANDING[move.standing_after]
    word = before if before == after else f"{before} -> {after}"
    text = f"{move.name}: {word} ({signed(move.before)} -> {signed(move.after)})"
    if move.place_before != move.place_after:
        text += f", place {move.place_before} -> {move.place_after}"
    hanging("    . ", styled(text), console)
    for mark, rules in (("+", move.gained), ("-", move.lost)):
        if rules:
            hanging(f"      {mark} ", styled("rule " + ", ".join(rules), "dim"), console)


def _came_and_went(head: str, mark: str, changes: Iterable[Listed], console: Console) -> None:
    listed = list(changes)
    if listed:
        console.print(styled(f"  {head}", HEAD))
    for change in listed:
        text = f"{KINDS[change.kind]}: {change.text} [{change.id}]"
        hanging(f"    {mark} ", styled(text), console)


def _value_move(value: ValueMove) -> str:
    ends = ["not known" if v is None else short(v, 3) for v in (value.before, value.after)]
    return f"{value.label}: {ends[0]} -> {ends[1]} {value.unit}".rstrip()


# -- how firm ----------------------------------------------------------------


def show_firmness(told: Firmness, base: RuleBase, console: Console) -> None:
    """What the first cause and the first step stand and fall with."""
    console.print(styled("HOW FIRM IT STANDS", HEAD))
    hanging("  first cause: ", styled(_cause(told.first_cause, base), HEAD), console)
    lead = f"{fixed(told.margin)} decibans (judgement) before {_cause(told.second_cause, base)}"
    hanging("    ", styled(lead, "dim"), console)
    hanging("  first step: ", styled(_action(told.first_action, base), HEAD), console)
    console.print()
    taken = [h for h in told.holds if h.now is not None]
    if taken:
        console.print(styled("Both hold, all else as it is, for any", HEAD))
    for span in taken:
        _span(span, told, base, console)
    open_readings = [h for h in told.holds if h.now is None]
    if open_readings:
        console.print(styled("Readings not taken that could change them", HEAD))
    for span in open_readings:
        _open_reading(span, told, base, console)
    _flips(told.singles, told, base, console)
    if told.pairs:
        console.print(styled("No single answer changes the one; these two together would", HEAD))
        for flip in told.pairs:
            _flip(flip, base, console)
    elif not any(f.first_cause for f in told.singles) and not _edges_move_cause(told):
        text = "No single answer, and no two tried together, change the first cause."
        hanging("  ", styled(text), console)
    check = f"{told.ran} changed deliveries were run through the rules."
    hanging("  ", styled(check, "dim"), console)


def _edges_move_cause(told: Firmness) -> bool:
    edges = [e for h in told.holds for e in (h.low_edge, h.high_edge) if e is not None]
    return any(e.first_cause != told.first_cause for e in edges)


def _span(span: Holds, told: Firmness, base: RuleBase, console: Console) -> None:
    unit = f" {span.unit}" if span.unit else ""
    assert span.now is not None
    text = f"{span.label} from {short(span.low, 3)} to {short(span.high, 3)}{unit}"
    text += f" (it is {short(span.now, 3)})"
    if span.low_edge is None and span.high_edge is None:
        text += ", the whole plausible range"
    hanging("  . ", styled(text), console)
    for word, edge in (("below that", span.low_edge), ("above that", span.high_edge)):
        if edge is not None:
            hanging(f"      {word}: ", styled(_edge(edge, told, base), "dim"), console)
    if span.within_band:
        text = "That lies within what the test kit can tell apart: read again with a finer one."
        hanging("      ! ", styled(text, HEAD), console)


def _open_reading(span: Holds, told: Firmness, base: RuleBase, console: Console) -> None:
    unit = f" {span.unit}" if span.unit else ""
    for word, edge in (("at or below", span.low_edge), ("from", span.high_edge)):
        if edge is not None:
            text = f"{span.label} {word} {short(edge.at, 3)}{unit}: {_edge(edge, told, base)}"
            hanging("  . ", styled(text), console)


def _edge(edge: Edge, told: Firmness, base: RuleBase) -> str:
    parts = []
    if edge.first_cause != told.first_cause:
        parts.append(f"first cause {_cause(edge.first_cause, base)}")
    if edge.first_action != told.first_action:
        parts.append(f"first step: {first_sentence(_action(edge.first_action, base))}")
    return "; ".join(parts)


def _flips(flips: Sequence[Flip], told: Firmness, base: RuleBase, console: Console) -> None:
    heads = (
        ("Not known yet; if it turned out so", [f for f in flips if f.answers[0].open]),
        (
            "Answered already; if it were otherwise",
            [f for f in flips if not f.answers[0].open],
        ),
    )
    for head, chosen in heads:
        if chosen:
            console.print(styled(head, HEAD))
        _together(chosen, base, console)


def _together(flips: Sequence[Flip], base: RuleBase, console: Console) -> None:
    """Answers of one question that lead to the same stand on one line."""
    grouped: dict[tuple[str, str], list[str]] = {}
    for flip in flips:
        answer = flip.answers[0]
        grouped.setdefault((answer.label, _leads_to(flip, base)), []).append(answer.becomes)
    for (label, outcome), becomes in grouped.items():
        hanging("  . ", styled(f"{label}: {' or '.join(becomes)} -> {outcome}"), console)


def _flip(flip: Flip, base: RuleBase, console: Console) -> None:
    answers = " and ".join(f"{a.label}: {a.becomes}" for a in flip.answers)
    hanging("  . ", styled(f"{answers} -> {_leads_to(flip, base)}"), console)


def _leads_to(flip: Flip, base: RuleBase) -> str:
    parts = []
    if flip.first_cause:
        parts.append(f"first cause {_cause(flip.first_cause[1], base)}")
    if flip.first_action:
        parts.append(f"first step: {first_sentence(_action(flip.first_action[1], base))}")
    return "; ".join(parts)


# -- saved assessments --------------------------------------------------------


def show_moved(moved: Moved, base: RuleBase, console: Console) -> None:
    """What moved since an assessment was saved."""
    mark = f"{moved.rulebase}, {moved.program}"
    console.print(styled(f"SAVED ASSESSMENT OF {moved.made}", HEAD))
    hanging("  ", styled(f"Made with rules {mark}."), console)
    for line in _standing_of(moved):
        hanging("  ", styled(line), console)
    if moved.standings or moved.actions_new or moved.actions_gone:
        console.print(styled("  Then -> now, at the same time of the delivery", HEAD))
    for each in moved.standings:
        ends = [_balance(each.then, each.decibans_then), _balance(each.now, each.decibans_now)]
        hanging("    . ", styled(f"{each.name}: {ends[0]} -> {ends[1]}"), console)
    for mark, word, names in (
        ("-", "no more", moved.actions_gone),
        ("+", "new", moved.actions_new),
    ):
        for name in names:
            text = f"{word}: {first_sentence(_action(name, base))} [{name}]"
            hanging(f"    {mark} ", styled(text), console)


def _standing_of(moved: Moved) -> Iterable[str]:
    if moved.reproduced:
        yield "Made again just now from this file: the same to the last character."
    elif moved.reproduced is False:
        yield "Made again just now it differs although rules, program and inputs are the same."
    if not moved.same_rules:
        yield "The rules have changed since."
    if not moved.same_program:
        yield "The program has changed since."
    if moved.same_inputs is False:
        yield "The case was changed since in what the assessment used."


def _balance(word: str, decibans: float | None) -> str:
    words = STANDING.get(word, word)
    return words if decibans is None else f"{words} ({signed(decibans)})"
