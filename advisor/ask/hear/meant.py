"""Clauses to facts: signs, what was done and how things stand, and where the fish are."""

from __future__ import annotations

import re
from collections.abc import Callable

from advisor.advice.settled_by import choices_of, single
from advisor.ask.hear import easing, patterns, whereabouts
from advisor.ask.hear.ears import Ears, has_phrase, seen_before
from advisor.ask.hear.kind_names import name_words
from advisor.ask.hear.line import Clause, mended, plain
from advisor.ask.hear.parasites_named import several_parasites
from advisor.ask.hear.patterns import Match, Words
from advisor.ask.hear.word_sets import word_set
from advisor.rulebase.name_index import plain_name

#: A single word of the question's own lines is not believed beside one that means nothing here.
MOST_STRANGE = 1
#: So many strange words, and nothing is believed that another question asks.
MOST_BESIDE = 1


def by_patterns(ears: Ears, cut: list[Clause]) -> None:
    """Signs, history and place, clause by clause."""
    offered = _offered(ears)
    may = _permitted(ears, offered)
    names = name_words(ears.base)
    places: list[tuple[str, bool]] = []
    last: str | None = None
    for clause in [] if _phrase_of_rules(ears, ears.text, offered) else cut:
        if _doubted(clause, ears.held):
            ears.out.setdefault("unknown", True)
            continue
        if _aspect_fine(ears, clause):
            continue
        if last is not None and _only_over(clause, ears.held):
            ears.no_more(last)
            continue
        if _phrase_of_rules(ears, clause.text, offered):
            continue
        found = patterns.find(clause, offered, ears.held, may)
        if not found:
            clause = mended(clause, ears.held.known)
            found = patterns.find(clause, offered, ears.held, may)
        covered = {place for match in found for place in match.places}
        rest = _left_over(clause, covered, ears.held, names)
        words_left = plain(" ".join(rest)).split()
        hedged = bool({"maybe", "perhaps", "possibly", "might"} & {w.word for w in clause.words})
        for match in found:
            strange = sum(
                not ears.held.speaks_of(match.pattern.fact, w)
                for w in words_left
                if not (w in _WHEN and _of_gear(match, clause))
            )
            if match.pattern.fact == patterns.VOID:
                continue
            if not _offers(offered, match) and _doubtful(match, ears, hedged=hedged):
                continue
            if _weak(match, strange, offered, ears):
                ears.doubt.append(match.pattern.fact)
                continue
            kind, _, name = match.pattern.fact.partition(" ")
            others = {place for m in found if m is not match for place in m.places}
            if turn := easing.turned(ears, clause, match, others):
                _take_turned(ears, name, turn)
            else:
                _take(ears, match, places)
            last = name if kind == "sign" else last
        if found or ears.question.kind in ("signs", "choice"):
            ears.left += rest
    if ears.asked in ("scrape", "scrape_parasite"):
        several_parasites(ears, cut)
    _take_place(ears, [name for name, true in places if true])
    _worst_count(ears)


def _phrase_of_rules(ears: Ears, said: str, offered: frozenset[str]) -> bool:
    """Whether these are the very words by which the rules know a sign that the question offers."""
    sign = ears.base.sign_index.get(plain_name(said))
    if sign is None or not (sign in ears.question.signs or f"sign {sign}" in offered):
        return False
    ears.fact("sign", sign, True)
    return True


#: "filter died last night": when is nothing strange beside what stood still.
_WHEN = frozenset(["last", "this", "over", "night", "overnight", "morning", "yesterday", "evening"])
_GEAR = frozenset(["filter", "filters", "pump", "pumps", "airpump", "blower", "canister"])


def _of_gear(match: Match, clause: Clause) -> bool:
    stood = match.pattern.fact == "history filter_stopped" and match.seen
    return stood and any(word.word in _GEAR for word in clause.words)


#: Asked of the worst ones: that others swim well is no sign of theirs.
_TROUBLE = frozenset(
    [
        "lying_on_side",
        "loss_of_equilibrium",
        "spinning_convulsions",
        "gasping_at_surface",
        "delayed_deaths",
        "sudden_deaths",
    ]
)


