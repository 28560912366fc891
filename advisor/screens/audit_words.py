"""An audit as the lines of a bench note, for the screen and for papers alike.

Each line has a depth, a mark and a text. The sentences are those of the rule
base; what is added here are names, numbers and where they were read. What was
told once is not told again: "(see above)".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from advisor.explain.audit_form import Audit, Comparison, Statement, Weighed
from advisor.rulebase import RuleBase
from advisor.rulebase.cited_words import exception_words, passage_words, stretched_words
from advisor.rulebase.works import Citation
from advisor.screens.audit_facts import (
    LEGEND,
    cited_words,
    comparison_words,
    limit_words,
    places_words,
    value_words,
    where_words,
)
from advisor.wording.names import PHASES, TIMES
from advisor.wording.numbers import short, signed

Tone = Literal["head", "said", "plain", "quiet"]

ABOVE = "(see above)"
NOTHING = "Nothing seen or measured speaks for or against it."
MOST_MISSING = 6
_TITLES = {
    "cause": {},
    "action": {"held_back": "HELD BACK:", "silent": "NOT PROPOSED:"},
    "caution": {"shown": "CAUTION:"},
    "notice": {"shown": "KEEP IN MIND:"},
    "finding": {"holds": "FOUND:", "fails": "FOUND NOT TO HOLD:", "open": "CANNOT BE TOLD:"},
    "move": {"shown": "THE MOVE:", "silent": "NOT THE MOVE:"},
    "fit": {"holds": "FITS:", "fails": "DOES NOT FIT:", "open": "NOT KNOWN TO FIT:"},
    "doubt": {"holds": "IN DOUBT:", "fails": "NOT IN DOUBT:"},
    "fact": {"shown": "KNOWN:", "open": "NOT KNOWN:"},
    "question": {"shown": "QUESTION:", "silent": "QUESTION, answered:"},
}


class NoteLine(NamedTuple):
    """One line of the note: how deep, after which mark, in which tone."""

    depth: int
    mark: str
    text: str
    tone: Tone = "plain"


def lines(audit: Audit, base: RuleBase, *, everything: bool = False) -> Iterator[NoteLine]:
    """The whole note: statements, then the works cited.

    everything : also rules that came nowhere near firing
    """
    note = _Note(audit, base, everything)
    for place, statement in enumerate(audit.statements):
        if place:
            yield NoteLine(0, "", "")
        yield from note.statement(statement)
    if not audit.sources:
        return
    yield NoteLine(0, "", "")
    yield NoteLine(0, "", "WORKS CITED", "head")
    for ref in audit.sources if everything else sorted(note.cited & set(audit.sources)):
        source = audit.sources[ref]
        seen = f" [{source.seen}]" if source.seen else ""
        yield NoteLine(1, "", f"{ref}: {source.citation}{seen}", "quiet")
        for passage in source.passages:
            if passage.id in note.passages:
                yield NoteLine(2, "", passage_words(passage), "quiet")
    yield NoteLine(1, "", LEGEND, "quiet")


@dataclass
class _Note:
    audit: Audit
    base: RuleBase
    everything: bool
    told: set[str] = field(default_factory=set)
    cited: set[str] = field(default_factory=set)
    passages: set[str] = field(default_factory=set)

    def first_time(self, key: str) -> bool:
        """Whether this is told for the first time; from now on it has been."""
        fresh = key not in self.told
        self.told.add(key)
        return fresh

    # -- statements -------------------------------------------------------

    def statement(self, it: Statement) -> Iterator[NoteLine]:
        self.told.add(f"{it.kind}:{it.id}")
        yield NoteLine(0, "", self._title(it), "head")
        if it.balance is not None:
            yield NoteLine(1, "", self._balance(it))
        if it.because:
            yield NoteLine(1, "", it.because, "said")
        yield from self._amounts(it)
        if it.always:
            yield NoteLine(1, "", "It always holds.")
        yield from self._calls(it)
        yield from self._bars(it)
        pieces = (*it.evidence_for, *it.evidence_against)
        for piece in pieces:
            yield from self._piece(piece, 1)
        if it.kind == "cause" and not pieces:
            yield NoteLine(1, "", NOTHING)
        if it.kind == "fact":
            yield from self._fact_itself(it)
        yield from self._missing(it)
        yield from self._leads_to(it)
        yield from self._sources(it.sources, 1)

    def _title(self, it: Statement) -> str:
        word = it.word.replace("_", " ")
        said = _TITLES.get(it.kind, {}).get(it.verdict)
        if said is None:
            said = {
                "cause": f"{word}:",
                "action": f"DO, {TIMES.get(it.word, word)}:",
                "vet": f"FOR THE VETERINARIAN, {TIMES.get(it.word, word)}:",
                "rule": f"RULE, {word}, "
                + {"holds": "fired,", "fails": "did not fire,"}.get(it.verdict, "open,"),
            }.get(it.kind, f"{it.kind.upper()}, does not apply here:")
            if it.kind == "vet" and it.verdict == "silent":
                said = "NOTE FOR THE VETERINARIAN, does not apply here:"
        name = it.id if it.kind == "fact" else f"{it.kind}:{it.id}"
        return f"{said} {it.text} [{name}]"

    def _balance(self, it: Statement) -> str:
        b = it.balance
        assert b is not None
        return (
            f"Place {b.place} of {len(self.base.causes)}. Start {signed(b.prior)} on "
            f"{PHASES[b.phase]}, for {signed(b.for_it)}, against {signed(b.against_it)}: "
            f"{signed(b.total)} decibans (judgement)."
        )

    def _amounts(self, it: Statement) -> Iterator[NoteLine]:
        for amount in it.amounts:
            if amount.value is None:
                missing = " and ".join(amount.missing)
                yield NoteLine(1, "=", f"{amount.label}: to work it out, give {missing}.")
                continue
            value = f"{amount.label}: {short(amount.value, 3)} {amount.unit}".rstrip()
            source = f". Source: {amount.source}" if amount.source else ""
            yield NoteLine(1, "=", f"{value}. {amount.working}{source}")

    def _calls(self, it: Statement) -> Iterator[NoteLine]:
        """What called for it, or what it would need."""
        heads = {True: "Called for by", False: "Not called for", None: "Not called for yet"}
        if it.kind in ("finding", "fit", "doubt"):
            heads = {True: "Because", False: "Because", None: "It would need"}
        for ground in it.grounds:
            if isinstance(ground, Weighed):
                yield from self._piece(ground, 1)
                continue
            ways = (ground.compared, *ground.also)
            settled = ground.holds is True or it.verdict == "fails"
            if ground.entry.startswith("require:"):
                heads = dict.fromkeys(heads, "What it requires is given")
            several = "" if settled or len(ways) == 1 else ". Any of these would do"
            yield NoteLine(1, "", f"{heads[ground.holds]}{several}:")
            yield from self._ways(ways, 2, settled)

    def _bars(self, it: Statement) -> Iterator[NoteLine]:
        for bar in it.bars:
            yield NoteLine(1, "x", f"Held back: {bar.because}", "said")
            held = bar.holds is True
            if not held:
                yield NoteLine(2, "", "It needs:")
            yield from self._ways((bar.compared, *bar.also), 2, held)
            yield from self._sources(bar.sources, 2)

    def _ways(
        self, ways: Iterable[tuple[Comparison, ...]], depth: int, held: bool
    ) -> Iterator[NoteLine]:
        """Alternatives: of those that held, each further one only with what is new in it."""
        shown: set[Comparison] = set()
        for place, way in enumerate(ways):
            fresh = [each for each in way if each not in shown] if held else list(way)
            shown.update(way)
            if place and fresh:
                yield NoteLine(depth, "", "also:" if held else "or:", "quiet")
            for each in fresh:
                yield from self._comparison(each, depth)

    def _piece(self, piece: Weighed, depth: int) -> Iterator[NoteLine]:
        mark = "+" if piece.decibans > 0 else "-"
        weight = f"{piece.strength} {signed(piece.decibans)}"
        if piece.holds is True and not piece.counts:
            weight += ", not counted beside a stronger one of its kind"
        yield NoteLine(depth, mark, f"{weight}: {piece.because}", "said")
        yield from self._ways((piece.compared, *piece.also), depth + 1, piece.holds is True)
        if piece.known_problems:
            yield NoteLine(depth + 1, "", f"Known problem: {piece.known_problems}", "quiet")
        if piece.stretched_to:
            yield NoteLine(depth + 1, "", stretched_words(piece.stretched_to), "quiet")
        if piece.exception:
            yield NoteLine(depth + 1, "", exception_words(piece.exception), "quiet")
        yield from self._sources(piece.sources, depth + 1, f"Rule {piece.rule}")

    def _missing(self, it: Statement) -> Iterator[NoteLine]:
        first = it.kind == "cause" and it.balance is not None and it.balance.place == 1
        if not it.missing or (first and not self.everything):
            return
        head = "Rules for it that did not fire, the nearest first:"
        yield NoteLine(1, "", head if it.kind == "cause" else "Rules that wait for it:")
        shown = it.missing if self.everything else it.missing[:MOST_MISSING]
        for piece in shown:
            about = "" if it.kind == "cause" else f" {self.base.causes[piece.cause].name}:"
            lead = f"{piece.strength} {signed(piece.decibans)}"
            yield NoteLine(1, "o", f"{lead}:{about} {piece.because}", "said")
            for each in piece.compared:
                if each.holds is not True:
                    yield from self._comparison(each, 2)
            if piece.also:
                ways = len(piece.also)
                other = "in another way" if ways == 1 else f"in one of {ways} other ways"
                yield NoteLine(2, "", f"(or {other})", "quiet")
        if len(shown) < len(it.missing):
            yield NoteLine(1, "", f"and {len(it.missing) - len(shown)} more; see them with --all.")

    def _leads_to(self, it: Statement) -> Iterator[NoteLine]:
        heads = {
            "finding": "What rests on it",
            "fact": "What rests on it",
            "question": "It settles",
        }
        known = [key for key in self._keys(it.leads_to) if it.kind == "question"]
        for key in known:
            fact = self.audit.facts[key].fact
            yield NoteLine(1, "", f"{fact.label}: {value_words(fact)}{where_words(fact)}")
        if it.leads_to and it.kind == "action":
            yield NoteLine(1, "", "Cautions that go with it:", "quiet")
            for name in it.leads_to:
                yield NoteLine(2, "!", self.base.cautions[name].text)
        if it.leads_to and it.kind in heads:
            yield NoteLine(1, "", f"{heads[it.kind]}: {', '.join(it.leads_to)}.", "quiet")

    def _keys(self, named: Iterable[str]) -> Iterator[str]:
        """Those of the facts named that are known, numbers under either of their kinds."""
        for name in named:
            plain = name.partition(":")[2]
            for key in (name, f"computed:{plain}"):
                if key in self.audit.facts:
                    yield key
                    break

    # -- comparisons and what they rest on --------------------------------

    def _comparison(self, it: Comparison, depth: int) -> Iterator[NoteLine]:
        text = comparison_words(it, self.audit, self.base)
        if it.key is None:
            yield NoteLine(depth, ".", text)
        elif it.key in self.audit.below:
            yield from self._below(self.audit.below[it.key], it, text, depth)
        else:
            fact = self.audit.facts[it.key].fact
            again = f" {ABOVE}" if it.key in self.told and fact.inputs else ""
            yield NoteLine(depth, ".", f"{text}{where_words(fact)}{again}")
            if self.first_time(it.key):
                yield from self._below_fact(it.key, depth + 1)
        if it.limit and self.first_time(f"limit:{it.limit}"):
            limit = self.audit.limits[it.limit]
            yield NoteLine(depth + 1, "", limit_words(limit), "quiet")
            yield from self._sources(limit.sources, depth + 1)

    def _below(self, below: Statement, it: Comparison, text: str, depth: int) -> Iterator[NoteLine]:
        fresh = self.first_time(f"{below.kind}:{below.id}")
        yield NoteLine(depth, ".", text if fresh else f"{text} {ABOVE}")
        if not fresh or it.kind == "action":
            return
        if below.kind in ("finding", "move", "fit", "doubt"):
            yield from self._finding(below, depth + 1)
        else:
            yield from self._cause_below(below, depth + 1)

    def _finding(self, it: Statement, depth: int) -> Iterator[NoteLine]:
        yield NoteLine(depth, "", it.because, "said")
        settled = it.verdict != "open"
        for ground in it.grounds:
            ways = (ground.compared, *ground.also)
            yield from self._ways(ways if settled or self.everything else ways[:1], depth, settled)
        yield from self._sources(it.sources, depth)

    def _cause_below(self, it: Statement, depth: int) -> Iterator[NoteLine]:
        yield NoteLine(depth, "", self._balance(it))
        pieces = (*it.evidence_for, *it.evidence_against)
        if not pieces:
            yield NoteLine(depth, "", NOTHING)
        for piece in pieces:
            if piece.counts:
                yield from self._piece(piece, depth)
        yield from self._sources(it.sources, depth)

    # -- facts ------------------------------------------------------------

    def _fact_itself(self, it: Statement) -> Iterator[NoteLine]:
        kind, _, name = it.id.partition(":")
        for key in self._keys((it.id, f"reading:{name}")):
            fact = self.audit.facts[key].fact
            yield NoteLine(1, "", f"{fact.label}: {value_words(fact)}{where_words(fact)}")
            self.told.add(key)
            yield from self._below_fact(key, 2)
            return
        how = {"sign": "Not looked for.", "reading": "Not measured.", "history": "Not answered."}
        yield NoteLine(1, "", how.get(kind, "Not known: what it rests on is missing."))

    def _below_fact(self, key: str, depth: int) -> Iterator[NoteLine]:
        """How a value was worked out, down to what was typed."""
        trace = self.audit.facts[key]
        fact = trace.fact
        if fact.formula:
            yield NoteLine(depth, "", f"by {fact.formula}", "quiet")
        if fact.working:
            yield NoteLine(depth, "=", fact.working)
        if fact.note:
            yield NoteLine(depth, "", f"Note: {fact.note.rstrip('.')}.", "quiet")
        if fact.how in ("computed", "forecast") and fact.where:
            yield NoteLine(depth, "", f"from {places_words(fact.where)}", "quiet")
        for each in trace.rests_on:
            below = self.audit.facts[each].fact
            again = f" {ABOVE}" if each in self.told and below.inputs else ""
            text = f"{below.label}: {value_words(below)}{where_words(below)}{again}"
            yield NoteLine(depth, "<", text)
            if self.first_time(each):
                yield from self._below_fact(each, depth + 1)
        if fact.source:
            yield NoteLine(depth, "", f"Source: {fact.source}", "quiet")
            table = fact.source.rpartition(",")[0]
            if fact.source.startswith("species") and self.first_time(f"table:{table}"):
                yield from self._sources(trace.sources, depth)

    def _sources(
        self, citations: Iterable[Citation], depth: int, lead: str = ""
    ) -> Iterator[NoteLine]:
        cited = tuple(citations)
        self.cited.update(each.ref for each in cited)
        found = (self.base.passage(each) for each in cited)
        self.passages.update(each.id for each in found if each is not None)
        words = cited_words(cited)
        text = f"{lead}. Source: {words}" if lead else f"Source: {words}"
        if words:
            yield NoteLine(depth, "", text, "quiet")
