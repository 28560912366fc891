"""Facts, comparisons and citations of an audit in words."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.advice.results import FactResult
from advisor.explain.audit_form import Audit, Comparison, LimitTrace
from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import STANDINGS, Leaf
from advisor.rulebase.works import Citation
from advisor.screens.condition_words import leaf_words
from advisor.wording.names import PHASES
from advisor.wording.numbers import exact, fixed, short

#: How far a citation was checked, in a word; :data:`LEGEND` spells them out.
CHECKED = {
    "read": "read",
    "abstract": "abstract read",
    "opening": "opening read",
    "second-hand": "second-hand",
    "memory": "from memory",
    "derived": "derived",
    "practice": "bench practice",
    "judgement": "judgement",
}
LEGEND = (
    "How far each was checked. read: seen in the source; abstract or opening read: only that; "
    "second-hand: seen quoted; from memory: not looked up; derived: worked out from the source; "
    "bench practice: no source; "
    "judgement: ours."
)
ANSWERS = {True: "yes", False: "no"}


def value_words(fact: FactResult) -> str:
    """A fact's value with its band and unit."""
    if isinstance(fact.value, bool):
        seen = {True: "seen", False: "looked for and not seen"}
        return (seen if fact.kind == "sign" else ANSWERS)[fact.value]
    if isinstance(fact.value, str):
        return fact.value.replace("_", " ")
    unit = "" if fact.unit == "pH" else f" {fact.unit}"
    band = ""
    if fact.low is not None and fact.high is not None and fact.high - fact.low > 1e-9:
        band = f", could be {short(fact.low, 3)} to {short(fact.high, 3)}"
    return f"{short(float(fact.value), 3)}{unit}{band}".rstrip()


def where_words(fact: FactResult) -> str:
    """What was typed, and the place in the case."""
    typed = f'typed "{fact.entered}"' if fact.entered else ""
    worked_out = fact.how in ("computed", "forecast")  # then the places stand with the formula
    places = [] if worked_out else [place_words(place) for place in fact.where]
    inside = ", ".join([*filter(None, (typed,)), *places])
    return f" ({inside})" if inside else ""


def place_words(place: str) -> str:
    """A place of the case, without the field of a look, which the line itself names."""
    return place.partition(",")[0] if place.startswith("observation ") else place


def places_words(places: Iterable[str]) -> str:
    """Several places of the case; fields of one lot or look stand together."""
    grouped: dict[str, list[str]] = {}
    for place in places:
        head, comma, field = place.partition(", ")
        grouped.setdefault(head, []).extend([field] if comma else [])
    told = (f"{head}: {', '.join(fields)}" if fields else head for head, fields in grouped.items())
    return "; ".join(told)


def comparison_words(it: Comparison, audit: Audit, base: RuleBase) -> str:
    """The comparison in words, and what was found."""
    if it.kind == "action":
        return f'the step "{base.actions[it.name].text}" [action:{it.name}]'
    if it.kind == "phase":
        said = PHASES[str(it.asked)]
        return said if it.holds is True else f"{said} - it is {PHASES[str(it.found)]}"
    if it.kind in ("place", "fit", "move") and it.holds is not True:
        asked = leaf_words(Leaf(it.kind, it.name, it.op, it.asked, it.limit), base)
        return f"{asked} - it is {str(it.found or 'not known').replace('_', ' ')}"
    words = leaf_words(Leaf(it.kind, it.name, it.op, it.asked, it.limit), base)
    if it.kind == "not_enough":
        return f"{words}: {audit.not_enough}" if audit.not_enough else words
    if it.kind == "sign" and it.holds is True:
        return words if it.asked is False else f"{words}: seen"
    if it.holds is True and it.kind not in ("value", "low", "high", "most", "standing"):
        return f"{words}{answered_words(it, audit)}"
    return f"{words} - {_found(it, audit)}"


def answered_words(it: Comparison, audit: Audit) -> str:
    """The number of an answer that a condition compared with a bound; else nothing."""
    if it.kind == "history" and it.op not in ("==", "!="):
        return f" - {_found(it, audit)}"
    return ""


def _found(it: Comparison, audit: Audit) -> str:
    if it.found is None:
        return {
            "sign": "not looked for",
            "history": "not known",
            "trait": "not known of this kind",
            "finding": "cannot be told",
        }.get(it.kind, "not measured")
    if it.kind == "sign":
        return "it was seen" if it.found else "looked for and not seen"
    if it.kind == "finding":
        return "it holds" if it.found else "it does not"
    if it.kind == "standing":
        word = STANDINGS[int(it.found)].replace("_", " ")
        return f"it is {word}" + (f", {fixed(it.short_by)} decibans short" if it.short_by else "")
    if isinstance(it.found, bool):
        return f"it is {ANSWERS[it.found]}"
    if isinstance(it.found, str):
        return f"it is {it.found.replace('_', ' ')}"
    fact = audit.facts[it.key].fact if it.key in audit.facts else None
    shown = value_words(fact) if fact else short(float(it.found), 3)
    return f"it is {shown}" + (f"; {short(it.short_by, 3)} off" if it.short_by else "")


def limit_words(limit: LimitTrace) -> str:
    """A limit with the figure as printed and what it was found for."""
    extra = "".join(
        f"; {word} {text}"
        for word, text in (
            ("printed as", limit.published),
            ("exposure", limit.exposure),
            ("for", limit.applies_to),
        )
        if text
    )
    value = f"{exact(limit.value)} {limit.unit}".rstrip()
    return f"limit {limit.id}: {value}, {limit.meaning}{extra}"


def cited_words(citations: Iterable[Citation]) -> str:
    """Citations by the keys of the works, each with how far it was checked."""
    return "; ".join(dict.fromkeys(_cited(each) for each in citations))


def _cited(citation: Citation) -> str:
    place = f", {citation.at}" if citation.at else ""
    if citation.ref in ("bench-practice", "judgement"):
        return f"{citation.ref.replace('-', ' ')}{place}"
    return f"{citation.ref}{place} ({CHECKED[citation.basis]})"