def _worst_count(ears: Ears) -> None:
    seen = ears.out.get("signs_seen", [])
    if (
        ears.asked == "breathing_and_posture"
        and _TROUBLE & set(seen)
        and "swimming_normally" in seen
    ):
        seen.remove("swimming_normally")
    if ears.asked == "mending" and "refusing_food" in seen:  # of eating it was asked
        seen.remove("refusing_food")
        ears.fact("sign", "eating", False)


def _aspect_fine(ears: Ears, clause: Clause) -> bool:
    """ "eyes ok", "no smell": no sign of that part, of those the question offers."""
    held, offered = ears.held, ears.question.signs
    said = [word.word for word in clause.words]
    about = [word for word in said if word in held.aspects]
    rest = [w for w in said if w not in held.small and w not in held.aspects]
    none = [w for w in rest if w in held.deny]
    fine = bool(rest) and all(w in held.lists["fine"] for w in rest)
    absent = len(none) == len(rest) == 1 and about and about[0].startswith(("smell", "odo"))
    signs = [s for word in about for s in held.aspects[word] if s in offered]
    if not signs or not (fine or absent):
        return False
    for sign in signs:
        ears.fact("sign", sign, False)
    return True


def _take_place(ears: Ears, seen: list[str]) -> None:
    """The place, by what holds the fish now; at other questions only where that was named."""
    line = plain(ears.text)
    told = whereabouts.where(line)
    there = whereabouts.holders(whereabouts.placed(line))
    not_there = whereabouts.holders(line) - there
    seen = [place for place in seen if place not in not_there]
    if whereabouts.else_out(line):
        seen = []  # "the lights are out"
    history = ears.out.get("history", {})
    way = history.get("release_method")
    if ears.asked != "where_are_they":
        out = told.place in ("tank", "tub") or ears.asked != "arrived"
        if seen and told.sure and told.place is not None and out:
            ears.out["place"] = told.place
    elif told.ask:
        ears.ask.append(told.ask)
        history.pop("release_method", None)  # of some of them
    elif told.place is not None:
        ears.out["place"] = told.place
        if told.place in ("open_bag", "closed_bag"):
            history.pop("release_method", None)  # how they will be moved, or are being
    elif seen:
        ears.out["place"] = _last_place(seen)
    elif way in ("netted", "poured", "floated_open"):
        ears.out["place"] = "tank"
    elif "bag" in there and not ears.ask:
        ears.ask.append("Are the bags still shut, or opened?")


def _doubtful(match: Match, ears: Ears, *, hedged: bool) -> bool:
    """What was not asked for is not taken from a "maybe", nor denied in passing beside signs."""
    done = match.pattern.fact.startswith("history") and ears.question.kind == "signs"
    return hedged if match.seen else done


def _offers(offered: frozenset[str], match: Match) -> bool:
    kind, name, *_ = match.pattern.fact.split()
    return match.pattern.fact in offered or f"{kind} {name}" in offered


def _weak(match: Match, strange: int, offered: frozenset[str], ears: Ears) -> bool:
    """A single word is not believed beside words that mean nothing here.

    At its own question only a word that by itself means little there; elsewhere every one.
    """
    pattern = match.pattern
    if strange < MOST_STRANGE:
        return False
    kind, name, *_ = pattern.fact.split()
    if not (pattern.fact in offered or f"{kind} {name}" in offered):
        return strange >= MOST_BESIDE or len(pattern.terms) == 1
    return pattern.here and len(pattern.terms) == 1


def _doubted(clause: Clause, held: Words) -> bool:
    """ "not sure if gasping": nothing is known by that; "not sure which" leaves the rest known."""
    said = plain(clause.text)
    return has_phrase(said, held.lists["doubt"]) and not re.search(r"which|about the rest", said)


def _only_over(clause: Clause, held: Words) -> bool:
    """ "stopped now": what was said last is over."""
    said = [word.word for word in clause.words]
    over = held.over | held.deny if "now" in said or "longer" in said else held.over
    return any(word in over for word in said) and all(
        word in over or word in held.small or word == "longer" for word in said
    )


def _offered(ears: Ears) -> frozenset[str]:
    """Facts that the question offers, as the word lists name them."""
    question, base = ears.question, ears.base
    found = {f"sign {sign}" for sign in question.signs} - {_SUDDEN}
    if question.id == "deaths":
        found.add(_SUDDEN)
    if question.history is not None:
        item = question.history
        found |= {f"history {item} {answer}" for answer in base.history[item].answers}
        found |= {f"history {item}"}
    elif single(question):
        found |= {f"place {place}" for place in ("closed_bag", "open_bag", "tub", "tank")}
        found |= {f"history release_method {way}" for way in base.history["release_method"].answers}
    elif question.choices and question.kind == "choice":
        found |= {f"history {key}" for key in choices_of(question, base) if "=" not in key}
    for item in _OFFERED_TOO.get(question.id, ()):
        found |= {f"history {item}", *(f"history {item} {a}" for a in base.history[item].answers)}
    if question.id == "still_there":
        found |= {f"sign {sign}" for sign in seen_before(ears)}
    return frozenset(found)


def _take(ears: Ears, match: Match, places: list[tuple[str, bool]]) -> None:
    kind, name, *answer = match.pattern.fact.split()
    if kind == "sign":
        ears.fact("sign", name, match.seen)
    elif kind == "place":
        places.append((name, match.seen))
    elif not answer:
        ears.fact("history", name, "yes" if match.seen else "no")
    elif match.seen:
        ears.fact("history", name, answer[0])


def _take_turned(ears: Ears, sign: str, turn: easing.Turn) -> None:
    """A sign that ended is not seen; one that is less is neither seen nor gone."""
    if turn == "calmer":
        ears.fact("sign", easing.CALMER, True)
    elif turn == "over":
        ears.fact("sign", sign, False)
    else:
        eased = ears.out.setdefault("signs_eased", [])
        eased += [] if sign in eased else [sign]


#: Words of the question itself that name a sign elsewhere.
_NOT_THERE = frozenset(
    [
        ("where_are_they", "floating"),
        ("gills", "pale_body_colour_loss"),
        ("fasted", "sunken_belly"),
        ("fasted", "refusing_food"),
        ("skin", "lying_on_side"),
        ("gills", "lying_on_side"),
        ("eyes_shape_droppings", "lying_on_side"),
        ("body_at_a_glance", "lying_on_side"),
        ("hand_test", "darting"),
        ("hand_test", "spinning_convulsions"),
        ("skin", "fine_bubbles_on_glass"),
        ("tank_has", "isolation_from_group"),
        ("tank_has", "hiding"),
    ]
)
#: Questions at which people also say where the fish are.
_SAYS_PLACE = frozenset(["where_are_they", "arrived", "kinds", "breathing_and_posture"])
#: What was done and how things stand, said at questions about something else as well.
_SAID_ANYWHERE = frozenset(
    f"history {item}"
    for item in (
        "water_changed_last_day", "hose_left_running", "untreated_tap_water", "filter_stopped",
        "filter_rinsed_or_replaced", "heater_fault", "electric_fault_suspected", "spraying_nearby",
        "gravel_or_filter_disturbed", "sedative_used", "box_arrived_cold", "box_arrived_hot",
        "bright_light", "fed_since_arrival", "ph_product_used", "pump_sucks_air",
        "bag_aerated_with_fish", "tap_water_rescue",
    )
)  # fmt: skip
#: Without these "no dechlor" may be what the house lacks.
_OF_WATER = re.compile(r"\b(?:tap|water|wc|chang\w+|top\w*|mains|hose|fill\w*|refill\w*)\b")
#: "Quick" and "within two hours" say it where deaths are asked of, at the fish only beside a death.
_SUDDEN = "sign sudden_deaths"
_OF_DEATH = re.compile(
    r"\b(?:dead|death\w*|die[ds]?|dying|lost|wiped|mass|croaked|perished|mort\w*)\b"
)
#: Answered with the question, in as few words.
_OFFERED_TOO: dict[str, tuple[str, ...]] = {
    "filter_state": ("called_cycled_without_number",),
    "out_of_the_bag": ("release_method",),
    "scrape": ("scrape_parasite",),
}
_BESIDE: dict[str, tuple[str, ...]] = {
    "where_are_they": ("release_method", "quarantine_tank", "bag_water_in_tank"),
    "hours_sealed": ("gas_in_bag",),
    "changed_last_day": ("dechlorinator_used", "tap_water_rescue", "pump_sucks_air"),
    "already_added": ("dechlorinator_used",),
    "packing": ("dye_in_water", "salt_in_water"),
    "counts": ("dechlorinator_used",),
    "filter_state": ("called_cycled_without_number",),
    "out_of_the_bag": ("release_method",),
    "deaths": ("release_method",),
    "scrape": ("scrape_parasite",),
    "residents_well": ("residents",),
    "dechlorinator_used": ("water_supply",),
    "oxygen": ("aerated",),
    "ammonia_nitrite": ("filter_state",),
    "thermometer": ("heater_fault", "water_feels_hot", "water_feels_cold"),
}
_NOT_AT_COUNTS = word_set("not_at_counts")


_AT_KINDS = word_set("at_kinds")


def _permitted(ears: Ears, offered: frozenset[str]) -> Callable[[str], bool]:
    """Which facts may be taken at this question besides those it offers."""
    question, base = ears.question, ears.base
    beside = frozenset(f"history {item}" for item in _BESIDE.get(question.id, ()))
    free = (
        question.kind in ("signs", "text", "number")
        or question.id in _BESIDE
        or not (question.history or question.kind == "reading")
    )

    def may(fact: str) -> bool:
        if fact == patterns.VOID:
            return True
        kind, name, *answer = fact.split()
        whole = f"{kind} {name}"
        if (question.id, name) in _NOT_THERE:
            return False
        if name == easing.CALMER and fact not in offered:
            # "still breathing fast" at another question is no look back
            return question.kind == "signs" and easing.calmer_than_before(ears)
        if whole == _SUDDEN and name in question.signs and whole not in offered:
            return bool(_OF_DEATH.search(plain(ears.text)))
        if fact in offered or whole in offered or whole in beside:
            return True
        if kind == "place":
            return question.id in _SAYS_PLACE
        if kind == "sign":
            if question.id == "kinds":
                return name in _AT_KINDS
            if question.id in ("counts", "dead_on_arrival"):
                return base.signs[name].scope == "fish" and name not in _NOT_AT_COUNTS
            if question.kind == "reading":
                return name in ("rotten_egg_smell", "brown_gills", "gasping_at_surface")
            if base.signs[name].scope == "pattern":
                return question.kind in ("signs", "choice", "text") and name in (
                    "invertebrates_die_first", "delayed_deaths", "newcomers_only_affected",
                    "signs_within_hours_of_water_change",
                )  # fmt: skip
            return free
        if name == "untreated_tap_water" and not _OF_WATER.search(plain(ears.text)):
            return False  # "30 h, no dechlor"
        apart = question.id in ("when_it_began", "kinds")
        return free and not answer and whole in _SAID_ANYWHERE and not apart

    return may


def _last_place(seen: list[str]) -> str:
    """Where they are: a tank or tub that is named outweighs the bag they came in."""
    for name in ("tub", "open_bag", "closed_bag", "tank"):
        if name in seen and (name != "closed_bag" or "open_bag" not in seen):
            if name == "closed_bag" and "tank" in seen:
                return "tank"
            return name
    return seen[-1]


#: "no longer gasping"
_TURNING = frozenset(["longer"])


def _left_over(
    clause: Clause, covered: set[int], held: Words, names: frozenset[str] = frozenset()
) -> list[str]:
    """Words that no fact took, and that are neither small words nor names of kinds."""
    words_left = [
        word.said
        for at, word in enumerate(clause.words)
        if at not in covered
        and word.word not in held.small
        and word.word not in held.deny
        and word.word[:1].isalpha()
        and word.word not in names
        and word.word not in held.lists["heads"]
        and word.word not in _TURNING | held.lists["ended"] | held.lists["less"]
    ]
    return [" ".join(words_left)] if words_left else []
